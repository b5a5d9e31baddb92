"""What a job knows of its unit, for judging a log of it: settings as they were left, airflow, hours, the curve as left."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from ventwright.errors import Refusal, Refused
from ventwright.facts import Facts
from ventwright.facts.running import Running, opening
from ventwright.plan import Plan
from ventwright.readings import Readings
from ventwright.tables.fault_rule import rule_set
from ventwright.tables.kit import Term
from ventwright.verdict import Verdicts
from ventwright.verdict.as_left import signal_as_left
from ventwright.verdict.balance import curves
from ventwright.verdict.diagnose.baseline import settings_read
from ventwright.verdict.trend_findings.shape import COVERAGE, KnownUnit

CURVE_POINTS = 21
"""Of the curve as left that are handed on: enough to draw it and to hold a log against it (our own choice)."""


def known_of(facts: Facts, plan: Plan, readings: Readings, verdicts: Verdicts) -> KnownUnit:
    """Say what a job knows of its unit.

    A setting counts as it was read back; one that was not, as the plan chose it, unless that is a guess.

    Parameters
    ----------
    facts, plan, readings, verdicts
        Of the job.
    """
    fastest = plan.speeds[0]
    return KnownUnit(
        minimum_share={
            speed.supply_air / fastest.supply_air: speed.target_outdoor_air_fraction
            for speed in plan.speeds
            if speed.can_deliver and not plan.ventilation.required_is_guess
        },
        minimum_signal={
            speed.supply_air / fastest.supply_air: signal
            for speed in plan.speeds
            if (signal := signal_as_left(plan, readings, speed)) is not None
        },
        high_limit=_setting(plan, readings, Term.DRY_BULB_HIGH_LIMIT),
        high_limit_control=plan.kit.high_limit_control,
        compressor_lockout=_setting(plan, readings, Term.COMPRESSOR_LOCKOUT),
        occupied_hours=tuple(_occupied(facts.running)) if facts.running is not None else (),
        sensor_accuracy={} if facts.running is None else _accuracy(facts.running),
        as_left=_curve(facts, plan, readings, verdicts),
        supply_airflow=verdicts.speeds[0].supply_air or fastest.supply_air,
    )


def _setting(plan: Plan, readings: Readings, means: Term) -> float | None:
    """Return a setting of the kit in SI, where it is known."""
    left = settings_read(plan.kit, readings)
    for one in plan.settings:
        if one.means is means:
            return left.get(one.label.lower(), None if one.guess else one.si)
    return None


def _accuracy(running: Running) -> dict[str, float]:
    """Return how far the sensors that decide on free cooling may be off where they are said to be worse than usual. [K]

    Better ones gain nothing: sun, and where they sit, add to what a maker says.
    """
    if running.sensor_accuracy is None:
        return {}
    said, usual = running.sensor_accuracy.value / COVERAGE, rule_set().figures.accuracy
    assumed = {
        "outdoor_temperature": usual.outdoor_temperature,
        "return_temperature": usual.return_temperature,
    }
    return {name: said for name, one in assumed.items() if said > one}


def _occupied(running: Running) -> Iterator[tuple[int, int, int]]:
    """Yield the hours in which the fan is to run; those that nobody typed are left out."""
    days = {"weekdays": range(5), "saturday": range(5, 6), "sunday": range(6, 7)}
    for name, of in days.items():
        hours = opening(getattr(running, name))
        if name in running.model_fields_set and hours:
            yield from ((day, 60 * hours.start, 60 * hours.stop) for day in of)


def _curve(
    facts: Facts, plan: Plan, readings: Readings, verdicts: Verdicts
) -> tuple[tuple[float, float], ...]:
    """Return the curve of the fastest fan speed, where anything was read of it."""
    fastest = plan.speeds[0].name
    if verdicts.speeds[0].outdoor_air_fraction is None:
        return ()
    points = curves(facts, plan, readings)[fastest]
    every = max(1, (len(points) - 1) // (CURVE_POINTS - 1))
    return tuple((one.signal, one.outdoor_air_fraction) for one in points[::every])


def known_in_log(units: Sequence[str], tag: str, known: KnownUnit) -> Mapping[str, KnownUnit]:
    """Find the job's unit among those of a log: by its tag, or because there is only one.

    Raises
    ------
    Refused
        There are several, and none has the tag.
    """
    same = [one for one in units if _bare(one) == _bare(tag)]
    if len(units) == 1 or len(same) == 1:
        return {(same or list(units))[0]: known}
    accepted = f"a log of {tag}, or --unit {tag} where all of it belongs to that unit"
    raise Refused(Refusal(f"holds several units, none of which is {tag}", accepted, given=", ".join(units)))


def _bare(name: str) -> str:
    return "".join(sign for sign in name.casefold() if sign.isalnum())
