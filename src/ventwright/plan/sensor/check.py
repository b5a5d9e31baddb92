"""A sensor by its ohms: the temperature they mean, and the ohms to expect."""

from __future__ import annotations

import math
from dataclasses import dataclass

from ventwright.errors import Refusal, Refused
from ventwright.physics import sensor
from ventwright.physics.sensor import in_ohms
from ventwright.quantity import RESISTANCE, TEMPERATURE, TEMPERATURE_DIFFERENCE, show
from ventwright.tables.sensor_curve import SensorCurve, Tolerance, assumed
from ventwright.words import Words, measured

CAUTION = Words(
    "caution: switch the unit off and prove it dead before metering ohms; take the sensor off its terminals first, "
    "or the meter reads the controller too; the cabinet holds line voltage"
)


@dataclass(frozen=True, slots=True)
class SensorReading:
    """What a sensor's ohms mean, or what ohms to expect of it."""

    curve: str
    name: str
    source: str
    doubt: str
    notes: tuple[Words, ...]
    ohm_per_kelvin: float
    temperature: float = measured(TEMPERATURE)
    temperature_u: float = measured(TEMPERATURE_DIFFERENCE)
    resistance: float = measured(RESISTANCE)  # as metered: sensor, parallel resistor and leads
    resistance_u: float = measured(RESISTANCE)
    sensor_resistance: float = measured(RESISTANCE)  # the element alone
    lead_resistance: float = measured(RESISTANCE)
    lead_error: float = measured(TEMPERATURE_DIFFERENCE)  # shown by whoever forgets the leads
    short_below: float = measured(RESISTANCE)
    open_above: float = measured(RESISTANCE)


def temperature_of(
    curve: SensorCurve,
    resistance: float,
    *,
    resistance_u: float = 0.0,
    lead_resistance: float = 0.0,
    tolerance: Tolerance | None = None,
) -> SensorReading:
    """Return what metered ohms mean on a curve.

    Parameters
    ----------
    curve
        The curve the sensor follows.
    resistance
        As metered, with parallel resistor and leads. [ohm]
    resistance_u
        Standard uncertainty of the meter. [ohm]
    lead_resistance
        Of both conductors together. [ohm]
    tolerance
        Another than the curve's own, such as class A.

    Returns
    -------
    SensorReading
        Temperature with its uncertainty.

    Raises
    ------
    Refused
        A short, an open circuit, or ohms outside the curve.
    """
    at_sensor = resistance - lead_resistance
    _refuse_no_sensor(resistance, at_sensor, curve)
    temperature = sensor.sensor_temperature(at_sensor, curve.curve)
    return _reading(
        curve, temperature, (resistance, resistance_u), lead_resistance, tolerance or curve.tolerance
    )


def _refuse_no_sensor(metered: float, at_sensor: float, curve: SensorCurve) -> None:
    """Refuse what is a short or an open circuit, with the limit that says so."""
    given = assumed()
    least, most = sensor.limits(curve.curve, given.coldest_air, given.hottest_air)
    found = sensor.state(at_sensor, curve.curve, given.coldest_air, given.hottest_air)
    if found is sensor.State.SENSOR:
        return
    ends = (
        [given.hottest_air, given.coldest_air]
        if not curve.curve.rises
        else [given.coldest_air, given.hottest_air]
    )
    cold_or_hot = ("hotter", "colder") if not curve.curve.rises else ("colder", "hotter")
    which = 0 if found is sensor.State.SHORT else 1
    limit, end, beyond = (least, most)[which], ends[which], cold_or_hot[which]
    word = "a short circuit: less than" if which == 0 else "an open circuit: more than"
    raise Refused(
        Refusal(
            f"is {word} {in_ohms(limit)}, and {curve.id} would be {beyond} than {_both(end)}",
            f"{in_ohms(least)} to {in_ohms(most)}; look for the fault in sensor, wires and terminals",
            given=in_ohms(metered),
        )
    )


def _both(temperature: float) -> str:
    return f"{show(temperature, TEMPERATURE, 'us')} ({show(temperature, TEMPERATURE, 'si')})"


def ohms_at(
    curve: SensorCurve,
    temperature: float,
    *,
    lead_resistance: float = 0.0,
    tolerance: Tolerance | None = None,
) -> SensorReading:
    """Return the ohms that a good sensor shows at a temperature.

    Parameters
    ----------
    curve
        The curve the sensor follows.
    temperature
        Of the sensor. [°C]
    lead_resistance
        Of both conductors together. [ohm]
    tolerance
        Another than the curve's own, such as class A.

    Returns
    -------
    SensorReading
        Resistance as a meter shows it at the end of the leads, with its uncertainty.

    Raises
    ------
    Refused
        The temperature lies outside the curve.
    """
    known = curve.curve
    if not known.coldest <= temperature <= known.hottest:
        accepted = f"{_both(known.coldest)} to {_both(known.hottest)}"
        raise Refused(
            Refusal(
                f"is outside the range of {curve.id}", accepted, given=show(temperature, TEMPERATURE, "us")
            )
        )
    expected = sensor.wire_resistance(temperature, known) + lead_resistance
    return _reading(curve, temperature, (expected, 0.0), lead_resistance, tolerance or curve.tolerance)


def _reading(
    curve: SensorCurve,
    temperature: float,
    metered: tuple[float, float],
    lead_resistance: float,
    tolerance: Tolerance,
) -> SensorReading:
    known, given = curve.curve, assumed()
    tolerance_u = 0.5 * tolerance.half_width(temperature)
    per_kelvin = sensor.slope(temperature, known)
    least, most = sensor.limits(known, given.coldest_air, given.hottest_air)
    return SensorReading(
        curve.id, curve.name, curve.source, curve.doubt, tuple(_notes(curve, temperature, tolerance)), per_kelvin,
        temperature=temperature,
        temperature_u=sensor.temperature_uncertainty(temperature, known, metered[1], tolerance_u),
        resistance=metered[0],
        resistance_u=math.hypot(metered[1], tolerance_u * per_kelvin),
        sensor_resistance=sensor.element_resistance(temperature, known), lead_resistance=lead_resistance,
        lead_error=sensor.lead_error(temperature, lead_resistance, known), short_below=least, open_above=most,
    )  # fmt: skip


def _notes(curve: SensorCurve, temperature: float, tolerance: Tolerance) -> list[Words]:
    notes = [Words(text) for text in (curve.note, curve.others) if text]
    if curve.curve.parallel_resistance is not None:
        notes.append(
            Words(
                f"the {in_ohms(curve.curve.parallel_resistance)} resistor across the sensor was taken off first"
            )
        )
    if not tolerance.published_at(temperature):
        notes.append(
            Words(
                "the tolerance of such sensors is not published for this temperature; it is taken as elsewhere"
            )
        )
    return notes
