"""What goes on the truck the evening before: the kit, what joins it, what wires it, what proves it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from ventwright.facts import Facts, Instrument
from ventwright.plan.power import PowerPlan
from ventwright.plan.speeds import SpeedPlan
from ventwright.plan.wiring import WiringPlan, WiringState
from ventwright.quantity import DURATION, LENGTH
from ventwright.tables import prior
from ventwright.tables.kit import Kit
from ventwright.words import Amount, Words, words


def calibration_holds() -> timedelta:
    """How long a calibration counts in an acceptance test; `usual_settings.toml` has its source."""
    return timedelta(seconds=prior.usual("calibration_holds", DURATION).value)


@dataclass(frozen=True, slots=True)
class Item:
    """One thing to take along. ``at_hand`` is None where nobody said whether it is there."""

    kind: str
    what: Words
    why: Words
    at_hand: bool | None = None


def pick_list(
    facts: Facts, kit: Kit, speeds: tuple[SpeedPlan, ...], wiring: WiringPlan | None, power: PowerPlan | None
) -> tuple[Item, ...]:
    """List what the job takes, the kit first."""
    return (
        Item("kit", Words(kit.name), Words("what is fitted")),
        *_adapters(wiring),
        *_wires(power),
        *_instruments(facts, speeds),
        Item(
            "safety",
            Words("lock, tag and a tester proved before and after on a known source"),
            Words("before a panel is opened"),
        ),
    )


def _adapters(wiring: WiringPlan | None) -> Iterator[Item]:
    if wiring is None:
        yield Item(
            "adapter",
            Words("adapters not known"),
            Words("nothing is told of the unit's board: name it, or describe what is seen"),
        )
        return
    if wiring.state in {WiringState.NOT_WHOLE, WiringState.CANNOT_MATE}:
        yield Item("adapter", Words("none of the adapters known will do"), wiring.sentence, at_hand=False)
        return
    for one in wiring.adapters:
        yield Item(
            "adapter",
            Words(one.name),
            Words("joins the kit to the unit's board"),
            one.at_hand,
        )


def _wires(power: PowerPlan | None) -> Iterator[Item]:
    if power is None:
        return
    for run in power.runs:
        both = Amount(2 * run.length, LENGTH)
        yield Item("wire", words("{gauge} AWG {conductor}, {length}", gauge=Words(str(run.gauge)), conductor=Words(run.conductor), length=both),
                   words("{name}, there and back", name=Words(run.name)))  # fmt: skip
    for budget in power.transformers:
        if budget.fuse_suggested is not None:
            yield Item("fuse", words("fuse of {size}", size=Words(f"{budget.fuse_suggested:g} A")),
                       words("secondary of {name}", name=Words(budget.name)))  # fmt: skip


def _instruments(facts: Facts, speeds: tuple[SpeedPlan, ...]) -> Iterator[Item]:
    """Each instrument of the job, and each kind that the proof takes and the job does not have."""
    for one in facts.instruments:
        yield Item("instrument", _named(one), _calibration(one), True)
    needed = {
        "temperature": "outdoor, return and mixed air at every fan speed",
        "airflow": f"supply airflow at {'the one fan speed' if len(speeds) == 1 else f'{len(speeds)} fan speeds'}",
        "electrical": "control power and the harness",
    }
    have = {one.kind for one in facts.instruments}
    for kind, why in needed.items():
        if kind not in have:
            yield Item(
                "instrument",
                Words(f"an instrument for {kind} readings"),
                Words(f"{why}; none is listed in the job"),
                False,
            )


def _named(instrument: Instrument) -> Words:
    if not instrument.name:
        return instrument.called
    band = Amount(instrument.accuracy.value, instrument.accuracy.dimension)
    return words("{name}, ± {band}", name=instrument.called, band=band)


def _calibration(instrument: Instrument) -> Words:
    if instrument.calibrated is None:
        return Words("no calibration date is given; acceptance wants one within a year")
    until: date = instrument.calibrated + calibration_holds()
    return Words(f"calibrated {instrument.calibrated}, good for acceptance until {until}")
