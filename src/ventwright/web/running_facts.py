"""How the unit runs through a year, as the facts ask it: opening times, the space's load, machine and prices."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from ventwright.facts import Running
from ventwright.web.desk import Opened
from ventwright.web.form import Question, question

PLACE = "facts.running"


def _ask(opened: Opened, name: str, label: str, **changed: Any) -> Question:
    return question(Running, name, place=PLACE, label=label, system=opened.system, **changed)


def running_questions(opened: Opened) -> list[Question]:
    """Ask when the unit runs and what the space needs."""
    return [
        _ask(opened, "weekdays", "Fan runs, Monday to Friday", help='Whole hours, such as 7-19, which stands for what is left open; or "all day" or "closed".'),
        _ask(opened, "saturday", "Fan runs on Saturdays", help="Left open: closed."),
        _ask(opened, "sunday", "Fan runs on Sundays", help="Left open: closed."),
        _ask(opened, "balance_point", "Balance point", help="Outdoor temperature below which the space needs no cooling. Nothing moves a saving more."),
        _ask(opened, "internal_gains", "Heat from people, lights and machines", usual="kW", help="While it is open. Where the balance point is not known, it is found from this."),
        _ask(opened, "load_at_design", "Sensible load on the hottest day", usual="Btu/h"),
        _ask(opened, "first_day", "Weekday of 1 January in the weather file"),
    ]  # fmt: skip


def energy_questions(opened: Opened) -> list[Question]:
    """Ask what the unit draws, and what energy costs and gives off."""
    return [
        _ask(opened, "sensor_accuracy", "How good the high limit's temperature sensors are (±)", help="Left open, as the code asks: 1.1 K (2 °F)."),
        _ask(opened, "eer", "Rated efficiency (EER)", help="Btu/h of cooling for each W of compressors and condenser fans; a COP times 3.41."),
        _ask(opened, "fan_power", "Power of the supply fan", usual="kW", help="At its fastest speed."),
        _ask(opened, "relief_power", "Power of the exhaust or relief fan", usual="kW"),
        _ask(opened, "heating_efficiency", "Heating efficiency", help="Heat into the air over the gas or electricity bought; of a heat pump its COP times 100, such as 290 %."),
        _ask(opened, "currency", "Sign of the currency", help="Left open: $."),
        _ask(opened, "electricity_price", "Price of 1 kWh of electricity", help="Without it nothing is said of money."),
        _ask(opened, "fuel_price", "Price of 1 kWh of fuel", help="1 therm is 29.3 kWh."),
        _ask(opened, "electricity_emissions", "Carbon dioxide of 1 kWh of electricity, kg"),
        _ask(opened, "fuel_emissions", "Carbon dioxide of 1 kWh of fuel, kg"),
    ]  # fmt: skip


def running_line(opened: Opened) -> str:
    """Sum up when it runs."""
    held: Mapping[str, Any] = opened.facts.get("running") or {}
    parts = [
        f"weekdays {held['weekdays']}" if "weekdays" in held else "",
        f"balance point {held['balance_point']}" if "balance_point" in held else "",
        f"{held['internal_gains']} from people and things" if "internal_gains" in held else "",
        f"{len(held['compressor_seen'])} hours of compressors seen" if held.get("compressor_seen") else "",
    ]
    return ", ".join(one for one in parts if one) or "as a usual office, 7-19 on weekdays"


def energy_line(opened: Opened) -> str:
    """Sum up what energy costs."""
    held: Mapping[str, Any] = opened.facts.get("running") or {}
    price = held.get("electricity_price")
    parts = [
        f"EER {held['eer']}" if "eer" in held else "",
        f"{held.get('currency', '$')}{price} for 1 kWh" if price is not None else "",
    ]
    return ", ".join(one for one in parts if one) or "not entered: nothing is said of money"
