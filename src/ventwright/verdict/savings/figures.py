"""Figures of a year with their ranges, strategy by strategy: what there is to say, before it is worded."""

from __future__ import annotations

from dataclasses import dataclass

from ventwright.quantity import ENERGY, HEAT_RATE
from ventwright.verdict.savings.strategy import Kind
from ventwright.words import measured


@dataclass(frozen=True, slots=True)
class Figures:
    """One year of one strategy, every input in the middle. Hours in h; money and kg of carbon dioxide where prices are known."""

    cooling: float = measured(ENERGY)
    """Compressors and condenser fans."""
    fans: float = measured(ENERGY)
    """Supply and relief fans."""
    heating: float = measured(ENERGY)
    """Bought for heating, whatever it is."""
    peak: float = measured(HEAT_RATE)
    """Of compressors and fans in the worst hour."""
    free_cooling_h: float = 0.0
    free_cooling_alone_h: float = 0.0
    short_of_air_h: float = 0.0
    short_of_cooling_h: float = 0.0
    cost: float | None = None
    emissions_kg: float | None = None


@dataclass(frozen=True, slots=True)
class Spread:
    """A figure in the middle, and the ends between which it lies 9 times in 10. SI, or what the figure is in."""

    middle: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Driver:
    """How far one input alone moves the saving as left, from its low end to its high end."""

    words: str
    given: bool
    low_end: float = measured(ENERGY)
    """Saving with the input at its 5 % end."""
    high_end: float = measured(ENERGY)

    @property
    def swing(self) -> float:
        """How far the saving moves. [J]"""
        return abs(self.high_end - self.low_end)


@dataclass(frozen=True, slots=True)
class StrategyOutcome:
    """One strategy: its year, what it saves against none, and what it costs more than the unit as it is left."""

    name: str
    kind: Kind
    year: Figures
    saved: Spread
    """Electricity against no free cooling. [J]"""
    cooling: Spread
    """Electricity of compressors. [J]"""
    over: Spread
    """Electricity more than as left. [J]"""
    heating_over: Spread
    """Energy bought for heating more than as left. [J]"""
    cost_over: Spread | None
    """The same in money."""
    peak: Spread
    """[W]"""
    free_cooling_h: Spread
    short_of_air_h: Spread
    cost_saved: Spread | None = None
    emissions_saved_kg: Spread | None = None
    air_first: bool = False

    @property
    def short_of_air(self) -> bool:
        """Whether people get less outdoor air than required in many of the hours."""
        return self.year.short_of_air_h > 0.0
