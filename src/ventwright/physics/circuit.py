"""The 24 V control circuit: wire resistance, voltage drop, apparent power, what a transformer gives and what a meter reads.

Everything is single phase and stationary: effective values at mains frequency, wires long enough to matter and thin
enough (18 AWG and near it) that their reactance and the skin effect do not (NEC chapter 9, Table 9 begins to give a
reactance at 14 AWG: from memory).
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Sequence

from ventwright.errors import Refusal, Refused


def resistance_at(
    resistance: float, reference_temperature: float, temperature_coefficient: float, temperature: float
) -> float:
    """Resistance of a conductor at another temperature than its table gives it for.

    Holds for copper from about -50 to 150 °C, where its resistance is a straight line of temperature.

    Parameters
    ----------
    resistance
        At the reference temperature, for each metre of conductor or in all. [ohm/m or ohm]
    reference_temperature
        Of the table. [°C]
    temperature_coefficient
        At the reference temperature: a coefficient belongs to its temperature. [1/K]
    temperature
        Of the conductor. [°C]

    Returns
    -------
    float
        In the unit of the resistance given. [ohm/m or ohm]

    References
    ----------
    NEC (NFPA 70), chapter 9, notes to Table 8: R2 = R1 [1 + a (T2 - 75)], as quoted on public pages about it.
    """
    return resistance * (1.0 + temperature_coefficient * (temperature - reference_temperature))


def current(apparent_power: float, voltage: float) -> float:
    """Current that a load draws.

    Holds at the voltage the load is rated for; an electronic load draws more at less voltage, a coil less.

    Parameters
    ----------
    apparent_power
        Of the load. [VA]
    voltage
        Nominal voltage of the circuit. [V]

    Returns
    -------
    float
        Effective current. [A]

    Raises
    ------
    Refused
        The voltage is not above zero.

    References
    ----------
    Definition of apparent power.
    """
    if not voltage > 0.0:
        raise Refused(Refusal("is no supply voltage", "a voltage above 0 V", given=f"{voltage:g} V"))
    return apparent_power / voltage


def voltage_drop(resistance: float, length: float, current: float) -> float:
    """Voltage lost in a two-wire run, on the way there and back.

    Parameters
    ----------
    resistance
        Of one conductor for each metre. [ohm/m]
    length
        One way. [m]
    current
        In the run. [A]

    Returns
    -------
    float
        Voltage at the source minus voltage at the far end. [V]

    References
    ----------
    Ohm's law over twice the length; worked so in public examples with NEC chapter 9, Table 8.
    """
    return 2.0 * length * resistance * current


def longest_run(drop: float, resistance: float, current: float) -> float:
    """One-way length at which a two-wire run loses exactly the given voltage.

    Parameters
    ----------
    drop
        Voltage that may be lost. [V]
    resistance
        Of one conductor for each metre. [ohm/m]
    current
        In the run. [A]

    Returns
    -------
    float
        One way. [m]

    Raises
    ------
    Refused
        The wire has no resistance or carries no current, so that no length would be too long.

    References
    ----------
    Inverse of the voltage drop.
    """
    if not resistance * current > 0.0:
        given = f"{resistance:g} ohm/m at {current:g} A"
        raise Refused(
            Refusal("loses no voltage at any length", "a resistance and a current above 0", given=given)
        )
    return drop / (2.0 * resistance * current)


def vector_sum(powers: Sequence[tuple[float, float]]) -> float:
    """Apparent power of loads side by side, whose currents do not peak together.

    Never more than the plain sum of the apparent powers, which is why the plain sum is the careful one. Holds for
    sine waves; rectified loads draw pulses, for which it is an approximation.

    Parameters
    ----------
    powers
        Apparent power and phase angle of each load. [VA and rad, lagging above 0]

    Returns
    -------
    float
        Apparent power of all together. [VA]

    References
    ----------
    Sum of complex powers; Nilsson and Riedel, Electric Circuits, chapter 10.
    """
    return abs(sum(cmath.rect(apparent, angle) for apparent, angle in powers))


def phase_angle(power_factor: float) -> float:
    """Angle by which the current of a load lags its voltage.

    Parameters
    ----------
    power_factor
        Of a lagging load: coils, motors and transformers are such. [-]

    Returns
    -------
    float
        0 at a power factor of one. [rad]

    Raises
    ------
    Refused
        The power factor does not lie between 0 and 1.

    References
    ----------
    Definition of the power factor of a sine wave.
    """
    if not 0.0 <= power_factor <= 1.0:
        raise Refused(Refusal("is no power factor", "a number from 0 to 1", given=f"{power_factor:g}"))
    return math.acos(power_factor)


def regulation(no_load: float, full_load: float) -> float:
    """Rise of a transformer's voltage from rated load to none, over the voltage at rated load.

    Parameters
    ----------
    no_load
        Secondary voltage without load. [V]
    full_load
        Secondary voltage at rated load. [V]

    Returns
    -------
    float
        As a share of the voltage at rated load; some makers divide by the other voltage. [-]

    References
    ----------
    Definition of voltage regulation (regulation up), as public engineering pages give it.
    """
    return (no_load - full_load) / full_load


def loaded_voltage(full_load: float, regulation: float, loading: float) -> float:
    """Secondary voltage of a transformer at some loading.

    Straight between no load and rated load, and carried on beyond it; a load at the edge of saturation or a
    transformer that limits its own current falls faster than that.

    Parameters
    ----------
    full_load
        Secondary voltage at rated load, with the voltage that really stands at its primary. [V]
    regulation
        As a share of the voltage at rated load. [-]
    loading
        Apparent power drawn over rated apparent power. [-]

    Returns
    -------
    float
        Secondary voltage. [V]

    References
    ----------
    Definition of regulation, taken as proportional to the current.
    """
    return full_load * (1.0 + regulation * (1.0 - loading))


def secondary_voltage(rated_secondary: float, supply: float, tap: float) -> float:
    """Secondary voltage of a transformer whose primary gets another voltage than its tap is for.

    Parameters
    ----------
    rated_secondary
        Secondary voltage at the tap's own voltage. [V]
    supply
        Voltage at the primary. [V]
    tap
        Voltage that the tap in use is for. [V]

    Returns
    -------
    float
        At the same load. [V]

    References
    ----------
    Ratio of turns of an ideal transformer.
    """
    return rated_secondary * supply / tap


def voltage_between(first: float, second: float, angle: float) -> float:
    """What a meter reads between the hot ends of two secondaries whose other ends are tied together.

    Parameters
    ----------
    first, second
        Secondary voltages. [V]
    angle
        Between them: 0 in phase, pi out of phase, pi/3 or 2 pi/3 where the primaries hang on different pairs of a
        three-phase supply. [rad]

    Returns
    -------
    float
        Effective voltage between the hot ends; without a common tie it would be no voltage at all. [V]

    References
    ----------
    Difference of two phasors (law of cosines).
    """
    return abs(first - cmath.rect(second, angle))
