"""From totals of years to figures with ranges: what each strategy saves, costs, and leaves short."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from ventwright.facts.running import Running
from ventwright.physics.year.hours import Hours
from ventwright.physics.year.way import YearTotals
from ventwright.verdict.savings.figures import Driver, Figures, Spread, StrategyOutcome
from ventwright.verdict.savings.inputs import YearInputs
from ventwright.verdict.savings.parts import Parts
from ventwright.verdict.savings.spread import HIGH, LOW, Reckoned, ends, quantile, with_values
from ventwright.verdict.savings.strategy import Strategy

KWH = 3.6e6
"""J"""

Of = Callable[[YearTotals], float]
Differing = Callable[[tuple[YearTotals, ...]], float]

NONE, LEFT = 0, 1
"""Places of the year without free cooling and of the unit as it is left."""


def electricity(year: YearTotals) -> float:
    """Of compressors and fans. [J]"""
    return year.compressor_energy + year.fan_energy + year.relief_energy


@dataclass(frozen=True, slots=True)
class Tariff:
    """What energy costs and gives off; None where nobody said."""

    running: Running
    heats_with_electricity: bool

    def cost(self, year: YearTotals) -> float | None:
        """Money for a year; fuel whose price is not known counts only where none is burnt."""
        return self._sum(year, self.running.electricity_price, self.running.fuel_price)

    def emissions(self, year: YearTotals) -> float | None:
        """Carbon dioxide of a year. [kg]"""
        return self._sum(year, self.running.electricity_emissions, self.running.fuel_emissions)

    def _sum(self, year: YearTotals, of_electricity: float | None, of_fuel: float | None) -> float | None:
        if of_electricity is None:
            return None
        heating = of_electricity if self.heats_with_electricity else of_fuel or 0.0
        return (electricity(year) * of_electricity + year.heating_energy * heating) / KWH


def tariff_of(running: Running, heating: str | None) -> Tariff:
    """What energy costs, with what the unit heats."""
    return Tariff(running, heating in {"electric", "heat pump"})


def outcomes(compared: Sequence[Strategy], reckoned: Reckoned, tariff: Tariff) -> tuple[StrategyOutcome, ...]:
    """Put every strategy's figures together.

    Parameters
    ----------
    compared
        The strategies, as they were reckoned.
    reckoned
        The totals: the year without free cooling first, the unit as left second.
    tariff
        Prices and emissions.
    """
    drawn = Draws(reckoned)
    return tuple(_outcome(place, one, drawn, tariff) for place, one in enumerate(compared))


@dataclass(frozen=True, slots=True)
class Draws:
    """Totals in the middle and of every draw."""

    reckoned: Reckoned

    def spread(self, of: Differing) -> Spread:
        """Return a figure of years with the ends between which it lies 9 times in 10."""
        middle, moved = of(self.reckoned.middle), of(self.reckoned.middle_as_drawn)
        drawn = [of(one) - moved + middle for one in self.reckoned.draws] or [middle]
        low, high = (quantile(drawn, share) for share in (LOW, HIGH))
        return Spread(middle, min(low, middle), max(high, middle))

    def of(self, figure: Of, place: int) -> Spread:
        """Return a figure of one strategy."""
        return self.spread(lambda years: figure(years[place]))

    def less(self, figure: Of, place: int, other: int) -> Spread:
        """Return by how much one strategy has more of a figure than another."""
        return self.spread(lambda years: figure(years[place]) - figure(years[other]))

    def priced(self, figure: Callable[[YearTotals], float | None], place: int, other: int) -> Spread | None:
        """Return the same of money or emissions; None where no price is known."""
        if figure(self.reckoned.middle[place]) is None:
            return None
        return self.less(lambda year: figure(year) or 0.0, place, other)


def _outcome(place: int, one: Strategy, drawn: Draws, tariff: Tariff) -> StrategyOutcome:
    return StrategyOutcome(
        name=one.name,
        kind=one.kind,
        year=_figures(drawn.reckoned.middle[place], tariff),
        saved=drawn.less(electricity, NONE, place),
        cooling=drawn.of(lambda year: year.compressor_energy, place),
        over=drawn.less(electricity, place, LEFT),
        heating_over=drawn.less(lambda year: year.heating_energy, place, LEFT),
        cost_over=drawn.priced(tariff.cost, place, LEFT),
        peak=drawn.of(lambda year: year.peak_power, place),
        free_cooling_h=drawn.of(lambda year: year.free_hours, place),
        short_of_air_h=drawn.of(lambda year: year.short_of_air_hours, place),
        cost_saved=drawn.priced(tariff.cost, NONE, place),
        emissions_saved_kg=drawn.priced(tariff.emissions, NONE, place),
        air_first=any(fault.air_first for fault in one.faults),
    )


def _figures(year: YearTotals, tariff: Tariff) -> Figures:
    return Figures(
        cooling=year.compressor_energy,
        fans=year.fan_energy + year.relief_energy,
        heating=year.heating_energy,
        peak=year.peak_power,
        free_cooling_h=year.free_hours,
        free_cooling_alone_h=year.free_alone_hours,
        short_of_air_h=year.short_of_air_hours,
        short_of_cooling_h=year.short_of_cooling_hours,
        cost=tariff.cost(year),
        emissions_kg=tariff.emissions(year),
    )


def drivers(hours: Hours, known: YearInputs, compared: Sequence[Strategy]) -> Parts[tuple[Driver, ...]]:
    """What moves the saving as left most: one input at a time from its low to its high end, all others in the middle.

    Parameters
    ----------
    hours, known, compared
        As they are reckoned; of the strategies the first two are used.
    """
    pair = compared[: LEFT + 1]
    sets = [values for both in ends(known) for values in both]
    totals = yield from with_values(hours, known, pair, sets)
    saved = [electricity(one[NONE]) - electricity(one[LEFT]) for one in totals]
    found = [
        Driver(one.words, one.given, saved[2 * place], saved[2 * place + 1])
        for place, one in enumerate(known.inputs)
    ]
    return tuple(sorted(found, key=lambda one: -one.swing))
