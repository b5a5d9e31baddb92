"""Named checks besides the airflow: sensors beside a probe, settings as left, nothing left behind."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta

from ventwright.evidence import Shortfall, Verdict
from ventwright.facts import Facts
from ventwright.plan import Plan, Setting
from ventwright.quantity import TEMPERATURE_DIFFERENCE
from ventwright.readings import (
    ChangeKind,
    Noted,
    Readings,
    SensorCheck,
    SettingRead,
    TemporaryChange,
    Tick,
    Withdrawn,
)
from ventwright.tables import prior
from ventwright.tables.balance_prior import balance_prior
from ventwright.tables.damper_signal import is_sent
from ventwright.tables.kit import KitSetting, Term
from ventwright.verdict.balance import Balance
from ventwright.verdict.check import Check, cannot_tell, held_against
from ventwright.verdict.in_force import InForce
from ventwright.verdict.ledger import Line, LineState
from ventwright.verdict.thermometer import no_thermometer, probe_u, reads_temperature
from ventwright.words import Amount, Words, words

NOT_THE_SENSOR = {ChangeKind.RESISTOR, ChangeKind.LEAD}
"""Kinds of change at which a sensor's input shows something else; a sensor in a pack is read as well as one in the air."""

FIND_OUT = Words("the plan's value is a guess: find out which is right, and choose it in the job")


def sensors_agree(facts: Facts, readings: Readings, lines: Sequence[Line]) -> tuple[Check, ...]:
    """Hold every sensor that was checked against its probe; the latest check of each counts that was of the sensor itself."""
    instead = shown_instead(readings, lines)
    found: dict[str, SensorCheck] = {}
    for entry in readings.standing(SensorCheck):
        if entry.id not in instead or entry.sensor not in found or found[entry.sensor].id in instead:
            found[entry.sensor] = entry
    return tuple(_sensor(facts, entry, instead.get(entry.id)) for entry in found.values())


def shown_instead(readings: Readings, lines: Sequence[Line]) -> dict[str, TemporaryChange]:
    """Return what the input showed in place of the sensor, by the id of each sensor check made meanwhile."""
    in_force = InForce(readings, {line.id: line for line in lines})
    changes = [one for one in readings.standing(TemporaryChange) if one.kind in NOT_THE_SENSOR]
    return {
        entry.id: one
        for entry in readings.standing(SensorCheck)
        for one in reversed(changes)
        if one.sensor == entry.sensor and in_force.at(one, entry)
    }


def live_checks(readings: Readings, lines: Sequence[Line]) -> tuple[SensorCheck, ...]:
    """Return the latest check of each sensor that was of the sensor itself."""
    instead = shown_instead(readings, lines)
    live = (entry for entry in readings.standing(SensorCheck) if entry.id not in instead)
    return tuple({entry.sensor: entry for entry in live}.values())


def _sensor(facts: Facts, entry: SensorCheck, instead: TemporaryChange | None) -> Check:
    id_, what = (
        _sensor_id(entry.sensor),
        words("{sensor} sensor against the probe", sensor=Words(entry.sensor)),
    )
    if instead is not None:
        return cannot_tell(id_, what, Shortfall("sensor.not_live", words(
            "{point} was changed then ({to}): what was shown is not what the sensor feels",
            point=Words(instead.point), to=Words(instead.changed_to)),
            Words("put that back, and hold the probe beside the sensor once more")), readings=(entry.id,))  # fmt: skip
    probe = next((one for one in facts.instruments if one.id == entry.instrument), None)
    if probe is None:
        return cannot_tell(id_, what, Shortfall(
            "sensor.no_instrument", Words("the check does not say which probe was used, so its accuracy is not known"),
            Words("correct it by a new entry that names the instrument")), readings=(entry.id,))  # fmt: skip
    if not reads_temperature(probe):
        return cannot_tell(id_, what, no_thermometer("sensor.no_thermometer", probe), readings=(entry.id,))
    bias = Amount(entry.bias, TEMPERATURE_DIFFERENCE, probe_u(facts.instruments, entry.instrument))
    agreed = prior.usual("sensor_agreement", TEMPERATURE_DIFFERENCE).value
    low, high = Amount(-agreed, TEMPERATURE_DIFFERENCE), Amount(agreed, TEMPERATURE_DIFFERENCE)
    sentence = words(
        "the {sensor} sensor shows {bias} against the probe; ± {agreed} is allowed",
        sensor=Words(entry.sensor),
        bias=bias,
        agreed=high,
    )
    shortfall = Shortfall("sensor.too_close_to_limit", words(
        "the {sensor} sensor shows {bias} against the probe: with this probe that cannot be told from the ± {agreed} allowed",
        sensor=Words(entry.sensor), bias=bias, agreed=high), Words("use a closer probe, or an ice bath"))  # fmt: skip
    return held_against(id_, what, bias, low, high, sentence, shortfall, readings=(entry.id,))


