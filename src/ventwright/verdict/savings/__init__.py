"""What free cooling saves in a year, with its range, what a fault or a wrong setting costs, and what decides it."""

from __future__ import annotations

from dataclasses import dataclass

from ventwright.errors import Refusal, Refused
from ventwright.facts import Facts
from ventwright.facts.running import Running
from ventwright.physics.year.hours import Hours
from ventwright.physics.year.simple import binned, degree_hours
from ventwright.plan import Plan
from ventwright.quantity import ENERGY, TEMPERATURE
from ventwright.readings import Readings
from ventwright.tables.weather import WeatherYear
from ventwright.verdict.savings.figures import Driver, Figures, Spread, StrategyOutcome
from ventwright.verdict.savings.guard import Flag, flags, saved_share
from ventwright.verdict.savings.inputs import YearInputs, known_of
from ventwright.verdict.savings.known_input import Input
from ventwright.verdict.savings.outcomes import LEFT, NONE, drivers, electricity, outcomes, tariff_of
from ventwright.verdict.savings.parts import Parts, finished, within
from ventwright.verdict.savings.run_hours import run_hours
from ventwright.verdict.savings.spread import in_one_go, reckon
from ventwright.verdict.savings.strategy import Kind, Strategy, strategies
from ventwright.verdict.savings.year_faults import not_reckoned
from ventwright.words import Amount, Words, measured, words

DRAWS, SEED = 200, 20261125
"""Years drawn for every range, and the seed that makes them the same each time."""


@dataclass(frozen=True, slots=True)
class ShorterWays:
    """The saving as left by shorter ways, beside the hours."""

    by_hours: float = measured(ENERGY)
    by_bins: float = measured(ENERGY)
    by_degree_hours: float | None = measured(ENERGY, default=None)
    """None where the limit is no temperature."""
    by_degree_hours_uncapped: float | None = measured(ENERGY, default=None)
    sentence: Words | None = None


@dataclass(frozen=True, slots=True)
class Savings:
    """A year of a unit in every way that is compared."""

    place: str
    weather: str
    invented: bool
    outcomes: tuple[StrategyOutcome, ...]
    inputs: tuple[Input, ...]
    drivers: tuple[Driver, ...]
    check: ShorterWays
    flags: tuple[Flag, ...]
    notes: tuple[Words, ...]
    """What was mended, filled or left out: for whoever relies on a figure."""
    not_told: Words
    """Faults that no year of hours can tell."""
    open_hours: float
    """Hours of the year in which the unit runs. [h]"""
    currency: str
    draws: int
    known: YearInputs
    compared: tuple[Strategy, ...]
    hours: Hours

    @property
    def none(self) -> StrategyOutcome:
        """The year without free cooling."""
        return self.outcomes[NONE]

    @property
    def left(self) -> StrategyOutcome:
        """The unit as it is left."""
        return self.outcomes[LEFT]

    @property
    def found(self) -> StrategyOutcome | None:
        """The unit as it was met."""
        return next((one for one in self.outcomes if one.kind is Kind.AS_FOUND), None)

    @property
    def faults(self) -> tuple[StrategyOutcome, ...]:
        """Every fault that was reckoned, dearest first."""
        every = [one for one in self.outcomes if one.kind is Kind.FAULT]
        return tuple(sorted(every, key=lambda one: -one.over.middle))


def make_savings(
    facts: Facts, plan: Plan, readings: Readings, year: WeatherYear, *, draws: int = DRAWS, seed: int = SEED
) -> Savings:
    """Reckon a year of the job's unit in every way that is compared.

    Parameters
    ----------
    facts, plan, readings
        Of the job.
    year
        Weather of the place, hour by hour.
    draws, seed
        Of the ranges.

    Raises
    ------
    Refused
        The unit never runs.
    """
    return finished(savings_in_parts(facts, plan, readings, year, draws=draws, seed=seed))


