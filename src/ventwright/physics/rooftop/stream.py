"""One stream of moist air: how much dry air, with how much heat and water. Nothing is lost when streams meet."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from ventwright.physics import air, moist_air, saturation, wet_bulb


@dataclass(frozen=True, slots=True)
class Stream:
    """A stream of moist air at the pressure of the surroundings.

    Its water is all the water in it: where cold and humid air meet, a part of that is fog.
    """

    dry_air: float
    """Mass flow of the dry air, below 0 where it runs backwards. [kg/s]"""
    enthalpy: float
    """Of air, vapour and droplets, datum 0 °C. [J/kg dry air]"""
    humidity_ratio: float
    """Vapour and droplets. [kg/kg dry air]"""
    dry_bulb: float
    """[°C]"""
    pressure: float
    """[Pa]"""

    @property
    def relative_humidity(self) -> float:
        """Of the air between the droplets. [-]"""
        saturated = saturation.saturation_pressure(self.dry_bulb)
        return min(1.0, moist_air.vapour_pressure(self.humidity_ratio, self.pressure) / saturated)

    @property
    def airflow(self) -> float:
        """Volume flow at its own temperature and pressure. [m3/s]"""
        return self.dry_air * moist_air.specific_volume(self.dry_bulb, self.humidity_ratio, self.pressure)

    def air(self) -> air.AirState:
        """Everything about the air between the droplets; refused beyond 60 °C, as every ``air.state``."""
        return air.state(self.dry_bulb, relative_humidity=self.relative_humidity, pressure=self.pressure)


def flowing(one: Stream, dry_air: float) -> Stream:
    """Return the same air at another flow. [kg/s]"""
    return Stream(dry_air, one.enthalpy, one.humidity_ratio, one.dry_bulb, one.pressure)


def dry_bulb_of(enthalpy: float, humidity_ratio: float, pressure: float) -> float:
    """Dry bulb of air of a heat and water content, fog included.

    Parameters
    ----------
    enthalpy
        Of air, vapour and droplets, datum 0 °C. [J/kg dry air]
    humidity_ratio
        Vapour and droplets. [kg/kg dry air]
    pressure
        [Pa]

    Returns
    -------
    float
        That of the air, or where it cannot hold its water that at which the fog settles. [°C]

    References
    ----------
    ASHRAE Handbook - Fundamentals 2017 (SI), chapter 1, equation 30; fog: equations 33 and 35, whose root is the
    temperature of saturated air with the surplus water as liquid or ice at the same temperature.
    """
    dry_bulb = moist_air.dry_bulb_of_enthalpy(enthalpy, humidity_ratio)
    if dry_bulb >= saturation.GREATEST:  # boiling hot air is no fog
        return dry_bulb
    held = saturation.saturation_pressure(max(dry_bulb, saturation.LEAST))
    if moist_air.vapour_pressure(humidity_ratio, pressure) <= held:
        return dry_bulb
    return wet_bulb.wet_bulb(enthalpy, humidity_ratio, pressure)


def stream(dry_air: float, enthalpy: float, humidity_ratio: float, pressure: float) -> Stream:
    """Make a stream of its flow and of what it carries.

    Parameters
    ----------
    dry_air
        [kg/s]
    enthalpy
        Datum 0 °C. [J/kg dry air]
    humidity_ratio
        [kg/kg dry air]
    pressure
        [Pa]

    Returns
    -------
    Stream
        With its dry bulb.

    References
    ----------
    As ``dry_bulb_of``.
    """
    return Stream(
        dry_air, enthalpy, humidity_ratio, dry_bulb_of(enthalpy, humidity_ratio, pressure), pressure
    )


def joined(streams: Iterable[Stream], otherwise: Stream) -> Stream:
    """Stream into which streams of one pressure flow together; those that run away from the junction count not.

    Parameters
    ----------
    streams
        Flowing in where above 0. [kg/s]
    otherwise
        What stands there when nothing flows in.

    Returns
    -------
    Stream
        Flow, heat and water summed.

    References
    ----------
    Balances of dry air, water and enthalpy: ASHRAE Handbook - Fundamentals 2017 (SI), chapter 1, adiabatic mixing
    (from memory).
    """
    coming = [one for one in streams if one.dry_air > 0.0]
    dry_air = sum(one.dry_air for one in coming)
    if dry_air == 0.0:
        return Stream(
            0.0, otherwise.enthalpy, otherwise.humidity_ratio, otherwise.dry_bulb, otherwise.pressure
        )
    return stream(
        dry_air,
        sum(one.dry_air * one.enthalpy for one in coming) / dry_air,
        sum(one.dry_air * one.humidity_ratio for one in coming) / dry_air,
        otherwise.pressure,
    )


def with_heat(air_stream: Stream, heat: float) -> Stream:
    """Stream after it has taken up heat and no water.

    Parameters
    ----------
    air_stream
        Flowing. [kg/s above 0]
    heat
        Rate of heat; below 0 where it is taken away. [W]

    Returns
    -------
    Stream
        The same air, warmer.

    References
    ----------
    Balance of enthalpy: ASHRAE Handbook - Fundamentals 2017 (SI), chapter 1, moist air sensible heating (from memory).
    """
    enthalpy = air_stream.enthalpy + heat / air_stream.dry_air
    return stream(air_stream.dry_air, enthalpy, air_stream.humidity_ratio, air_stream.pressure)
