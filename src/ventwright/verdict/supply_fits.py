"""Supply airflows that were read and go neither with the unit's cooling nor with its design: a question, never a pass."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from ventwright.evidence import Shortfall, Verdict
from ventwright.facts import Facts
from ventwright.plan import Plan, SpeedPlan
from ventwright.plan.concerns import airflow_met
from ventwright.quantity import AIRFLOW
from ventwright.readings import Readings
from ventwright.verdict.airflow import SpeedVerdict
from ventwright.verdict.check import Check, cannot_tell
from ventwright.verdict.supply import supply_at
from ventwright.words import Amount, Words, words

TIMES_DESIGN = 2.0
"""Of the design airflow, and as little of it: beyond that a slip is likelier than a fan (common practice, no published
source). [-]"""

SETTLE = Words(
    "read it once more; enter a correction, or, where it is right, put the unit's capacity and design airflow right in the facts"
)


def supply_doubts(facts: Facts, plan: Plan, readings: Readings) -> dict[str, Check]:
    """Return a check for every fan speed whose latest supply airflow, as read, fits neither capacity nor design."""
    found = {speed.name: _doubt(facts, plan, readings, speed) for speed in plan.speeds}
    return {name: check for name, check in found.items() if check is not None}


def doubted(one: SpeedVerdict, doubts: Mapping[str, Check]) -> SpeedVerdict:
    """Return a speed's verdict; share and airflow can not be told where the supply airflow behind them is in doubt."""
    doubt = doubts.get(one.name)
    if doubt is None:
        return one
    fraction, flow = (None if check is None else _untold(check, doubt) for check in (one.fraction, one.flow))
    return replace(one, fraction=fraction, flow=flow, verdict=Verdict.CANNOT_TELL)


def _untold(check: Check, doubt: Check) -> Check:
    if check.verdict is Verdict.CANNOT_TELL or doubt.shortfall is None:
        return check
    return cannot_tell(check.id, check.what, doubt.shortfall, readings=check.readings)


def _doubt(facts: Facts, plan: Plan, readings: Readings, speed: SpeedPlan) -> Check | None:
    known = supply_at(facts, readings, speed)
    if known.reading is None:
        return None
    beyond = _beyond_cooling(plan, speed, known.airflow) or _beyond_design(speed, known.airflow)
    if beyond is None:
        return None
    sentence = words(
        "{name} speed was read to move {flow}, and {beyond}: a digit or a unit may be wrong",
        name=Words(speed.name), flow=Amount(known.airflow, AIRFLOW), beyond=beyond,
    )  # fmt: skip
    what = words("supply airflow at {name} speed against the size of the unit", name=Words(speed.name))
    shortfall = Shortfall("supply_air.does_not_fit_unit", sentence, SETTLE)
    return cannot_tell(f"supply_air.{speed.name}", what, shortfall, readings=(known.reading,))


def _beyond_cooling(plan: Plan, speed: SpeedPlan, airflow: float) -> Words | None:
    """Say what units of this capacity are met with; a slow speed may move as little as it likes."""
    met = airflow_met(plan.basis)
    if met is None or (airflow <= met[1] and (speed is not plan.speeds[0] or airflow >= met[0])):
        return None
    return words("units of its cooling are met with {low} to {high}", low=Amount(met[0], AIRFLOW), high=Amount(met[1], AIRFLOW))  # fmt: skip


def _beyond_design(speed: SpeedPlan, airflow: float) -> Words | None:
    if speed.supply_is_guess or speed.supply_air / TIMES_DESIGN <= airflow <= speed.supply_air * TIMES_DESIGN:
        return None
    return words("{design} was given for it", design=Amount(speed.supply_air, AIRFLOW))
