"""From the facts to what is to be fitted, set and tested."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from ventwright.facts import Facts
from ventwright.plan.basis import Basis, Guess, make_basis
from ventwright.plan.concerns import Concern, Weight, concerns
from ventwright.plan.demand_control import DemandControlPlan, plan_demand_control
from ventwright.plan.high_limit import Allowed, HighLimitPlan, plan_high_limit
from ventwright.plan.known import refuse_unknown
from ventwright.plan.outdoor_air import ModeAir, VentilationPlan, plan_ventilation
from ventwright.plan.pick_list import Item, pick_list
from ventwright.plan.power import PowerPlan, plan_power
from ventwright.plan.requirements import Requirement, Standing, requirements
from ventwright.plan.settings import Choice, Setting, settings
from ventwright.plan.speeds import SpeedPlan, plan_speeds
from ventwright.plan.to_prove import (
    LEAST_DIFFERENCE,
    ToProve,
    best_probe,
    difference_for,
    probe_reading,
    probe_uncertainty,
    thermometers,
    to_prove,
)
from ventwright.plan.wiring import WiringPlan, WiringState
from ventwright.plan.wiring.from_facts import plan_wiring
from ventwright.tables.caution import Caution, cautions
from ventwright.tables.kit import Kit
from ventwright.tables.shelf import find


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
        Facts that name something unknown, or too few of them to plan with; each with its place.
    """
    kit = find("kits", facts.kit, Kit, beside)
    refuse_unknown(facts)
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
        cautions=cautions(),
        guesses=(*basis.guesses, *ventilation.guesses, *(power.guesses if power else ())),
        power=power,
        wiring=wiring,
        pick_list=pick_list(facts, kit, speeds, wiring, power),
        demand_control=demand,
    )


__all__ = [
    "LEAST_DIFFERENCE", "Allowed", "Caution", "Choice", "DemandControlPlan", "Guess", "ModeAir", "Plan", "PowerPlan", "Setting", "SpeedPlan",
    "Standing", "Weight", "WiringPlan", "WiringState", "best_probe", "difference_for", "make_plan", "probe_reading", "probe_uncertainty",
    "thermometers",
]  # fmt: skip
