"""The high limit of free cooling: a switch that says whether outdoor air is fit to cool with, with hysteresis.

Outdoor air is unfit above a temperature, an enthalpy or both; it is fit again only when it has fallen below by a
differential, and each state is held for a time, so that the damper does not chatter at the limit.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from ventwright.errors import Refusal, Refused


class HighLimitControl(StrEnum):
    """What outdoor air is compared with."""

    FIXED_DRY_BULB = "fixed dry bulb"
    DIFFERENTIAL_DRY_BULB = "differential dry bulb"
    FIXED_ENTHALPY = "fixed enthalpy"
    FIXED_ENTHALPY_AND_DRY_BULB = "fixed enthalpy and dry bulb"
    DIFFERENTIAL_ENTHALPY = "differential enthalpy"
    DIFFERENTIAL_ENTHALPY_AND_DRY_BULB = "differential enthalpy and dry bulb"


_FIXED_TEMPERATURE = {
    HighLimitControl.FIXED_DRY_BULB,
    HighLimitControl.FIXED_ENTHALPY_AND_DRY_BULB,
    HighLimitControl.DIFFERENTIAL_ENTHALPY_AND_DRY_BULB,
}
_FIXED_ENTHALPY = {HighLimitControl.FIXED_ENTHALPY, HighLimitControl.FIXED_ENTHALPY_AND_DRY_BULB}
_RETURN_ENTHALPY = {
    HighLimitControl.DIFFERENTIAL_ENTHALPY,
    HighLimitControl.DIFFERENTIAL_ENTHALPY_AND_DRY_BULB,
}


@dataclass(frozen=True, slots=True)
class HighLimit:
    """Settings of the switch; what its control does not use is not looked at.

    The differentials and the time are the defaults of Guideline 36 as documented in the Modelica Buildings library,
    Controls.OBC.ASHRAE.G36, single-zone economizer, block Enable: 1 K, 1 kJ/kg, 10 minutes. The limits themselves
    are in ASHRAE 90.1, Table 6.5.1.1.3, by climate zone; 75 °F and 28 Btu/lb stand here.
    """

    control: HighLimitControl = HighLimitControl.FIXED_DRY_BULB
    high_limit: float = 23.9
    """Outdoor air is unfit above this dry bulb. [°C]"""
    enthalpy_limit: float = 47_300.0
    """Outdoor air is unfit above this enthalpy. [J/kg]"""
    return_differential: float = 0.0
    """With differential dry bulb, how much colder than return air outdoor air has to be. [K]"""
    limit_differential: float = 1.0
    """Fall below the limit after which outdoor air is fit again. [K]"""
    enthalpy_differential: float = 1_000.0
    """The same of the enthalpy. [J/kg]"""
    least_hold: float = 600.0
    """Least time in either state. [s]"""

    def __post_init__(self) -> None:
        """Refuse what is no setting of a switch."""
        given = {
            name: getattr(self, name)
            for name in ("return_differential", "limit_differential", "enthalpy_differential", "least_hold")
        }
        mistakes = [
            Refusal("is below nothing", "a finite number of at least 0", f"high limit.{name}", f"{value:g}")
            for name, value in given.items()
            if not 0.0 <= value < math.inf
        ]
        mistakes += [
            Refusal("is no limit", "a finite number", f"high limit.{name}", f"{getattr(self, name):g}")
            for name in ("high_limit", "enthalpy_limit")
            if not math.isfinite(getattr(self, name))
        ]
        if mistakes:
            raise Refused(*mistakes)


@dataclass(frozen=True, slots=True)
class SwitchState:
    """Where the switch stands; a new one has compared nothing yet."""

    fit: bool | None = None
    """Outdoor air may cool; None before the first comparison."""
    too_warm: bool | None = None
    """The comparison of temperature, hysteresis included; None before the first."""
    too_rich: bool | None = None
    """The comparison of enthalpy, hysteresis included; None before the first."""
    held: float = math.inf
    """Time since the state changed. [s]"""


@dataclass(frozen=True, slots=True)
class Streams:
    """What the switch is shown; None is a sensor that is not there or has failed."""

    outdoor_dry_bulb: float | None
    """[°C]"""
    outdoor_enthalpy: float | None = None
    """[J/kg]"""
    return_dry_bulb: float | None = None
    """[°C]"""
    return_enthalpy: float | None = None
    """[J/kg]"""


def switched(limit: HighLimit, streams: Streams, state: SwitchState, seconds: float) -> SwitchState:
    """State of the switch after a time in which the sensors showed what they show now.

    Outdoor air is too warm above the limit and stays so until it is below the limit by the differential, and the
    same for enthalpy. Where a sensor that the control needs shows nothing, outdoor air is unfit at once: then
    the compressors cool, which is dearer and never harms.

    Parameters
    ----------
    limit
        Settings: limits [°C, J/kg], differentials [K, J/kg], least time [s].
    streams
        What the sensors show [°C, J/kg].
    state
        Where the switch stood.
    seconds
        Time since then. [s]

    Returns
    -------
    SwitchState
        Where it stands now.

    References
    ----------
    ASHRAE Guideline 36, single-zone VAV air handler, enabling and disabling of the economizer, as documented in the
    Modelica Buildings library, Controls.OBC.ASHRAE.G36.AHUs.SingleZone.VAV.Economizers.Subsequences.Enable.
    """
    cut_temperature = _temperature_limit(limit, streams)
    cut_enthalpy = _enthalpy_limit(limit, streams)
    held = state.held + seconds
    if _blind(limit, streams, cut_temperature, cut_enthalpy):
        return SwitchState(False, None, None, held if state.fit is False else 0.0)
    too_warm = _above(streams.outdoor_dry_bulb, cut_temperature, limit.limit_differential, state.too_warm)
    too_rich = _above(streams.outdoor_enthalpy, cut_enthalpy, limit.enthalpy_differential, state.too_rich)
    fit = not (too_warm or too_rich)
    if state.fit is None or fit is state.fit:
        return SwitchState(fit, too_warm, too_rich, held)
    if held < limit.least_hold:
        return SwitchState(state.fit, too_warm, too_rich, held)
    return SwitchState(fit, too_warm, too_rich, 0.0)


def _temperature_limit(limit: HighLimit, streams: Streams) -> float | None:
    """Dry bulb above which outdoor air is unfit; None where it is not compared, or with nothing. [°C]"""
    if limit.control in _FIXED_TEMPERATURE:
        return limit.high_limit
    if limit.control is HighLimitControl.DIFFERENTIAL_DRY_BULB and streams.return_dry_bulb is not None:
        return streams.return_dry_bulb - limit.return_differential
    return None


def _enthalpy_limit(limit: HighLimit, streams: Streams) -> float | None:
    """Enthalpy above which outdoor air is unfit; None where it is not compared, or with nothing. [J/kg]"""
    if limit.control in _FIXED_ENTHALPY:
        return limit.enthalpy_limit
    return streams.return_enthalpy if limit.control in _RETURN_ENTHALPY else None


def _blind(limit: HighLimit, streams: Streams, temperature: float | None, enthalpy: float | None) -> bool:
    """Tell whether a sensor that the control needs shows nothing."""
    by_temperature = limit.control in {*_FIXED_TEMPERATURE, HighLimitControl.DIFFERENTIAL_DRY_BULB}
    by_enthalpy = limit.control in {*_FIXED_ENTHALPY, *_RETURN_ENTHALPY}
    return (by_temperature and (temperature is None or streams.outdoor_dry_bulb is None)) or (
        by_enthalpy and (enthalpy is None or streams.outdoor_enthalpy is None)
    )


def _above(shown: float | None, limit: float | None, differential: float, was: bool | None) -> bool:
    """Compare with hysteresis; what is not compared is not above."""
    if shown is None or limit is None:
        return False
    return shown > limit or (was is True and shown >= limit - differential)
