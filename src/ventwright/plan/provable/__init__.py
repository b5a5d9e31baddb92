"""Before climbing: which checks these instruments and this weather can settle, with how many readings, and when to come."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from ventwright.facts import Facts, Instrument
from ventwright.physics.inference.attainable import allowed_departure, relative_u_that_passes
from ventwright.plan import Guess, Plan, probe_uncertainty, thermometers
from ventwright.plan.assumed_space import ENTER_THE_SPACES
from ventwright.plan.provable.air_today import AirToday, air_today
from ventwright.plan.provable.airflow import airflow_check, questions
from ventwright.plan.provable.check import CanBeSettled, ProvableCheck, ShownBy, Way
from ventwright.plan.provable.conditions import condition_check, conditions
from ventwright.plan.provable.hours import Calendar, Month, best_time, months_of
from ventwright.quantity import TEMPERATURE, TEMPERATURE_DIFFERENCE
from ventwright.tables import prior
from ventwright.tables.weather import WeatherYear
from ventwright.words import Amount, Words, measured, words


@dataclass(frozen=True, slots=True)
class Provable:
    """What can be settled, check by check, and when in the year the airflow can. No calendar without a year of weather."""

    checks: tuple[ProvableCheck, ...]
    calendar: Calendar | None
    guesses: tuple[Guess, ...]
    difference_today: float | None = measured(TEMPERATURE_DIFFERENCE, default=None)
    return_air: float = measured(TEMPERATURE, default=0.0)

    @property
    def all_today(self) -> bool:
        """Whether every check can be settled today."""
        return all(check.can_be_settled is CanBeSettled.TODAY for check in self.checks)


def make_provable(facts: Facts, plan: Plan, year: WeatherYear | None = None) -> Provable:
    """Work out what can be proved before anybody climbs.

    Parameters
    ----------
    facts
        With the instruments, and with today's air and a forecast, where they are known.
    plan
        What follows from the facts.
    year
        A year of weather at the place, where there is one.
    """
    air = air_today(facts.weather)
    asked = questions(plan.speeds, plan.ventilation.tolerance, facts.instruments)
    checks = [airflow_check(one, facts.instruments, air.widest) for one in asked]
    times: dict[float | None, Words] = {
        needed: _when(air, year, _apart(air.return_air, needed))
        for needed in {one.difference_needed for one in checks}
        if needed is not None
    }
    found = [replace(one, best_time=times.get(one.difference_needed, one.best_time)) for one in checks]
    if plan.ventilation.required_is_guess:
        found = [_for_assumed_need(one) for one in found]
    tests = [
        condition_check(one, air, _when(air, year, one.does) if one.does else Words(""))
        for one in conditions(plan, air.return_air)
    ]
    return Provable(
        checks=(*found, _sensors(facts.instruments), *tests),
        calendar=None if year is None else _calendar(found, air, year),
        guesses=_guesses(air),
        difference_today=air.widest,
        return_air=air.return_air,
    )


def _for_assumed_need(check: ProvableCheck) -> ProvableCheck:
    """Return a check of airflow that no reading can settle, since what the spaces need is assumed."""
    never = check.can_be_settled is CanBeSettled.NEVER
    return replace(
        check,
        can_be_settled=CanBeSettled.NEVER if never else CanBeSettled.NOT_TODAY,
        readings=None,
        needs=words("first {do}, since what is required is assumed; then {needs}", do=ENTER_THE_SPACES, needs=check.needs),
        chance_of_passing=None,
        points_within=None,
        ways=tuple(replace(way, readings=None) for way in check.ways),
    )  # fmt: skip


def _apart(return_air: float, needed: float) -> Callable[[float], bool]:
    """Whether outdoor air is far enough from return air. [°C, K]"""
    return lambda outdoor: abs(return_air - outdoor) >= needed * (1.0 - 1e-9)


def _when(air: AirToday, year: WeatherYear | None, does: Callable[[float], bool]) -> Words:
    """Say when the weather does what is needed: in the forecast, and in the year."""
    said: list[Words] = []
    if air.forecast:
        first = next((one for one in air.forecast if does(one.outdoor_air)), None)
        said.append(
            Words("at no time of the forecast")
            if first is None or first.at is None
            else words(
                "first in the forecast: {at}, {outdoor} outdoors",
                at=Words(first.at.isoformat(sep=" ", timespec="minutes")),
                outdoor=Amount(first.outdoor_air, TEMPERATURE),
            )
        )
    if year is not None:
        said.append(best_time(months_of(year, does)))
    if not said:
        return WHEN_IS_NOT_KNOWN
    return said[0] if len(said) == 1 else words("{first}; {then}", first=said[0], then=said[1])


WHEN_IS_NOT_KNOWN = Words("not known: give a forecast or a year of weather")


def _calendar(found: Sequence[ProvableCheck], air: AirToday, year: WeatherYear) -> Calendar | None:
    """Map the hours in which every check of airflow that weather can settle is settled; None where it can settle none."""
    settled = [one for one in found if one.difference_needed is not None]
    needed = max((one.difference_needed or 0.0 for one in settled), default=None)
    if needed is None:
        return None
    return Calendar(
        place=f"{year.name}, {year.region}",
        checks=tuple(one.id for one in settled),
        difference_needed=needed,
        return_air=air.return_air,
        months=months_of(year, _apart(air.return_air, needed)),
    )


def _sensors(instruments: Sequence[Instrument]) -> ProvableCheck:
    """Whether the best probe can show that a sensor of the unit agrees; the weather does not matter."""
    agreed = prior.usual("sensor_agreement", TEMPERATURE_DIFFERENCE).value
    limit, nothing = Amount(agreed, TEMPERATURE_DIFFERENCE), Words("")
    what = words("each sensor of the unit beside a probe, within ± {limit}", limit=limit)
    probes = thermometers(instruments)
    if not probes:
        needs = Words("a temperature probe whose accuracy is known")
        return ProvableCheck("sensors", what, CanBeSettled.NEVER, ShownBy.MEASUREMENT, None, needs, nothing)
    offset, rest = probe_uncertainty(probes[0])
    probe_u = (offset**2 + rest**2) ** 0.5
    departure = allowed_departure(agreed, probe_u)
    if departure is None:
        closer = probes[0].accuracy.value * _largest_u(agreed) / probe_u
        needs = words(
            "a probe of ± {closer} or closer, or an ice bath", closer=Amount(closer, TEMPERATURE_DIFFERENCE)
        )
        return ProvableCheck("sensors", what, CanBeSettled.NEVER, ShownBy.MEASUREMENT, None, needs, nothing)
    needs = words(
        "{probe} beside it; it passes where the two show no more than {departure} between them",
        probe=probes[0].called, departure=Amount(departure, TEMPERATURE_DIFFERENCE),
    )  # fmt: skip
    return ProvableCheck("sensors", what, CanBeSettled.TODAY, ShownBy.MEASUREMENT, 1, needs, nothing)


def _largest_u(agreed: float) -> float:
    """Largest standard uncertainty with which two that agree exactly pass. [K]"""
    return agreed * relative_u_that_passes(1.0)


def _guesses(air: AirToday) -> tuple[Guess, ...]:
    if not air.return_air_is_guess:
        return ()
    usual = Amount(air.return_air, TEMPERATURE)
    return (
        Guess(
            "weather.return_air", words("no return-air temperature is given: {usual} is assumed", usual=usual)
        ),
    )


__all__ = [
    "WHEN_IS_NOT_KNOWN",
    "Calendar", "CanBeSettled", "Month", "Provable", "ProvableCheck", "ShownBy", "Way", "make_provable",
]  # fmt: skip