def _sensor_id(at: str) -> str:
    return f"sensor.{at.replace(' ', '_')}"


def settings_as_planned(plan: Plan, readings: Readings) -> tuple[Check, ...]:
    """Hold every setting, as it was read back, against the plan.

    A minimum damper signal that the plan only guessed is judged by the airflow it brings in, not here.
    """
    left = readings.settings_left()
    by_airflow = [one for one in plan.settings if one.means is Term.MINIMUM_DAMPER_SIGNAL and one.guess]
    return tuple(
        _setting(plan, one, left.get(one.label.lower())) for one in plan.settings if one not in by_airflow
    )


def _setting(plan: Plan, setting: Setting, entry: SettingRead | None) -> Check:
    id_, what = (
        f"setting.{setting.label}",
        words('"{label}" as left against the plan', label=Words(setting.label)),
    )
    if entry is None:
        return cannot_tell(id_, what, Shortfall(
            "setting.not_read_back", words('"{label}" was not read back', label=Words(setting.label)),
            Words("read it back from the controller and enter it")))  # fmt: skip
    known = plan.kit.setting(setting.label)
    read = known.read(entry.value)
    value = Amount(read.value, known.dimension, read.uncertainty)
    if known.signal is not None and not setting.guess and is_sent(entry.value):
        return _metered(id_, what, setting, known, value, entry)
    same = abs(value.value - setting.si) <= 0.5 * (known.step or 0.0) + 1e-9
    if same and setting.guess:
        left_so = words("left at {value}, as planned, and the plan is a guess", value=value)
        return cannot_tell(
            id_, what, Shortfall("setting.plan_is_guess", left_so, FIND_OUT), readings=(entry.id,)
        )
    if same:
        return Check(
            id_,
            what,
            Verdict.PASSES,
            words("left at {value}, as planned", value=value),
            value,
            readings=(entry.id,),
        )
    sentence = words("left at {value}, and the plan is {planned}", value=value, planned=setting.value)
    if setting.guess:
        shortfall = Shortfall(
            "setting.plan_is_guess",
            sentence,
            FIND_OUT,
        )
        return cannot_tell(id_, what, shortfall, readings=(entry.id,))
    return Check(id_, what, Verdict.FAILS, sentence, value, readings=(entry.id,))


def _metered(
    id_: str, what: Words, setting: Setting, known: KitSetting, value: Amount, entry: SettingRead
) -> Check:
    """Judge a signal that was metered instead of read off the controller: by how closely the meter reads."""
    sentence = words("left at {value}, and the plan is {planned}", value=value, planned=setting.value)
    if value.uncertainty is None:
        why = words("{signal} does not say how closely it was metered", signal=Words(entry.value))
        settle = Words(
            "give what the meter is good for as well, such as 3.7 V ± 0.05 V, or read the controller"
        )
        return cannot_tell(id_, what, Shortfall("setting.no_uncertainty", why, settle), readings=(entry.id,))
    room = 0.5 * (known.step or 0.0)
    low, high = (Amount(setting.si + sign * room, known.dimension) for sign in (-1.0, 1.0))
    settle = Words("read it off the controller, or with a meter that reads closer")
    shortfall = Shortfall("setting.too_uncertain", sentence, settle)
    return held_against(id_, what, value, low, high, sentence, shortfall, readings=(entry.id,))


