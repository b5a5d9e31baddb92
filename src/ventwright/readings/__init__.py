"""What was seen: visits, and one list of entries that only grows."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import partial
from typing import Self, TypeVar

from pydantic import Field, model_validator

from ventwright.entry import Entry
from ventwright.errors import Attempt, Refusal, Refused, refuse_every, refuse_word
from ventwright.readings.changes import ChangeKind, DamperStands, LeftSafe, Restored, TemporaryChange
from ventwright.readings.entries import (
    AnyEntry,
    MixedAir,
    SensorCheck,
    SettingRead,
    SupplyAir,
    Tick,
    Withdrawn,
)
from ventwright.readings.fault_finding import FaultFinding
from ventwright.readings.noted import Noted
from ventwright.readings.photo import Photo
from ventwright.readings.step_seen import Repaired, StepSeen
from ventwright.readings.streams import AtDamper, CarbonDioxide, Humidity, OutdoorAirflow, ProbesSideBySide
from ventwright.readings.taken_with import wrong_instrument
from ventwright.readings.visit import Visit

Kind = TypeVar("Kind", bound=Noted)


class Readings(Entry):
    """The third section of a job."""

    visits: tuple[Visit, ...] = ()
    entries: tuple[AnyEntry, ...] = Field((), description="append only; a correction is a new entry")
    photos: tuple[Photo, ...] = Field(
        (), description="what photos show; the pictures are kept beside the job"
    )

    @model_validator(mode="after")
    def _hangs_together(self) -> Self:
        refuse_every((
            lambda: _refuse_twice("visits", "an earlier visit", self.visits),
            lambda: _refuse_twice("entries", "an earlier entry", self.entries),
            lambda: _refuse_twice("photos", "an earlier photo", self.photos),
            self._refuse_unknown_visits,
            self._refuse_dangling,
        ))  # fmt: skip
        return self

    def _refuse_unknown_visits(self) -> None:
        visits = {visit.id for visit in self.visits}
        listed: tuple[tuple[str, Sequence[Noted | Photo]], ...] = (
            ("entries", self.entries),
            ("photos", self.photos),
        )
        refuse_every(
            partial(_refuse_unknown_visit, one, visits, f"{where}[{number}]")
            for where, parts in listed
            for number, one in enumerate(parts, start=1)
        )

    def _refuse_dangling(self) -> None:
        """Look at what entries say of earlier ones, down to the first that could not be read: any may be meant by it."""
        refuse_every(self._each_beside_the_earlier())

    def _each_beside_the_earlier(self) -> Iterator[Attempt]:
        earlier: dict[str, Noted] = {}
        for number, entry in enumerate(self.entries, start=1):
            where = f"entries[{number}]"
            yield partial(_refuse_wrong_correction, where, entry, earlier)
            yield partial(_refuse_unknown_changes, where, entry, earlier)
            earlier[entry.id] = entry

    def standing(self, kind: type[Kind]) -> tuple[Kind, ...]:
        """Entries of one kind that no later entry has corrected or withdrawn, by time."""
        replaced = {entry.corrects for entry in self.entries}
        kept = [entry for entry in self.entries if isinstance(entry, kind) and entry.id not in replaced]
        return tuple(sorted(kept, key=lambda entry: entry.at))

    def settings_left(self) -> dict[str, SettingRead]:
        """The latest reading of each setting, by the kit's label in small letters."""
        return {entry.label.lower(): entry for entry in self.standing(SettingRead)}

    def sensors_checked(self) -> tuple[SensorCheck, ...]:
        """The latest check of each sensor."""
        return tuple({entry.sensor: entry for entry in self.standing(SensorCheck)}.values())

    def first_wording(self, change: TemporaryChange) -> Noted:
        """Return the entry in which a change was first entered, which says when it was made."""
        by_id = {entry.id: entry for entry in self.entries}
        first: Noted = change
        while first.corrects is not None:
            first = by_id[first.corrects]
        return first

    def restoration_of(self, change: TemporaryChange) -> Restored | None:
        """Return the latest word that a change was put back; one that names an earlier wording of it counts too."""
        corrected = {entry.id: entry.corrects for entry in self.entries}
        wordings, earlier = {change.id}, change.corrects
        while earlier is not None:
            wordings.add(earlier)
            earlier = corrected.get(earlier)
        found = [entry for entry in self.standing(Restored) if entry.change in wordings]
        return found[-1] if found else None


