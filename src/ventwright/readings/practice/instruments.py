"""What instruments make of what is there: an offset of their own for the whole job, and scatter from reading to reading."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from random import Random

from ventwright.facts import Instrument
from ventwright.plan.to_prove import probe_uncertainty
from ventwright.quantity import FRACTION, TEMPERATURE_DIFFERENCE
from ventwright.readings.practice.code import PracticeCode
from ventwright.readings.practice.opening import dice_of

TRUSTED = 0.9
"""Of the errors that the verdicts reckon with (our own assumption). [-]"""
UNLISTED_U = 0.25
"""Of a probe that is not listed (our own assumption). [K]"""


@dataclass(slots=True)
class InstrumentErrors:
    """The errors of one reading: the same for the same code and number of the reading."""

    code: PracticeCode
    number: int
    """Of the reading in the job, from 1."""
    instruments: Sequence[Instrument] = ()
    dice: Random = field(init=False)

    def __post_init__(self) -> None:
        """Let the dice of this reading begin."""
        self.dice = dice_of(self.code, f"reading {self.number}")

    def of_kind(self, kind: str, named: str = "") -> Instrument | None:
        """Return the instrument that reads a kind of quantity: the one that is named, else the first."""
        fitting = [one for one in self.instruments if one.kind == kind]
        return next((one for one in fitting if one.id == named), fitting[0] if fitting else None)

    def temperature(self, value: float, named: str = "") -> float:
        """Return what a probe shows of a temperature. [°C]"""
        probe = self.of_kind("temperature", named)
        if probe is None or probe.accuracy.dimension != TEMPERATURE_DIFFERENCE:
            return value + TRUSTED * UNLISTED_U * self.dice.gauss(0.0, 1.0)
        shared, rest = probe_uncertainty(probe)
        own = dice_of(self.code, f"instrument {probe.id}").gauss(0.0, 1.0)
        return value + TRUSTED * (shared * own + rest * self.dice.gauss(0.0, 1.0))

    def share_of(self, value: float, kind: str, otherwise: float) -> float:
        """Return what an instrument shows whose error is a share of the reading; ``otherwise`` where none is listed. [-]"""
        one = self.of_kind(kind)
        listed = one is not None and one.accuracy.dimension is FRACTION
        u = one.accuracy.value / 2.0 if one is not None and listed else otherwise
        own = dice_of(self.code, f"instrument {one.id if one else kind}").gauss(0.0, 1.0)
        return value * (1.0 + TRUSTED * u * (0.8 * own + 0.6 * self.dice.gauss(0.0, 1.0)))

    def about(self, value: float, u: float) -> float:
        """Return a number that is read with a standard uncertainty. [unit of the number]"""
        return value + TRUSTED * u * self.dice.gauss(0.0, 1.0)
