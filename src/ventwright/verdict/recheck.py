"""The ten-minute check, a year later: a few numbers against the unit as it was left, what drifted, and the next step."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from ventwright.evidence import Limits, Shortfall, Verdict, uncertainty_that_passes
from ventwright.facts import Facts
from ventwright.plan import Plan, SpeedPlan, best_probe, difference_for
from ventwright.quantity import FRACTION, TEMPERATURE_DIFFERENCE, Quantity
from ventwright.readings import MixedAir, Readings, SensorCheck
from ventwright.tables import prior
from ventwright.tables.kit import Fan, KitSetting, Term
from ventwright.tables.unit_prior import accepted
from ventwright.verdict import Line, SpeedVerdict, Verdicts
from ventwright.verdict.airflow_shortfalls import ANOTHER_SIGNAL, stratified, weather_too_even
from ventwright.verdict.as_left import signal_as_left
from ventwright.verdict.balance.standing import too_even
from ventwright.verdict.check import Check, cannot_tell, held_against
from ventwright.verdict.checks import live_checks
from ventwright.verdict.fraction import fraction_from
from ventwright.verdict.thermometer import probe_u
from ventwright.words import Amount, Words, words

LIMITS = (
    Term.DRY_BULB_HIGH_LIMIT,
    Term.ENTHALPY_HIGH_LIMIT,
    Term.RETURN_DIFFERENTIAL,
)
"""Settings that end free cooling, the first that a kit has being the one that is read."""

SIGNAL_STEP = 0.01
"""Difference of a damper signal that is no change, where the kit names no step (our own assumption). [-]"""

NOT_READ = "recheck.not_read"
NOT_LEFT = "recheck.nothing_as_left"
AS_NEW_LEFT = Words("take today's value as the new as-left, once everything else is proved")


@dataclass(frozen=True, slots=True)
class ReadToday:
    """What was read today; what is None was not."""

    speed: str
    mixed: MixedAir | None = None
    signal: Quantity | None = None
    high_limit: str | None = None
    sensor: SensorCheck | None = None


@dataclass(frozen=True, slots=True)
class Recheck:
    """Each number against as-left: passes is as left, fails is drifted. ``open_lines`` are changes never proved back."""

    checks: tuple[Check, ...]
    open_lines: tuple[Line, ...]
    next_step: Words

    @property
    def drifted(self) -> tuple[Check, ...]:
        """What parted from as-left beyond the uncertainty of the instruments."""
        return tuple(check for check in self.checks if check.verdict is Verdict.FAILS)


def recheck(facts: Facts, plan: Plan, readings: Readings, verdicts: Verdicts, today: ReadToday) -> Recheck:
    """Hold today's numbers against the unit as it was left.

    Parameters
    ----------
    facts, plan, readings, verdicts
        Of the job as it was left.
    today
        What was read today, with the instruments that the facts name.
    """
    speed = plan.speed(today.speed)
    left = next(one for one in verdicts.speeds if one.name == speed.name)
    checks = (
        _signal(plan, readings, speed, today),
        _high_limit(plan, readings, today),
        *_sensor(facts, live_checks(readings, verdicts.ledger), today),
        _share(facts, plan, left, today),
    )
    return Recheck(checks, verdicts.not_closed, _next_step(checks, verdicts.not_closed))


def _signal(plan: Plan, readings: Readings, speed: SpeedPlan, today: ReadToday) -> Check:
    """The damper signal at minimum."""
    id_, what = "recheck.signal", words("damper signal at minimum, {speed} speed", speed=Words(speed.name))
    left, fan = signal_as_left(plan, readings, speed), _fan(plan, speed)
    setting = plan.kit.setting_for(Term.MINIMUM_DAMPER_SIGNAL, fan)
    if today.signal is None:
        return _not_read(id_, what, "read the damper signal back at minimum position")
    if left is None:
        return _not_left(id_, what, "the minimum signal was not read back as it was left")
    now = plan.kit.share_of_stroke(today.signal)
    uncertainty = _signal_u(plan, today.signal)
    if uncertainty is None:
        why = words("{signal} does not say how closely it was read", signal=Words(today.signal.typed))
        settle = Words("give what the meter is good for as well, such as 3.7 V ± 0.05 V")
        return cannot_tell(id_, what, Shortfall("recheck.no_instrument", why, settle))
    step = (setting.step if setting is not None else None) or SIGNAL_STEP
    low, high = (Amount(left + sign * step, FRACTION) for sign in (-1.0, 1.0))
    found, was = Amount(now, FRACTION, uncertainty), Amount(left, FRACTION)
    sentence = words("{now} at minimum, left at {was}", now=found, was=was)
    settle = Words("read it once more, with a meter that reads closer")
    return held_against(
        id_, what, found, low, high, sentence, Shortfall("recheck.too_uncertain", sentence, settle)
    )


def _signal_u(plan: Plan, signal: Quantity) -> float | None:
    """Return the standard uncertainty of a signal that was read, as a share of stroke; None where volts name none. [-]"""
    if signal.dimension == FRACTION:
        return signal.uncertainty or accepted().display_u
    whole = plan.kit.damper_signal.open.value - plan.kit.damper_signal.closed.value
    return None if signal.uncertainty is None else signal.uncertainty / whole


def _fan(plan: Plan, speed: SpeedPlan) -> Fan:
    return "slowest" if speed is plan.speeds[-1] and len(plan.speeds) > 1 else "fastest"


def _high_limit(plan: Plan, readings: Readings, today: ReadToday) -> Check:
    """The setting that ends free cooling."""
    id_, setting = "recheck.high_limit", high_limit_setting(plan)
    what = words(
        "free-cooling high limit{label}", label=Words("" if setting is None else f' "{setting.label}"')
    )
    if setting is None:
        return _not_left(id_, what, "this kit has no such setting")
    if today.high_limit is None:
        return _not_read(id_, what, f'read "{setting.label}" back')
    entry = readings.settings_left().get(setting.label.lower())
    if entry is None:
        return _not_left(id_, what, "it was not read back as it was left")
    now, was = setting.read(today.high_limit).value, setting.read(entry.value).value
    found, left = Amount(now, setting.dimension), Amount(was, setting.dimension)
    same = abs(now - was) <= 0.5 * (setting.step or 0.0) + 1e-9
    sentence = words("{now}, left at {was}", now=found, was=left)
    return Check(id_, what, Verdict.PASSES if same else Verdict.FAILS, sentence, found, readings=(entry.id,))


def high_limit_setting(plan: Plan) -> KitSetting | None:
    """The kit's setting that ends free cooling; None where it has none."""
    found = (plan.kit.setting_for(term) for term in LIMITS)
    return next((one for one in found if one is not None), None)


