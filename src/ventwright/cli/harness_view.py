"""The wiring as tables for a person."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ventwright.plan.wiring import WiringPlan
    from ventwright.plan.wiring.landing import Landing, MeterPoint
    from ventwright.quantity import System


def print_wiring(kit: str, wiring: WiringPlan, system: System, *, invented: bool) -> None:
    """Print the wiring, what matters first."""
    from ventwright.cli import show
    from ventwright.plan.concerns import Weight

    show.heading(f"Wiring{'  (invented example)' if invented else ''}")
    show.pairs([("Kit", kit), ("Unit's board", wiring.board_name)])
    show.line(f"{wiring.state.value.upper()}: {wiring.sentence.show(system)}.")
    for one in wiring.findings:
        word = "WRONG" if one.weight is Weight.CONFLICT else "to know"
        show.line(f"- {word}: {one.sentence.show(system)}")
    if wiring.remedy is not None and wiring.remedy.text:
        show.line(f"What would help: {wiring.remedy.show(system)}.")
    if wiring.missing:
        named = zip(wiring.missing_names, wiring.missing, strict=True)
        show.line(f"Not at hand: {', '.join(f'{name} ({id_})' for name, id_ in named)}")
    _adapters(wiring)
    _landings(wiring)
    _numbered("Before power", [one.do.show(system) for one in wiring.before_power])
    _meter(wiring, system)
    _named(wiring, system)
    _to_make(wiring)
    _numbered("Mechanical cooling comes back by", [one.show(system) for one in wiring.restore])
    show.heading("Take care")
    show.table(("where", "caution"), [(one.stage, one.text) for one in wiring.cautions])


def _numbered(heading: str, steps: list[str]) -> None:
    from ventwright.cli import show

    if steps:
        show.heading(heading)
    for number, step in enumerate(steps, start=1):
        show.line(f"{number}. {step}")


def _adapters(wiring: WiringPlan) -> None:
    from ventwright.cli import show

    at_hand = {None: "not said", True: "yes", False: "NO"}
    if wiring.adapters:
        show.heading("Adapters, from the kit to the unit")
        show.table(("adapter", "id", "way round", "at hand"), [
            (one.name, one.id, "turned" if one.turned else "as it is", at_hand[one.at_hand]) for one in wiring.adapters
        ])  # fmt: skip


def _landings(wiring: WiringPlan) -> None:
    from ventwright.cli import show

    if not wiring.landings:
        return
    show.heading("Where every wire lands")
    show.table(("function", "kit", "on the way", "unit", "stands"), [
        (one.function, _end(one.kit_end, one.kit_cavity, one.kit_colour), _way(one), _lands(one), one.standing) for one in wiring.landings
    ])  # fmt: skip
    by_hand = [one.by_hand.text for one in wiring.landings if one.by_hand is not None]
    if by_hand:
        _numbered("To be joined by hand, power off and locked", by_hand)


def _end(end: str, cavity: str, colour: str) -> str:
    return f"{end} {cavity}{f', {colour}' if colour else ''}"


def _way(one: Landing) -> str:
    return (
        "; ".join(f"{hop.enters} to {hop.leaves}{f', {hop.colour}' if hop.colour else ''}" for hop in one.way)
        or "-"
    )


def _lands(one: Landing) -> str:
    if not one.board_end:
        return "nowhere"
    other = "" if one.board_function == one.function else f" = {one.board_function}"
    return f"{_end(one.board_end, one.board_cavity, one.board_colour)}{other}"


def _meter(wiring: WiringPlan, system: System) -> None:
    from ventwright.cli import show

    if not wiring.meter:
        return
    show.heading("What a meter should show (from memory and common practice: no published source)")
    show.line(
        "Power off and locked first, ohms; then power on, volts: insulated probes, one hand, line voltage is in the same box."
    )
    show.table(("function", "at", "power off", "power on"), [
        (one.function, one.where, _off(one, system), _on(one, system)) for one in wiring.meter
    ])  # fmt: skip


def _off(one: MeterPoint, system: System) -> str:
    return one.off.show(system) + _range(one.resistance_at_least, one.resistance_at_most, "ohm")


def _on(one: MeterPoint, system: System) -> str:
    return one.on.show(system) + _range(one.voltage_at_least, one.voltage_at_most, "V")


def _range(low: float | None, high: float | None, unit: str) -> str:
    """Word a range; volts and ohms are the same in both systems of units."""
    if low is None or high is None:
        return ""
    return f": {low:g} to {high:g} {unit}" if low > 0 else f": {high:g} {unit} at most"


def _named(wiring: WiringPlan, system: System) -> None:
    from ventwright.cli import show

    if wiring.named:
        show.heading("What the readings tell")
        show.table(("cavity", "colour", "is", "because", "proved"), [
            (str(one.cavity), one.colour or "-", one.function.value, one.because.show(system), "yes" if one.proved else "NO")
            for one in wiring.named
        ])  # fmt: skip
    if wiring.to_measure:
        show.heading("To read next")
        show.table(("do", "expect", "care"), [
            (one.do.show(system), one.expect.show(system), one.care.show(system)) for one in wiring.to_measure
        ])  # fmt: skip


def _to_make(wiring: WiringPlan) -> None:
    from ventwright.cli import show

    if wiring.to_make:
        show.heading("What an adapter would have to join, by function")
        show.table(("function", "kit", "unit"), [
            (one.function, _end(one.kit_end, one.kit_cavity, one.kit_colour), _end(one.board_end, one.board_cavity, one.board_colour))
            for one in wiring.to_make
        ])  # fmt: skip
