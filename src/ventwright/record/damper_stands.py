"""Where the damper stands at a unit that was left before it was finished, and what belies it."""

from __future__ import annotations

from collections.abc import Iterator

from ventwright.quantity import FRACTION
from ventwright.readings import ChangeKind, DamperStands, LeftSafe, TemporaryChange
from ventwright.record.subject import Subject
from ventwright.tables.kit import Term
from ventwright.tables.unit_prior import accepted
from ventwright.words import Amount, words


def damper_stands(subject: Subject, entry: LeftSafe) -> str:
    """Say where a damper was left, with its signal."""
    at = "" if entry.damper_signal is None else f" ({entry.damper_signal.show(subject.system)})"
    return f"{entry.damper}{at}"


def belied(subject: Subject, entry: LeftSafe) -> str:
    """Say what makes it another place than it is called: too small a signal, or a change that still moves it; else nothing."""
    if entry.damper is not DamperStands.AT_VENTILATION:
        return ""
    return "; ".join((*_too_little(subject, entry), *_still_moved(subject, entry)))


def _too_little(subject: Subject, entry: LeftSafe) -> Iterator[str]:
    """A signal that is below every minimum of the unit, as it was left or is planned."""
    if entry.damper_signal is None:
        return
    plan, left = subject.plan, subject.readings.settings_left()
    minimums: list[float] = []
    for one in plan.settings:
        if one.means is Term.MINIMUM_DAMPER_SIGNAL:
            read_back = left.get(one.label.lower())
            minimums.append(
                one.si if read_back is None else plan.kit.setting(one.label).read(read_back.value).value
            )
    least = min(minimums, default=0.0)
    if plan.kit.share_of_stroke(entry.damper_signal) < least - accepted().signal:
        shown = subject.say(words("{least}", least=Amount(least, FRACTION)))
        yield f"LESS than the minimum of {shown}, too little outdoor air for the people inside"


def _still_moved(subject: Subject, entry: LeftSafe) -> Iterator[str]:
    """Changes made by then that are not closed and hold the damper elsewhere once there is power."""
    opened = {line.id for line in subject.verdicts.not_closed}
    for one in subject.readings.standing(TemporaryChange):
        held = one.kind is ChangeKind.OVERRIDE and one.call is None
        if one.kind is ChangeKind.SETTING and one.label is not None:
            held = subject.plan.kit.setting(one.label).means is Term.MINIMUM_DAMPER_SIGNAL
        if held and one.id in opened and subject.readings.first_wording(one).at <= entry.at:
            yield f"BUT {one.point} is not proved back from {one.changed_to}"
