"""The facts as the plan uses them: data sheet and job put together, gaps filled with guesses that say so."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Literal, TypeVar

from ventwright.errors import Refusal, Refused
from ventwright.facts import Facts
from ventwright.facts.unit import FanSpeed, SupplyBasis, Unit
from ventwright.physics.moist_air import pressure_at_elevation
from ventwright.plan.place import place_of
from ventwright.quantity import AIRFLOW, FRACTION, HEAT_RATE, LENGTH, PRESSURE, TEMPERATURE, Quantity, read
from ventwright.tables import prior, shelf
from ventwright.tables.unit_sheet import UnitSheet
from ventwright.words import Amount, Words, measured, words

Fact = TypeVar("Fact")

DEFAULT_ENERGY_CODE = "IECC-2021"
DEFAULT_VENTILATION_STANDARD = "62.1-2019"

TON = read("1 ton", HEAT_RATE).value


@dataclass(frozen=True, slots=True)
class Guess:
    """Something nobody gave, and what the plan assumes instead."""

    what: str
    sentence: Words


@dataclass(frozen=True, slots=True)
class BasisSpeed:
    """One fan speed with the supply airflow the plan reckons with."""

    name: str
    supply_air: float = measured(AIRFLOW)
    basis: str = ""
    guess: bool = False


@dataclass(frozen=True, slots=True)
class Basis:
    """What the plan stands on."""

    climate_zone: str | None
    climate_source: str
    energy_code: str
    ventilation_standard: str
    elevation: float = measured(LENGTH)
    pressure: float = measured(PRESSURE)
    cooling_capacity: float | None = measured(HEAT_RATE)
    cooling_stages: int | None = None
    heating: str | None = None
    reversing_valve: str | None = None
    location: Literal["outside", "inside"] = "outside"
    lowest_cooling_ambient: float | None = measured(TEMPERATURE, default=None)
    low_ambient_control: str = "unknown"
    speeds: tuple[BasisSpeed, ...] = ()
    guesses: tuple[Guess, ...] = ()


def make_basis(facts: Facts, beside: Path | None = None) -> Basis:
    """Put the job's facts and the unit's data sheet together.

    Raises
    ------
    Refused
        An unknown sheet, county, climate zone or edition, or nothing from which a supply airflow could be had.
    """
    guesses: list[Guess] = []
    sheet = _sheet(facts.unit, beside)
    code = _edition(facts.site.energy_code, DEFAULT_ENERGY_CODE, "energy code", guesses)
    place = place_of(facts.site, code, beside)
    guesses.extend(Guess(what, sentence) for what, sentence in place.notes)
    watts = _capacity(facts.unit, sheet)
    control = facts.unit.low_ambient_control
    ambient = _first(facts.unit.lowest_cooling_ambient, _ambient_on(sheet, control, guesses))
    return Basis(
        climate_zone=place.climate_zone,
        climate_source=place.zone_source,
        energy_code=code,
        ventilation_standard=_edition(
            facts.ventilation.standard, DEFAULT_VENTILATION_STANDARD, "ventilation standard", guesses
        ),
        elevation=place.elevation,
        pressure=pressure_at_elevation(place.elevation),
        cooling_capacity=watts,
        cooling_stages=_first(facts.unit.cooling_stages, sheet.cooling_stages if sheet else None),
        heating=_first(facts.unit.heating, sheet.heating if sheet else None),
        reversing_valve=_first(facts.unit.reversing_valve, sheet.reversing_valve if sheet else None),
        location=facts.unit.location,
        lowest_cooling_ambient=ambient.value if ambient else None,
        low_ambient_control=sheet.low_ambient_control if sheet and control == "unknown" else control,
        speeds=_speeds(facts.unit, sheet, watts, guesses),
        guesses=tuple(guesses),
    )


def speeds_of(facts: Facts, beside: Path | None = None) -> tuple[BasisSpeed, ...]:
    """Return the fan speeds alone, fastest first, whatever is wrong with the rest of the facts.

    Raises
    ------
    Refused
        An unknown sheet, every speed that moves no air, or nothing from which a supply airflow could be had.
    """
    sheet = _sheet(facts.unit, beside)
    return _speeds(facts.unit, sheet, _capacity(facts.unit, sheet), [])


def _sheet(unit: Unit, beside: Path | None) -> UnitSheet | None:
    if unit.sheet is None:
        return None
    return shelf.find_at("units", unit.sheet, UnitSheet, "facts.unit.sheet", beside)


def _capacity(unit: Unit, sheet: UnitSheet | None) -> float | None:
    """Cooling capacity by the facts, else by the data sheet. [W]"""
    capacity = _first(unit.cooling_capacity, sheet.cooling_capacity if sheet else None)
    return capacity.value if capacity else None


def _ambient_on(sheet: UnitSheet | None, control: str, guesses: list[Guess]) -> Quantity | None:
    """Lowest cooling ambient of the data sheet; not where it counts on a low-ambient control that this unit lacks."""
    if sheet is None or sheet.lowest_cooling_ambient is None:
        return None
    if control != "not fitted" or sheet.low_ambient_control != "fitted":
        return sheet.lowest_cooling_ambient
    guesses.append(Guess("unit.lowest_cooling_ambient", words(
        "the data sheet lets the unit cool down to {ambient} with low-ambient control, and this one has none: read the nameplate",
        ambient=Amount(sheet.lowest_cooling_ambient.value, TEMPERATURE))))  # fmt: skip
    return None


def _first(given: Fact | None, otherwise: Fact | None) -> Fact | None:
    return otherwise if given is None else given


def _edition(given: str | None, default: str, what: str, guesses: list[Guess]) -> str:
    if given is not None:
        return given
    guesses.append(
        Guess(
            f"site.{what.replace(' ', '_')}",
            Words(f"no {what} is given: {default} is assumed; local law decides"),
        )
    )
    return default


def _speeds(
    unit: Unit, sheet: UnitSheet | None, capacity: float | None, guesses: list[Guess]
) -> tuple[BasisSpeed, ...]:
    """Fan speeds, fastest first, each with a supply airflow from the job, the sheet, or a guess."""
    on_sheet = {speed.name: speed.supply_air.value for speed in sheet.fan_speeds} if sheet else {}
    refuse_still(unit.fan_speeds)
    named = unit.fan_speeds or tuple(FanSpeed(name=name) for name in on_sheet)
    known = {speed.name: _known_airflow(speed, on_sheet) for speed in named}
    full = _full_flow([known[speed.name] for speed in named], named, capacity, guesses)
    found: list[BasisSpeed] = []
    for number, speed in enumerate(named or (FanSpeed(name="high"),)):
        found.append(known.get(speed.name) or _guessed_speed(speed, number, full, guesses))
    return tuple(sorted(found, key=lambda speed: -speed.supply_air))


def refuse_still(named: tuple[FanSpeed, ...]) -> None:
    """Look at the shares of full airflow that speeds are given by.

    Raises
    ------
    Refused
        Every speed that would move no air.
    """
    still = [
        Refusal("moves no air", "more than 0 %", f"facts.unit.fan_speeds[{number}].share_of_full", speed.share_of_full.typed)
        for number, speed in enumerate(named, start=1)
        if speed.supply_air is None and speed.share_of_full is not None and speed.share_of_full.value == 0.0
    ]  # fmt: skip
    if still:
        raise Refused(*still)


def _full_flow(
    known: list[BasisSpeed | None], named: tuple[FanSpeed, ...], capacity: float | None, guesses: list[Guess]
) -> float:
    """Airflow of the fastest speed; where only slower ones are given, guessed from the fastest of them."""
    flows = [(number, speed.supply_air) for number, speed in enumerate(known) if speed is not None]
    if not flows:
        return _guessed_full_flow(capacity, guesses)
    first, fastest = min(number for number, _ in flows), named[0].share_of_full
    if first == 0 or (fastest is not None and fastest.value < 1.0):
        return max(flow for _, flow in flows)
    low = prior.usual("low_speed", FRACTION).value
    full = dict(flows)[first] / low**first
    guesses.append(Guess(f"unit.fan_speeds.{named[0].name}", words(
        "no airflow is given for {name} speed: {flow} is guessed, as if each slower speed moved {low} of the one above",
        name=Words(named[0].name), flow=Amount(full, AIRFLOW), low=Amount(low, FRACTION))))  # fmt: skip
    return full


def _known_airflow(speed: FanSpeed, on_sheet: dict[str, float]) -> BasisSpeed | None:
    if speed.supply_air is not None:
        return BasisSpeed(
            speed.name, speed.supply_air.value, speed.basis.value, speed.basis is SupplyBasis.GUESS
        )
    if speed.name in on_sheet and speed.share_of_full is None:
        return BasisSpeed(speed.name, on_sheet[speed.name], "design value of the data sheet")
    return None


def _guessed_full_flow(capacity: float | None, guesses: list[Guess]) -> float:
    if capacity is None:
        accepted = "supply_air for a fan speed, a data sheet, or cooling_capacity to guess from"
        raise Refused(Refusal("gives no supply airflow", accepted, "facts.unit"))
    per_ton = prior.usual("air_per_ton", AIRFLOW).value
    flow = capacity / TON * per_ton
    guesses.append(Guess("unit.supply_air", words(
        "no supply airflow is given: {flow} is guessed from the cooling capacity ({each} for every {ton}, common practice)",
        flow=Amount(flow, AIRFLOW), each=Amount(per_ton, AIRFLOW), ton=Amount(TON, HEAT_RATE))))  # fmt: skip
    return flow


def _guessed_speed(speed: FanSpeed, number: int, full: float, guesses: list[Guess]) -> BasisSpeed:
    """Supply airflow of a speed that is given as a share of the fastest, or not at all."""
    if speed.share_of_full is not None:
        return BasisSpeed(
            speed.name, full * speed.share_of_full.value, f"{speed.share_of_full} of the fastest speed", True
        )
    if number == 0:
        return BasisSpeed(speed.name, full, SupplyBasis.GUESS.value, True)
    low = prior.usual("low_speed", FRACTION).value
    flow = full * low**number
    guesses.append(Guess(f"unit.fan_speeds.{speed.name}", words(
        "no airflow is given for {name} speed: {flow} is guessed, {low} of the speed above", name=Words(speed.name),
        flow=Amount(flow, AIRFLOW), low=Amount(low, FRACTION))))  # fmt: skip
    return BasisSpeed(speed.name, flow, SupplyBasis.GUESS.value, True)
