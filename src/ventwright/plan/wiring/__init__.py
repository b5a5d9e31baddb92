"""The wiring: what joins the kit to the unit, where every wire lands, what is wrong, and what to do before power."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from ventwright.plan.concerns import Weight
from ventwright.plan.wiring.assembly import Placed, ends_of
from ventwright.plan.wiring.before_power import BeforePower, before_power, restored
from ventwright.plan.wiring.chain import Chain, Search
from ventwright.plan.wiring.chain_given import Remedy, as_laid_out, mend
from ventwright.plan.wiring.landing import Landing, MeterPoint, landings, meter_points
from ventwright.plan.wiring.named_circuits import CircuitsTold, NamedCircuit, ToMeasure
from ventwright.plan.wiring.net_faults import spelled
from ventwright.plan.wiring.view import LaneView, lanes_of
from ventwright.plan.wiring.wires_to_make import WireToMake, wires_to_make
from ventwright.tables.adapter import Adapter
from ventwright.tables.board import Board
from ventwright.tables.caution import Caution, cautions
from ventwright.tables.connector import Connector
from ventwright.words import Words

STAGES = ("open the unit", "read with power on", "leave")
"""Stages whose cautions stand beside the wiring."""


class WiringState(StrEnum):
    """How the harness stands."""

    WHOLE = "whole"
    ADAPTER_MISSING = "adapter missing"
    NOT_WHOLE = "not whole"
    CANNOT_MATE = "cannot mate"
    PUT_IT_BACK = "put it back and run"


@dataclass(frozen=True, slots=True)
class WiringFinding:
    """Something about the wiring to know: a stable name, how serious, where, and what it means."""

    name: str
    weight: Weight
    sentence: Words
    at: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class AdapterUse:
    """One adapter of the chain, in order from the kit; ``at_hand`` is None where nobody said what the truck holds."""

    id: str
    name: str
    turned: bool
    at_hand: bool | None


@dataclass(frozen=True, slots=True)
class WiringPlan:
    """The wiring from end to end."""

    board: str
    board_name: str
    state: WiringState
    sentence: Words
    adapters: tuple[AdapterUse, ...] = ()
    missing: tuple[str, ...] = ()
    """Ids of adapters that are needed and not at hand; ``missing_names`` is what people call them, in the same order."""
    missing_names: tuple[str, ...] = ()
    findings: tuple[WiringFinding, ...] = ()
    landings: tuple[Landing, ...] = ()
    before_power: tuple[BeforePower, ...] = ()
    meter: tuple[MeterPoint, ...] = ()
    remedy: Words | None = None
    to_make: tuple[WireToMake, ...] = ()
    restore: tuple[Words, ...] = ()
    named: tuple[NamedCircuit, ...] = ()
    to_measure: tuple[ToMeasure, ...] = ()
    cautions: tuple[Caution, ...] = ()
    lanes: tuple[LaneView, ...] = ()


@dataclass(frozen=True, slots=True)
class Parts:
    """What there is to join: the kit's connectors, the board, adapters laid out or at hand, and the shelf to order from.

    ``laid_out`` None: they are looked for. ``at_hand`` None: nobody said what the truck holds.
    """

    kit: tuple[Connector, ...]
    board: Board
    laid_out: tuple[Adapter, ...] | None = None
    at_hand: tuple[Adapter, ...] | None = None
    shelf: Callable[[], Sequence[Adapter]] = tuple
    landed: Mapping[int, str] | None = None


def wire(parts: Parts, told: CircuitsTold | None = None) -> WiringPlan:
    """Work the wiring out.

    Parameters
    ----------
    parts
        What there is to join.
    told
        Where the board is in no file: what the readings on it told.
    """
    laid = tuple(Placed(adapter) for adapter in parts.laid_out or ())
    chain = as_laid_out(parts.kit, parts.board, laid, parts.landed)
    mended = None if chain.whole else _mended(parts, laid, chain)
    remedy = mended if isinstance(mended, Remedy) else None
    if parts.laid_out is None:
        if remedy is not None:
            chain = remedy.chain
        elif isinstance(mended, Search) and mended.least_wrong is not None:
            chain = mended.least_wrong
    state = _state(chain, remedy if parts.laid_out is None else None, parts)
    plan = _shown(parts, chain, state)
    if parts.laid_out is None:
        plan = _without(plan, remedy.missing if remedy and parts.at_hand is not None else ())
    elif remedy is not None:
        plan = replace(_without(plan, remedy.missing), remedy=remedy.sentence)
    if state in {WiringState.CANNOT_MATE, WiringState.NOT_WHOLE} and remedy is None:
        plan = replace(plan, remedy=_why_none(mended, parts), to_make=wires_to_make(parts.kit, parts.board))
    plan = replace(plan, sentence=_sentence(plan, parts))
    return _with_readings(plan, parts, told) if told is not None else plan


def _without(plan: WiringPlan, missing: Sequence[Adapter]) -> WiringPlan:
    """Return a plan that says which adapters it lacks."""
    return replace(
        plan, missing=tuple(one.id for one in missing), missing_names=tuple(one.name for one in missing)
    )


def _mended(parts: Parts, laid: Sequence[Placed], chain: Chain) -> Remedy | Search:
    """Find what makes a chain whole: first whether moving the wires to where they belong would do."""
    if parts.landed:
        by_plan = as_laid_out(parts.kit, parts.board, laid)
        if by_plan.whole:
            return Remedy(_moves(chain, by_plan), by_plan)
    return mend(parts.kit, parts.board, laid, parts.at_hand or (), parts.shelf)


def _moves(found: Chain, wanted: Chain) -> Words:
    """Say which loose wires go to another terminal."""
    said = []
    put = {link.first: link.second for link in found.links if link.by == "by hand"}
    for link in wanted.links:
        if link.by == "by hand" and put.get(link.first) != link.second:
            here = spelled(found.assembly, put[link.first]) if link.first in put else "nowhere"
            said.append(
                f"{spelled(wanted.assembly, link.first)} from {here} to {spelled(wanted.assembly, link.second)}"
            )
    return Words(f"power off and locked, move {'; '.join(said)}")


def _state(chain: Chain, remedy: Remedy | None, parts: Parts) -> WiringState:
    if chain.whole:
        missing = remedy is not None and remedy.missing and parts.at_hand is not None
        return WiringState.ADAPTER_MISSING if missing else WiringState.WHOLE
    if any(one.name.startswith("wiring.cannot_mate") for one in chain.findings):
        return WiringState.CANNOT_MATE
    return WiringState.NOT_WHOLE


def _shown(parts: Parts, chain: Chain, state: WiringState) -> WiringPlan:
    here = None if parts.at_hand is None else {one.id for one in (*parts.at_hand, *(parts.laid_out or ()))}
    landed = landings(chain)
    return WiringPlan(
        board=parts.board.id,
        board_name=parts.board.name,
        state=state,
        sentence=Words(""),
        adapters=tuple(
            AdapterUse(
                one.adapter.id, one.adapter.name, one.turned, None if here is None else one.adapter.id in here
            )
            for one in chain.adapters
        ),
        findings=_findings(chain, state),
        landings=landed,
        before_power=before_power(chain, parts.board),
        meter=meter_points(landed) if state in {WiringState.WHOLE, WiringState.ADAPTER_MISSING} else (),
        restore=restored(parts.board),
        cautions=tuple(one for one in cautions() if one.stage in STAGES),
        lanes=lanes_of(chain),
    )


def _findings(chain: Chain, state: WiringState) -> tuple[WiringFinding, ...]:
    """Return the findings; where the parts do not even mate, what follows from that alone is left out."""
    follows = {"wiring.open", "wiring.nothing_comes_back", "wiring.not_carried", "wiring.passed_straight"}
    return tuple(
        WiringFinding(
            one.name, one.weight, one.sentence, tuple(spelled(chain.assembly, node) for node in one.nodes)
        )
        for one in chain.findings
        if not (state is WiringState.CANNOT_MATE and one.name in follows)
    )


def _why_none(mended: Remedy | Search | None, parts: Parts) -> Words:
    """Say why no chain of the adapters known makes the circuits whole."""
    if not isinstance(mended, Search):
        return Words("")
    if mended.gave_up:
        return Words("there are too many adapters that fit one another to try every chain; name fewer")
    board = ", ".join(dict.fromkeys(end.described for end in ends_of(parts.board)))
    if mended.least_wrong is None:
        reached = ", ".join(dict.fromkeys(tip.described for tip in mended.tips))
        return Words(
            f"no chain reaches the unit: with the adapters known the harness can end in {reached}, and the board has {board}"
        )
    wrong = [one.sentence.text for one in mended.least_wrong.findings if one.weight is Weight.CONFLICT]
    names = ", ".join(placed.adapter.name for placed in mended.least_wrong.adapters) or "no adapter"
    return Words(
        f"no chain makes every circuit whole; the nearest ({names}) leaves this wrong: {'; '.join(wrong)}"
    )


def _sentence(plan: WiringPlan, parts: Parts) -> Words:
    names = ", then ".join(one.name for one in plan.adapters)
    through = f"through {names}" if names else "without an adapter"
    match plan.state:
        case WiringState.WHOLE:
            return Words(f"every circuit is whole {through}")
        case WiringState.ADAPTER_MISSING:
            is_not = "is not" if len(plan.missing) == 1 else "are not"
            lacking = " and ".join(plan.missing_names)
            return Words(f"every circuit would be whole {through}, and of these {lacking} {is_not} at hand")
        case WiringState.CANNOT_MATE:
            reason = next(
                one.sentence.text for one in plan.findings if one.name.startswith("wiring.cannot_mate")
            )
            return Words(f"these parts do not go together: {reason}")
        case _:
            count = sum(one.weight is Weight.CONFLICT for one in plan.findings)
            verb = "thing is" if count == 1 else "things are"
            return Words(
                f"{parts.board.name} and the kit can be joined {through}, but {count} {verb} wrong: do not switch on"
            )


def _with_readings(plan: WiringPlan, parts: Parts, told: CircuitsTold) -> WiringPlan:
    """Add what readings on an unknown connector told; where they do not tell enough, everything goes back as it was."""
    there = [circuit for end in ends_of(parts.board) for circuit in end.circuits]
    lacking = sorted({
        circuit.function.value for end in parts.kit for circuit in end.circuits
        if circuit.needed == "always" and not any(circuit.fits(other) for other in there)
    })  # fmt: skip
    findings = plan.findings + tuple(
        WiringFinding("wiring.contradiction", Weight.CONFLICT, one) for one in told.contradictions
    )
    findings += tuple(
        WiringFinding("wiring.not_proved", Weight.ADVICE, Words(
            f"cavity {one.cavity} is taken for {one.function}: {one.because.text}; prove it with the meter"))
        for one in told.circuits if not one.proved
    )  # fmt: skip
    plan = replace(plan, named=told.circuits, to_measure=told.to_measure, findings=findings)
    if not lacking and not told.contradictions:
        return plan
    if told.contradictions:
        why = "the readings contradict one another"
    elif told.to_measure:
        why = f"not told yet: {', '.join(lacking)}"
    else:
        why = f"this connector does not carry {', '.join(lacking)}"
    then = "take the readings listed if there is time, else restore mechanical cooling as below"
    sentence = Words(f"{why}; {then if told.to_measure else 'restore mechanical cooling as below'}")
    return replace(plan, state=WiringState.PUT_IT_BACK, sentence=sentence, meter=())
