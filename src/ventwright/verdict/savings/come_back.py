"""When to come back: for every check that is not proved yet, the hours in which these probes and the weather settle it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from ventwright.evidence import Verdict
from ventwright.facts import Facts
from ventwright.facts.site import ForecastHour
from ventwright.plan import Plan
from ventwright.plan.functional_tests.applies import chosen_steps
from ventwright.plan.provable import CanBeSettled, ProvableCheck, make_provable
from ventwright.plan.provable.conditions import conditions
from ventwright.plan.provable.hours import WORKING, Calendar, months_of
from ventwright.quantity import TEMPERATURE
from ventwright.tables.weather import WeatherYear
from ventwright.verdict import Verdicts
from ventwright.words import Amount, Words, measured, words


@dataclass(frozen=True, slots=True)
class ForecastTime:
    """A time of the forecast that does."""

    at: str
    outdoor_air: float = measured(TEMPERATURE)


@dataclass(frozen=True, slots=True)
class ComeBack:
    """One check that is not proved: whether any weather settles it, and when that comes."""

    check: str
    what: Words
    needs: Words
    weather_settles: bool
    """False where no weather does with these instruments: then ``needs`` says what would."""
    best_time: Words
    hours_a_year: float
    """Hours of the year, from 7 to 18 h each day. [h]"""
    calendar: Calendar | None
    forecast: tuple[ForecastTime, ...] = ()


@dataclass(frozen=True, slots=True)
class Return:
    """Everything that is left to prove, the check that is settled soonest first, and one time that settles most."""

    checks: tuple[ComeBack, ...]
    sentence: Words


def when_to_come_back(facts: Facts, plan: Plan, verdicts: Verdicts, year: WeatherYear | None) -> Return:
    """Find the hours that settle what is not proved.

    Parameters
    ----------
    facts, plan
        Of the job, with its instruments and, where it was typed, a forecast.
    verdicts
        Its checks so far.
    year
        Weather of the place, where there is a file.
    """
    found = make_provable(facts, plan, year)
    open_checks = [one for one in found.checks if not _proved(one, facts, plan, verdicts)]
    does = dict(_weather_of(found.checks, plan, found.return_air))
    forecast = facts.weather.forecast if facts.weather else ()
    checks = tuple(_come_back(one, does.get(one.id), found.return_air, year, forecast) for one in open_checks)
    return Return(tuple(sorted(checks, key=_order)), _said(checks))


STEPS_OF = {
    "test.free_cooling": "free_cooling.",
    "test.high_limit": "high_limit.",
    "test.compressor_lockout": "lockout.",
    "test.low_limit": "low_limit.",
}
"""Steps of the functional tests behind a check that stands before the climb, by how their ids begin."""


def _proved(check: ProvableCheck, facts: Facts, plan: Plan, verdicts: Verdicts) -> bool:
    """Whether the readings have settled a check: all of its steps, all of the sensors, or the airflow itself."""
    found = {one.id: one.verdict is Verdict.PASSES for one in verdicts.checks()}
    if check.id in STEPS_OF:
        steps = [one.id for one in chosen_steps(facts, plan) if one.id.startswith(STEPS_OF[check.id])]
        return bool(steps) and all(found.get(f"step.{one}", False) for one in steps)
    if check.id == "sensors":
        sensors = [passes for id_, passes in found.items() if id_.startswith("sensor.")]
        return bool(sensors) and all(sensors)
    return found.get(check.id, False)


def _weather_of(
    checks: tuple[ProvableCheck, ...], plan: Plan, return_air: float
) -> Iterator[tuple[str, Callable[[float], bool]]]:
    """What the outdoor air has to be for a check that weather decides."""
    for one in checks:
        if one.difference_needed is not None:
            yield one.id, _apart(return_air, one.difference_needed)
    for test in conditions(plan, return_air):
        if test.does is not None:
            yield test.id, test.does


def _apart(return_air: float, needed: float) -> Callable[[float], bool]:
    return lambda outdoor: abs(return_air - outdoor) >= needed * (1.0 - 1e-9)


def _come_back(
    one: ProvableCheck, does: Callable[[float], bool] | None, return_air: float, year: WeatherYear | None,
    forecast: tuple[ForecastHour, ...],
) -> ComeBack:  # fmt: skip
    settles = does is not None and one.can_be_settled is not CanBeSettled.NEVER
    calendar, hours = None, 0.0
    if settles and does is not None and year is not None:
        calendar = Calendar(
            f"{year.name}, {year.region}",
            (one.id,),
            one.difference_needed or 0.0,
            return_air,
            months_of(year, does),
        )
        stamps = zip(year.stamps, year.dry_bulb, strict=True)
        hours = float(sum(does(dry_bulb) for (_, _, hour), dry_bulb in stamps if hour - 1 in WORKING))
    times = tuple(
        ForecastTime(hour.at.isoformat(sep=" ", timespec="minutes"), hour.outdoor_air.value)
        for hour in forecast
        if settles and does is not None and does(hour.outdoor_air.value)
    )
    return ComeBack(one.id, one.what, one.needs, settles, one.best_time, hours, calendar, times)


def _order(one: ComeBack) -> tuple[bool, bool, str, float]:
    """Checks that the forecast settles first, by the time; then those of most hours; what no weather settles last."""
    first = one.forecast[0].at if one.forecast else ""
    return not one.weather_settles, not one.forecast, first, -one.hours_a_year


def _said(checks: tuple[ComeBack, ...]) -> Words:
    if not checks:
        return Words("everything that weather decides is proved: no reason to come back for it")
    settled = [one for one in checks if one.weather_settles]
    if not settled:
        return Words("no weather settles what is left with these instruments: read what each check needs")
    times = [(one.forecast[0], one) for one in settled if one.forecast]
    if times:
        first, check = min(times, key=lambda pair: pair[0].at)
        together = sum(any(time.at == first.at for time in one.forecast) for one in settled)
        others = f", and {together - 1} more with it" if together > 1 else ""
        return words(
            f"come on {{at}}, {{outdoor}} outdoors: it settles {{what}}{others}",
            at=Words(first.at), outdoor=Amount(first.outdoor_air, TEMPERATURE), what=check.what,
        )  # fmt: skip
    airflow = [one for one in settled if one.check.startswith("outdoor_air")] or settled
    rarest = min(airflow, key=lambda one: one.hours_a_year)
    return words(
        "plan the return by what no simulated condition can prove, {what}: {when}"
        if rarest.check.startswith("outdoor_air")
        else "plan the return by what is rarest, {what}: {when}",
        what=rarest.what,
        when=rarest.best_time,
    )


def rarest(back: Return) -> ComeBack | None:
    """Return the check whose hours are worth a picture: airflow before others, then what is rarest."""
    drawn = [one for one in back.checks if one.calendar is not None]
    airflow = [one for one in drawn if one.check.startswith("outdoor_air")]
    return min(airflow or drawn, key=lambda one: one.hours_a_year, default=None)
