"""The changes of one job in order, and what follows from them: the document, what two people put differently.

A ``Pen`` writes new changes that know what stood there before.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import cached_property
from typing import Any

from ventwright.errors import Refusal, Refused
from ventwright.store.change import Change, Do, new_id, refuse_unfit
from ventwright.store.claims import Claims
from ventwright.store.folding import Folding, in_order, left_out


@dataclass(frozen=True, slots=True)
class Said:
    """What one change says of a place; nothing where it takes it away or leaves it open."""

    change: Change
    value: Any


@dataclass(frozen=True, slots=True)
class Conflict:
    """A place of which two or more people said different things, not knowing of one another.

    ``place`` is as stored, ``shown`` as people read it. The last of ``said`` stands in the document, with what was
    entered in it since, until somebody settles the place with a pen that knows them all.
    """

    place: str
    shown: str
    said: tuple[Said, ...]


class History:
    """What is known of one job: its changes, each once, in order."""

    def __init__(self, job: str, changes: Iterable[Change] = ()) -> None:
        self.job = job
        self.changes = in_order(changes)

    def plus(self, *changes: Change) -> History:
        """Return the history with more changes in it."""
        return History(self.job, (*self.changes, *changes))

    @property
    def document(self) -> dict[str, Any]:
        """The job document, made anew for whoever asks."""
        return self.folding.document()

    @cached_property
    def folding(self) -> Folding:
        """The document with the names of its list items."""
        return Folding(self.changes)

    @cached_property
    def claims(self) -> Claims:
        """Who put what where, as far as it stands."""
        return Claims(self.changes)

    @cached_property
    def undone(self) -> frozenset[str]:
        """Ids of the changes that stand undone."""
        return left_out(self.changes)

    @cached_property
    def conflicts(self) -> tuple[Conflict, ...]:
        """Where people disagree without knowing it, by place."""
        return tuple(
            Conflict(
                place, self.folding.shown_place(place), tuple(Said(change, value) for change, value in said)
            )
            for place, said in sorted(self.claims.disagreements(), key=lambda found: found[0])
        )

    @property
    def last_number(self) -> int:
        """The greatest number of a change; 0 where there is none."""
        return self.changes[-1].number if self.changes else 0


class Pen:
    """Writes changes of one job, each knowing what stood there before and what this pen wrote already.

    Places are given as people read them, list items counted from 1 (``facts.spaces[2].use``). What is written is laid
    into the document as it comes, so that a thousand entries take a thousand times as long as one.
    """

    def __init__(self, history: History, *, device: str, by: str = "", at: datetime | None = None) -> None:
        self.device, self.by, self.at = device, by, at
        self._before, self._written = history, list[Change]()
        self._folding: Folding | None = None
        self._claims: Claims | None = None
        self._number = history.last_number

    @property
    def changes(self) -> tuple[Change, ...]:
        """The changes written so far, to be handed to the store together."""
        return tuple(self._written)

    @property
    def history(self) -> History:
        """The job with what was written so far, made anew for whoever asks."""
        return self._before.plus(*self._written) if self._written else self._before

    def put(self, place: str, value: Any) -> Change:
        """Set a place, or take away what is there with None.

        Raises
        ------
        Refused
            There is no such place in the job.
        """
        stored = self._document().stored_place(place)
        if stored in {"id", "schema_version"}:
            raise Refused(Refusal("stays as it is for the life of a job", "another place", given=place))
        return self._write("put", stored, value, self._said().heads_around(stored))

    def settle(self, stored: str, value: Any) -> Change:
        """Put what a place shall be, where people disagreed: by its stored place, which may be in an item that is gone."""
        return self._write("put", stored, value, self._said().heads_around(stored))

    def append(self, place: str, entry: Any) -> Change:
        """Add an entry to the list at a place."""
        stored = self._document().stored_place(place)
        return self._write("append", stored, entry, self._said().heads_above(stored))

    def undo(self, change: str) -> Change:
        """Take a change back.

        Raises
        ------
        Refused
            The job has no change of that id.
        """
        if change not in {one.id for one in self.history.changes}:
            raise Refused(Refusal("is no change of this job", "the id of one that is", given=change))
        return self._write("undo", "", change, ())

    def redo(self, change: str) -> tuple[Change, ...]:
        """Bring back a change that was taken back, by however many people."""
        history = self.history
        undos = [one for one in history.changes if one.do == "undo" and one.value == change]
        return tuple(self.undo(one.id) for one in undos if one.id not in history.undone)

    def copy_put(self, stored: str, value: Any) -> Change:
        """Set a place to what a copy of unknown age says: it stands below all that was put here, and disagrees."""
        return self._write("put", stored, value, (), number=0)

    def _document(self) -> Folding:
        if not self._written:
            return self._before.folding  # shared with others: nothing is laid into it
        if self._folding is None:
            self._folding = Folding(self.history.changes)
        return self._folding

    def _said(self) -> Claims:
        if not self._written:
            return self._before.claims
        if self._claims is None:
            self._claims = Claims(self.history.changes)
        return self._claims

    def _write(
        self, do: Do, path: str, value: Any, over: tuple[str, ...], number: int | None = None
    ) -> Change:
        change = Change(
            id=new_id(),
            job=self._before.job,
            number=self._number + 1 if number is None else number,
            at=self.at or datetime.now(UTC),
            device=self.device,
            by=self.by,
            do=do,
            path=path,
            value=value,
            over=over,
        )
        refuse_unfit(change)
        self._written.append(change)
        self._laid(change)
        return change

    def _laid(self, change: Change) -> None:
        """Lay a change into what is known, or forget that where the change does not come last."""
        if change.do == "undo" or change.number <= self._number:
            self._folding = self._claims = None
        else:
            if self._folding is not None:
                self._folding.lay(change)
            if self._claims is not None:
                self._claims.lay(change)
        self._number = max(self._number, change.number)