def _refuse_twice(where: str, whose: str, parts: Sequence[Noted | Visit | Photo]) -> None:
    """Refuse every id that stands a second time; a part whose id could not be read is told already."""
    seen: set[str] = set()

    def look(number: int, part: Noted | Visit | Photo) -> None:
        if part.id in seen:
            problem, accepted = f"is the id of {whose}", "an id of its own for each"
            raise Refused(Refusal(problem, accepted, f"{where}[{number}].id", part.id))
        seen.add(part.id)

    refuse_every(partial(look, number, part) for number, part in enumerate(parts, start=1))


def _refuse_unknown_visit(noted: Noted | Photo, visits: set[str], where: str) -> None:
    if noted.visit is not None and noted.visit not in visits:
        known = sorted(visits) or ["a visit listed under readings.visits"]
        raise refuse_word(noted.visit, known, "a visit of this job", f"{where}.visit")


def _refuse_wrong_correction(where: str, entry: Noted, earlier: Mapping[str, Noted]) -> None:
    """Refuse an entry that corrects none, or one that it cannot stand for."""
    mistakes: list[Refusal] = []
    if entry.corrects is not None and entry.corrects not in earlier:
        mistakes.append(
            Refusal("is no earlier entry", "the id of an entry above", f"{where}.corrects", entry.corrects)
        )
    if isinstance(entry, Withdrawn) and entry.corrects is None:
        mistakes.append(Refusal("is missing", "the id of the entry that is taken back", f"{where}.corrects"))
    replaced = earlier.get(entry.corrects or "")
    if isinstance(replaced, TemporaryChange) and not isinstance(entry, TemporaryChange | Withdrawn):
        problem = "is a temporary change, and nothing else stands for one: it may still be there"
        accepted = "a temporary change in its place, or withdrawn with a note"
        mistakes.append(Refusal(problem, accepted, f"{where}.corrects", entry.corrects or ""))
    if isinstance(entry, Withdrawn) and isinstance(replaced, TemporaryChange) and not entry.note:
        problem = "is missing for a temporary change that is taken back: it may still be there"
        mistakes.append(Refusal(problem, "why this line does not count", f"{where}.note"))
    if mistakes:
        raise Refused(*mistakes)


def _refuse_unknown_changes(where: str, entry: Noted, earlier: Mapping[str, Noted]) -> None:
    """Refuse a word that something was put back, or used in a step, which nobody changed."""
    named: tuple[str, ...]
    if isinstance(entry, Restored):
        named, where = (entry.change,), f"{where}.change"
    elif isinstance(entry, StepSeen):
        named, where = entry.changes, f"{where}.changes"
    else:
        return
    changes = {one.id: one.point for one in earlier.values() if isinstance(one, TemporaryChange)}
    accepted = (
        "; ".join(f"{one}: {name}" for one, name in changes.items()) or "the id of a temporary change above"
    )
    mistakes = [
        Refusal("is no temporary change", accepted, where, one) for one in named if one not in changes
    ]
    if mistakes:
        raise Refused(*mistakes)


__all__ = [
    "AnyEntry", "AtDamper", "CarbonDioxide", "ChangeKind", "DamperStands", "FaultFinding", "Humidity", "LeftSafe", "MixedAir", "Noted", "OutdoorAirflow", "Photo", "ProbesSideBySide", "Readings",
    "Repaired", "Restored", "SensorCheck", "SettingRead", "StepSeen", "SupplyAir", "TemporaryChange", "Tick", "Visit", "Withdrawn", "wrong_instrument",
]  # fmt: skip
