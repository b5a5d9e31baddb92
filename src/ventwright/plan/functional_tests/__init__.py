"""Functional tests before any reading: which apply, in which order, how each comes about today, what to expect of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import StrEnum

from ventwright.facts import Facts
from ventwright.facts.at_hand import AtHand
from ventwright.plan import Guess, Plan
from ventwright.plan.functional_tests.applies import ChosenStep, chosen_steps
from ventwright.plan.functional_tests.condition import (
    COMMANDED,
    SUITABLE_WARM,
    brought_today,
    needs_in_numbers,
)
from ventwright.plan.functional_tests.expected import Expected, expected_of, prevented, runs_of
from ventwright.plan.functional_tests.ordered import Place, in_order
from ventwright.plan.functional_tests.simulated import Simulated, way_to_simulate
from ventwright.plan.software_unit import SoftwareUnit, software_unit
from ventwright.quantity import FRACTION, TEMPERATURE
from ventwright.tables.procedure import Step, StepCaution, conditions, step_cautions
from ventwright.tables.unit_prior import unit_prior
from ventwright.words import Amount, Words, words


class StepState(StrEnum):
    """How a step comes about today."""

    ANY_WEATHER = "in any weather"
    BY_AIR = "by today's air"
    SIMULATED = "simulated"
    COME_BACK = "come back"
    NOT_KNOWN = "not known without today's temperatures"


@dataclass(frozen=True, slots=True)
class PlannedStep:
    """One step as it is to be done at this unit today."""

    id: str
    test: str
    """Title of its test."""
    step: Step
    speed: str | None
    state: StepState
    needs: Words
    """The condition in this unit's numbers, or why to come back; empty where it needs none."""
    simulated: Simulated | None
    expected: tuple[Expected, ...]
    cautions: tuple[StepCaution, ...]
    wait: float
    opens: str
    closes: str
    meanwhile: tuple[str, ...]
    alone: str
    """How one person does a step for two; empty where it is for one, or two are there."""

    @property
    def changes_something(self) -> bool:
        """Whether a temporary change has to be entered for it: a lead off, a setting moved, the manual mode on."""
        if self.step.condition == COMMANDED:
            return self.simulated is not None and self.simulated.way in {"manual mode", "temporary setting"}
        return self.step.changes_something

    @property
    def judged(self) -> Expected | None:
        """What the answer is held against; None for yes or no, or where no number is known."""
        return next((one for one in self.expected if one.answer), None)


@dataclass(frozen=True, slots=True)
class FunctionalTests:
    """Every step that applies, in the order of the work."""

    steps: tuple[PlannedStep, ...]
    people: int
    guesses: tuple[Guess, ...]

    def step(self, id_: str) -> PlannedStep | None:
        """Return a step by its id; None where it does not apply here."""
        return next((one for one in self.steps if one.id == id_), None)


@dataclass(frozen=True, slots=True)
class _Today:
    """How one step comes about."""

    state: StepState
    needs: Words
    simulated: Simulated | None = None

    @property
    def setup(self) -> str:
        """Steps with the same text share a set-up."""
        if self.simulated is None:
            return "" if self.state in {StepState.ANY_WEATHER, StepState.BY_AIR} else self.state.value
        return f"{self.simulated.way}: {self.simulated.how.show('si')}"


def plan_functional_tests(
    facts: Facts, plan: Plan, as_left: Mapping[str, float] | None = None
) -> FunctionalTests:
    """Choose the steps, put them in order and work out what to expect.

    Parameters
    ----------
    as_left
        Settings read back, by label in small letters, in SI; they go before the planned ones.
    """
    at_hand = facts.at_hand or AtHand()
    unit = software_unit(facts, plan.basis, plan.kit, plan.settings, as_left)
    chosen = tuple(chosen_steps(facts, plan))
    today = {one.id: _today(one.step, unit, facts, plan, at_hand) for one in chosen}
    order = in_order(chosen, {id_: one.setup for id_, one in today.items()})
    return FunctionalTests(
        tuple(_planned(place, today[place.chosen.id], unit, plan, at_hand) for place in order),
        at_hand.people,
        _guesses(facts),
    )


def _today(step: Step, unit: SoftwareUnit, facts: Facts, plan: Plan, at_hand: AtHand) -> _Today:
    """Say how a step comes about today; where it does not, when the forecast first brings it."""
    found = _in_this_air(step, unit, plan, at_hand)
    if found.state is not StepState.COME_BACK:
        return found
    for hour in facts.weather.forecast if facts.weather else ():
        air = replace(unit.weather, dry_bulb=hour.outdoor_air.value) if unit.weather else None
        if _in_this_air(step, replace(unit, weather=air), plan, at_hand).state is StepState.BY_AIR:
            return replace(found, needs=words(
                "{needs}; first in the forecast: {at}, {outdoor} outdoors", needs=found.needs,
                at=Words(hour.at.isoformat(sep=" ", timespec="minutes")), outdoor=Amount(hour.outdoor_air.value, TEMPERATURE),
            ))  # fmt: skip
    return found


