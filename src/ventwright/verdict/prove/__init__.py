"""Functional tests and readings together: which steps are proved, by what, which are to be done again, what comes next."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from ventwright.errors import Refused
from ventwright.evidence import Shortfall, Verdict
from ventwright.facts import Facts, Weather
from ventwright.plan import Guess, Plan
from ventwright.plan.functional_tests import FunctionalTests, PlannedStep, StepState, plan_functional_tests
from ventwright.plan.software_unit import software_unit
from ventwright.quantity import Quantity
from ventwright.readings import Readings, StepSeen
from ventwright.readings.step_seen import Seen
from ventwright.verdict import Line, Verdicts
from ventwright.verdict.check import Check, cannot_tell
from ventwright.verdict.checks import sensors_not_held
from ventwright.verdict.in_force import InForce
from ventwright.verdict.prove.judged import judge_step
from ventwright.verdict.prove.retest import Retest, masked, retests, times_of
from ventwright.verdict.prove.under import Under
from ventwright.words import Words, words


@dataclass(frozen=True, slots=True)
class ProvedStep:
    """One step, how it came out, and whether it has to be done again. ``check`` is None for what is not fitted."""

    planned: PlannedStep
    check: Check | None
    entered: bool
    """Whether anything was read or seen for it."""
    by_simulation: bool
    retest: tuple[Retest, ...] = ()
    """Repairs since it was last read, or since ever where it was not."""

    @property
    def verdict(self) -> Verdict | None:
        """The verdict; None for what is not fitted."""
        return None if self.check is None else self.check.verdict

    @property
    def open(self) -> bool:
        """Whether it is still to be done, or done again."""
        return self.verdict not in {Verdict.PASSES, None}


@dataclass(frozen=True, slots=True)
class Proof:
    """Every step in the order of the work."""

    steps: tuple[ProvedStep, ...]
    people: int
    guesses: tuple[Guess, ...]

    def counted(self, outcome: Verdict) -> int:
        """How many steps came out in one way."""
        return sum(one.verdict is outcome for one in self.steps)

    @property
    def next_steps(self) -> tuple[ProvedStep, ...]:
        """Return the steps that are open and can be done today, in the order of the work."""
        later = {StepState.COME_BACK, StepState.NOT_KNOWN}
        return tuple(one for one in self.steps if one.open and one.planned.state not in later)

    @property
    def later(self) -> tuple[ProvedStep, ...]:
        """Return the steps that are open and cannot be done today."""
        able = set(map(id, self.next_steps))
        return tuple(one for one in self.steps if one.open and id(one) not in able)


def prove(facts: Facts, plan: Plan, readings: Readings, verdicts: Verdicts) -> Proof:
    """Hold what was seen at the functional tests against what was expected, in the weather of the visit.

    Parameters
    ----------
    verdicts
        Of the same job: steps that are checks of their own take theirs from there.
    """
    facts, left = _in_the_air_met(facts, readings), _as_left(plan, readings)
    tests = plan_functional_tests(facts, plan, left)
    seen = {entry.step: entry for entry in readings.standing(StepSeen)}
    met = _Met(facts, plan, readings, left, tests, {line.id: line for line in verdicts.ledger})
    again = retests(tests.steps, readings)
    return Proof(
        tuple(_proved(one, seen.get(one.id), met, verdicts, [r for r in again if r.step == one.id]) for one in tests.steps),
        tests.people,
        tests.guesses,
    )  # fmt: skip


def _in_the_air_met(facts: Facts, readings: Readings) -> Facts:
    """Where the facts say nothing of today's air, it is what the last visit met."""
    met = readings.visits[-1].outdoor_air if readings.visits else None
    if facts.weather is not None or met is None:
        return facts
    return facts.model_copy(update={"weather": Weather(outdoor_air=met)})


class _Met:
    """The tests as they were to be expected in the weather that a visit met."""

    def __init__(
        self, facts: Facts, plan: Plan, readings: Readings, left: dict[str, float], today: FunctionalTests, lines: Mapping[str, Line]
    ) -> None:  # fmt: skip
        self.plan, self.readings = plan, readings
        self._left, self._lines = left, lines
        self._outdoor = {visit.id: visit.outdoor_air for visit in readings.visits}
        weather = facts.weather
        self._today = None if weather is None else weather.outdoor_air.value
        self._facts: dict[float | None, Facts] = {self._today: facts}
        self._known: dict[float | None, FunctionalTests] = {self._today: today}
        self._under: dict[float | None, Under] = {}

    def check(self, one: PlannedStep, entry: StepSeen) -> Check | None:
        """Judge a step by the air that its visit met, else by today's."""
        outdoor = self._outdoor.get(entry.visit or "")
        air = self._today if outdoor is None else outdoor.value
        facts = self._in_air(air, outdoor)
        if air not in self._known:
            self._known[air] = plan_functional_tests(facts, self.plan, self._left)
        if air not in self._under:
            unit = software_unit(facts, self.plan.basis, self.plan.kit, self.plan.settings, self._left)
            self._under[air] = Under(unit, self.plan, self.readings, InForce(self.readings, self._lines))
        planned = self._known[air].step(one.id) or one
        return judge_step(planned, entry, facts, self.plan, self._under[air])

    def changed_unsaid(self) -> list[str]:
        """Steps that were seen, for which something has to be changed or was, and that name no temporary change."""
        by_id = {one.id: one for one in self._known[self._today].steps}
        done = {Seen.NOT_LOOKED_AT, Seen.NOT_FITTED}
        return [
            entry.step
            for entry in {one.step: one for one in self.readings.standing(StepSeen)}.values()
            if entry.step in by_id and (by_id[entry.step].changes_something or entry.simulated)
            and not entry.changes and entry.seen not in done
        ]  # fmt: skip

    def _in_air(self, air: float | None, outdoor: Quantity | None) -> Facts:
        """Return the facts with the outdoor air of a visit in them."""
        if air not in self._facts and outdoor is not None:
            facts = self._facts[self._today]
            met = (
                facts.weather.model_copy(update={"outdoor_air": outdoor})
                if facts.weather
                else Weather(outdoor_air=outdoor)
            )
            self._facts[air] = facts.model_copy(update={"weather": met})
        return self._facts[air]


