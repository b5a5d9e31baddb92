"""What every hypothesis would have one read: worked out when it is first asked for, and then kept."""

from __future__ import annotations

from dataclasses import dataclass, field

from ventwright.physics.rooftop.hardware import Unit
from ventwright.physics.rooftop.operating import Fault
from ventwright.tables.measurement import Measurement
from ventwright.verdict.diagnose.fault import made
from ventwright.verdict.diagnose.hypothesis import Hypotheses, draws, hypotheses
from ventwright.verdict.diagnose.likelihood import Foreseen, foreseen
from ventwright.verdict.diagnose.roof import Record, Roof, Situation, Values, place_of, values_of
from ventwright.verdict.diagnose.variation import varied

Case = tuple[tuple[int, ...], int]
"""A set of faults, as places in the list, on one variation of the unit."""


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
    _foreseen: dict[tuple[Case, str], tuple[tuple[Foreseen, float], ...]] = field(default_factory=dict)
    _records: dict[tuple[tuple[int, ...], int, str], Record] = field(default_factory=dict)

    def values(self, case: Case, measurement: Measurement) -> Values:
        """What one would read if a case were true, instruments without error."""
        key = (case, measurement.id)
        if key not in self._values:
            self._values[key] = values_of(measurement, self.record(*case, place_of(measurement)))
        return self._values[key]

    def foreseen(self, case: Case, measurement: Measurement) -> tuple[tuple[Foreseen, float], ...]:
        """What one might read if a case were true, and how likely: numbers in bins. [-]"""
        key = (case, measurement.id)
        if key not in self._foreseen:
            self._foreseen[key] = foreseen(measurement, self.values(case, measurement), self.difference)
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
            if alone[0] == sound:
                return alone[1]
            if alone[1] == sound:
                return alone[0]
        listed = [fault for one in faults for fault in self._fault(one, variation)]
        return self.roof.read(self._unit(variation), variation, listed, place)

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


def signatures(situation: Situation) -> Signatures:
    """Make ready for one situation; nothing is worked out yet.

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
