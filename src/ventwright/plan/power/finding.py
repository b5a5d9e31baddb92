"""One finding about the control power: what was looked at, how it came out, and what to do."""

from __future__ import annotations

from dataclasses import dataclass

from ventwright.evidence import Estimate, Limits, Verdict, verdict
from ventwright.plan.concerns import Weight
from ventwright.tables import control_power
from ventwright.words import Amount, Words

Amounts = dict[str, Amount | Words]
"""What stands in the braces of a sentence."""


@dataclass(frozen=True, slots=True)
class PowerFinding:
    """A stable name, the part it is about, its verdict, how serious that is, and what to do where it does not pass.

    Weighed as a conflict, a finding that fails or cannot be told keeps power from going on; as advice it does not.
    """

    name: str
    about: str
    verdict: Verdict
    weight: Weight
    sentence: Words
    do: Words | None
    source: str

    @property
    def stops(self) -> bool:
        """Whether it has to be settled before power goes on."""
        return self.weight is Weight.CONFLICT and self.verdict is not Verdict.PASSES


@dataclass(frozen=True, slots=True)
class Case:
    """What to say and to do for one outcome of a check."""

    sentence: Words
    do: Words | None = None
    weight: Weight = Weight.CONFLICT


def nominal(value: float, unit: str = "V") -> Words:
    """Word a nominal value or a limit as it is printed on things: 208 V, not 208.00 V; the same in both systems."""
    return Words(f"{value:.4g} {unit}")


def finding(name: str, about: str, outcome: Verdict, case: Case, source: str) -> PowerFinding:
    """Build a finding; where it passes there is nothing to do."""
    do = None if outcome is Verdict.PASSES else case.do
    return PowerFinding(name, about, outcome, case.weight, case.sentence, do, source)


def overall(findings: tuple[PowerFinding, ...]) -> Verdict:
    """Tell whether the control power holds, as far as the findings that count as conflicts can tell."""
    stopping = {one.verdict for one in findings if one.stops}
    if Verdict.FAILS in stopping:
        return Verdict.FAILS
    return Verdict.CANNOT_TELL if stopping else Verdict.PASSES


def held(amount: Amount, at_least: float | None, at_most: float | None) -> Verdict:
    """Judge an amount against limits, with its uncertainty."""
    return verdict(Estimate(amount.value, amount.uncertainty or 0.0), Limits(at_least, at_most))


def voltage_limits(rated: float, *, pulling_in: bool) -> tuple[float, str]:
    """Return the least voltage that is accepted and where that stands.

    Parameters
    ----------
    rated
        Rated secondary voltage. [V]
    pulling_in
        Whether it is for the moment in which a coil pulls in; else for everything running with something to spare.
    """
    accepted = control_power.accepted("pull_in" if pulling_in else "running")
    return rated * (accepted.least or 0.0), accepted.source
