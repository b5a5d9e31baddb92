"""How a practice job ended: what was there, what was found, missed or repaired for nothing, what was left, and minutes."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from ventwright.readings import FaultFinding, MixedAir, Noted, Readings, Repaired, TemporaryChange, Withdrawn
from ventwright.readings.fault_finding import COMPLAINT, measurement_named
from ventwright.readings.practice.as_it_stands import as_it_stands, named_by
from ventwright.readings.practice.hidden import HiddenUnit
from ventwright.tables.fault_prior import fault_prior
from ventwright.tables.measurement import measurements
from ventwright.tables.practice import practice_table


@dataclass(frozen=True, slots=True)
class WasThere:
    """One hidden fault, and whether it was put right."""

    id: str
    words: str
    put_right: bool
    behind: str
    """In words, the fault that hid it; empty where none did."""
    shown_by: tuple[str, ...]
    """Measurements that show it by themselves, in words."""


@dataclass(frozen=True, slots=True)
class Ended:
    """How a practice job stands, as if it ended now."""

    there: tuple[WasThere, ...]
    for_nothing: tuple[str, ...]
    """What was repaired and was not there, in words."""
    left_behind: tuple[TemporaryChange, ...]
    minutes: float
    readings: int

    @property
    def missed(self) -> tuple[WasThere, ...]:
        """Hidden faults that are still there."""
        return tuple(one for one in self.there if not one.put_right)

    @property
    def sentence(self) -> str:
        """How it went, in plain words."""
        found, whole = len(self.there) - len(self.missed), len(self.there)
        head = (
            "everything that was there was put right"
            if not self.missed
            else f"{found} of {whole} was put right"
        )
        also = []
        if self.for_nothing:
            also.append(_counted(len(self.for_nothing), "repair was for nothing", "repairs were for nothing"))
        if self.left_behind:
            also.append(_counted(len(self.left_behind), "change was left behind", "changes were left behind"))
        return "; ".join([head, *also])


def _counted(number: int, one: str, several: str) -> str:
    return f"{number} {one if number == 1 else several}"


def how_it_ended(hidden: HiddenUnit, readings: Readings) -> Ended:
    """Hold what was done against what was there.

    Parameters
    ----------
    hidden
        What the code stands for.
    readings
        Of the job.
    """
    standing, rows = as_it_stands(hidden, readings), {row.id: row for row in fault_prior().faults}
    left = {one.row.id for one in standing.left}
    there = {one.row.id for one in hidden.faults}
    offered = {one.id: one.what for one in measurements().offered}
    return Ended(
        tuple(
            WasThere(
                one.row.id, one.row.words, one.row.id not in left, rows[one.behind].words if one.behind else "",
                tuple(dict.fromkeys(offered[name] for name in one.row.proof if name in offered)),
            )
            for one in hidden.faults
        ),
        tuple(_for_nothing(readings, there)),
        standing.changes,
        minutes_of(readings),
        sum(1 for one in readings.entries if not isinstance(one, Withdrawn)),
    )  # fmt: skip


def _for_nothing(readings: Readings, there: set[str]) -> Iterable[str]:
    """Repairs of what was not there; one named by a word for several faults is for nothing where none of them was."""
    rows = {row.id: row.words for row in fault_prior().faults}
    for entry in readings.standing(Repaired):
        ids = named_by(entry.of)
        if ids and not there & set(ids):
            yield rows.get(ids[0], entry.of)


def minutes_of(readings: Readings) -> float:
    """How long the entries of a job take, in the order in which they were made.

    Parameters
    ----------
    readings
        Of the job.

    Returns
    -------
    float
        [min]

    References
    ----------
    Minutes: ``tables/procedures/measurements.toml`` and ``tables/priors/practice.toml`` (our own assumption).
    """
    spent, standing = 0.0, ""
    for entry in sorted(readings.standing(Noted), key=lambda one: one.at):
        if isinstance(entry, FaultFinding) and entry.measurement != COMPLAINT:
            one = measurement_named(entry.measurement)
            moved = one.state is not None and one.state.id != standing
            spent += measurements().between + one.minutes + (one.state.settle if moved and one.state else 0.0)
            standing = one.state.id if one.state else standing
        else:
            spent += _beside(entry)
            standing = "" if isinstance(entry, MixedAir | Repaired) else standing
    return spent


def _beside(entry: Noted) -> float:
    known = practice_table().minutes
    if isinstance(entry, Repaired):
        return known["repair"]
    if isinstance(entry, FaultFinding | Withdrawn):
        return 0.0
    return known.get(str(getattr(entry, "what", "")), known["other"])
