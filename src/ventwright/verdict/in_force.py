"""Whether a temporary change was in force when something else was read or seen."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime

from ventwright.readings import Noted, Readings, TemporaryChange
from ventwright.verdict.ledger import Line


@dataclass(frozen=True, slots=True)
class InForce:
    """Everything that was changed for tests, with the line of the ledger of each change by its id."""

    readings: Readings
    lines: Mapping[str, Line]

    def at(self, change: TemporaryChange, entry: Noted) -> bool:
        """Whether a change was made before an entry, and neither put back nor proved back by then."""
        then = self._when(entry)
        if self._when(self.readings.first_wording(change)) > then:
            return False
        return all(back > then for back in self._ends(change))

    def _ends(self, change: TemporaryChange) -> Iterator[tuple[datetime, int]]:
        back, line = self.readings.restoration_of(change), self.lines.get(change.id)
        if back is not None:
            yield self._when(back)
        if line is not None and line.closed:
            yield from (self._when(one) for one in self.readings.entries if one.id in line.readings)

    def _when(self, entry: Noted) -> tuple[datetime, int]:
        """Return the time of an entry, and its place in the list where two are of one moment."""
        return entry.at, [one.id for one in self.readings.entries].index(entry.id)