def _as_left(plan: Plan, readings: Readings) -> dict[str, float]:
    """Settings read back, in SI; one that the kit cannot be set to is judged elsewhere."""
    found: dict[str, float] = {}
    for label, entry in readings.settings_left().items():
        try:
            found[label] = plan.kit.setting(entry.label).read(entry.value).value
        except Refused:
            continue
    return found


def _proved(
    one: PlannedStep, entry: StepSeen | None, met: _Met, verdicts: Verdicts, again: Sequence[Retest]
) -> ProvedStep:
    if one.step.answer == "check":
        check: Check | None = _delegated(one, met.plan, verdicts)
        if one.step.check == "nothing_left" and check is not None and check.verdict is Verdict.PASSES:
            check = _nothing_left_out(check, met)
        times = times_of(check.readings if check else (), met.readings)
        entered = bool(times)
    elif entry is None:
        check, times, entered = _not_done(one), [], False
    else:
        check = met.check(one, entry)
        times, entered = [entry.at], True
    since = [repair for repair in again if not times or min(times) < repair.since]
    if check is not None and since and entered:
        check = masked(check, since)
    simulated = entry is not None and entry.simulated and one.step.simulation == "proves logic"
    return ProvedStep(one, check, entered, simulated, tuple(since))


def _not_done(one: PlannedStep) -> Check:
    shortfall = Shortfall("step.not_done", Words("not done yet"), Words(one.step.do))
    return cannot_tell(f"step.{one.id}", Words(one.step.expects), shortfall)


def _delegated(one: PlannedStep, plan: Plan, verdicts: Verdicts) -> Check:
    """Take a step's verdict from the checks that decide it, the worst of them first."""
    id_, what = f"step.{one.id}", Words(one.step.expects)
    found = list(checks_of(one, verdicts))
    missing = sensors_not_held(plan, found) if one.step.check == "sensors" else []
    failed = [check for check in found if check.verdict is Verdict.FAILS]
    if missing and not failed:
        named = ", ".join(missing)
        return cannot_tell(
            id_, what,
            Shortfall("step.not_every_sensor", Words(f"not held against a probe: {named}"), Words(one.step.do)),
            readings=_readings_of(found),
        )  # fmt: skip
    if not found:
        return _not_done(one)
    worst = failed or [check for check in found if check.verdict is Verdict.CANNOT_TELL] or found
    first = worst[0]
    others = f" (and {len(worst) - 1} more)" if len(worst) > 1 and first.verdict is not Verdict.PASSES else ""
    sentence = (
        Words(f"{len(found)} as they should be") if first.verdict is Verdict.PASSES and len(found) > 1
        else words("{sentence}{others}", sentence=first.sentence, others=Words(others))
    )  # fmt: skip
    if first.verdict is Verdict.CANNOT_TELL and first.shortfall is not None:
        shortfall = Shortfall(
            first.shortfall.name, sentence, first.shortfall.settle_by, first.shortfall.numbers
        )
        return cannot_tell(id_, what, shortfall, readings=_readings_of(found))
    return Check(id_, what, first.verdict, sentence, readings=_readings_of(found))


def _nothing_left_out(check: Check, met: _Met) -> Check:
    """Everything that was entered went back: what was changed for a step, and never entered, is not known to have."""
    unsaid = met.changed_unsaid()
    if not unsaid:
        return check
    sentence = Words(
        f"something was changed for {', '.join(unsaid)}, and no temporary change is entered with it"
    )
    settle = Words("enter the change, its restoring, and the step anew with the change's id")
    shortfall = Shortfall("step.change_not_entered", sentence, settle)
    return cannot_tell(check.id, check.what, shortfall, readings=check.readings)


def checks_of(one: PlannedStep, verdicts: Verdicts) -> Iterator[Check]:
    """Yield the checks that decide a step which is a check of its own."""
    match one.step.check:
        case "outdoor_air":
            yield from (check for check in verdicts.checks() if check.id == f"outdoor_air.{one.speed}")
        case "sensors":
            yield from verdicts.sensors
        case "settings":
            yield from verdicts.settings
        case "nothing_left":
            yield verdicts.nothing_left


def _readings_of(found: Sequence[Check]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(id_ for check in found for id_ in check.readings))


__all__ = ["Proof", "ProvedStep", "Retest", "Seen", "prove"]
