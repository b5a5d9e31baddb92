"""The balance as its pages show it: each fan speed in a block, and the one thing to do next."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Literal
from urllib.parse import quote

from ventwright.evidence import Verdict
from ventwright.job import Worked
from ventwright.physics.inference import Do
from ventwright.plan import Plan, SpeedPlan, best_probe
from ventwright.quantity import AIRFLOW, FRACTION, Quantity
from ventwright.record.balance_section import curve_panels
from ventwright.record.curve_drawing import CurvePanel
from ventwright.tables.balance_prior import balance_prior
from ventwright.tables.kit import KitSetting, Term
from ventwright.tables.weather import WeatherYear, read_weather
from ventwright.verdict import SpeedVerdict
from ventwright.verdict.as_left import signal_as_left
from ventwright.verdict.balance import SpeedBalance
from ventwright.verdict.balance.findings import OF_DAMPER
from ventwright.verdict.best_times import best_times
from ventwright.verdict.supply import Supply, supply_at
from ventwright.words import Amount, Words

Move = Literal[
    "instrument", "look", "raise", "read", "compare", "leave", "supply", "need", "done", "wait", "shared"
]

ORDER: tuple[Move, ...] = (
    "instrument",
    "look",
    "read",
    "compare",
    "leave",
    "supply",
    "raise",
    "need",
    "wait",
    "shared",
    "done",
)
"""Which move of which speed comes first on the page; reading and comparing count alike."""

SUPPLY_SHORTFALLS = {"airflow.supply_is_design_value", "airflow.supply_too_sure", "airflow.supply_uncertain"}

AT_THE_DAMPER = ("damper and fan", "read with power on")
"""Stages of the cautions that belong where the damper is set and read."""


@dataclass(frozen=True, slots=True)
class Odds:
    """A chance as people say it: 9 in 10. Never said higher than it is."""

    times: int
    of: int
    side: Literal["", "over", "under"] = ""


def odds(probability: float) -> Odds:
    """Say a chance in round numbers, rounded down."""
    for times, of in ((99, 100), (19, 20)):
        if probability > times / of:
            return Odds(times, of, "over")
    if probability < 0.1:
        return Odds(1, 100 if probability < 0.01 else 10, "under")
    return Odds(math.floor(10.0 * probability + 1e-9), 10)


@dataclass(frozen=True, slots=True)
class Stand:
    """A damper signal: in per cent, as an address holds it, and in what the kit sends, where its file says what."""

    percent: Amount
    text: str
    sent: Amount | None

    @property
    def bare(self) -> Stand:
        """The same without its ±, for the largest digits of a page."""
        sent = None if self.sent is None else replace(self.sent, uncertainty=None)
        return Stand(replace(self.percent, uncertainty=None), self.text, sent)


def stand(plan: Plan, signal: float) -> Stand:
    """Return a share of stroke as the pages show it."""
    return Stand(
        Amount(signal, FRACTION),
        f"{round(100.0 * signal, 1):g} %",
        plan.kit.damper_signal.sent(signal),
    )


def stand_typed(plan: Plan, share: Quantity) -> Stand:
    """Return a signal as a person typed it, with its ±: in per cent and in what the kit sends."""
    sent = plan.kit.damper_signal.sent(share.value, share.uncertainty)
    return Stand(Amount(share.value, FRACTION, share.uncertainty), share.typed, sent)


@dataclass(frozen=True, slots=True)
class Next:
    """The next move at a speed. ``path`` follows the address of the job."""

    move: Move
    path: str
    speed: str = ""
    at: Stand | None = None


@dataclass(frozen=True, slots=True)
class Block:
    """One fan speed on the page."""

    name: str
    address: str
    plan: SpeedPlan
    judged: SpeedVerdict
    balance: SpeedBalance
    supply: Supply
    wanted: Amount
    chance: Odds | None
    left: Stand | None
    today: Stand | None
    low: Amount | None
    high: Amount | None
    next: Next
    best_time: Words | None = None

    @property
    def proved(self) -> bool:
        """Whether the signal is more than provisional."""
        return self.judged.verdict is Verdict.PASSES

    @property
    def supply_words(self) -> Amount:
        """The supply airflow, with its ± where it was measured."""
        return Amount(self.supply.airflow, AIRFLOW, self.supply.uncertainty)

    @property
    def settle_by(self) -> Words | None:
        """What would settle a verdict that cannot be told, where the next move does not say it."""
        flow = self.judged.flow
        return flow.shortfall.settle_by if flow is not None and flow.shortfall is not None else None

    @property
    def something_read(self) -> bool:
        """Whether anything was read at this speed, even if it says nothing."""
        flow = self.judged.flow
        return flow is not None and (flow.shortfall is None or flow.shortfall.name != "airflow.nothing_read")

    @property
    def supply_settles(self) -> bool:
        """Whether a closer supply airflow would settle it."""
        flow = self.judged.flow
        return flow is not None and flow.shortfall is not None and flow.shortfall.name in SUPPLY_SHORTFALLS


def speed_address(name: str) -> str:
    """Return the part of an address that names a fan speed; a stroke in the name would part the address."""
    return quote(name.replace("/", "\N{DIVISION SLASH}"), safe="")


def blocks(worked: Worked, times: dict[str, Words] | None = None) -> tuple[Block, ...]:
    """Return every fan speed, fastest first.

    Parameters
    ----------
    worked
        The job with its plan and verdicts.
    times
        When the weather lets a speed be read well, by its name.
    """
    return tuple(_block(worked, speed, (times or {}).get(speed.name)) for speed in worked.plan.speeds)


def _block(worked: Worked, speed: SpeedPlan, time: Words | None) -> Block:
    plan, facts, readings = worked.plan, worked.job.facts, worked.job.readings
    judged = next(one for one in worked.verdicts.speeds if one.name == speed.name)
    balance = worked.verdicts.balance.speed(speed.name)
    left = signal_as_left(plan, readings, speed)
    today = balance.set_today if _signal_of_all(worked, speed.name) is None else None
    return Block(
        name=speed.name,
        address=f"/balance/{speed_address(speed.name)}",
        plan=speed,
        judged=judged,
        balance=balance,
        supply=supply_at(facts, readings, speed),
        wanted=Amount(judged.target_outdoor_air_fraction, FRACTION),
        chance=None if judged.probability_within is None else odds(judged.probability_within),
        left=None if left is None else stand(plan, left),
        today=None if today is None else stand(plan, today.signal),
        low=None if today is None else Amount(today.at_least, AIRFLOW),
        high=None if today is None else Amount(today.at_most, AIRFLOW),
        next=_next(worked, judged, balance),
        best_time=time,
    )


def _next(worked: Worked, judged: SpeedVerdict, balance: SpeedBalance) -> Next:
    advice, plan, name = balance.advice, worked.plan, judged.name
    at = f"/balance/{speed_address(name)}"
    if judged.verdict is Verdict.PASSES:
        return Next("done", "/prove", name)
    if any(one.name in OF_DAMPER for one in worked.verdicts.balance.findings):
        return Next("look", "/find", name)
    if advice is None or advice.do is Do.CANNOT:
        return Next("raise", "/plan", name)
    if best_probe(worked.job.facts.instruments) is None and not balance.readings:
        return Next("instrument", "/facts/instruments", name)
    if advice.do is Do.COMPARE:
        return Next("compare", f"{at}/read/side-by-side", name)
    for_all = _signal_of_all(worked, name)
    if for_all is not None:
        return _under_one_opening(worked, judged, balance, for_all)
    signal = advice.signal
    if signal is not None and _waits_for_its_setting(judged, balance, signal):
        return _to_settle(plan, judged, signal, at)
    if advice.do is Do.READ and signal is not None:
        return Next("read", f"{at}/set?damper={quote(stand(plan, signal).text)}", name, stand(plan, signal))
    if (
        advice.do is Do.STOP
        and supply_at(worked.job.facts, worked.job.readings, plan.speed(name)).uncertainty is None
    ):
        return Next("supply", f"{at}/read/supply-air", name)
    return _to_settle(plan, judged, signal if advice.do in {Do.HOLD, Do.SET} else None, at)


def _signal_of_all(worked: Worked, name: str) -> float | None:
    """Signal that a speed gets from the one that needs most, where one opening serves all; None where it has its own."""
    plan, slowest = worked.plan, worked.plan.speeds[-1]
    setting = setting_of(plan, slowest.name)
    if name == slowest.name or setting is None or setting.fan is not None:
        return None
    today = worked.verdicts.balance.speed(slowest.name).set_today
    return today.signal if today else signal_as_left(plan, worked.job.readings, slowest)


def _under_one_opening(worked: Worked, judged: SpeedVerdict, balance: SpeedBalance, signal: float) -> Next:
    """Read a speed at the opening that another decides; a signal of its own could not be left there."""
    plan, at, near = worked.plan, f"/balance/{speed_address(judged.name)}", balance_prior().rules.near
    there = stand(plan, signal)
    if not any(abs(one.signal - signal) <= near for one in balance.readings):
        return Next("read", f"{at}/set?damper={quote(there.text)}", judged.name, there)
    if judged.verdict is Verdict.FAILS:
        return Next("shared", "/plan", judged.name, there)
    left = signal_as_left(plan, worked.job.readings, plan.speed(judged.name))
    is_left = left is not None and abs(left - signal) <= near
    return _to_settle(plan, judged, None if is_left else signal, at)


def _waits_for_its_setting(judged: SpeedVerdict, balance: SpeedBalance, signal: float) -> bool:
    """Whether the signal advised was read already, and only the kit was left at another: reading again shows no more."""
    why = judged.flow.shortfall.name if judged.flow is not None and judged.flow.shortfall is not None else ""
    near = balance_prior().rules.near
    return why == "airflow.read_at_another_signal" and any(
        abs(one.signal - signal) <= near for one in balance.readings
    )


def _to_settle(plan: Plan, judged: SpeedVerdict, signal: float | None, at: str) -> Next:
    """What is left to do where no further reading like the last ones helps."""
    why = judged.flow.shortfall.name if judged.flow is not None and judged.flow.shortfall is not None else ""
    if why in SUPPLY_SHORTFALLS:
        return Next("supply", f"{at}/read/supply-air", judged.name)
    if why == "airflow.requirement_is_guess":
        return Next("need", "/facts/spaces", judged.name)
    if signal is not None and setting_of(plan, judged.name) is not None:
        there = stand(plan, signal)
        return Next("leave", f"{at}/leave?damper={quote(there.text)}", judged.name, there)
    return Next("wait", f"{at}/other", judged.name)


def setting_of(plan: Plan, speed: str) -> KitSetting | None:
    """Return the kit's setting of the minimum signal at a fan speed; None at a speed between two settings."""
    if speed == plan.speeds[0].name:
        return plan.kit.setting_for(Term.MINIMUM_DAMPER_SIGNAL, "fastest")
    if speed == plan.speeds[-1].name:
        return plan.kit.setting_for(Term.MINIMUM_DAMPER_SIGNAL, "slowest")
    return None


def first_move(found: Sequence[Block]) -> Next:
    """Return the one move that the page offers first."""
    return min(
        (one.next for one in found),
        key=lambda one: ORDER.index("read" if one.move == "compare" else one.move),
    )


@dataclass(frozen=True, slots=True)
class Looked:
    """What takes a moment to work out: the picture of every speed, and when to come back."""

    panels: tuple[CurvePanel, ...]
    times: dict[str, Words]


def look(worked: Worked, folder: Path | None) -> Looked:
    """Trace the curves, and find in the weather when a speed that is not proved is best read again.

    Parameters
    ----------
    worked
        The job with its plan and verdicts.
    folder
        Where the job's year of weather lies, if it has one.
    """
    facts, plan = worked.job.facts, worked.plan
    panels = curve_panels(facts, plan, worked.job.readings, worked.verdicts)
    named = facts.site.weather_file

    def year_read() -> WeatherYear | None:
        return read_weather((folder or Path()) / named, "facts.site.weather_file") if named else None

    return Looked(panels, best_times(facts, plan, worked.verdicts.speeds, year_read))