def damper_follows(found: Balance) -> Check | None:
    """Fail a damper that does not follow its signal, or follows it the wrong way round; nothing where it does."""
    amiss = [
        one
        for one in found.findings
        if one.name in {"balance.damper_does_not_follow", "balance.damper_reversed"}
    ]
    if not amiss:
        return None
    one = amiss[0]
    return Check(
        "damper_follows",
        Words("the damper follows its signal"),
        Verdict.FAILS,
        one.sentence,
        readings=one.readings,
    )


def sensors_not_held(plan: Plan, found: Sequence[Check]) -> list[str]:
    """Name the sensors of the kit that nobody held against a probe."""
    held = {check.id for check in found}
    return [one.at for one in plan.kit.sensors if _sensor_id(one.at) not in held]


def nothing_left_behind(readings: Readings, lines: Sequence[Line]) -> Check:
    """Every temporary change went back, and something proves it."""
    id_, what = "nothing_left", Words("no resistor, jumper or override left behind")
    still = [line for line in lines if line.state is LineState.OPEN]
    if still:
        named = {f"line_{number}": _named(line) for number, line in enumerate(still)}
        sentence = Words(f"not restored: {'; '.join(f'{{{name}}}' for name in named)}", named)
        return Check(id_, what, Verdict.FAILS, sentence, readings=tuple(line.id for line in still))
    if not readings.entries:
        return cannot_tell(id_, what, Shortfall(
            "nothing_left.nothing_entered", Words("nothing was entered, so nothing is known of what was changed"),
            Words("enter every temporary change when it is made, and its restoring")))  # fmt: skip
    unproved = [line for line in lines if line.state is LineState.NOT_PROVED]
    if unproved:
        named = {f"line_{number}": _named(line) for number, line in enumerate(unproved)}
        sentence = Words(f"put back but not proved: {'; '.join(f'{{{name}}}' for name in named)}", named)
        settle = unproved[0].would_prove or Words("look once more, and enter the restoring anew")
        return cannot_tell(id_, what, Shortfall(unproved[0].why, sentence, settle),
                           readings=tuple(line.id for line in unproved))  # fmt: skip
    looked = [tick for tick in readings.standing(Tick) if tick.item.strip().lower() in {id_, LEFT_BEHIND}]
    if looked and looked[-1].found == "not in order":
        return Check(
            id_, what, Verdict.FAILS, Words("looked at, and not in order"), readings=(looked[-1].id,)
        )
    if lines:
        return Check(
            id_, what, Verdict.PASSES, Words("every temporary change entered was restored and read back")
        )
    if looked and looked[-1].found == "in order":
        newest = max(entry.at for entry in readings.standing(Noted) if not isinstance(entry, Withdrawn))
        if newest - looked[-1].at > timedelta(days=balance_prior().days):
            return cannot_tell(id_, what, Shortfall(
                "nothing_left.looked_at_earlier", Words("looked at and in order on an earlier visit; the unit was worked on since"),
                Words(f"look once more, and tick {id_}")), readings=(looked[-1].id,))  # fmt: skip
        return Check(id_, what, Verdict.PASSES, Words("looked at and in order; no temporary change was entered"),
                     readings=(looked[-1].id,))  # fmt: skip
    return cannot_tell(id_, what, Shortfall(
        "nothing_left.not_looked_at", Words("no temporary change was entered, and nobody ticked that none was made"),
        Words(f"look, and tick {id_}; enter what was changed, and its restoring")))  # fmt: skip


LEFT_BEHIND = "no resistor, jumper or override is left behind"
"""What has to be proved, as the plan words it: a tick may name it by these words."""


def _named(line: Line) -> Words:
    """Say which line, and what keeps it from being closed where that is more than that nobody put it back."""
    which = Words(f"{line.point} ({line.changed_to})")
    return (
        which if line.why == "nothing_left.open" else words("{which}: {why}", which=which, why=line.sentence)
    )
