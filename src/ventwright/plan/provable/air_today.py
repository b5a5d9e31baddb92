"""The air that is expected: today's outdoor and return temperatures, and a forecast, as far as anybody typed them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from ventwright.facts.site import Weather
from ventwright.quantity import TEMPERATURE
from ventwright.tables import prior
from ventwright.words import measured


@dataclass(frozen=True, slots=True)
class ExpectedAir:
    """One time and its outdoor temperature; no time where it is only said to be today's."""

    outdoor_air: float = measured(TEMPERATURE)
    at: datetime | None = None


@dataclass(frozen=True, slots=True)
class AirToday:
    """What is expected of today and of the days that a forecast reaches to."""

    today: tuple[ExpectedAir, ...]
    """Empty where nobody typed anything."""
    forecast: tuple[ExpectedAir, ...]
    return_air: float = measured(TEMPERATURE)
    return_air_is_guess: bool = False

    def difference(self, one: ExpectedAir) -> float:
        """Return outdoor and return air apart at one time, without sign. [K]"""
        return abs(self.return_air - one.outdoor_air)

    @property
    def widest(self) -> float | None:
        """Widest difference of today; None where nothing is known of it. [K]"""
        return max((self.difference(one) for one in self.today), default=None)


def air_today(weather: Weather | None) -> AirToday:
    """Put together what was typed; a forecast's first day counts as today.

    Return air that nobody gave is taken as usual, and is said to be a guess.
    """
    usual = prior.usual("return_air", TEMPERATURE).value
    if weather is None:
        return AirToday((), (), usual, return_air_is_guess=True)
    given = weather.return_air
    hours = tuple(ExpectedAir(one.outdoor_air.value, one.at) for one in weather.forecast)
    first = weather.forecast[0].at.date() if weather.forecast else None
    today = [one for one in hours if one.at is not None and one.at.date() == first]
    return AirToday(
        today=(ExpectedAir(weather.outdoor_air.value), *today),
        forecast=hours,
        return_air=usual if given is None else given.value,
        return_air_is_guess=given is None,
    )
