"""The plan at a glance: the air needed, what does not go together, fan speeds, what the codes ask, what was guessed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ventwright.evidence import Verdict
from ventwright.job import Worked
from ventwright.plan import Compliance, Plan, SpeedPlan, Weight
from ventwright.plan.demand_control import DemandControlPlan
from ventwright.quantity import AIRFLOW, CONCENTRATION, FRACTION, TEMPERATURE, Dimension, System
from ventwright.record.air_chart import draw_air_chart, rows, said
from ventwright.record.air_chart_of_job import air_chart_of
from ventwright.record.delivered_drawing import DeliveredAir, draw_delivered
from ventwright.tables.source import CONFIRMED
from ventwright.web.guessed import asked_at
from ventwright.web.page import desk_of, page
from ventwright.web.pages.waiting import waiting
from ventwright.web.standing import WIRES_WRONG
from ventwright.words import Amount, Words

MARK_OF = {
    Compliance.MET: "done",
    Compliance.NOT_MET: "wrong",
    Compliance.TO_BE_SHOWN: "open",
    Compliance.NOT_KNOWN: "open",
    Compliance.NOT_REQUIRED: "none",
}


URGENT = (
    Compliance.NOT_MET,
    Compliance.NOT_KNOWN,
    Compliance.TO_BE_SHOWN,
    Compliance.MET,
    Compliance.NOT_REQUIRED,
)
"""Order in which requirements are shown."""


@dataclass(frozen=True, slots=True)
class Amiss:
    """Something that does not go together: what it is, and the page on which it is settled."""

    sentence: Words
    at: str
    words: str


async def shown(request: Request) -> Response:
    """Show the plan."""
    opened = await desk_of(request).open(request.path_params["job"])
    if opened.worked is None:
        return await waiting(request, opened, "plan", "Plan")
    plan, system = opened.worked.plan, opened.system
    return await page(
        request, "plan.html.j2", opened=opened, stage="plan", plan=plan, amiss=amiss(plan),
        advice=[one.sentence for one in plan.concerns if one.weight is Weight.ADVICE],
        required=Amount(plan.ventilation.required, AIRFLOW), air=_air(plan, system),
        speeds=[_speed(one, plan, system) for one in plan.speeds], pictures=_pictures(opened.worked, system),
        requirements=[
            (one, MARK_OF[one.standing], CONFIRMED.get(one.confirmed, one.confirmed))
            for one in sorted(plan.requirements, key=lambda one: URGENT.index(one.standing))
        ],
        guesses=[(one.sentence, asked_at(one)) for one in plan.guesses],
        demand=_demand(plan.demand_control, system) if plan.demand_control else None,
    )  # fmt: skip


def amiss(plan: Plan) -> list[Amiss]:
    """List what has to be settled before anybody climbs."""
    found = [
        Amiss(
            one.sentence, "/plan/settings" if one.name.startswith("settings.") else "/facts/kit", "Settle it"
        )
        for one in plan.concerns
        if one.weight is Weight.CONFLICT
    ]
    found += [
        Amiss(
            one.remark or Words(f"{one.name} speed cannot bring in the air required"),
            "/facts/speeds",
            "Fan speeds",
        )
        for one in plan.speeds
        if not one.can_deliver
    ]
    if plan.ventilation.disagreement is not None:
        found.append(Amiss(plan.ventilation.disagreement, "/facts/air", "Outdoor air required"))
    if plan.wiring is not None and plan.wiring.state in WIRES_WRONG:
        found.append(Amiss(plan.wiring.sentence, "/wire", "Wiring"))
    if plan.power is not None and plan.power.verdict is Verdict.FAILS:
        found += [
            Amiss(one.sentence, "/wire/power", "Control power") for one in plan.power.findings if one.stops
        ]
    return found


def _show(value: float | None, dimension: Dimension, system: System) -> str:
    return "–" if value is None else Amount(value, dimension).show(system)


def _air(plan: Plan, system: System) -> dict[str, Any]:
    """Return the sum behind the air required: spaces, and the system in cooling and in heating."""
    air = plan.ventilation
    guess = {True: " (guess)", False: ""}
    return {
        "spaces": [
            (one.name, one.category, f"{round(one.people, 1):g}{guess[one.people_are_guess]}", _show(one.breathing_zone, AIRFLOW, system))
            for one in air.spaces
        ],
        "sums": [
            (one.mode, _show(one.intake, AIRFLOW, system), "; ".join([*one.distribution, *([one.doubt] if one.doubt else [])]))
            for one in air.code_sum
        ],
        "accepted": f"{_show(air.tolerance, FRACTION, system)}",
        "doubts": sorted({f"{one.source}: {one.doubt}" for one in air.spaces if one.doubt}),
    }  # fmt: skip


def _speed(one: SpeedPlan, plan: Plan, system: System) -> dict[str, Any]:
    spread = ""
    if one.first_signal_low is not None and one.first_signal_high is not None:
        ends = (_show(end, FRACTION, system) for end in (one.first_signal_low, one.first_signal_high))
        spread = " to ".join(ends)
    sent = None if one.first_signal is None else plan.kit.damper_signal.sent(one.first_signal)
    return {
        "name": one.name,
        "signal": None if one.first_signal is None else _show(one.first_signal, FRACTION, system),
        "sent": "" if sent is None else sent.show(system),
        "spread": spread,
        "share": _show(one.target_outdoor_air_fraction, FRACTION, system),
        "supply": f"{_show(one.supply_air, AIRFLOW, system)} ({one.supply_basis})",
        "mixed": _show(one.target_mixed_air, TEMPERATURE, system),
        "remark": one.remark,
    }


def _demand(plan: DemandControlPlan, system: System) -> dict[str, Any]:
    """Return demand control as the page shows it: each space's set point, each speed's start for the low limit."""
    fitted = {True: "fitted", False: "not fitted", None: "not known whether fitted"}[plan.fitted]
    return {
        "fitted": fitted,
        "low": _show(plan.low_outdoor_air, AIRFLOW, system),
        "spaces": [
            (one.name, _show(one.carbon_dioxide_set_point, CONCENTRATION, system), _show(one.design_outdoor_air, AIRFLOW, system),
             _show(one.low_outdoor_air, AIRFLOW, system), one.reason.show(system))
            for one in plan.spaces
        ],
        "speeds": [
            (one.name, _show(one.low_signal, FRACTION, system), _show(one.low_outdoor_air_fraction, FRACTION, system))
            for one in plan.speeds
        ],
        "remarks": plan.remarks,
        "doubts": plan.doubts,
    }  # fmt: skip


def _pictures(worked: Worked, system: System) -> dict[str, Any]:
    """Draw today's air on the chart, and what each speed delivers beside what is required."""
    plan, verdicts = worked.plan, worked.verdicts
    chart = air_chart_of(worked.job.facts, plan, worked.job.readings, system)
    delivered = [
        DeliveredAir(one.name, one.verdict.spoken, one.outdoor_air, one.outdoor_air_u)
        for one in verdicts.speeds
    ]
    air = plan.ventilation
    required = Amount(air.required, AIRFLOW).show(system)
    return {
        "chart": draw_air_chart(chart, system),
        "chart_words": said(chart, system),
        "chart_rows": rows(chart, system),
        "delivered": draw_delivered(delivered, air.required, air.tolerance, system) if air.required > 0 else "",
        "delivered_rows": [
            (one.speed, "not read yet" if one.outdoor_air is None else Amount(one.outdoor_air, AIRFLOW, one.outdoor_air_u).show(system), required, one.result)
            for one in delivered
        ],
    }  # fmt: skip


routes = [Route("/jobs/{job}/plan", shown)]
