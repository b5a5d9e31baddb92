"""The ledger of what was changed for tests: each line with its state, and what would prove that it went back.

A line is closed by what the unit shows, not by the word that it was put back: a substitute resistor by a live reading of
its sensor beside a probe, and so a pack or a lead of a sensor; a setting by its value read again; a jumper, an override or
any other lead by what was seen there.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from math import hypot
from typing import TypeVar

from ventwright.evidence import Estimate, Limits, Verdict, verdict
from ventwright.facts import Facts
from ventwright.plan import Plan
from ventwright.quantity import TEMPERATURE, TEMPERATURE_DIFFERENCE
from ventwright.readings import (
    ChangeKind,
    Noted,
    Readings,
    Restored,
    SensorCheck,
    SettingRead,
    TemporaryChange,
)
from ventwright.tables.sensor_curve import assumed
from ventwright.verdict.thermometer import probe_u
from ventwright.words import Amount, Words, words

FEWEST_WORDS = 2
"""Of an observation: "done" or "ok" says nothing of what was seen (our own assumption)."""

DENIES = {"no", "not", "nothing", "none", "never", "nor", "without", "off", "out", "removed", "gone"}
"""Words with which an observation may name what was there for the test, to say that it is gone (our own assumption)."""

Read = TypeVar("Read", SensorCheck, SettingRead)


class LineState(StrEnum):
    """How far the return of a change is shown."""

    PROVED = "proved"
    NOT_PROVED = "restored but not proved"
    OPEN = "open"


@dataclass(frozen=True, slots=True)
class Line:
    """One temporary change. ``why`` is a stable name, empty where its return is proved; ``readings`` are what was looked at."""

    id: str
    kind: ChangeKind | None
    point: str
    was: str
    changed_to: str
    made: str
    visit: str | None
    state: LineState
    sentence: Words
    why: str = ""
    would_prove: Words | None = None
    readings: tuple[str, ...] = ()

    @property
    def closed(self) -> bool:
        """Whether the return is proved."""
        return self.state is LineState.PROVED


def ledger(facts: Facts, plan: Plan, readings: Readings) -> tuple[Line, ...]:
    """Every temporary change that stands, in the order in which they were made.

    Parameters
    ----------
    facts
        Their instruments say how close a probe reads.
    plan
        Its kit reads the settings.
    readings
        Changes, what was read and said since.
    """
    changes = sorted(readings.standing(TemporaryChange), key=lambda one: readings.first_wording(one).at)
    order = {entry.id: number for number, entry in enumerate(readings.entries)}
    return tuple(_Judged(facts, plan, readings, order, change).line() for change in changes)


def not_closed(lines: tuple[Line, ...]) -> tuple[Line, ...]:
    """Lines whose return is not proved, those that are still open first."""
    return tuple(
        line for state in (LineState.OPEN, LineState.NOT_PROVED) for line in lines if line.state is state
    )


@dataclass(frozen=True, slots=True)
class _Outcome:
    state: LineState
    sentence: Words
    why: str = ""
    readings: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Judged:
    """One change beside everything that was entered."""

    facts: Facts
    plan: Plan
    readings: Readings
    order: Mapping[str, int]
    change: TemporaryChange

    def line(self) -> Line:
        change, outcome = self.change, self._outcome()
        return Line(
            id=change.id, kind=change.kind, point=change.point, was=change.was, changed_to=change.changed_to,
            made=self.readings.first_wording(change).at.isoformat(timespec="minutes"), visit=change.visit,
            state=outcome.state, sentence=outcome.sentence, why=outcome.why,
            would_prove=None if outcome.state is LineState.PROVED else self._would_prove(outcome.why),
            readings=outcome.readings,
        )  # fmt: skip

    def _outcome(self) -> _Outcome:
        back = self.readings.restoration_of(self.change)
        match self.change.kind:
            case ChangeKind.SETTING:
                outcome = self._read_again(back)
            case ChangeKind.RESISTOR | ChangeKind.PACK | ChangeKind.LEAD if self.change.sensor is not None:
                outcome = self._live(back)
            case _:
                outcome = self._seen(back)
        return outcome

    def _seen(self, back: Restored | None) -> _Outcome:
        """What somebody saw at the point: all there is of a jumper, an override or a lead."""
        if back is None:
            return _open()
        if back.at < self.readings.first_wording(self.change).at:
            return _Outcome(
                LineState.NOT_PROVED, Words("restored before it was changed, by the times entered"),
                "nothing_left.restored_before_change", (back.id,),
            )  # fmt: skip
        said = _spoken(back.read_back)
        as_before, as_changed = (_holds(said, one) for one in (self.change.was, self.change.changed_to))
        if len(said) < FEWEST_WORDS and (self.change.kind is not None or not as_before):
            why = words('"{said}" does not say what was seen', said=Words(back.read_back))
            return _Outcome(LineState.NOT_PROVED, why, "nothing_left.nothing_seen", (back.id,))
        if as_changed and not as_before and not (DENIES - set(_spoken(self.change.changed_to))) & set(said):
            why = words('"{said}" is how it was for the test', said=Words(back.read_back))
            return _Outcome(LineState.NOT_PROVED, why, "nothing_left.as_for_the_test", (back.id,))
        return _Outcome(
            LineState.PROVED, words("seen: {said}", said=Words(back.read_back)), readings=(back.id,)
        )

    def _read_again(self, back: Restored | None) -> _Outcome:
        """A setting is back when the controller shows its value of before."""
        found = [one for one in self._since(SettingRead) if one.label.strip().lower() == self.change.place[1]]
        if not found:
            return self._only_said(back, "the setting was not read again since")
        return _first_proof([self._as_it_was(one) for one in found])

    def _as_it_was(self, last: SettingRead) -> _Outcome:
        setting = self.plan.kit.setting(last.label)
        now, was = setting.read(last.value).value, setting.read(self.change.was).value
        shown = words("read again: {now}", now=Words(last.value))
        if abs(now - was) <= 0.5 * (setting.step or 0.0) + 1e-9:
            return _Outcome(LineState.PROVED, shown, readings=(last.id,))
        apart = words("{shown}, and it was {was}", shown=shown, was=Words(self.change.was))
        return _Outcome(LineState.OPEN, apart, "nothing_left.contradicted", (last.id,))

    def _live(self, back: Restored | None) -> _Outcome:
        """A sensor is back when its input follows a probe again, and does not merely stand where the resistor held it."""
        found = [one for one in self._since(SensorCheck) if one.sensor == self.change.sensor]
        if not found:
            return self._only_said(back, "the sensor was not read beside a probe since")
        return _first_proof([self._agrees(one) for one in found])

    def _agrees(self, last: SensorCheck) -> _Outcome:
        agreed = assumed().restored
        shown = words("the {sensor} sensor shows {shown}, the probe {probe}", sensor=Words(last.sensor),
                      shown=Amount(last.shown.value, TEMPERATURE), probe=Amount(last.probe.value, TEMPERATURE))  # fmt: skip
        uncertainty, before = probe_u(self.facts.instruments, last.instrument), self._before(agreed)
        if uncertainty is None:
            said = words("{shown}, and which probe that was is not said", shown=shown)
            return _Outcome(LineState.NOT_PROVED, said, "nothing_left.no_instrument", (last.id,))
        within = verdict(
            Estimate(last.bias - before.value, hypot(uncertainty, before.uncertainty)),
            Limits(-agreed, agreed),
        )
        allowed = Amount(agreed, TEMPERATURE_DIFFERENCE)
        if within is Verdict.FAILS:
            said = words("{shown}: more than {allowed} apart", shown=shown, allowed=allowed)
            return _Outcome(LineState.OPEN, said, "nothing_left.contradicted", (last.id,))
        if within is Verdict.CANNOT_TELL:
            said = words("{shown}: too close to {allowed} for this probe", shown=shown, allowed=allowed)
            return _Outcome(LineState.NOT_PROVED, said, "nothing_left.too_close_to_limit", (last.id,))
        return self._told_from_resistor(last, shown, agreed)

    def _told_from_resistor(self, last: SensorCheck, shown: Words, agreed: float) -> _Outcome:
        """Agreement proves nothing where the resistor, or the pack, would agree too."""
        proved = _Outcome(LineState.PROVED, shown, readings=(last.id,))
        if self.change.kind is ChangeKind.LEAD:
            return proved
        what = Words(str(self.change.kind))
        if self.change.imitates is None:
            said = words("{shown}; what it showed with the {what} is not entered", shown=shown, what=what)
            return _Outcome(LineState.NOT_PROVED, said, "nothing_left.substitute_not_known", (last.id,))
        if abs(last.shown.value - self.change.imitates.value) <= agreed:
            said = words("{shown}, and the {what} would show {same}", shown=shown, what=what,
                         same=Amount(self.change.imitates.value, TEMPERATURE))  # fmt: skip
            return _Outcome(LineState.NOT_PROVED, said, "nothing_left.shows_as_substitute", (last.id,))
        return proved

    def _only_said(self, back: Restored | None, missing: str) -> _Outcome:
        """The word that it was put back, without the reading that would prove it."""
        if back is None:
            return _open()
        said = words('put back by what was entered ("{said}"), but {missing}', said=Words(back.read_back), missing=Words(missing))  # fmt: skip
        return _Outcome(LineState.NOT_PROVED, said, "nothing_left.not_read_again", (back.id,))

    def _since(self, kind: type[Read]) -> list[Read]:
        """Entries of a kind after this change was made, and before the same thing was changed once more."""
        start, ends = self._made(self.change), [
            self._made(other)
            for other in self.readings.standing(TemporaryChange)
            if other.place == self.change.place and self._made(other) > self._made(self.change)
        ]  # fmt: skip
        end = min(ends, default=None)
        return [
            one
            for one in self.readings.standing(kind)
            if self._when(one) > start and (end is None or self._when(one) < end)
        ]

    def _made(self, change: TemporaryChange) -> tuple[datetime, int]:
        return self._when(self.readings.first_wording(change))

    def _when(self, entry: Noted) -> tuple[datetime, int]:
        """Return the time of an entry, and its place in the list where two are of one minute."""
        return entry.at, self.order[entry.id]

    def _before(self, agreed: float) -> Estimate:
        """Return what the sensor was off before anything was changed at it, where that alone would make a right reading disagree. [K]"""
        changes = self.readings.standing(TemporaryChange)
        first = min(self._made(one) for one in changes if one.place == self.change.place)
        before = [
            one
            for one in self.readings.standing(SensorCheck)
            if one.sensor == self.change.sensor and self._when(one) < first
        ]
        if not before or abs(before[-1].bias) <= agreed:
            return Estimate(0.0, 0.0)
        uncertainty = probe_u(self.facts.instruments, before[-1].instrument)
        return Estimate(0.0, 0.0) if uncertainty is None else Estimate(before[-1].bias, uncertainty)

    def _would_prove(self, why: str) -> Words:
        """Say what would close the line."""
        change, agreed = self.change, Amount(assumed().restored, TEMPERATURE_DIFFERENCE)
        if why == "nothing_left.substitute_not_known":
            return Words("correct the entry of the change with what the controller showed then (imitates)")
        if why == "nothing_left.restored_before_change":
            return Words("correct the time of the one or the other, or look and enter it anew")
        if change.kind is ChangeKind.SETTING:
            return words(
                'read "{label}" again: {was}; where the new value is to stay, take out the entry of this change and read the setting back as left',
                label=Words(change.label or ""), was=Words(change.was),
            )  # fmt: skip
        if change.sensor is not None:
            away = "" if change.imitates is None else ", well away from {same}"
            same = Amount(0.0 if change.imitates is None else change.imitates.value, TEMPERATURE)
            return words(
                f"hold a probe beside the {{sensor}} sensor: both within {{agreed}}{away}",
                sensor=Words(change.sensor), agreed=agreed, same=same,
            )  # fmt: skip
        return words(
            "put it back as it was ({was}), look, and enter what is seen there", was=Words(change.was)
        )


def _first_proof(outcomes: list[_Outcome]) -> _Outcome:
    """Return the first reading that proves the return, what comes after it being another matter; else the latest."""
    return next((one for one in outcomes if one.state is LineState.PROVED), outcomes[-1])


def _spoken(text: str) -> list[str]:
    """Return the words of a text in small letters, without what stands between them."""
    return re.findall(r"[\w.%°-]*\w|%", text.casefold())


def _holds(said: list[str], part: str) -> bool:
    """Whether words hold those of a part, one after the other."""
    wanted = _spoken(part)
    starts = range(len(said) - len(wanted) + 1)
    return bool(wanted) and any(said[start : start + len(wanted)] == wanted for start in starts)


def _open() -> _Outcome:
    return _Outcome(LineState.OPEN, Words("not put back"), "nothing_left.open")
