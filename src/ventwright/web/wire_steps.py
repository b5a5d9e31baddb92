"""The work on the harness as one list: before power, connector by connector, then the meter with power off and on."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from ventwright.errors import Refusal, Refused
from ventwright.evidence import Estimate, Limits, Verdict, verdict
from ventwright.facts import Facts
from ventwright.plan import WiringPlan, WiringState
from ventwright.plan.power.secondary import metered_voltage
from ventwright.plan.wiring.landing import Landing, MeterPoint
from ventwright.quantity import RESISTANCE, VOLTAGE, Dimension, Quantity, has_unit_of, read
from ventwright.readings import Readings, Tick
from ventwright.tables import control_power
from ventwright.web.power_state import Power
from ventwright.words import Words

Part = Literal["before power", "landing", "meter, power off", "meter, power on"]

TITLES: dict[Part, str] = {
    "before power": "Before the kit goes in",
    "landing": "Land the wires",
    "meter, power off": "Read ohms, power off",
    "meter, power on": "Read volts, power on",
}

LANDABLE = {WiringState.WHOLE, WiringState.ADAPTER_MISSING}
"""States of the wiring in which a wire may be landed."""

OPEN = "open"
"""What a meter shows where two points are not joined."""


@dataclass(frozen=True, slots=True)
class WireStep:
    """One step. ``item`` is what is ticked; ``landing`` is the wire it is about, ``point`` what a meter should show."""

    part: Part
    item: str
    title: str
    do: Words
    power: Power
    landing: Landing | None = None
    point: MeterPoint | None = None
    tick: Tick | None = None

    @property
    def done(self) -> bool:
        """Whether somebody ticked it as in order."""
        return self.tick is not None and self.tick.found == "in order"

    @property
    def mark(self) -> str:
        """How it stands, as the pages mark it."""
        if self.tick is None:
            return "none"
        return {"in order": "done", "not in order": "wrong", "not looked at": "open"}[self.tick.found]

    @property
    def dimension(self) -> Dimension | None:
        """What the meter reads here; None where nothing is read."""
        if self.point is None:
            return None
        return RESISTANCE if self.power == "off" else VOLTAGE

    @property
    def limits(self) -> tuple[float, float] | None:
        """Between what a reading has to lie; None where no number is known for it. [ohm or V]"""
        if self.point is None:
            return None
        low, high = (
            (self.point.resistance_at_least, self.point.resistance_at_most)
            if self.power == "off"
            else (self.point.voltage_at_least, self.point.voltage_at_most)
        )
        return None if low is None or high is None else (low, high)

    @property
    def expected(self) -> str:
        """Say the numbers that are expected, alike in both systems of units; empty where there are none."""
        if self.limits is None or self.dimension is None:
            return ""
        low, high = self.limits
        unit = "ohm" if self.dimension is RESISTANCE else "V"
        return f"{low:g} to {high:g} {unit}" if low > 0.0 else f"{high:g} {unit} at most"


def wire_steps(wiring: WiringPlan, readings: Readings) -> tuple[WireStep, ...]:
    """List the steps in the order of the work, each with its latest tick; none while the parts do not go together."""
    if wiring.state not in LANDABLE:
        return ()
    ticks = {tick.item.strip().lower(): tick for tick in readings.standing(Tick)}
    return tuple(_ticked(step, ticks.get(step.item.lower())) for step in _steps(wiring))


def _ticked(step: WireStep, tick: Tick | None) -> WireStep:
    return WireStep(step.part, step.item, step.title, step.do, step.power, step.landing, step.point, tick)


def _steps(wiring: WiringPlan) -> Iterator[WireStep]:
    for one in wiring.before_power:
        if one.kind != "lock out":
            yield WireStep(
                "before power", f"before power: {one.do.text}", one.kind.capitalize(), one.do, "off"
            )
    for landing in wiring.landings:
        if landing.standing == "right":
            yield _landed(landing)
    for point in wiring.meter:
        yield WireStep("meter, power off", f"meter, power off: {point.function} at {point.where}",
                       point.function, point.off, "off", point=point)  # fmt: skip
    for point in wiring.meter[1:]:
        yield WireStep("meter, power on", f"meter, power on: {point.function} at {point.where}",
                       point.function, point.on, "on", point=point)  # fmt: skip


def _landed(one: Landing) -> WireStep:
    item = f"landed: {one.function}, {one.kit_end} {one.kit_cavity} to {one.board_end} {one.board_cavity}"
    do = one.by_hand or Words(
        f"push the plugs together until they latch: {one.board_end}, cavity {one.board_cavity}"
    )
    return WireStep("landing", item, one.function, do, "off", landing=one)


def metered(step: WireStep, typed: str, facts: Facts, where: str) -> tuple[Verdict | None, str]:
    """Hold a meter reading against what is expected at a step.

    Parameters
    ----------
    typed
        What the meter shows, with its unit, or the word open.
    facts
        With the instruments: the meter's own accuracy counts.
    where
        Name of the field, for a refusal.

    Returns
    -------
    tuple
        The verdict, None where no number is known for this point; and the reading as it is noted.

    Raises
    ------
    Refused
        It is no reading of this kind.
    """
    dimension = step.dimension
    if dimension is None:
        return None, ""
    if typed.strip().lower() == OPEN and dimension is RESISTANCE:
        return (Verdict.FAILS if step.limits else None), "read: open"
    try:
        shown = read(typed, dimension, at_least=0.0)
    except Refused as refused:
        also = f"{dimension.example}, or the word open" if dimension is RESISTANCE else dimension.example
        first = refused.refusals[0]
        accepted = first.accepted if has_unit_of(typed, dimension) else also
        raise Refused(Refusal(first.problem, accepted, where, first.given)) from None
    if step.limits is None:
        return None, f"read: {shown.typed}"
    low, high = step.limits
    limits = Limits(at_least=low if low > 0.0 else None, at_most=high)
    return verdict(_known(shown, facts), limits), f"read: {shown.typed}; expected: {step.expected}"


def _known(shown: Quantity, facts: Facts) -> Estimate:
    """Return a reading with its ±: as typed, else that of the job's meter, else that of an ordinary one."""
    if shown.dimension == VOLTAGE:
        meter = next((one.id for one in facts.instruments if one.kind == "electrical"), None)
        return metered_voltage(shown, meter, facts.instruments, "facts.instruments")
    own = shown.uncertainty
    return Estimate(
        shown.value, shown.value * control_power.relative_uncertainty("meter") if own is None else own
    )