def savings_in_parts(
    facts: Facts, plan: Plan, readings: Readings, year: WeatherYear, *, draws: int = DRAWS, seed: int = SEED
) -> Parts[Savings]:
    """Do what ``make_savings`` does, in parts between which it may be stopped."""
    running = facts.running or Running()
    weather = run_hours(year, running)
    if not len(weather.hours):
        accepted = "at least one hour a week in which it runs"
        raise Refused(Refusal("leaves the unit off all year", accepted, "facts.running"))
    known = known_of(facts, plan, readings, weather.design_dry_bulb)
    compared = strategies(facts, plan, readings, humid=weather.humid)
    reckoned = yield from within(reckon(weather.hours, known, compared, draws, seed), 0.0, 0.9)
    moving = yield from within(drivers(weather.hours, known, compared), 0.9, 1.0)
    found = outcomes(compared, reckoned, tariff_of(running, plan.basis.heating))
    open_hours = sum(weather.hours.lasts)
    capacity = known.unit(known.middle, compared[LEFT].settings).capacity
    return Savings(
        place=", ".join(part for part in (year.name, year.region) if part),
        weather=f"{year.layout}, {len(year.dry_bulb)} hours",
        invented=year.invented,
        outcomes=found,
        inputs=known.inputs,
        drivers=moving,
        check=_check(weather.hours, known, compared, found[LEFT].saved.middle),
        flags=flags(found, plan.basis.climate_zone, capacity, open_hours),
        notes=_notes(year, weather.filled, humid=weather.humid),
        not_told=Words(f"not told by a year of hours: {'; '.join(not_reckoned())}"),
        open_hours=open_hours,
        currency=running.currency,
        draws=draws,
        known=known,
        compared=compared,
        hours=weather.hours,
    )


def _check(hours: Hours, known: YearInputs, compared: tuple[Strategy, ...], by_hours: float) -> ShorterWays:
    """The same saving by bins and by degree-hours."""
    none, left = in_one_go(binned(hours), known, compared[: LEFT + 1], known.middle)
    by_bins = electricity(none) - electricity(left)
    limit = compared[LEFT].run.switch
    if limit is None or limit.dry_bulb_limit is None:
        sentence = words("bins give {bins}", bins=Amount(by_bins, ENERGY))
        return ShorterWays(by_hours, by_bins, sentence=sentence)
    unit = compared[LEFT].unit(known, known.middle)
    capped, uncapped = (
        degree_hours(hours, unit, limit.dry_bulb_limit, capped=each) for each in (True, False)
    )
    sentence = words(
        "in one line: airflow times the degrees between return and outdoor air in the {hours} below {limit} that need "
        "cooling, over the efficiency, gives {uncapped}; no more than the load of each hour: {capped}",
        hours=Words("hours"), limit=Amount(limit.dry_bulb_limit, TEMPERATURE),
        uncapped=Amount(uncapped, ENERGY), capped=Amount(capped, ENERGY),
    )  # fmt: skip
    return ShorterWays(by_hours, by_bins, capped, uncapped, sentence)


def _notes(year: WeatherYear, filled: int, *, humid: bool) -> tuple[Words, ...]:
    found = [Words(f"the weather file was mended: {one}") for one in year.repairs]
    if year.invented:
        found.append(Words("the weather is invented: no place has it, and no figure here holds for one"))
    if not humid:
        found.append(
            Words(
                "the file knows no humidity: water in the air is left out, and so is every control by enthalpy"
            )
        )
    elif filled:
        found.append(Words(f"{filled} hours without a humidity have that of the hour before"))
    found.append(Words("another year's weather is not in the ranges: a typical year is reckoned"))
    return tuple(found)


__all__ = [
    "Driver", "Figures", "Flag", "Input", "Kind", "Savings", "ShorterWays", "Spread", "StrategyOutcome", "make_savings",
    "saved_share", "savings_in_parts",
]  # fmt: skip
