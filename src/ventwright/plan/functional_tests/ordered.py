"""The order of the steps: each panel opened as seldom as can be, one set-up after another, and waits that overlap."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from ventwright.plan.functional_tests.applies import ChosenStep
from ventwright.tables.procedure import Called

STAYS_OPEN = {"control box"}
"""Panels that may stay open while the fan runs: no air passes there."""


@dataclass(frozen=True, slots=True)
class Place:
    """Where a step stands in the order."""

    chosen: ChosenStep
    wait: float
    """What is left to wait, since a step before may have waited in the same state. [s]"""
    opens: str = ""
    """Panel to open before it."""
    closes: str = ""
    """Panel to close before it."""
    meanwhile: tuple[str, ...] = ()
    """Steps that are done while it waits."""


@dataclass(slots=True)
class _State:
    """How the unit stands while steps are put in order."""

    disconnect: str = "on"
    open_panels: set[str] = field(default_factory=set)
    setup: str = ""
    calls: Called | None = None
    waited: float = 0.0


def in_order(chosen: Sequence[ChosenStep], setups: Mapping[str, str]) -> tuple[Place, ...]:
    """Put steps in order.

    Parameters
    ----------
    setups
        For each step how its condition comes about; steps with the same text share a set-up.
    """
    state, places = _State(), list[Place]()
    fillers = [one for one in chosen if one.step.while_waiting]
    left = [one for one in chosen if not one.step.while_waiting]
    while left:
        ready = [one for one in left if _ready(one, left)] or left[:1]
        following = min(ready, key=lambda one: _cost(one, state, setups, chosen.index(one)))
        left.remove(following)
        place = _placed(following, state, setups)
        meanwhile = (
            _fill(place, fillers, left) if place.wait > 0.0 and following.step.disconnect == "on" else []
        )
        places.append(
            Place(following, place.wait, place.opens, place.closes, tuple(one.id for one in meanwhile))
        )
        places += [_placed(one, state, setups, in_between=True) for one in meanwhile]
    places += [_placed(one, state, setups) for one in fillers]
    return tuple(places)


def _ready(one: ChosenStep, left: Sequence[ChosenStep]) -> bool:
    """Whether everything that it relies on is done; what does not apply here is not waited for."""
    waiting = {other.step.id for other in left if other is not one and other.step.id != one.step.id}
    return not waiting & set(one.step.after)


def _cost(one: ChosenStep, state: _State, setups: Mapping[str, str], number: int) -> tuple[object, ...]:
    """What it takes to go on with a step: last ones last, then the disconnect, panels, set-up, calls."""
    step = one.step
    opens = bool(step.panel) and step.panel not in state.open_panels
    return (
        step.last,
        step.answer == "check" and step.check == "nothing_left",
        step.disconnect != state.disconnect,
        opens,
        setups[one.id] != state.setup,
        step.calls != state.calls,
        number,
    )


def _placed(one: ChosenStep, state: _State, setups: Mapping[str, str], *, in_between: bool = False) -> Place:
    """Put a step next, and leave the state as it stands after it."""
    step, setup = one.step, setups[one.id]
    same = setup == state.setup and step.calls == state.calls and step.calls is not None
    wait = max(0.0, step.wait - state.waited) if same else step.wait
    closes = ""
    running = step.disconnect == "on"
    shut = state.open_panels - STAYS_OPEN - {step.panel}
    if running and shut:
        closes = ", ".join(sorted(shut))
        state.open_panels -= shut
    opens = step.panel if step.panel and step.panel not in state.open_panels else ""
    state.open_panels |= {step.panel} - {""}
    if not in_between:
        state.waited = state.waited + wait if same else step.wait
        state.disconnect, state.setup, state.calls = step.disconnect, setup, step.calls
    return Place(one, wait, opens, closes)


def _fill(place: Place, fillers: list[ChosenStep], left: Sequence[ChosenStep]) -> list[ChosenStep]:
    """Take out of the fillers what fits beside a wait."""
    fan = place.chosen.step.fan
    found = [one for one in fillers if one.step.fan in {"any", fan} and _ready(one, left)]
    for one in found:
        fillers.remove(one)
    return found


__all__ = ["Place", "in_order"]
