"""What to fit, set and test, worked out from the facts of a job."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from ventwright.cli.arguments import add_job, add_json, add_units, units

if TYPE_CHECKING:
    from ventwright.job import Job
    from ventwright.plan import Plan
    from ventwright.quantity import System


BROKEN = {"adapter missing", "not whole", "cannot mate"}
"""States of the wiring with which nobody should set out."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the job and how to show the plan."""
    add_job(parser)
    add_units(parser)
    parser.add_argument(
        "--outdoor", metavar="T", help='outdoor temperature today, such as "58 F" (else as in the job)'
    )
    parser.add_argument(
        "--return", dest="returned", metavar="T", help='return-air temperature today, such as "74 F"'
    )
    parser.add_argument(
        "--sources", action="store_true", help="show every code clause with its source and doubts"
    )
    add_json(parser)


def run(arguments: argparse.Namespace) -> int:
    """Show the plan."""
    from ventwright.cli import DONE, FAILS, show
    from ventwright.job import work
    from ventwright.store import load

    kept = load(arguments.job)
    worked = work(_today(kept.job, arguments), kept.beside)
    if arguments.json:
        show.as_json(plan_document(kept.job, worked.plan))
    else:
        print_plan(kept.job, worked.plan, units(arguments, kept.job.units), sources=arguments.sources)
    conflicts = any(concern.weight == "conflict" for concern in worked.plan.concerns)
    conflicts = conflicts or (worked.plan.power is not None and worked.plan.power.verdict == "fails")
    wiring = worked.plan.wiring
    conflicts = conflicts or (wiring is not None and wiring.state in BROKEN)
    return FAILS if conflicts or not all(speed.can_deliver for speed in worked.plan.speeds) else DONE


def _today(job: Job, arguments: argparse.Namespace) -> Job:
    """Return the job with today's air in place of what it expected."""
    from ventwright.cli.arguments import as_entered
    from ventwright.entry import Temperature
    from ventwright.errors import Refusal, Refused
    from ventwright.facts import Weather

    outdoor = as_entered(arguments.outdoor, Temperature, "--outdoor")
    returned = as_entered(arguments.returned, Temperature, "--return")
    if outdoor is None and returned is None:
        return job
    expected = job.facts.weather
    outdoor = outdoor or (expected.outdoor_air if expected else None)
    if outdoor is None:
        raise Refused(Refusal("needs the outdoor temperature too", '--outdoor "58 F"', "--return"))
    weather = Weather(outdoor_air=outdoor, return_air=returned or (expected.return_air if expected else None))
    return job.model_copy(update={"facts": job.facts.model_copy(update={"weather": weather})})


def plan_document(job: Job, plan: Plan) -> dict[str, object]:
    """Return the plan for programs: SI, units in the key names, the kit by its id."""
    from ventwright.cli import show
    from ventwright.words import plain

    return {**show.about(job), **plain(plan), "kit": plan.kit.id}


def print_plan(job: Job, plan: Plan, system: System, *, sources: bool = False) -> None:
    """Print the plan for a person."""
    from ventwright.cli import show
    from ventwright.cli.truck_view import print_truck

    show.job_heading("Plan", job)
    _basis(plan, system)
    _air(plan, system)
    _speeds(plan, system)
    _demand_control(plan, system)
    _settings(plan, system)
    _concerns(plan, system)
    _requirements(plan, system, sources=sources)
    print_truck(plan, system)
    _to_prove(plan, system)
    _power(plan, system)
    show.heading("Take care")
    show.table(("where", "caution"), [(one.stage, one.text) for one in plan.cautions])
    show.guesses(plan.guesses, system)
    show.line(
        "\nLocal codes and the authority having jurisdiction decide; licensed work stays with the licensed."
    )


def _basis(plan: Plan, system: System) -> None:
    from ventwright.cli import show
    from ventwright.quantity import HEAT_RATE, LENGTH
    from ventwright.words import Amount

    basis = plan.basis
    capacity = (
        Amount(basis.cooling_capacity, HEAT_RATE).show(system) if basis.cooling_capacity else "not given"
    )
    show.pairs([
        ("Kit", plan.kit.name), ("Cooling", f"{capacity}, {_stages(basis.cooling_stages)}, heating: {basis.heating or 'not given'}"),
        ("Place", f"climate zone {basis.climate_zone or 'not known'} ({basis.climate_source}), {Amount(basis.elevation, LENGTH).show(system)} high"),
        ("Codes", f"{basis.energy_code}, {basis.ventilation_standard}"),
    ])  # fmt: skip


def _stages(count: int | None) -> str:
    if count is None:
        return "stages not given"
    return "one stage" if count == 1 else f"{count} stages"