def _sensor(facts: Facts, checked: Sequence[SensorCheck], today: ReadToday) -> Iterator[Check]:
    """One sensor beside a probe, against how it stood beside one when it was left."""
    now = today.sensor
    if now is None:
        what = Words("a sensor beside a probe")
        yield _not_read("recheck.sensor", what, "hold a probe beside a sensor, the outdoor one first")
        return
    id_, what = (
        f"recheck.sensor.{now.sensor.replace(' ', '_')}",
        words("{name} sensor beside a probe", name=Words(now.sensor)),
    )
    left = next((one for one in checked if one.sensor == now.sensor), None)
    uncertainties = [probe_u(facts.instruments, one.instrument) for one in (now, left) if one is not None]
    if None in uncertainties:
        why = Words("which probe was used, then or now, is not said")
        settle = Words("name the probe, listed under facts.instruments")
        yield cannot_tell(id_, what, Shortfall("recheck.no_instrument", why, settle))
        return
    uncertainty = math.hypot(*(one or 0.0 for one in uncertainties))
    drift = Amount(now.bias - (0.0 if left is None else left.bias), TEMPERATURE_DIFFERENCE, uncertainty)
    agreed = prior.usual("sensor_agreement", TEMPERATURE_DIFFERENCE).value
    low, high = Amount(-agreed, TEMPERATURE_DIFFERENCE), Amount(agreed, TEMPERATURE_DIFFERENCE)
    since = (
        "{drift} off the probe, and not checked when it was left; ± {agreed} is allowed"
        if left is None
        else "changed by {drift} against the probe since it was left; ± {agreed} is allowed"
    )
    sentence = words(since, drift=drift, agreed=high)
    shortfall = Shortfall("recheck.too_uncertain", sentence, Words("use a closer probe, or an ice bath"))
    ids = () if left is None else (left.id,)
    check = held_against(id_, what, drift, low, high, sentence, shortfall, readings=ids)
    if left is None and check.verdict is Verdict.PASSES:
        yield cannot_tell(id_, what, Shortfall(NOT_LEFT, sentence, AS_NEW_LEFT))  # right today is not as left
    else:
        yield check


