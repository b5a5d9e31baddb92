"""The climate zone of a year of weather by the criteria of ASHRAE 169, with every test it went through.

What is not known of precipitation stays open: the letter is named only where it cannot be another one, else it is
said what would settle it. Degree days are summed hour by hour; the other ways to sum them are shown beside, since
near a border they lead to another zone.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product
from statistics import fmean

from ventwright.physics import climate_zone as rules
from ventwright.physics import degree_days
from ventwright.physics.climate_zone import Depth, Marine
from ventwright.physics.degree_days import DEGREE_DAYS, PRECIPITATION
from ventwright.quantity import TEMPERATURE
from ventwright.tables.climate import WITHOUT_LETTER, ClimateZone
from ventwright.tables.climate_criteria import LATEST, Criteria, criteria
from ventwright.tables.precipitation import Precipitation, of_file
from ventwright.tables.weather import WeatherYear
from ventwright.words import Amount, Words, measured, words

NO_ROW = "between the rows"
"""In place of a zone: the older edition leaves gaps between its rows."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Convention:
    """Degree days summed in one way, and the zones that they leave possible."""

    temperatures: str
    """hourly or daily means."""
    heating_base: float = measured(TEMPERATURE)
    cooling_degree_days: float = measured(DEGREE_DAYS)
    heating_degree_days: float = measured(DEGREE_DAYS)
    possible: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class MoistureTest:
    """One test of the moisture letter: what was found, the limit, and whether it holds (None: cannot be told)."""

    name: str
    found: Words
    limit: Words
    holds: bool | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ComputedZone:
    """A climate zone computed from weather, as far as it can be told."""

    definition: str
    climate_zone: str | None
    thermal_zone: str | None
    moisture: str | None
    """A, B or C; None in zones 7 and 8, and where it cannot be told."""
    possible: tuple[str, ...]
    cdd10: float = measured(DEGREE_DAYS)
    hdd18: float = measured(DEGREE_DAYS)
    annual_mean: float = measured(TEMPERATURE)
    precipitation_at_least: float = measured(PRECIPITATION)
    precipitation_at_most: float | None = measured(PRECIPITATION)
    precipitation_source: str
    conventions: tuple[Convention, ...]
    tests: tuple[MoistureTest, ...]
    letter_from: Words
    settles: Words | None
    remarks: tuple[Words, ...]
    sources: tuple[str, ...]
    doubts: tuple[str, ...]


def zone_of_weather(
    weather: WeatherYear,
    definition: str = LATEST,
    precipitation: Precipitation | None = None,
    county: ClimateZone | None = None,
) -> ComputedZone:
    """Compute the climate zone of a year of weather.

    Parameters
    ----------
    weather
        From ``weather.read_weather``.
    definition
        Edition of ASHRAE 169, such as "169-2013".
    precipitation
        From ``precipitation.typed``; left out, what the file shows.
    county
        Zone of the county, whose letter is taken where precipitation leaves it open.

    Raises
    ------
    Refused
        No such edition.
    """
    limits = criteria(definition)
    in_file = of_file(weather)
    water = precipitation or in_file
    case = _Case(weather, limits, water, county)
    found, letter_from = case.conventions[0], case.letter_from
    possible = found.possible
    zone = possible[0] if len(possible) == 1 and possible[0] != NO_ROW else None
    thermal = {one[0] for one in possible}
    if zone in WITHOUT_LETTER:
        letter_from = Words("zones 7 and 8 have no letter")
    return ComputedZone(
        definition=limits.definition,
        climate_zone=zone,
        thermal_zone=thermal.pop() if len(thermal) == 1 and possible[0] != NO_ROW else None,
        moisture=zone[1:] or None if zone else None,
        possible=possible,
        cdd10=found.cooling_degree_days,
        hdd18=found.heating_degree_days,
        annual_mean=case.annual_mean,
        precipitation_at_least=water.annual.at_least,
        precipitation_at_most=water.annual.at_most if math.isfinite(water.annual.at_most) else None,
        precipitation_source=water.source,
        conventions=case.conventions,
        tests=case.tests(),
        letter_from=letter_from if zone else Words("not known"),
        settles=None if zone else case.settles(possible),
        remarks=(*case.near_a_border(), *_disagreements(possible, county, water, in_file)),
        sources=tuple(dict.fromkeys(str(source) for source in limits.sources)),
        doubts=tuple(dict.fromkeys(f"{source}: {source.doubt}" for source in limits.sources if source.doubt)),
    )


