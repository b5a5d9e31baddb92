"""What each place of a job ever said: whether what a copy says stood here before, so that the copy is only older."""

from __future__ import annotations

from typing import Any

from ventwright.store.change import Change
from ventwright.store.claims import at_place, claimed_by
from ventwright.store.folding import Folding
from ventwright.store.history import History
from ventwright.store.place import Steps, steps_of


class Past:
    """The changes of one job by the places they touch: looked through once, then asked of any number of places."""

    def __init__(self, history: History) -> None:
        self._history = history
        self._by_id = {change.id: change for change in history.changes}
        self._at: dict[Steps, list[Change]] = {}
        self._below: dict[Steps, list[Change]] = {}
        self._undos: dict[str, list[Change]] = {}
        for change in history.changes:
            if change.do == "undo":
                self._undos.setdefault(change.value, []).append(change)
                continue
            claimed = claimed_by(change)
            self._at.setdefault(claimed, []).append(change)
            for number in range(len(claimed)):
                self._below.setdefault(claimed[:number], []).append(change)

    def said(self, stored: str, value: Any) -> bool:
        """Whether a place said this at any time.

        Parameters
        ----------
        stored
            The place as it is stored.
        value
            What a copy says of it.
        """
        if any(one == value for one in self._history.claims.ever_said(stored)):
            return True
        steps = steps_of(stored)
        touching = self._touching(steps)
        return any(
            at_place(Folding(touching[:number], self._by_id).document(), steps) == value
            for number in range(1, len(touching) + 1)
        )

    def _touching(self, steps: Steps) -> list[Change]:
        """Return the changes of a place, of what holds it and of what it holds, with what takes one of them back."""
        found = [one for number in range(len(steps) + 1) for one in self._at.get(steps[:number], ())]
        found += self._below.get(steps, ())
        for one in found:  # grows while it is read: an undo may itself be taken back
            found += self._undos.get(one.id, ())
        return sorted(found, key=lambda one: one.order)
