"""The unit as it was left on an earlier day, when it was sound: what that says of its own damper, and of its settings."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from ventwright.plan import Plan
from ventwright.plan.settings import Setting
from ventwright.readings import Readings
from ventwright.readings.fault_finding import measurement_named
from ventwright.tables.kit import Kit
from ventwright.verdict import SpeedVerdict
from ventwright.verdict.diagnose.belief import MeasurementTaken
from ventwright.verdict.diagnose.likelihood import apart, lever
from ventwright.verdict.diagnose.roof import Situation

NEAR = 0.03
"""Distance of damper signals within which a share counts as read at the minimum: our own assumption. [-]"""


@dataclass(frozen=True, slots=True)
class ShareAsLeft:
    """Share of outdoor air that a fan speed was left with."""

    speed: str
    signal: float
    """Damper signal it was read at. [-]"""
    share: float
    """Outdoor air in the supply air. [-]"""
    u: float
    """Its standard uncertainty. [-]"""


@dataclass(frozen=True, slots=True)
class Baseline:
    """What is known of the unit as it was left."""

    shares: tuple[ShareAsLeft, ...] = ()
    settings: Mapping[str, float] = field(default_factory=dict)
    """As they were read back, by the kit's label in small letters, in SI."""


def baseline_of(kit: Kit, readings: Readings, speeds: Sequence[SpeedVerdict]) -> Baseline:
    """Take the baseline from an earlier job of the same unit.

    Parameters
    ----------
    kit
        Of the earlier job.
    readings, speeds
        What was read, and what the readings showed of each fan speed.
    """
    shares = tuple(
        ShareAsLeft(one.name, one.damper_signal, one.outdoor_air_fraction, one.outdoor_air_fraction_u)
        for one in speeds
        if one.damper_signal is not None
        and one.outdoor_air_fraction is not None
        and one.outdoor_air_fraction_u is not None
    )
    return Baseline(shares, settings_read(kit, readings))


def settings_read(kit: Kit, readings: Readings) -> dict[str, float]:
    """Return the settings as they were last read back, by label in small letters, in SI."""
    left = readings.settings_left()
    return {label: kit.setting(entry.label).read(entry.value).value for label, entry in left.items()}


def as_meant(plan: Plan, readings: Readings, baseline: Baseline | None) -> tuple[Setting, ...]:
    """Return the settings as somebody meant them: a value that the plan only guessed gives way to what was left.

    Parameters
    ----------
    plan, readings
        Of the job.
    baseline
        The unit as it was left earlier; its settings go before those read back today.
    """
    left = settings_read(plan.kit, readings) | dict({} if baseline is None else baseline.settings)
    return tuple(
        replace(one, value=replace(one.value, value=left[one.label.lower()]))
        if one.guess and one.label.lower() in left
        else one
        for one in plan.settings
    )


def sound_readings(baseline: Baseline, plan: Plan, situation: Situation) -> tuple[MeasurementTaken, ...]:
    """Return the shares as left as readings of the sound unit, with their own uncertainty whatever the air is today.

    Parameters
    ----------
    baseline
        As the unit was left; a share at another signal than today's minimum says nothing here.
    plan
        Of the job: its fan speeds.
    situation
        Today's.
    """
    difference = situation.indoor.dry_bulb - situation.weather.dry_bulb
    offered = {one.id for one in situation.offered()}
    minimum = {
        measurement: (speed, signal)
        for measurement, speed, signal in _at_minimum(plan, situation)
        if measurement in offered
    }
    found = []
    for measurement, (speed, signal) in minimum.items():
        for one in baseline.shares:
            if one.speed == speed and abs(one.signal - signal) <= NEAR:
                # a share's uncertainty is given to readings by that of three temperatures: propagated back
                u = one.u * apart(difference) / lever(one.share)
                found.append(
                    MeasurementTaken(measurement_named(measurement), (one.share,), f"as left, {speed}", u)
                )
    return tuple(found)


def _at_minimum(plan: Plan, situation: Situation) -> Iterator[tuple[str, str, float]]:
    """Measurements that read a share at the minimum: with the fan alone, and with heat, which takes the fan to full speed."""
    minimum, fan = situation.settings.minimum, situation.settings.fan
    fastest, slowest = plan.speeds[0].name, plan.speeds[-1].name
    if fan.ventilating < minimum.fastest:
        yield "share.fan", slowest, minimum.at_slowest
        if fan.heating >= minimum.fastest:
            yield "share.heat_1", fastest, minimum.at_fastest
    else:
        yield "share.fan", fastest, minimum.at_fastest


__all__ = ["Baseline", "ShareAsLeft", "as_meant", "baseline_of", "settings_read", "sound_readings"]