def _zones(limits: Criteria, letters: Sequence[str], dry: bool | None, summed: Convention) -> tuple[str, ...]:
    """Return the zones that some letters lead to, in order, each once."""
    found = []
    for letter in letters:
        thermal = rules.thermal_zone(
            limits.thermal, letter, summed.cooling_degree_days, summed.heating_degree_days
        )
        if thermal is None or thermal in WITHOUT_LETTER:
            found.append(thermal or NO_ROW)
        elif letter == "C" and thermal not in limits.marine_zones:
            found += [thermal + other for other in rules.possible_letters(False, dry)]
        else:
            found.append(thermal + letter)
    return tuple(sorted(set(found)))


class _Case:
    """One place held against one edition."""

    def __init__(
        self, weather: WeatherYear, limits: Criteria, water: Precipitation, county: ClimateZone | None
    ) -> None:
        self.limits, self.water, self.southern = limits, water, weather.southern
        self.monthly = degree_days.monthly_means(weather.dry_bulb, weather.months)
        self.annual_mean = fmean(weather.dry_bulb)
        self.marine: Marine = rules.marine(self.monthly, water.months, limits.marine, southern=self.southern)
        self.dry_limits = rules.dry_limits(
            self.annual_mean, water.annual, water.months, limits.dry, southern=self.southern
        )
        self.dry = rules.dry(water.annual, self.dry_limits)
        self.letters = rules.possible_letters(self.marine.answer, self.dry)
        self.letter_from = Words(f"precipitation from {water.source}")
        self.conventions = self._conventions(weather)
        if len(self.conventions[0].possible) > 1 and county is not None and county.zone[1:]:
            self.letters = (county.zone[1:],)
            self.letter_from = Words(f"the letter of {county.place}, {county.map_edition}")
            self.conventions = self._conventions(weather)

    def _conventions(self, weather: WeatherYear) -> tuple[Convention, ...]:
        """Sum the degree days in every way in use: hours before daily means, 18 °C before 65 °F."""
        ways = (
            ("hourly", weather.dry_bulb, 24),
            ("daily means", degree_days.daily_means(weather.dry_bulb), 1),
        )
        bases = (self.limits.heating_base, self.limits.heating_base_inch_pound)
        found = []
        for base, (name, temperatures, a_day) in product(bases, ways):
            summed = Convention(
                temperatures=name,
                heating_base=base,
                cooling_degree_days=degree_days.cooling_degree_days(
                    temperatures, self.limits.cooling_base, a_day
                ),
                heating_degree_days=degree_days.heating_degree_days(temperatures, base, a_day),
                possible=(),
            )
            zones = _zones(self.limits, self.letters, self.dry, summed)
            found.append(
                Convention(
                    temperatures=name,
                    heating_base=base,
                    cooling_degree_days=summed.cooling_degree_days,
                    heating_degree_days=summed.heating_degree_days,
                    possible=zones,
                )
            )
        return tuple(found)

    def tests(self) -> tuple[MoistureTest, ...]:
        """Return every moisture test with what was found."""
        sea, answers = self.limits.marine, self.marine
        cold, rest = ("April to September", "October to March")[:: 1 if self.southern else -1]
        warm = sum(mean > sea.warm_month_above for mean in self.monthly)
        wettest, driest = rules.wet_and_dry(self.water.months, southern=self.southern)
        return (
            MoistureTest("marine: coldest month", _temperature(min(self.monthly)), words(
                "{low} to {high}", low=_temperature(sea.coldest_at_least), high=_temperature(sea.coldest_at_most)),
                answers.coldest),
            MoistureTest("marine: warmest month", _temperature(max(self.monthly)), words(
                "below {high}", high=_temperature(sea.warmest_below)), answers.warmest),
            MoistureTest("marine: warm months", Words(str(warm)), words(
                f"at least {sea.warm_months} months above {{limit}}", limit=_temperature(sea.warm_month_above)),
                answers.warm_months),
            MoistureTest("marine: dry summer", words(
                f"wettest month of {cold} {{wet}}, driest of {rest} {{dry}}", wet=_depth(wettest), dry=_depth(driest)),
                Words(f"the wettest at least {sea.wet_to_dry:g} times the driest"), answers.dry_summer),
            MoistureTest("dry: year's precipitation", _depth(self.water.annual), self._dry_limit(), self.dry),
        )  # fmt: skip

    def _dry_limit(self) -> Words:
        low, high = min(self.dry_limits), max(self.dry_limits)
        if math.isclose(low, high):
            return words("below {limit}", limit=_water(low))
        return words(
            "below {low} to {high}, by the share that falls in the summer half-year", low=_water(low), high=_water(high)
        )  # fmt: skip

    def settles(self, possible: Sequence[str]) -> Words:
        """Say what would tell the zones that are left apart."""
        if set(possible) == {NO_ROW}:
            return Words(
                "nothing: the degree days fall between the rows of this edition; take the zone of the county"
            )
        if "C" in {zone[1:] for zone in possible} and self.marine.answer is None:
            return Words(
                "precipitation month by month (or the county and its state): whether summer is the dry season"
            )
        low, high = min(self.dry_limits), max(self.dry_limits)
        between = "" if math.isclose(low, high) else ", in between the months decide"
        return words(
            f"annual precipitation (or the county and its state): below {{low}} dry (B), from {{high}} on moist (A){between}",
            low=_water(low), high=_water(high),
        )  # fmt: skip

    def near_a_border(self) -> tuple[Words, ...]:
        """Name the ways to sum degree days that lead to another zone."""
        first, *others = self.conventions
        return tuple(
            words(
                f"near a border: with {one.temperatures.replace('hourly', 'hourly temperatures')} and heating degree days below "
                f"{{base}} it would be {' or '.join(one.possible)} ({{heating}} and {{cooling}})",
                base=_temperature(one.heating_base), heating=_days(one.heating_degree_days), cooling=_days(one.cooling_degree_days),
            )
            for one in others if one.possible != first.possible
        )  # fmt: skip


