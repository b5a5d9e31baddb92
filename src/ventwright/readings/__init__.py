"""What was seen: visits, and one list of entries that only grows."""

from __future__ import annotations

from typing import Self, TypeVar

from pydantic import Field, model_validator

from ventwright.entry import Entry
from ventwright.errors import Refusal, Refused, refuse_word
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
        mistakes = [
            *_twice("visits", "an earlier visit", [visit.id for visit in self.visits]),
            *_twice("entries", "an earlier entry", [entry.id for entry in self.entries]),
            *_twice("photos", "an earlier photo", [photo.id for photo in self.photos]),
        ]
        visits, earlier = {visit.id for visit in self.visits}, dict[str, Noted]()
        for number, entry in enumerate(self.entries, start=1):
            mistakes += _dangling(f"entries[{number}]", entry, visits, earlier)
            earlier[entry.id] = entry
        for number, photo in enumerate(self.photos, start=1):
            mistakes += _unknown_visit(photo.visit, visits, f"photos[{number}].visit")
        if mistakes:
            raise Refused(*mistakes)
        return self

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


def _twice(where: str, whose: str, ids: list[str]) -> list[Refusal]:
    first = {one: number for number, one in reversed(list(enumerate(ids, start=1)))}
    return [
        Refusal(f"is the id of {whose}", "an id of its own for each", f"{where}[{number}].id", one)
        for number, one in enumerate(ids, start=1)
        if first[one] < number
    ]


def _unknown_visit(named: str | None, visits: set[str], where: str) -> tuple[Refusal, ...]:
    if named is None or named in visits:
        return ()
    known = sorted(visits) or ["a visit listed under readings.visits"]
    return refuse_word(named, known, "a visit of this job", where).refusals


def _dangling(where: str, entry: Noted, visits: set[str], earlier: dict[str, Noted]) -> list[Refusal]:
    """Names in an entry that point to nothing."""
    mistakes = list(_unknown_visit(entry.visit, visits, f"{where}.visit"))
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
    if isinstance(entry, Restored) and not isinstance(earlier.get(entry.change), TemporaryChange):
        changes = [one.id for one in earlier.values() if isinstance(one, TemporaryChange)]
        accepted = ", ".join(changes) or "the id of a temporary change above"
        mistakes.append(Refusal("is no temporary change", accepted, f"{where}.change", entry.change))
    if isinstance(entry, StepSeen):
        changes = [one.id for one in earlier.values() if isinstance(one, TemporaryChange)]
        accepted = ", ".join(changes) or "the id of a temporary change above"
        mistakes += [
            Refusal("is no temporary change", accepted, f"{where}.changes", one)
            for one in entry.changes
            if one not in changes
        ]
    return mistakes


__all__ = [
    "AnyEntry", "AtDamper", "CarbonDioxide", "ChangeKind", "DamperStands", "FaultFinding", "Humidity", "LeftSafe", "MixedAir", "Noted", "OutdoorAirflow", "Photo", "ProbesSideBySide", "Readings",
    "Repaired", "Restored", "SensorCheck", "SettingRead", "StepSeen", "SupplyAir", "TemporaryChange", "Tick", "Visit", "Withdrawn", "wrong_instrument",
]  # fmt: skip