def _air(plan: Plan, system: System) -> None:
    from ventwright.cli import show
    from ventwright.quantity import AIRFLOW
    from ventwright.words import Amount

    air = plan.ventilation
    show.heading(f"Outdoor air required: {Amount(air.required, AIRFLOW).show(system)}")
    show.line(f"from: {air.source}; accepted within {air.tolerance:.0%} of it")
    for one in air.code_sum:
        used = "; ".join(one.distribution)
        show.line(
            f"code sum in {one.mode}: {Amount(one.intake, AIRFLOW).show(system)} ({used}{f'; {one.doubt}' if one.doubt else ''})"
        )
    if air.disagreement:
        show.line(f"DISAGREES: {air.disagreement.show(system)}")
    if air.spaces:
        guess = {True: " (guess)", False: ""}
        show.table(("space", "use", "people", "breathing zone"), [
            (one.name, one.category, f"{round(one.people, 1):g}{guess[one.people_are_guess]}", Amount(one.breathing_zone, AIRFLOW).show(system))
            for one in air.spaces
        ])  # fmt: skip


def _speeds(plan: Plan, system: System) -> None:
    from ventwright.cli import show
    from ventwright.quantity import AIRFLOW, FRACTION, TEMPERATURE, VOLTAGE
    from ventwright.words import Amount

    show.heading("Fan speeds")
    rows = []
    for one in plan.speeds:
        signal = (
            "none will do" if one.first_signal is None else Amount(one.first_signal, FRACTION).show(system)
        )
        volts = (
            f", {Amount(one.first_signal_voltage, VOLTAGE).show(system)}"
            if one.first_signal_voltage is not None
            else ""
        )
        spread = (
            f" (guess; {one.first_signal_low:.0%} to {one.first_signal_high:.0%})"
            if one.first_signal_low is not None
            else ""
        )
        mixed = (
            Amount(one.target_mixed_air, TEMPERATURE).show(system)
            if one.target_mixed_air is not None
            else "-"
        )
        supply = f"{Amount(one.supply_air, AIRFLOW).show(system)} ({one.supply_basis})"
        rows.append(
            (
                one.name,
                supply,
                Amount(one.target_outdoor_air_fraction, FRACTION).show(system),
                f"{signal}{volts}{spread}",
                mixed,
            )
        )
    show.table(("speed", "supply air", "% outdoor air", "start reading at", "mixed air today"), rows)
    for one in plan.speeds:
        if one.remark:
            show.line(f"! {one.remark.show(system)}")


def _demand_control(plan: Plan, system: System) -> None:
    if plan.demand_control is not None:
        from ventwright.cli.demand_control_view import print_demand_control

        print_demand_control(plan.demand_control, system)


def _settings(plan: Plan, system: System) -> None:
    from ventwright.cli import show

    show.heading("Settings")
    show.table(("the kit calls it", "set", "it is", "why"), [
        (one.label, one.value.show(system) + (" (guess)" if one.guess else ""), one.means.value + (f", {one.fan} fan" if one.fan else ""),
         f"{one.reason.show(system)} [{one.source}]")
        for one in plan.settings
    ])  # fmt: skip


def _concerns(plan: Plan, system: System) -> None:
    from ventwright.cli import show

    for one in plan.concerns:
        show.line(f"{'CONFLICT' if one.weight == 'conflict' else 'advice'}: {one.sentence.show(system)}")
    if not plan.concerns:
        show.line("The settings go together.")


def _requirements(plan: Plan, system: System, *, sources: bool) -> None:
    from ventwright.cli import show

    show.heading("What the code asks")
    if sources:
        show.table(("asks", "stands", "because", "source, and how it was confirmed"), [
            (one.asks.show(system), one.standing.value, one.because.show(system), one.standing_on)
            for one in plan.requirements
        ])  # fmt: skip
        return
    show.table(("about", "stands", "because", "known"), [
        (one.title, one.standing.value, one.because.show(system), one.confirmed) for one in plan.requirements
    ])  # fmt: skip
    show.line("What each asks, with its source: `ventwright plan JOB --sources`.")


def _to_prove(plan: Plan, system: System) -> None:
    from ventwright.cli import show

    show.heading("To prove before leaving")
    show.table(("what", "how", "today"), [
        (one.what.show(system), one.how.show(system), one.today.show(system) if one.today else "") for one in plan.to_prove
    ])  # fmt: skip


def _power(plan: Plan, system: System) -> None:
    if plan.power is not None:
        from ventwright.cli.power_view import print_power

        print_power(plan.power, system, passing=False)