def _disagreements(
    possible: Sequence[str], county: ClimateZone | None, water: Precipitation, in_file: Precipitation
) -> list[Words]:
    """Say where the county map or the file's own precipitation says otherwise."""
    found = []
    if county is not None and county.zone not in possible:
        found.append(
            Words(
                f"{county.place} is {county.zone} in the {county.map_edition}: the code's own map goes before"
            )
        )
    if water.annual.at_most < in_file.annual.at_least:
        found.append(words(
            "the file itself shows at least {depth}, more than the {given} given: one of the two is wrong",
            depth=_water(in_file.annual.at_least), given=_water(water.annual.at_most)))  # fmt: skip
    return found


def _temperature(value: float) -> Words:
    return words("{t}", t=Amount(value, TEMPERATURE))


def _water(value: float) -> Words:
    return words("{d}", d=Amount(value, PRECIPITATION))


def _days(value: float) -> Words:
    return words("{d}", d=Amount(value, DEGREE_DAYS))


def _depth(depth: Depth) -> Words:
    """Say a depth as far as it is known."""
    if depth.at_most - depth.at_least < 1e-9:
        return _water(depth.at_least)
    if math.isfinite(depth.at_most):
        return words("{low} to {high}", low=_water(depth.at_least), high=_water(depth.at_most))
    return words("at least {low}", low=_water(depth.at_least)) if depth.at_least > 0.0 else Words("not known")
