"""Two transformers wired together: what a meter reads between their hots in phase and out of phase, and which it is."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from ventwright.evidence import ACCEPTED_RISK, Verdict
from ventwright.facts.instrument import Instrument
from ventwright.facts.power import Join
from ventwright.physics.circuit import voltage_between
from ventwright.plan.concerns import Weight
from ventwright.plan.power.budget import TransformerBudget
from ventwright.plan.power.finding import Amounts, Case, PowerFinding, finding, nominal
from ventwright.plan.power.secondary import metered_voltage
from ventwright.quantity import VOLTAGE
from ventwright.tables.class_2 import highest_voltage, interconnection
from ventwright.words import Amount, Words, chance, measured, words

ANGLES = {"in phase": 0.0, "out of phase": math.pi}
OTHER_LEGS = (math.pi / 3.0, 2.0 * math.pi / 3.0)
"""Between secondaries whose primaries hang on different pairs of a three-phase supply, the one way round and the other."""

NO_FIT = 3.0
"""Standard uncertainties beyond which a reading speaks for no angle."""

OF_THE_CIRCUIT = "phasors; the check itself: common practice, no published source"

CHECK = (
    "before anything else is joined: power off, tie the two commons with one wire, power on, meter between the two hots. "
    "{in_phase} or near it: in phase. {out}: out of phase, change over the two secondary wires of one transformer, power off, "
    "and meter again. {legs}: the primaries hang on different legs. The one wire is a temporary change: note it, and take it "
    "out again unless the commons are to stay tied"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class JoinPlan:
    """Two transformers and what a meter reads between their hots, commons tied and nothing on."""

    transformers: tuple[str, str]
    tied: str
    reads_in_phase: float = measured(VOLTAGE)
    reads_out_of_phase: float = measured(VOLTAGE)
    reads_on_other_legs: tuple[float, float] = measured(VOLTAGE)
    between_hots: Amount | None = measured(VOLTAGE)  # noqa: RUF009 - a field that may be empty still names its unit
    probability_in_phase: float | None
    fits: bool
    """Whether the reading lies near one of these values; true where there is no reading."""

    @property
    def about(self) -> str:
        """The two by name."""
        return " and ".join(self.transformers)


def join_of(
    join: Join, budgets: Sequence[TransformerBudget], instruments: Sequence[Instrument], where: str
) -> JoinPlan:
    """Work out what a meter reads between two transformers, and how likely it is that they are in phase.

    The four angles that can occur are taken as equally likely before the meter spoke.

    Raises
    ------
    Refused
        The meter is no instrument of the job.
    """
    first, second = (_idle(budgets, name) for name in join.transformers)
    reads = {
        angle: voltage_between(first.value, second.value, angle) for angle in (*ANGLES.values(), *OTHER_LEGS)
    }
    metered = (
        metered_voltage(join.between_hots, join.instrument, instruments, where)
        if join.between_hots is not None
        else None
    )
    probability, fits = None, True
    if metered is not None and join.tied != "not yet":
        spread = math.hypot(metered.uncertainty, first.uncertainty or 0.0, second.uncertainty or 0.0)
        deviations = {angle: (metered.value - expected) / spread for angle, expected in reads.items()}
        nearest = min(abs(one) for one in deviations.values())
        fits = nearest <= NO_FIT
        likelihood = {angle: math.exp(0.5 * (nearest**2 - one**2)) for angle, one in deviations.items()}
        probability = likelihood[0.0] / sum(likelihood.values())
    return JoinPlan(
        transformers=join.transformers,
        tied=join.tied,
        reads_in_phase=reads[0.0],
        reads_out_of_phase=reads[math.pi],
        reads_on_other_legs=(reads[OTHER_LEGS[0]], reads[OTHER_LEGS[1]]),
        between_hots=Amount(metered.value, VOLTAGE, metered.uncertainty) if metered else None,
        probability_in_phase=probability,
        fits=fits,
    )


def _idle(budgets: Sequence[TransformerBudget], name: str) -> Amount:
    return next(budget.idle_voltage for budget in budgets if budget.name == name)


def join_findings(join: Join, plan: JoinPlan) -> Iterator[PowerFinding]:
    """Judge a join: phase first, then whether the sources may be wired together at all."""
    yield _phase(join, plan)
    if join.tied != "not yet":
        yield _listed(join, plan)


def _phase(join: Join, plan: JoinPlan) -> PowerFinding:
    name, check = "power.phase", _check(plan)
    amounts: Amounts = {
        "pair": Words(plan.about), "read": plan.between_hots or Amount(0.0, VOLTAGE),
        "share": Words(chance(plan.probability_in_phase or 0.0)), "out": Amount(plan.reads_out_of_phase, VOLTAGE),
        "top": nominal(highest_voltage()),
    }  # fmt: skip

    def found(
        outcome: Verdict, said: str, do: Words | None = None, weight: Weight = Weight.CONFLICT
    ) -> PowerFinding:
        return finding(
            name, plan.about, outcome, Case(Words(said, amounts), do or check, weight), OF_THE_CIRCUIT
        )

    if plan.between_hots is not None and join.tied == "not yet":
        return found(
            Verdict.CANNOT_TELL,
            "{pair}: {read} between the hots tells nothing, since nothing ties the two circuits: the meter floats",
        )
    if plan.between_hots is not None:
        return _metered(plan, found)
    if join.phase == "out of phase":
        short = "; tied hot to hot they short each other" if join.tied == "commons and hots" else ""
        return found(
            Verdict.FAILS,
            "{pair}: out of phase, {out} between the hots: more than the {top} of Class 2, and a short wherever they meet"
            + short,
        )
    if join.phase == "in phase":
        said = "{pair}: said to be in phase, and no reading shows it"
        return found(Verdict.CANNOT_TELL, said, weight=Weight.ADVICE)
    return found(Verdict.CANNOT_TELL, "{pair}: nobody knows whether they are in phase")


def _metered(plan: JoinPlan, found: Callable[..., PowerFinding]) -> PowerFinding:
    probability = plan.probability_in_phase or 0.0
    if not plan.fits:
        look = Words(
            "see that the commons are really tied and the meter is on alternating volts, then meter again"
        )
        return found(Verdict.CANNOT_TELL, "{pair}: {read} between the hots fits no phase", look)
    if probability >= 1.0 - ACCEPTED_RISK:
        return found(Verdict.PASSES, "{pair}: {read} between the hots, in phase")
    if probability <= ACCEPTED_RISK:
        return found(Verdict.FAILS, "{pair}: {read} between the hots, not in phase")
    return found(Verdict.CANNOT_TELL, "{pair}: {read} between the hots, in phase is {share} likely")


def _check(plan: JoinPlan) -> Words:
    legs = [Amount(volts, VOLTAGE) for volts in plan.reads_on_other_legs]
    return words(
        CHECK,
        in_phase=Amount(plan.reads_in_phase, VOLTAGE), out=Amount(plan.reads_out_of_phase, VOLTAGE),
        legs=words("{one} or {other}", one=legs[0], other=legs[1]),
    )  # fmt: skip


def _listed(join: Join, plan: JoinPlan) -> PowerFinding:
    where = interconnection()
    outcome, weight = {
        "listed for interconnection": (Verdict.PASSES, Weight.CONFLICT),
        "not listed": (Verdict.FAILS, Weight.CONFLICT),
        "unknown": (Verdict.CANNOT_TELL, Weight.ADVICE),
    }[join.listed]
    sentence = words(
        "{pair}: Class 2 sources that are wired together have to be listed for it; these: {listed}",
        pair=Words(plan.about), listed=Words(join.listed if join.listed != "unknown" else "not known"),
    )  # fmt: skip
    do = Words(
        "read their marking; else part the circuits with a relay, so that only contacts pass from one to the other"
    )
    return finding(
        "power.sources_joined", plan.about, outcome, Case(sentence, do, weight), f"{where}; {where.doubt}"
    )
