"""A substitute resistor: the ohms that make a controller read a wanted temperature, and what must be put back after."""

from __future__ import annotations

from dataclasses import dataclass

from ventwright.physics.sensor import in_ohms, sensor_temperature, wire_resistance
from ventwright.plan.sensor.check import ohms_at
from ventwright.quantity import FRACTION, RESISTANCE, TEMPERATURE, TEMPERATURE_DIFFERENCE
from ventwright.tables.resistor import series
from ventwright.tables.sensor_curve import SensorCurve, assumed
from ventwright.words import Amount, Words, measured, words


@dataclass(frozen=True, slots=True)
class PreferredResistor:
    """A resistor that can be bought, and what the controller reads with it."""

    series: str
    tolerance: float = measured(FRACTION)
    resistance: float = measured(RESISTANCE)
    temperature: float = measured(TEMPERATURE)
    coldest: float = measured(TEMPERATURE)  # at the ends of the resistor's tolerance
    hottest: float = measured(TEMPERATURE)


@dataclass(frozen=True, slots=True)
class Substitute:
    """What to connect in place of a sensor, for how long, and what else it fools."""

    curve: str
    preferred: tuple[PreferredResistor, ...]
    cautions: tuple[Words, ...]
    restore: tuple[Words, ...]
    source: str
    doubt: str
    wanted: float = measured(TEMPERATURE)
    resistance: float = measured(RESISTANCE)


CAUTIONS = (
    Words(
        "temporary change: write it down, with who made it and when, before the sensor comes off; it does not stay when you leave"
    ),
    Words("power off and proved dead while the wires are moved; the cabinet holds line voltage"),
    Words(
        "everything that reads this sensor is told the same: compressor lockout, freeze and low-limit protection and "
        "fault messages no longer protect; stay at the unit, and never run the compressor below its own outdoor limit"
    ),
)


def substitute(curve: SensorCurve, wanted: float) -> Substitute:
    """Return the resistor that stands in for a sensor.

    Parameters
    ----------
    curve
        The curve the controller is set to.
    wanted
        Temperature it is to read. [°C]

    Returns
    -------
    Substitute
        The exact resistance for a decade box, and the nearest resistors of each series with what they read.

    Raises
    ------
    Refused
        The temperature lies outside the curve.
    """
    exact = ohms_at(curve, wanted).resistance
    preferred = (_preferred(one.name, one.tolerance, one.nearest(exact), curve) for one in series())
    return Substitute(
        curve.id,
        tuple(preferred),
        CAUTIONS,
        _restore(curve, wanted),
        curve.source,
        curve.doubt,
        wanted,
        exact,
    )


def _preferred(name: str, tolerance: float, resistance: float, curve: SensorCurve) -> PreferredResistor:
    reads = [_reads(resistance * share, curve) for share in (1.0 - tolerance, 1.0, 1.0 + tolerance)]
    return PreferredResistor(name, tolerance, resistance, reads[1], min(reads), max(reads))


def _reads(resistance: float, curve: SensorCurve) -> float:
    """Return what the controller shows; where its curve ends, it shows the end."""
    known = curve.curve
    ends = sorted((known.coldest, known.hottest), key=lambda end: wire_resistance(end, known))
    if resistance <= wire_resistance(ends[0], known):
        return ends[0]
    if resistance >= wire_resistance(ends[1], known):
        return ends[1]
    return sensor_temperature(resistance, known)


def _restore(curve: SensorCurve, wanted: float) -> tuple[Words, ...]:
    within = Amount(assumed().restored, TEMPERATURE_DIFFERENCE)
    off = "take the resistor out, put the sensor's two wires back on their terminals, and strike the change off the list"
    steps = [
        Words(off),
        words("then hold a probe beside the sensor: the controller must read the probe's temperature within {within}", within=within),
        words("if it still reads {wanted}, the resistor is still in", wanted=Amount(wanted, TEMPERATURE)),
    ]  # fmt: skip
    if curve.curve.parallel_resistance is not None:
        across = in_ohms(curve.curve.parallel_resistance)
        steps.insert(0, Words(f"these ohms replace the sensor and the {across} resistor across it together"))
    return tuple(steps)
