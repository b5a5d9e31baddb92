"""The form of one reading: its questions with what stands in them, and the entry that comes of it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from enum import Enum
from functools import cached_property
from typing import Any

from ventwright.errors import Refusal, Refused
from ventwright.job import Worked
from ventwright.quantity import TEMPERATURE, TEMPERATURE_DIFFERENCE, Quantity, read
from ventwright.readings import Noted
from ventwright.tables import prior
from ventwright.web.balance_blocks import Stand, stand_typed
from ventwright.web.desk import Opened
from ventwright.web.form import Asked, Option, Question, filled, parted
from ventwright.web.last_read import last_instruments, last_method, last_value
from ventwright.web.reading_kinds import (
    TAKEN_WITH,
    ReadingKind,
    entered,
    fields_of,
    probe_questions,
    probes_entered,
    questions,
    said,
    written_points,
)


def damper_signal(worked: Worked, typed: str) -> Quantity:
    """Read a damper signal as a share of full stroke, with its ±. [-]

    Raises
    ------
    Refused
        It is no signal, or none of this kit's.
    """
    return worked.plan.kit.damper_signal.read(typed)


@dataclass(frozen=True)
class ReadingForm:
    """One form: its job, speed, signal and kind of reading, which of its screens, what was typed, what it corrects."""

    opened: Opened
    worked: Worked
    kind: ReadingKind
    speed: str
    damper: str
    screen: int = 0
    typed: Mapping[str, str] | None = None
    earlier: Noted | None = None
    fields: tuple[str, ...] | None = None
    refusals: Sequence[Refusal] = field(default=())

    @property
    def place(self) -> str:
        """Where the entry will stand in the document."""
        return f"readings.entries[{len(self.opened.entries) + 1}]"

    @property
    def last_screen(self) -> bool:
        """Whether the reading is entered from this screen."""
        return self.screen == len(self.kind.screens) - 1

    @cached_property
    def at(self) -> Stand | None:
        """Where the damper stands; None where that cannot be read."""
        try:
            return stand_typed(self.worked.plan, damper_signal(self.worked, self.damper))
        except Refused:
            return None

    @cached_property
    def questions(self) -> list[Question]:
        """What this screen asks, instruments aside."""
        instruments, system = self.worked.job.facts.instruments, self.opened.system
        if self.kind.name == "side-by-side":
            return probe_questions(instruments, self.place, self.typed or {}, system)
        names = self.fields or fields_of(self.kind, self.screen)
        asked = questions(self.kind, names, self.place, instruments, system)
        speeds = tuple(Option(one.name, one.name) for one in self.worked.plan.speeds)
        asked = [replace(one, dimensions=self.worked.plan.kit.damper_signal.typed_in) if one.name == "damper_signal" else one for one in asked]  # fmt: skip
        return [replace(one, kind="choice", options=speeds) if one.name == "speed" else one for one in asked]

    @cached_property
    def instrument_questions(self) -> list[Question]:
        """With what it is read: shown with what was used last, and seldom changed."""
        instruments = self.worked.job.facts.instruments
        return questions(self.kind, self.kind.instruments, self.place, instruments, self.opened.system)

    @property
    def everything(self) -> list[Question]:
        """Every question of the kind: for the entry, whatever screen they were asked on."""
        if self.kind.name == "side-by-side":
            return self.questions
        instruments, system = self.worked.job.facts.instruments, self.opened.system
        own = {one.name for one in self.questions}
        rest = [one for one in fields_of(self.kind) if one not in own]
        return [
            *self.questions,
            *questions(self.kind, rest, self.place, instruments, system),
            *self.instrument_questions,
        ]

    def asked(self) -> list[Asked]:
        """Return the questions of this screen with what stands in them."""
        return [self._filled(one) for one in self.questions]

    def instruments(self) -> list[Asked]:
        """Return the questions for instruments with what was used last."""
        if self.typed is not None and any(one.name in self.typed for one in self.instrument_questions):
            return filled(self.instrument_questions, {}, typed=self.typed, refusals=self.refusals)
        used = self._used()
        return [
            replace(asked, given=used.get(asked.question.name, ""))
            for asked in filled(self.instrument_questions, {}, refusals=self.refusals)
        ]

    def _used(self) -> Mapping[str, str]:
        if self.earlier is not None:
            return self.earlier.instruments_used()
        facts, readings = self.worked.job.facts, self.worked.job.readings
        return last_instruments(facts, readings, self.kind, TAKEN_WITH[self.kind.what])

    def read_with(self) -> str:
        """Name what it is read with, empty where nothing fits."""
        chosen = {one.given for one in self.instruments() if one.given}
        listed = [one for one in self.worked.job.facts.instruments if one.id in chosen]
        return "; ".join(said(one) for one in listed)

    def none_fits(self) -> bool:
        """Whether no instrument of the job could have read this."""
        return any(one.name == "instrument" and not one.options for one in self.instrument_questions)

    def _filled(self, one: Question) -> Asked:
        (asked,) = filled([one], {}, typed=self.typed, refusals=self.refusals)
        if self.typed is not None and one.name in self.typed:
            return asked
        if self.earlier is not None:
            return _with(asked, *_written(self.earlier, one))
        if one.name == "method":
            return replace(asked, given=last_method(self.worked.job.readings, self.kind))
        last = last_value(self.worked.job.facts, self.worked.job.readings, one.name)
        if last is None:
            return asked
        if not last.stands:
            return replace(asked, question=replace(one, help=last.said), offered=(last.typed,))
        number, unit = parted(last.typed, one)
        return replace(asked, question=replace(one, help=last.said), given=number, unit=unit)

    def carried(self) -> list[tuple[str, str]]:
        """Return what other screens of this reading were told, to be sent along unseen."""
        shown = {one.name for one in (*self.questions, *self.instrument_questions)}
        names = [name for one in fields_of(self.kind) if one not in shown for name in (one, f"{one}.unit")]
        return [(name, self.typed[name]) for name in names if self.typed and self.typed.get(name)]

    def entry(self) -> dict[str, Any]:
        """Return the fields of the entry.

        Raises
        ------
        Refused
            No probe was read, or the signal is none of this kit's.
        """
        typed = self.typed or {}
        if self.kind.name == "side-by-side":
            return {"probes": probes_entered(self.questions, typed)}
        found = entered(self.kind, self.everything, typed)
        if self.kind.of_speed:
            found.setdefault("speed", self.speed)
        if self.kind.at_damper:
            found.setdefault("damper_signal", self.damper)
        return found

    def layers(self) -> dict[str, float]:
        """Spread of the mixed-air points above which they stand in layers, by the unit on the page; empty where not known."""
        typed = self.typed or {}
        ends = []
        for name in ("outdoor_air", "return_air"):
            number, unit = typed.get(name, ""), typed.get(f"{name}.unit", "")
            try:
                ends.append(
                    read(number if any(map(str.isalpha, number)) else f"{number} {unit}", TEMPERATURE).value
                )
            except Refused:
                return {}
        most = prior.mixed_air().stratified_above * abs(ends[1] - ends[0])
        units = {"°C": TEMPERATURE_DIFFERENCE.si, "°F": TEMPERATURE_DIFFERENCE.us}
        return {name: round(most / unit.factor, 2) for name, unit in units.items()}


def _with(asked: Asked, given: str, unit: str) -> Asked:
    return replace(asked, given=given, unit=unit)


def _written(earlier: Noted, one: Question) -> tuple[str, str]:
    """Return what an earlier entry holds for a question, and its unit."""
    if one.name == "band":
        return "", ""
    if one.name == "mixed_air":
        return written_points([str(point) for point in getattr(earlier, "mixed_air", ())])
    if one.name.startswith("shows."):
        shown = {probe.instrument: probe.shows for probe in getattr(earlier, "probes", ())}
        held: Any = shown.get(one.name.removeprefix("shows."))
    else:
        held = getattr(earlier, one.name, None)
    if held is None:
        return "", ""
    if isinstance(held, Enum):
        return str(held.value), ""
    text = str(held)
    return parted(text, one) if isinstance(held, Quantity) else (text, "")


def first_screen_of(form: ReadingForm, refusals: Sequence[Refusal]) -> int:
    """Return the first screen on which something was refused, that of the form where it is none of them."""
    wrong = {name for one in refusals for name in _fields_in(one.where, form.place)}
    for number, names in enumerate(form.kind.screens):
        if wrong & set(names):
            return number
    return form.screen


def _fields_in(where: str, place: str) -> Iterator[str]:
    if where.startswith(f"{place}."):
        yield where.removeprefix(f"{place}.").partition("[")[0].partition(".")[0]
