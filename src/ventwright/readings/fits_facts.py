"""Whether what was chosen and read names what the facts of the job hold: fan speeds, steps, settings, instruments."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import TypeVar

from ventwright.errors import Attempt, Refusal, Refused, Unread, refuse_every, refuse_those, refuse_word
from ventwright.facts import Facts
from ventwright.plan import Choice, Plan, make_plan
from ventwright.plan.basis import speeds_of
from ventwright.plan.functional_tests.applies import chosen_steps
from ventwright.readings.changes import LeftSafe, TemporaryChange
from ventwright.readings.entries import MixedAir, SettingRead, SupplyAir
from ventwright.readings.fault_finding import FaultFinding
from ventwright.readings.fits_kit import setting_mistakes, signal_mistakes, value_mistakes
from ventwright.readings.noted import Noted
from ventwright.readings.step_seen import StepSeen
from ventwright.readings.streams import AtDamper
from ventwright.readings.taken_with import wrong_instrument
from ventwright.tables.kit import Kit
from ventwright.tables.procedure import step_words
from ventwright.tables.shelf import find

Part = TypeVar("Part")


class Known:
    """What the facts hold, each worked out once; what they were refused for is not known."""

    def __init__(self, facts: Facts, beside: Path | None) -> None:
        self.facts = facts
        self._beside = beside
        self._plan: Plan | None = None
        self._kit: Kit | None = None
        self._speeds: tuple[str, ...] | None = None

    def look_at_plan(self) -> None:
        """Make the plan; what follows is held against it.

        Raises
        ------
        Refused
            Every mistake in the facts.
        Unread
            The plan hangs on a part that was refused.
        """
        self._plan = make_plan(self.facts, beside=self._beside)

    def kit(self) -> Kit:
        """Return the kit that the facts name; raises Unread where it is not there, which the plan says."""
        if self._kit is None:
            self._kit = _told(lambda: find("kits", self.facts.kit, Kit, self._beside))
        return self._kit

    def speeds(self) -> tuple[str, ...]:
        """Return the names of the fan speeds; raises Unread where the facts do not tell them."""
        if self._speeds is None:
            self._speeds = _told(lambda: tuple(one.name for one in speeds_of(self.facts, self._beside)))
        return self._speeds

    def steps(self) -> tuple[str, ...]:
        """Return the steps of the functional tests that apply; raises Unread where there is no plan."""
        if self._plan is None:
            raise Unread
        return tuple(one.id for one in chosen_steps(self.facts, self._plan))


def _told(look: Callable[[], Part]) -> Part:
    """Return a part of the facts, which is not known where it is refused: that is told by itself."""
    try:
        return look()
    except Refused:
        raise Unread from None


def refuse_choices(choices: Sequence[Choice], known: Known) -> None:
    """Refuse settings that were chosen and that this kit does not have, or not so.

    Raises
    ------
    Refused
        Every one of them.
    Unread
        None is refused, and some hang on a part that was.
    """
    refuse_every(
        partial(_refuse_choice, choice, known, f"plan.choices[{number}]")
        for number, choice in enumerate(choices, start=1)
    )


def refuse_entries(entries: Sequence[Noted], known: Known) -> None:
    """Refuse names and values in the readings that the facts do not know.

    Raises
    ------
    Refused
        Every one of them.
    Unread
        None is refused, and some hang on a part that was.
    """
    refuse_every(_each_look(entries, known))


def _each_look(entries: Sequence[Noted], known: Known) -> Iterator[Attempt]:
    for number, entry in enumerate(entries, start=1):
        where = f"readings.entries[{number}]"
        yield partial(_refuse_other_speed, entry, known, where)
        yield partial(_refuse_other_step, entry, known, where)
        yield partial(_refuse_other_kit, entry, known, where)
        yield partial(_refuse_instruments, entry, known, where)


def _refuse_choice(choice: Choice, known: Known, where: str) -> None:
    refuse_those(setting_mistakes(known.kit(), choice.label, choice.value, where))


def _refuse_other_speed(entry: Noted, known: Known, where: str) -> None:
    if isinstance(entry, SupplyAir | MixedAir | AtDamper | StepSeen) and entry.speed is not None:
        refuse_those(_unknown_word(entry.speed, known.speeds(), "a fan speed of this unit", f"{where}.speed"))


def _refuse_other_step(entry: Noted, known: Known, where: str) -> None:
    if isinstance(entry, StepSeen):
        what = "a step that applies to this unit"
        applying = {id_: step_words(id_) for id_ in known.steps()}
        refuse_those(_unknown_word(entry.step, applying, what, f"{where}.step"))


def _refuse_other_kit(entry: Noted, known: Known, where: str) -> None:
    if isinstance(entry, SettingRead | TemporaryChange):
        refuse_those(value_mistakes(known.kit(), entry, where))
    if isinstance(entry, MixedAir | AtDamper | LeftSafe):
        refuse_those(signal_mistakes(known.kit(), entry, where))
    if isinstance(entry, FaultFinding):
        refuse_those(entry.signal_mistakes(known.kit().damper_signal, where))


def _refuse_instruments(entry: Noted, known: Known, where: str) -> None:
    """Refuse instruments that are not listed, and those that are for something else."""
    named = entry.instruments_used()
    refuse_every((
        *(partial(_refuse_strange_instrument, given, known, f"{where}.{field}") for field, given in named.items()),
        lambda: refuse_those(wrong_instrument(entry, known.facts.instruments, where)) if named else None,
    ))  # fmt: skip


def _refuse_strange_instrument(given: str, known: Known, where: str) -> None:
    ids = {instrument.id: instrument.name for instrument in known.facts.instruments}
    refuse_those(_unknown_word(given, ids, "an instrument of this job (facts.instruments)", where))


def _unknown_word(
    given: str, known: Sequence[str] | Mapping[str, str], what: str, where: str
) -> tuple[Refusal, ...]:
    return () if given in known else refuse_word(given, known, what, where).refusals
