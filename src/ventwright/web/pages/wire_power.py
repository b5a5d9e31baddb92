"""Control power: transformer, tap and loads as entered, what the meter shows idle and loaded, and whether it holds."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Literal

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ventwright.errors import Refusal, Refused
from ventwright.evidence import Verdict
from ventwright.facts.power import Load, Transformer
from ventwright.plan.power import PowerPlan
from ventwright.plan.power.budget import TransformerBudget
from ventwright.plan.power.finding import nominal
from ventwright.quantity import APPARENT_POWER, CURRENT, FRACTION, Dimension, System
from ventwright.web.desk import Add, Opened, Put, Step
from ventwright.web.form import Form, Question, answers, filled, mistakes, question, value_at
from ventwright.web.page import desk_of, go_to, page
from ventwright.web.pages.waiting import waiting
from ventwright.web.pages.wire import STAGE, cautions_for
from ventwright.web.received import received
from ventwright.web.seen_item import changed_item, mark_kept, taken_out
from ventwright.words import Amount, chance

Part = Literal["transformers", "loads"]
ADDRESS: dict[str, Part] = {"transformer": "transformers", "load": "loads"}

USUAL_LOADS = (
    "damper actuator",
    "economizer controller",
    "control board",
    "exhaust relay",
    "compressor contactor",
)


async def shown(request: Request) -> Response:
    """Show whether the control power holds, and why."""
    opened = await desk_of(request).open(request.path_params["job"])
    if opened.worked is None:
        return await waiting(request, opened, STAGE, "Control power")
    plan, system = opened.worked.plan.power, opened.system
    return await page(
        request,
        "wire_power.html.j2",
        opened=opened,
        stage=STAGE,
        power=plan,
        transformers=[_transformer(one, system) for one in plan.transformers] if plan else [],
        findings=_findings(plan) if plan else [],
        taps=_taps(plan, system) if plan else [],
        loads=[one["name"] for one in held(opened, "loads") if "name" in one],
    )


def held(opened: Opened, part: Part) -> list[dict[str, Any]]:
    """Return the transformers or loads of a job, as typed."""
    typed: list[dict[str, Any]] = (opened.facts.get("power") or {}).get(part) or []
    return typed


def _show(value: float, dimension: Dimension, system: System) -> str:
    return Amount(value, dimension).show(system)


def _transformer(one: TransformerBudget, system: System) -> dict[str, Any]:
    guess = " (guess)" if one.rating_is_guess else ""
    supply = "not known" if one.supply is None else nominal(one.supply).text
    tap = "not known" if one.tap is None else nominal(one.tap).text
    known = "metered" if one.voltages_known_from == "metered" else f"stands on {one.voltages_known_from}"
    rows = [
        ("Rating", _show(one.rating, APPARENT_POWER, system) + guess),
        ("Supply, tap", f"{supply}, {tap}"),
        ("Idle", f"{_show(one.idle_power, APPARENT_POWER, system)}, {one.idle_voltage.show(system)}"),
        (
            "Everything on",
            f"{_show(one.stroking_power, APPARENT_POWER, system)}, {one.running_voltage.show(system)}",
        ),
        ("Worst moment", f"{one.worst_power.show(system)}, {one.worst_voltage.show(system)}"),
        ("Voltages", known),
        ("Fuse", _fuse(one, system)),
    ]
    return {"name": one.name, "loading": _show(one.stroking_fraction, FRACTION, system), "rows": rows,
            "loads": [(load.name, _show(load.apparent_power, APPARENT_POWER, system), load.when) for load in one.loads]}  # fmt: skip


def _fuse(one: TransformerBudget, system: System) -> str:
    least = f"more than {_show(one.fuse_at_least, CURRENT, system)}"
    if one.fuse_at_most is None:
        return f"{least}; no Class 2 source"
    most = f"{least}, at most {_show(one.fuse_at_most, CURRENT, system)}"
    if one.fuse_suggested is None:
        return f"{most}; no usual fuse does both"
    return f"{nominal(one.fuse_suggested, 'A').text} slow ({most})"


def _findings(plan: PowerPlan) -> list[Any]:
    """Return the findings, what stops power first, what passes last."""
    return sorted(plan.findings, key=lambda one: (not one.stops, one.verdict is Verdict.PASSES))


def _taps(plan: PowerPlan, system: System) -> list[tuple[str, ...]]:
    return [
        (
            f"{one.transformer}: {nominal(one.tap).text}{' (right)' if one.right else ''}",
            one.idle_voltage.show(system),
            "" if one.probability is None else chance(one.probability),
        )
        for one in plan.taps
        if one.right or (one.probability or 0.0) >= 0.01
    ]


async def part(request: Request) -> Response:
    """Ask for a transformer or a load."""
    opened = await desk_of(request).open(request.path_params["job"])
    if opened.worked is None:
        return await waiting(request, opened, STAGE, "Control power")
    return await _part(request, opened)


def _number(request: Request, opened: Opened) -> tuple[Part, int]:
    """Return which list, and which of it; one more than there are is a new one.

    Raises
    ------
    HTTPException
        There is no such part.
    """
    kind, number = ADDRESS.get(request.path_params["part"]), request.path_params["number"]
    if kind is None or not 1 <= number <= len(held(opened, kind)) + 1:
        raise HTTPException(404)
    return kind, number


def _questions(opened: Opened, kind: Part, number: int) -> list[Question]:
    place = f"facts.power.{kind}[{number}]"
    found = (_ask_transformer if kind == "transformers" else _ask_load)(place, opened.system)
    if kind == "loads" and len(held(opened, "transformers")) > 1:
        found.append(question(Load, "transformer", place=place, label="Hangs on", required=True))
    return found


def _ask_transformer(place: str, system: System) -> list[Question]:
    def of(name: str, label: str, **more: Any) -> Question:
        return question(Transformer, name, place=place, label=label, system=system, **more)

    return [
        of("rating", "Rating on its nameplate"),
        of("supply", "Voltage at its primary"),
        of("tap", "Primary tap that is connected"),
        Question(
            "taps", "Primary taps it has", f"{place}.taps", "text", help="With commas, such as 208 V, 240 V."
        ),
        of("class_2", "Class 2, by its marking"),
        of("fused", "Fuse or breaker on its secondary"),
        of("fuse", "Rating of that fuse"),
        of("secondary", "Rated secondary voltage"),
        of("name", "What to call it"),
    ]


def _ask_load(place: str, system: System) -> list[Question]:
    def of(name: str, label: str, **more: Any) -> Question:
        return question(Load, name, place=place, label=label, system=system, **more)

    return [
        of("name", "What draws power"),
        of("apparent_power", "Draws while it runs or holds"),
        of("inrush", "Draws while it strokes or pulls in"),
        of("when", "When"),
        of("rectifier", "How it makes direct current"),
    ]


DEFAULTS: dict[Part, dict[str, Any]] = {"transformers": {"name": "unit transformer"}, "loads": {}}


async def _part(
    request: Request, opened: Opened, *, typed: Form | None = None, refusals: Sequence[Refusal] = ()
) -> Response:
    kind, number = _number(request, opened)
    questions, there = _questions(opened, kind, number), number <= len(held(opened, kind))
    texts = dict(typed.texts) if typed else {} if there else {**DEFAULTS[kind]}
    taps = value_at(opened.document, f"facts.power.{kind}[{number}].taps")
    if isinstance(taps, list):
        texts.setdefault("taps", ", ".join(taps))
    taps_offered = ("208", "240")
    offered = (
        {"supply": taps_offered, "tap": taps_offered} if kind == "transformers" else {"name": USUAL_LOADS}
    )
    asked = filled(questions, opened.document, typed=texts, refusals=refusals, offered=offered)
    return await page(
        request,
        "wire_power_part.html.j2",
        opened=opened,
        stage=STAGE,
        status=422 if refusals else 200,
        asked=asked,
        wrong=mistakes(refusals, questions),
        part=request.path_params["part"],
        cautions=cautions_for(opened, "off"),
        number=number,
        there=there,
        mark=mark_kept(typed, held(opened, kind)[number - 1] if there else None),
    )


async def keep_part(request: Request) -> Response:
    """Enter a transformer or a load, or take it out."""
    desk, form = desk_of(request), await received(request)
    opened = await desk.open(request.path_params["job"])
    kind, number = _number(request, opened)
    try:
        ids = await desk.enter(opened, _steps(opened, kind, number, form), once=form.get("once"))
    except Refused as refused:
        return await _part(request, opened, typed=form, refusals=refused.refusals)
    return go_to(request, f"/jobs/{opened.id}/wire/power", said="saved" if ids else "nothing", undo=ids)


def _steps(opened: Opened, kind: Part, number: int, form: Form) -> list[Step]:
    """Return the steps that enter, change or take out a part: the one that the page showed.

    Raises
    ------
    Refused
        It is not there any more.
    """
    parts = held(opened, kind)
    if form.get("do") == "take out":
        return _taken_out(opened, kind, taken_out(parts, form))
    meant = changed_item(parts, form, number)
    given = answers(_questions(opened, kind, meant), form.texts)
    named = {where.rpartition(".")[2]: value for where, value in given.items()}
    if "taps" in named:
        named["taps"] = [one.strip() for one in str(named["taps"] or "").split(",") if one.strip()] or None
    return _written(opened, kind, meant, named) if meant <= len(parts) else _added(opened, kind, named)


def _taken_out(opened: Opened, kind: Part, number: int) -> list[Step]:
    alone = kind == "transformers" and len(held(opened, kind)) == 1
    return [Put("facts.power", None)] if alone else [Put(f"facts.power.{kind}[{number}]", None)]


def _written(opened: Opened, kind: Part, number: int, named: dict[str, Any]) -> list[Step]:
    there = held(opened, kind)[number - 1]
    place = f"facts.power.{kind}[{number}]"
    return [
        Put(f"{place}.{name}", value) for name, value in named.items() if (there.get(name) or None) != value
    ]


def _added(opened: Opened, kind: Part, named: dict[str, Any]) -> list[Step]:
    new = {name: value for name, value in named.items() if value is not None}
    if opened.facts.get("power"):
        return [Add(f"facts.power.{kind}", new)]
    if kind == "loads":
        return [Put("facts.power", {"transformers": [{"name": "unit transformer"}], "loads": [new]})]
    return [Put("facts.power", {"transformers": [new]})]


routes = [
    Route("/jobs/{job}/wire/power", shown),
    Route("/jobs/{job}/wire/power/{part}/{number:int}", part),
    Route("/jobs/{job}/wire/power/{part}/{number:int}", keep_part, methods=["POST"]),
]
