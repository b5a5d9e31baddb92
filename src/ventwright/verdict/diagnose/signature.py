"""What every hypothesis would have one read: worked out when it is first asked for, and then kept."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache
from typing import NamedTuple

from ventwright.physics.rooftop.hardware import Unit
from ventwright.physics.rooftop.operating import Fault
from ventwright.plan.software_fault import made
from ventwright.plan.software_reading import Value
from ventwright.tables.measurement import Measurement
from ventwright.verdict.diagnose.hypothesis import Hypotheses, draws, hypotheses
from ventwright.verdict.diagnose.likelihood import BINS, SPANS, Foreseen, foreseen
from ventwright.verdict.diagnose.roof import Record, Roof, Situation, Values, place_of, values_of
from ventwright.verdict.diagnose.variation import varied

ALIKE = 0.25
"""Share of the finest bin of its range within which a number counts as unchanged: our own assumption. [-]"""


class Case(NamedTuple):
    """A set of faults on one variation of the unit."""

    faults: tuple[int, ...]
    """As places in the list."""
    variation: int
    guessed: bool = False
    """Of a pair: what it would have one read is put together from what each fault alone would."""


@dataclass(slots=True)
class Signatures:
    """The cases of one situation and what each would have one read."""

    situation: Situation
    hypotheses: Hypotheses
    offered: tuple[Measurement, ...]
    roof: Roof
    _units: dict[int, Unit] = field(default_factory=dict)
    _faults: dict[tuple[int, int], tuple[Fault, ...]] = field(default_factory=dict)
    _values: dict[tuple[Case, str], Values] = field(default_factory=dict)
    _foreseen: dict[tuple[Values, str], tuple[tuple[Foreseen, float], ...]] = field(default_factory=dict)
    _records: dict[tuple[tuple[int, ...], int, str], Record] = field(default_factory=dict)

    def values(self, case: Case, measurement: Measurement) -> Values:
        """What one would read if a case were true, instruments without error."""
        key = (case, measurement.id)
        if key not in self._values:
            place = place_of(measurement)
            self._values[key] = (
                self._guessed(case, place, measurement)
                if case.guessed
                else values_of(measurement, self.record(case.faults, case.variation, place))
            )
        return self._values[key]

    def foreseen(self, case: Case, measurement: Measurement) -> tuple[tuple[Foreseen, float], ...]:
        """What one might read if a case were true, and how likely: numbers in bins. [-]"""
        key = (self.values(case, measurement), measurement.id)
        if key not in self._foreseen:
            self._foreseen[key] = foreseen(measurement, key[0], self.difference)
        return self._foreseen[key]

    @property
    def difference(self) -> float:
        """Between return and outdoor air. [K]"""
        return self.situation.indoor.dry_bulb - self.situation.weather.dry_bulb

    def record(self, faults: tuple[int, ...], variation: int, place: str) -> Record:
        """Everything there would be to read in one state."""
        key = (faults, variation, place)
        if key not in self._records:
            self._records[key] = self._made(faults, variation, place)
        return self._records[key]

    def _made(self, faults: tuple[int, ...], variation: int, place: str) -> Record:
        if len(faults) > 1:
            # a fault that by itself changes nothing in this state is taken to change nothing beside another one
            sound = self.record((), variation, place)
            alone = [self.record((one,), variation, place) for one in faults]
            if _all_alike(alone[0], sound):
                return alone[1]
            if _all_alike(alone[1], sound):
                return alone[0]
        listed = [fault for one in faults for fault in self._fault(one, variation)]
        return self.roof.read(self._unit(variation), variation, listed, place)

    def _guessed(self, case: Case, place: str, measurement: Measurement) -> Values:
        """Put together what a pair has one read: what one fault leaves as it was is as the other has it.

        Where both change a number or a word, one or the other prevails, from one variation to the next.
        """
        sound = self.record((), case.variation, place)
        one, other = (self.record((fault,), case.variation, place) for fault in case.faults)
        first, second = (one, other) if case.variation % 2 else (other, one)
        return tuple(
            None
            if name not in sound
            else second[name]
            if _alike(name, first[name], sound[name])
            else first[name]
            for name in (part.reads for part in measurement.parts)
        )

    def _unit(self, variation: int) -> Unit:
        if variation not in self._units:
            variants = self.situation.variants
            self._units[variation] = varied(variants[variation % len(variants)], variation)
        return self._units[variation]

    def _fault(self, place: int, variation: int) -> tuple[Fault, ...]:
        key = (place, variation)
        if key not in self._faults:
            row = self.hypotheses.rows[place]
            self._faults[key] = made(
                row, draws(row.id, variation), self._unit(variation), self.situation.settings
            )
        return self._faults[key]


def _all_alike(one: Record, other: Record) -> bool:
    return all(_alike(name, value, other[name]) for name, value in one.items())


def _alike(reads: str, one: Value, other: Value) -> bool:
    if isinstance(one, str) or isinstance(other, str):
        return one == other
    low, high = SPANS[reads]
    return abs(one - other) < ALIKE * (high - low) / BINS


@lru_cache(maxsize=2)
def signatures(situation: Situation) -> Signatures:
    """Make ready for one situation; what an earlier answer has worked out in the same one serves the next.

    Parameters
    ----------
    situation
        Unit, settings and today's air.

    Returns
    -------
    Signatures
        Ready to be asked.

    References
    ----------
    See ``hypothesis.hypotheses``.
    """
    return Signatures(situation, hypotheses(situation), situation.offered(), Roof(situation))
