"""What is read at the damper of a practice roof: temperatures, airflows, carbon dioxide, humidity, probes side by side."""

from __future__ import annotations

from collections.abc import Mapping

from ventwright.physics.rooftop.calls import Calls
from ventwright.physics.rooftop.operating import sensed_at
from ventwright.plan.software_reading import Seen
from ventwright.quantity import AIRFLOW, CONCENTRATION, FRACTION, TEMPERATURE
from ventwright.readings.practice.shown import BETWEEN_POINTS, POINTS, PracticeRoof, Shown
from ventwright.readings.practice.unit_in_state import InState
from ventwright.words import Amount

OUTDOOR_CARBON_DIOXIDE, RETURN_CARBON_DIOXIDE = 420.0, 800.0
"""On the practice roof (our own assumption). [ppm]"""
PLATE_U, STATION_U = 0.03, 0.08
"""Relative errors where no instrument is listed: of a supply airflow, of an outdoor airflow (our own assumption). [-]"""


def at_damper(
    roof: PracticeRoof, kind: str, speed: str, signal: float
) -> Mapping[str, Shown | tuple[Amount, ...]]:
    """What a reading of the balance shows, by its fields.

    Parameters
    ----------
    kind
        Name of the kind of reading, such as "mixed-air".
    speed
        Name of the fan speed.
    signal
        At which the damper is held. [-]
    """
    seen = roof.unit.seen(InState(Calls(fan=True), signal, fan_speed=roof.full_speed_share(speed)))
    return READ[kind](roof, seen)


def _temperature(value: float) -> Amount:
    return Amount(value, TEMPERATURE)


def _mixed_air(roof: PracticeRoof, seen: Seen) -> Mapping[str, Shown | tuple[Amount, ...]]:
    errors, lanes = roof.errors(), seen.state.mixed_lanes
    outdoor, returned = errors.temperature(seen.outdoor), errors.temperature(seen.state.returned.dry_bulb)
    points = [
        errors.about(errors.temperature(lanes[number * len(lanes) // POINTS].dry_bulb), BETWEEN_POINTS)
        for number in range(POINTS)
    ]
    found: dict[str, Shown | tuple[Amount, ...]] = {
        "outdoor_air": _temperature(outdoor),
        "return_air": _temperature(returned),
        "mixed_air": tuple(_temperature(point) for point in points),
    }
    shows = seen.whole.shown(sensed_at(seen.state)).mixed_dry_bulb
    if shows is not None:
        found["sensor_shows"] = _temperature(shows)
    return found


def _behind_fan(roof: PracticeRoof, seen: Seen) -> Mapping[str, Shown | tuple[Amount, ...]]:
    errors, state = roof.errors(), seen.state
    return {
        "outdoor_air": _temperature(errors.temperature(seen.outdoor)),
        "return_air": _temperature(errors.temperature(state.returned.dry_bulb)),
        "mixed_air": (_temperature(errors.temperature(state.supply.dry_bulb)),),
    }


def _supply_air(roof: PracticeRoof, seen: Seen) -> Mapping[str, Shown | tuple[Amount, ...]]:
    return {"airflow": Amount(roof.errors().share_of(seen.state.supply.airflow, "airflow", PLATE_U), AIRFLOW), "method": "flow plate"}  # fmt: skip


def _outdoor_airflow(roof: PracticeRoof, seen: Seen) -> Mapping[str, Shown | tuple[Amount, ...]]:
    errors, outdoor = roof.errors(), max(0.0, seen.state.outdoor.airflow)
    return {
        "airflow": Amount(errors.share_of(outdoor, "airflow", STATION_U), AIRFLOW),
        "method": "flow hood",
        "outdoor_air": _temperature(errors.temperature(seen.outdoor)),
        "volume": "as it flows",
    }


def _carbon_dioxide(roof: PracticeRoof, seen: Seen) -> Mapping[str, Shown | tuple[Amount, ...]]:
    errors, share = roof.errors(), seen.state.outdoor_air_fraction
    instrument = errors.of_kind("carbon dioxide")
    u = instrument.accuracy.value / 2.0 if instrument is not None else 25.0
    mixed = RETURN_CARBON_DIOXIDE - share * (RETURN_CARBON_DIOXIDE - OUTDOOR_CARBON_DIOXIDE)
    streams = {"outdoor": OUTDOOR_CARBON_DIOXIDE, "return": RETURN_CARBON_DIOXIDE, "mixed": mixed}
    return {
        f"{name}_concentration": Amount(errors.about(value, 0.3 * u), CONCENTRATION)
        for name, value in streams.items()
    }


def _humidity(roof: PracticeRoof, seen: Seen) -> Mapping[str, Shown | tuple[Amount, ...]]:
    errors, state = roof.errors(), seen.state
    air = roof.unit.weather
    streams = {
        "outdoor": (air.dry_bulb, air.relative_humidity),
        "return": (state.returned.dry_bulb, state.returned.relative_humidity),
        "mixed": (state.mixed.dry_bulb, state.mixed.relative_humidity),
    }
    found: dict[str, Shown | tuple[Amount, ...]] = {}
    for name, (dry_bulb, humidity) in streams.items():
        found[f"{name}_dry_bulb"] = _temperature(errors.temperature(dry_bulb))
        found[f"{name}_relative_humidity"] = Amount(
            min(1.0, max(0.02, errors.about(humidity, 0.005))), FRACTION
        )
    return found


def _side_by_side(roof: PracticeRoof, seen: Seen) -> Mapping[str, Shown | tuple[Amount, ...]]:
    errors = roof.errors()
    probes = [one for one in roof.facts.instruments if one.kind == "temperature"]
    return {f"shows.{one.id}": _temperature(errors.temperature(seen.outdoor, one.id)) for one in probes}


READ = {
    "mixed-air": _mixed_air,
    "behind-fan": _behind_fan,
    "supply-air": _supply_air,
    "outdoor-airflow": _outdoor_airflow,
    "carbon-dioxide": _carbon_dioxide,
    "humidity": _humidity,
    "side-by-side": _side_by_side,
}
"""How each kind of reading is taken, by its name."""
