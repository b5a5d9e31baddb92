"""The pictures of a year: what each control saves, and the open hours with the region of the one that suits best."""

from __future__ import annotations

from ventwright.physics.moist_air import enthalpy, humidity_ratio
from ventwright.physics.saturation import saturation_pressure
from ventwright.physics.year.one_hour import return_water
from ventwright.quantity import ENTHALPY, TEMPERATURE, System, show
from ventwright.record.air_chart import FreeCooling
from ventwright.record.hours_drawing import HoursChart, draw_hours
from ventwright.record.savings_drawing import draw_savings
from ventwright.verdict.savings import Kind, Savings


def savings_picture(savings: Savings, system: System = "us") -> str:
    """Draw what each control saves, the unit as found and as left among them."""
    kinds = {Kind.AS_LEFT, Kind.AS_FOUND, Kind.ALLOWED}
    shown = [one for one in savings.outcomes if one.kind in kinds]
    title = f"Saved in a year against no free cooling: {savings.place}"
    return draw_savings(shown, title + (" (invented weather)" if savings.invented else ""), system)


def hours_picture(savings: Savings, system: System = "us", control: str = "") -> str:
    """Draw the open hours with the region in which a control lets outdoor air cool; left out, the unit as it is left."""
    known, shown = savings.known, savings.compared[1]
    shown = next((one for one in savings.compared if one.kind is Kind.ALLOWED and one.name == control), shown)
    unit, switch = shown.unit(known, known.middle), shown.run.switch
    words, dry_bulb, most, water = [], None, None, None
    pressure = known.plan.basis.pressure
    if switch is not None:
        limits = [] if switch.dry_bulb_limit is None else [switch.dry_bulb_limit]
        limits += [] if switch.return_gap is None else [unit.return_air - switch.return_gap]
        dry_bulb = min(limits, default=None)
        words += [] if dry_bulb is None else [f"no warmer than {show(dry_bulb, TEMPERATURE, system)}"]
        most = switch.enthalpy_limit
        if switch.return_enthalpy:
            most = enthalpy(unit.return_air, return_water(unit, unit.most_water))
        words += [] if most is None else [f"of no more heat than {show(most, ENTHALPY, system)}"]
        if switch.dew_point_limit is not None:
            words.append(f"of a dew point no higher than {show(switch.dew_point_limit, TEMPERATURE, system)}")
            water = humidity_ratio(saturation_pressure(switch.dew_point_limit), pressure)
    region = FreeCooling(" and ".join(words) or "not said: no limit is set", dry_bulb, most, water)
    place = savings.place + (" (invented weather)" if savings.invented else "")
    return draw_hours(HoursChart(savings.hours, region, pressure, place, unit.return_air), system)