def _in_this_air(step: Step, unit: SoftwareUnit, plan: Plan, at_hand: AtHand) -> _Today:
    """Say whether this air brings what a step needs, else how it is simulated, else when to come."""
    if step.condition is None:
        return _Today(StepState.ANY_WEATHER, Words(""))
    condition = conditions()[step.condition]
    needs = needs_in_numbers(unit, condition.id, condition.needs)
    if unit.weather is None and step.calls is not None and step.calls.cooling:
        # whether a compressor may start in this cold, nobody knows: shown warm air would not tell either
        return _Today(StepState.NOT_KNOWN, needs)
    by_air, way = bool(brought_today(unit, condition.id)), None
    if not by_air:
        way = way_to_simulate(step, condition, unit, plan, at_hand)
    able = by_air or way is not None
    runs = runs_of(step, unit, way) if able else ()
    if unit.weather is not None and unit.weather.dry_bulb < unit.lowest_cooling:
        starts = step.runs_compressor or any(one.state.cooling_stages > 0 for one in runs)
        if starts:
            return _Today(StepState.COME_BACK, _too_cold(unit.weather.dry_bulb, unit.lowest_cooling))
    if able and prevented(step, runs):
        return _Today(StepState.COME_BACK, words(
            "{needs}, and warm enough that low limit and freeze protection leave the damper alone, which in software they do not in this air: come back when it is warmer",
            needs=needs))  # fmt: skip
    if by_air:
        return _Today(StepState.BY_AIR, needs)
    if way is not None:
        return _Today(StepState.SIMULATED, needs, way)
    if unit.weather is None and condition.id != COMMANDED:
        return _Today(StepState.NOT_KNOWN, needs)
    return _Today(StepState.COME_BACK, words("{needs}; {why}", needs=needs, why=_why_not(step, unit)))


def _too_cold(outdoor: float, lowest: float) -> Words:
    return words(
        "{outdoor} outdoors is colder than the {lowest} down to which this compressor may cool, and no simulated warm air makes it otherwise: come back when it is warmer",
        outdoor=Amount(outdoor, TEMPERATURE), lowest=Amount(lowest, TEMPERATURE),
    )  # fmt: skip


def _why_not(step: Step, unit: SoftwareUnit) -> Words:
    if step.condition == COMMANDED and step.to_any_signal:
        return Words(
            "this kit has no manual mode, and no minimum that may be set so far: it waits for another way to send the damper, such as a signal source at the actuator, entered as a temporary change"
        )
    if step.condition == COMMANDED:
        return words(
            "this kit has no manual mode, and no minimum that may be set so far: come back when a cooling call opens it by itself, with {needs}",
            needs=needs_in_numbers(unit, SUITABLE_WARM, conditions()[SUITABLE_WARM].needs),
        )
    if step.simulation == "does not count":
        return Words("a simulation would not prove it: come back when the air is so")
    return Words(
        "neither what is carried, nor a setting within its range, nor a manual mode of the kit simulates it: come back when the air is so, or bring a resistor for a sensor that takes one"
    )


def _planned(place: Place, today: _Today, unit: SoftwareUnit, plan: Plan, at_hand: AtHand) -> PlannedStep:
    chosen: ChosenStep = place.chosen
    step = chosen.step
    by_air = today.state in {StepState.ANY_WEATHER, StepState.BY_AIR, StepState.SIMULATED}
    return PlannedStep(
        id=chosen.id,
        test=chosen.test.title,
        step=step,
        speed=chosen.speed,
        state=today.state,
        needs=today.needs,
        simulated=today.simulated,
        expected=expected_of(step, unit, plan, today.simulated, by_air=by_air),
        cautions=_cautions(step, today.simulated, plan),
        wait=place.wait,
        opens=place.opens,
        closes=place.closes,
        meanwhile=place.meanwhile,
        alone=step.alone if step.people > at_hand.people else "",
    )


def _cautions(step: Step, simulated: Simulated | None, plan: Plan) -> tuple[StepCaution, ...]:
    """Return the cautions of a step that this unit's heat calls for, and those of the way in which it is simulated."""
    foreign = set() if plan.basis.heating in {None, "gas"} else {"gas_heat"}
    named = [one for one in step.cautions if one not in foreign]
    if simulated is not None and simulated.shows is not None:
        named.append("fooled_sensor")
    if simulated is not None and simulated.resistance is not None:
        named.append("locked_out")
    return tuple(step_cautions()[one] for one in dict.fromkeys(named))


def _guesses(facts: Facts) -> tuple[Guess, ...]:
    """Name what the expected numbers rest on that nobody gave."""
    given, found = unit_prior(), list[Guess]()
    if facts.weather is None:
        found.append(
            Guess(
                "weather",
                Words(
                    "no air of today is given (facts.weather.outdoor_air): what depends on it is left open"
                ),
            )
        )
    else:
        found.append(Guess("weather.humidity", words(
            "humidity is not given: {outdoor} outdoors and {indoor} indoors are assumed",
            outdoor=Amount(given.outdoor_humidity, FRACTION), indoor=Amount(given.indoor_humidity, FRACTION))))  # fmt: skip
    found.append(Guess("unit.dampers", Words(
        "the dampers are not known: the expected temperatures reach from a tight box with equal dampers to a leaky one whose return damper does not shut")))  # fmt: skip
    if facts.at_hand is None:
        found.append(Guess("at_hand", Words(
            "nobody said what is carried (facts.at_hand): one person and no resistor are assumed")))  # fmt: skip
    return tuple(found)


__all__ = [
    "Expected",
    "FunctionalTests",
    "PlannedStep",
    "StepState",
    "plan_functional_tests",
]