def share_as_left(left: SpeedVerdict) -> Amount | None:
    """Outdoor-air share with the damper as it was left; None where it was read only at another signal. [-]"""
    why = left.fraction.shortfall if left.fraction is not None else None
    if left.outdoor_air_fraction is None or (why is not None and why.name == ANOTHER_SIGNAL):
        return None
    return Amount(left.outdoor_air_fraction, FRACTION, left.outdoor_air_fraction_u)


def _share(facts: Facts, plan: Plan, left: SpeedVerdict, today: ReadToday) -> Check:
    """The outdoor-air share at minimum."""
    id_, what = "recheck.share", words("outdoor-air share at minimum, {speed} speed", speed=Words(left.name))
    if today.mixed is None:
        return _not_read(id_, what, "read outdoor, return and mixed air at minimum position")
    was = share_as_left(left)
    if was is None:
        return _not_left(id_, what, "no share was read as it was left")
    now = fraction_from(today.mixed, facts.instruments)
    if isinstance(now, Shortfall):
        return cannot_tell(id_, what, now)
    even = too_even(today.mixed.difference)
    held = weather_too_even(today.mixed) if even else stratified(today.mixed)
    if held is not None:
        return cannot_tell(id_, what, held)
    band = plan.ventilation.tolerance * was.value
    apart = math.hypot(now.uncertainty or 0.0, was.uncertainty or 0.0)
    change = Amount(now.value - was.value, FRACTION, apart)
    low, high = Amount(-band, FRACTION), Amount(band, FRACTION)
    sentence = words("{now} today, {was} as left; ± {band} is allowed", now=now, was=was, band=high)
    shortfall = Shortfall("recheck.too_uncertain", sentence, _settle(facts, was, band))
    return held_against(id_, what, change, low, high, sentence, shortfall)


def _settle(facts: Facts, was: Amount, band: float) -> Words:
    """Say when the share could be told: how far apart outdoor and return air have to be."""
    probe, allowed = best_probe(facts.instruments), uncertainty_that_passes(0.0, Limits(-band, band)) or 0.0
    room = allowed**2 - (was.uncertainty or 0.0) ** 2
    if probe is None or room <= 0.0:
        return Words("as left it was not known close enough for this: measure the outdoor airflow itself")
    needed = difference_for(probe, was.value, math.sqrt(room))
    return words(
        "come when outdoor and return air are {needed} or more apart, and read mixed air at eight points",
        needed=Amount(needed, TEMPERATURE_DIFFERENCE),
    )


def _not_read(id_: str, what: Words, settle: str) -> Check:
    return cannot_tell(id_, what, Shortfall(NOT_READ, Words("not read today"), Words(settle)))


def _not_left(id_: str, what: Words, why: str) -> Check:
    return cannot_tell(id_, what, Shortfall(NOT_LEFT, Words(why), AS_NEW_LEFT))


FIRST = {
    "signal": "set the minimum signal back as left, or enter who changed it and why; then read the share once more",
    "high_limit": "set the high limit back as left: no parts, and free cooling depends on it",
    "sensor": "put this sensor right first (wires, element, curve): what the controller does rests on it; then all five once more",
}
"""What to do about the first number that drifted, from the quickest on."""


def _next_step(checks: Sequence[Check], open_lines: Sequence[Line]) -> Words:
    """Say what to do next: open lines first, then the quickest, then what tells most."""
    if open_lines:
        named = Words("; ".join(f"{line.point} ({line.changed_to})" for line in open_lines))
        return words("look for what was never proved put back: {named}", named=named)
    failed = {check.id.split(".")[1] for check in checks if check.verdict is Verdict.FAILS}
    for number, step in FIRST.items():
        if number in failed:
            return Words(step)
    untold = [check for check in checks if check.shortfall is not None]
    if "share" in failed:
        signal_unknown = any(check.id == "recheck.signal" for check in untold)
        first = "read the damper signal back; where it is as left, " if signal_unknown else ""
        return Words(
            f"{first}look at the blades while the signal moves: coupling, linkage, seals, blockage; at the same signal the damper no longer brings in what it did"
        )
    for check in untold:
        if check.shortfall is not None:
            return words("{what}: {settle}", what=check.what, settle=check.shortfall.settle_by)
    return Words("nothing drifted: enter today's readings, and check again in a year")
