"""The one quantity that, beside the dry bulb, fixes the state of air: what may be given, and how it is refused."""

from __future__ import annotations

import math
from typing import NamedTuple, TypeVar

from ventwright.errors import Refusal, Refused
from ventwright.physics import moist_air, saturation, wet_bulb

LEAST_DRY_BULB, GREATEST_DRY_BULB = -40.0, 60.0  # °C
LEAST_PRESSURE, GREATEST_PRESSURE = 50e3, 110e3  # Pa

Given = TypeVar("Given")


class Second(NamedTuple):
    """A quantity that may be given beside the dry bulb."""

    least: float  # in SI, wide enough for rounding: between these the formulas can be asked at all
    greatest: float
    unit: str  # as people read it, and the factor to it
    factor: float
    decimals: int
    too_little: str  # what is wrong with less than dry air has, and with more than saturated air has
    too_much: str


SECOND = {
    "relative_humidity": Second(0.0, 1.0, "%", 100.0, 0, "is no relative humidity", "is no relative humidity"),
    "dew_point": Second(
        saturation.LEAST, GREATEST_DRY_BULB + 1.0, "°C", 1.0, 2, "is colder than the formulas reach", "is above the dry bulb"
    ),
    "wet_bulb": Second(
        saturation.LEAST, GREATEST_DRY_BULB + 1.0, "°C", 1.0, 2, "is colder than even dry air shows", "is above the dry bulb"
    ),
    "humidity_ratio": Second(0.0, 1.0, "g/kg", 1e3, 3, "is negative", "is more than saturated air carries"),
    "enthalpy": Second(
        -1e5, 2e6, "kJ/kg", 1e-3, 2, "is less than even dry air has", "is more than saturated air has"
    ),
}  # fmt: skip


def the_one(
    relative_humidity: Given | None,
    dew_point: Given | None,
    wet_bulb: Given | None,
    humidity_ratio: Given | None,
    enthalpy: Given | None,
) -> tuple[str, Given]:
    """Return the one quantity that was given, with its name."""
    if relative_humidity is not None and dew_point is wet_bulb is humidity_ratio is enthalpy is None:
        return (
            "relative_humidity",
            relative_humidity,
        )  # the usual case; the search below costs a fifth of a state
    values = (relative_humidity, dew_point, wet_bulb, humidity_ratio, enthalpy)
    given = [(name, value) for name, value in zip(SECOND, values, strict=True) if value is not None]
    if len(given) == 1:
        return given[0]
    names = " and ".join(name for name, _ in given)
    problem = "are given beside the dry bulb" if given else "nothing is given beside the dry bulb"
    raise Refused(Refusal(problem, f"exactly one of {', '.join(SECOND)}", given=names))


def can_be_asked(name: str, value: float, dry_bulb: float, pressure: float) -> bool:
    """Tell whether the formulas can be asked about these numbers at all; what is not a number fails."""
    second = SECOND[name]
    return (
        LEAST_DRY_BULB <= dry_bulb <= GREATEST_DRY_BULB
        and LEAST_PRESSURE <= pressure <= GREATEST_PRESSURE
        and second.least <= value <= second.greatest
    )


def refusal(name: str, value: float, dry_bulb: float, pressure: float) -> Refusal:
    """Say what is wrong: of the dry bulb, the pressure and the second quantity, the first that cannot be."""
    if not LEAST_DRY_BULB <= dry_bulb <= GREATEST_DRY_BULB:
        accepted = f"{LEAST_DRY_BULB:g} to {GREATEST_DRY_BULB:g} °C"
        return Refusal("is outside the range of the formulas", accepted, "dry bulb", f"{dry_bulb:g} °C")
    if not LEAST_PRESSURE <= pressure <= GREATEST_PRESSURE:
        accepted = f"{LEAST_PRESSURE / 1e3:g} to {GREATEST_PRESSURE / 1e3:g} kPa"
        return Refusal(
            "is outside the range of the formulas", accepted, "pressure", f"{pressure / 1e3:g} kPa"
        )
    second = SECOND[name]
    dry, saturated = _ends(name, dry_bulb, pressure)
    problem = second.too_little if value < dry else second.too_much
    if not math.isfinite(value):
        problem = "is not a finite number"
    scale = second.factor * 10**second.decimals  # rounded inwards, so that what is offered is accepted
    low, high = (
        f"{end / 10**second.decimals:g}" for end in (math.ceil(dry * scale), math.floor(saturated * scale))
    )
    accepted = f"{low} to {high} {second.unit}"
    if name not in {"relative_humidity", "dew_point"}:
        accepted += f" at {dry_bulb:g} °C and {pressure / 1e3:g} kPa"
    return Refusal(problem, accepted, name.replace("_", " "), f"{value * second.factor:g} {second.unit}")


def _ends(name: str, dry_bulb: float, pressure: float) -> tuple[float, float]:
    """Value of a quantity in dry air and in saturated air."""
    most_water = moist_air.humidity_ratio(saturation.saturation_pressure(dry_bulb), pressure)
    least_heat, most_heat = (moist_air.enthalpy(dry_bulb, ratio) for ratio in (0.0, most_water))
    return {
        "relative_humidity": (0.0, 1.0),
        "dew_point": (saturation.LEAST, dry_bulb),
        "wet_bulb": (wet_bulb.wet_bulb(least_heat, 0.0, pressure), dry_bulb),
        "humidity_ratio": (0.0, most_water),
        "enthalpy": (least_heat, most_heat),
    }[name]
