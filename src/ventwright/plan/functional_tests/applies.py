"""Which steps of the functional tests apply to this unit and kit."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from ventwright.facts import Facts
from ventwright.plan import Plan
from ventwright.tables.kit import Term
from ventwright.tables.procedure import Applies, FunctionalTest, Step, functional_tests


@dataclass(frozen=True, slots=True)
class ChosenStep:
    """A step that applies, at one fan speed where it is done at each."""

    id: str
    test: FunctionalTest
    step: Step
    speed: str | None = None


def chosen_steps(facts: Facts, plan: Plan) -> Iterator[ChosenStep]:
    """Yield the steps that apply, in the order of the procedures; one that is done at each speed once for each."""
    for test in functional_tests():
        for step in test.steps:
            if not all(_holds(one, facts, plan) for one in step.applies):
                continue
            if step.each_speed:
                for speed in plan.speeds:
                    yield ChosenStep(f"{step.test}.{speed.name}", test, step, speed.name)
            else:
                yield ChosenStep(step.id, test, step)


def _holds(one: Applies, facts: Facts, plan: Plan) -> bool:
    """Whether everything that is asked of unit and kit is so; what nobody knows counts as there."""
    heating = plan.basis.heating
    outdoor = plan.kit.sensor("outdoor air")
    there = {
        "demand_control": _demand_control(facts, plan),
        "integrated": plan.kit.integrated,
        "heat_pump": heating == "heat pump",
        "heats": heating != "none",
        "resistive": outdoor is not None and outdoor.curve is not None,
    }
    asked = {name: getattr(one, name) for name in there}
    if any(wanted is not None and wanted is not there[name] for name, wanted in asked.items()):
        return False
    if one.relief and facts.unit.relief not in one.relief:
        return False
    return one.term is None or any(setting.means is one.term for setting in plan.settings)


def _demand_control(facts: Facts, plan: Plan) -> bool:
    """Fitted, or, where nobody said, possible with this kit."""
    if facts.ventilation.demand_control == "unknown":
        return any(setting.means is Term.CARBON_DIOXIDE_SET_POINT for setting in plan.settings)
    return facts.ventilation.demand_control == "fitted"
