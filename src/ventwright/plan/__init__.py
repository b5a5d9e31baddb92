"""From the facts to what is to be fitted, set and tested."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Never

from ventwright.errors import Refused, Unread, refuse_every
from ventwright.facts import Facts
from ventwright.plan.basis import Basis, Guess, make_basis
from ventwright.plan.concerns import Concern, Weight, concerns
from ventwright.plan.demand_control import DemandControlPlan, plan_demand_control
from ventwright.plan.high_limit import Allowed, HighLimitPlan, plan_high_limit
from ventwright.plan.mistakes import refuse_mistakes
from ventwright.plan.outdoor_air import ModeAir, VentilationPlan, plan_ventilation
from ventwright.plan.pick_list import Item, pick_list
from ventwright.plan.power import PowerPlan, plan_power
from ventwright.plan.requirement import Compliance, Requirement
from ventwright.plan.requirements import requirements
from ventwright.plan.settings import Choice, Setting, settings
from ventwright.plan.speeds import SpeedPlan, plan_speeds
from ventwright.plan.to_prove import (
    ToProve,
    best_probe,
    difference_for,
    least_difference,
    probe_reading,
    probe_uncertainty,
    thermometers,
    to_prove,
)
from ventwright.plan.wiring import WiringPlan, WiringState
from ventwright.plan.wiring.from_facts import plan_wiring
from ventwright.tables.caution import Caution, cautions_for
from ventwright.tables.kit import Kit
from ventwright.tables.shelf import find_at


@dataclass(frozen=True, slots=True)
class Plan:
    """Everything that is decided before the first panel is opened."""

    basis: Basis
    kit: Kit
    ventilation: VentilationPlan
    speeds: tuple[SpeedPlan, ...]
    high_limit: HighLimitPlan
    settings: tuple[Setting, ...]
    concerns: tuple[Concern, ...]
    requirements: tuple[Requirement, ...]
    to_prove: tuple[ToProve, ...]
    cautions: tuple[Caution, ...]
    guesses: tuple[Guess, ...]
    power: PowerPlan | None = None
    wiring: WiringPlan | None = None
    demand_control: DemandControlPlan | None = None
    pick_list: tuple[Item, ...] = ()

    def speed(self, name: str) -> SpeedPlan:
        """Return one fan speed; raises StopIteration for a name that the plan does not have."""
        return next(speed for speed in self.speeds if speed.name == name)


def make_plan(facts: Facts, *, choices: Sequence[Choice] = (), beside: Path | None = None) -> Plan:
    """Work out the plan.

    Parameters
    ----------
    facts
        The first section of a job.
    choices
        Settings that the person chose otherwise.
    beside
        Folder in which equipment files of a person's own are looked for.

    Raises
    ------
    Refused
        Facts that name something unknown, or too few of them to plan with; every mistake that hangs on no other, with its place.
    Unread
        Of facts that could not be read as a whole: the plan hangs on what was refused, and nothing else is wrong.
    """
    try:
        return _planned(facts, choices, beside)
    except (Refused, Unread) as stopped:
        first: Exception = stopped
    refuse_every((partial(refuse_mistakes, facts, beside), partial(_again, first)))
    raise first  # not reached: what was refused once is refused again


def _again(first: Exception) -> Never:
    raise first


def _planned(facts: Facts, choices: Sequence[Choice], beside: Path | None) -> Plan:
    """Run the stages of the plan; the first refusal ends it."""
    kit = find_at("kits", facts.kit, Kit, "facts.kit", beside)
    basis = make_basis(facts, beside)
    ventilation = plan_ventilation(facts.spaces, facts.ventilation, basis)
    weather = facts.weather
    returned = weather.return_air.value if weather and weather.return_air else None
    speeds = plan_speeds(
        basis, ventilation.required, kit, weather.outdoor_air.value if weather else None, returned
    )
    limit = plan_high_limit(basis, kit)
    demand = plan_demand_control(facts, basis, ventilation, speeds, kit)
    planned = settings(kit, basis, speeds, limit, choices, demand)
    found = concerns(planned, kit, limit, basis)
    asked = requirements(facts, basis, kit, limit, ventilation, speeds, found)
    power = plan_power(facts.power, facts.instruments) if facts.power else None
    wiring = plan_wiring(facts, kit, beside)
    return Plan(
        basis=basis,
        kit=kit,
        ventilation=ventilation,
        speeds=speeds,
        high_limit=limit,
        settings=planned,
        concerns=found,
        requirements=asked,
        to_prove=to_prove(facts, ventilation, speeds, asked),
        cautions=cautions_for(basis.heating),
        guesses=(*basis.guesses, *ventilation.guesses, *(power.guesses if power else ())),
        power=power,
        wiring=wiring,
        pick_list=pick_list(facts, kit, speeds, wiring, power),
        demand_control=demand,
    )


__all__ = [
    "Allowed", "Caution", "Choice", "Compliance", "DemandControlPlan", "Guess", "ModeAir", "Plan", "PowerPlan",
    "Setting", "SpeedPlan", "Weight", "WiringPlan", "WiringState", "best_probe", "difference_for", "least_difference",
    "make_plan", "probe_reading", "probe_uncertainty", "thermometers",
]  # fmt: skip
