"""Which unit a column's numbers are in: the one that the file names, or the one that physics allows, and how sure that is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

from ventwright.readings.trend.measures import OFF, ON, SHARES, Measure, measure_named
from ventwright.tables.point import Point

SURE: Final = 0.8
"""A unit that is less sure is asked about (our own assumption)."""


@dataclass(frozen=True, slots=True)
class LikelyMeasure:
    """Which measure a column has, how sure that is, and why."""

    measure: Measure | None
    chance: float
    why: str
    others: tuple[str, ...] = ()
    """Measures that it may be as well."""

    @property
    def is_sure(self) -> bool:
        """Whether the column can be used before anybody looked at it."""
        return self.measure is not None and self.chance >= SURE


@dataclass(slots=True)
class Sample:
    """Some of the cells of a column."""

    numbers: list[float] = field(default_factory=list[float])
    words: dict[str, int] = field(default_factory=dict[str, int])
    """Cells that are no numbers, in small letters, with how often they came."""
    day_swings: list[float] = field(default_factory=list[float])
    """Between highest and lowest number, for every day of which there is a good part."""

    @property
    def bulk(self) -> tuple[float, float]:
        """Lowest and highest number, a hundredth at either end left out."""
        ordered = sorted(self.numbers)
        cut = len(ordered) // 100
        return (ordered[cut], ordered[-1 - cut]) if ordered else (0.0, 0.0)


def told_by(point: Point, unit: str, sample: Sample) -> LikelyMeasure:
    """Say how a column's numbers become SI, from the unit that the file gives and from the numbers themselves."""
    match point.kind.name:
        case "switch":
            return _switch(sample)
        case "share":
            return _share(unit, sample)
        case "stages":
            return LikelyMeasure(Measure("count", 1.0), 0.95, "a number of stages needs no unit")
        case "temperature":
            return _temperature(point, unit, sample)
    named = measure_named(point.kind.name, unit) if unit else None
    if named is not None:
        return _checked(point, named, unit, sample)
    return _by_size(point, sample)


def _switch(sample: Sample) -> LikelyMeasure:
    known = sum(count for word, count in sample.words.items() if word in ON | OFF)
    numbers = [number in (0.0, 1.0, 100.0) for number in sample.numbers]
    total = sum(sample.words.values()) + len(numbers)
    measure = Measure("on/off", 1.0)
    if total == 0:
        return LikelyMeasure(measure, 0.9, "no value in the part that was looked at")
    share = (known + sum(numbers)) / total
    if share >= 0.9:
        return LikelyMeasure(measure, 0.97, "its cells are 0 and 1, or words for off and on")
    return LikelyMeasure(None, 0.0, "its cells are neither 0 and 1 nor words for off and on", ("on/off",))


def _share(unit: str, sample: Sample) -> LikelyMeasure:
    named = measure_named("share", unit) if unit else None
    low, high = sample.bulk
    if not sample.numbers:
        return LikelyMeasure(named or SHARES[1], 0.9, "no value in the part that was looked at")
    if unit.strip().lower() in {"v", "vdc", "volts", "volt"}:
        named = SHARES[3] if low >= 1.9 else SHARES[2]
        return LikelyMeasure(
            named,
            0.9 if high <= 10.6 else 0.0,
            "volts; none below 2 means that 2 V is closed",
            ("0-10 V", "2-10 V"),
        )
    if named is not None:
        in_range = low * named.slope + named.intercept >= -0.1 and high * named.slope + named.intercept <= 1.1
        hidden = named.name == "%" and 0.0 < high <= 1.0
        if in_range and not hidden:
            return LikelyMeasure(named, 0.97, f"the file says {unit}")
        return LikelyMeasure(
            named, 0.4, f"the file says {unit}, and the numbers run from {low:g} to {high:g}", ("%", "0-1")
        )
    if low == high == 0.0:
        return LikelyMeasure(SHARES[1], 0.9, "every number is 0, which is closed in any unit")
    if high <= 1.05:
        return LikelyMeasure(SHARES[0], 0.93, "no number above 1", ("%",))
    if high > 10.6:
        return LikelyMeasure(
            SHARES[1], 0.95 if high <= 110.0 else 0.3, f"numbers up to {high:g}", ("Hz of 60",)
        )
    if low >= 1.9 and high >= 9.0:
        return LikelyMeasure(SHARES[3], 0.7, "numbers between 2 and 10", ("0-10 V", "%"))
    return LikelyMeasure(SHARES[2], 0.6, f"numbers up to {high:g}", ("%", "2-10 V"))


_TEMPERATURES: Final = (Measure("°C", 1.0), Measure("°F", 1 / 1.8, -32 / 1.8))
_SWING: Final = (1.5, 22.0)
"""K between the highest and the lowest outdoor temperature of a day, of nearly all days (our own assumption)."""


def _temperature(point: Point, unit: str, sample: Sample) -> LikelyMeasure:
    """Tell °C from °F by what the air of this place can be, and outdoors by the swing of a day."""
    named = measure_named("temperature", unit) if unit else None
    if not sample.numbers:
        return LikelyMeasure(
            named, 0.9 if named else 0.0, "no value in the part that was looked at", ("°C", "°F")
        )
    if named is not None:
        return _checked(point, named, unit, sample)
    marks = [_fit(point, measure, sample) for measure in _TEMPERATURES]
    total = sum(marks)
    if total < 0.05:
        low, high = sample.bulk
        return LikelyMeasure(
            None, 0.0, f"numbers from {low:g} to {high:g} are no {point.name} in °C nor in °F", ("°C", "°F")
        )
    best = 0 if marks[0] > marks[1] else 1
    low, high = sample.bulk
    why = f"numbers from {low:g} to {high:g}"
    return LikelyMeasure(
        _TEMPERATURES[best], marks[best] / total * min(1.0, 0.2 + total), why, (_TEMPERATURES[1 - best].name,)
    )


def _fit(point: Point, measure: Measure, sample: Sample) -> float:
    """Return how well numbers fit a temperature of this place in one unit, 0 to 1."""
    low, high = point.usual
    inside = [low <= number * measure.slope + measure.intercept <= high for number in sample.numbers]
    fit = (sum(inside) / len(inside)) ** 4
    if point.id == "outdoor_temperature" and len(sample.day_swings) >= 3:
        swings = [_SWING[0] <= swing * measure.slope <= _SWING[1] for swing in sample.day_swings]
        fit *= (sum(swings) / len(swings)) ** 2
    return fit


def _checked(point: Point, named: Measure, unit: str, sample: Sample) -> LikelyMeasure:
    """Hold the unit that a file names against what the point can show."""
    if not sample.numbers:
        return LikelyMeasure(named, 0.9, f"the file says {unit}")
    bounds = point.usual if point.kind.name == "temperature" else (point.least, point.most)
    inside = [bounds[0] <= number * named.slope + named.intercept <= bounds[1] for number in sample.numbers]
    if sum(inside) >= 0.5 * len(inside):
        return LikelyMeasure(named, 0.97, f"the file says {unit}")
    low, high = sample.bulk
    others = (
        tuple(one.name for one in _TEMPERATURES if one != named) if point.kind.name == "temperature" else ()
    )
    return LikelyMeasure(
        named, 0.3, f"the file says {unit}, and the numbers run from {low:g} to {high:g}", others
    )


_BY_SIZE: Final[Mapping[str, tuple[tuple[float, float, str, float], ...]]] = {
    "pressure": ((0.0, 6.0, "in.w.g.", 0.85), (20.0, 1500.0, "Pa", 0.85), (50_000.0, 110_000.0, "Pa", 0.97)),
    "airflow": ((0.0, 40.0, "m3/s", 0.6), (150.0, 60_000.0, "cfm", 0.7)),
    "concentration": ((100.0, 20_000.0, "ppm", 0.97),),
    "enthalpy": ((5.0, 60.0, "Btu/lb", 0.6),),
    "humidity ratio": ((0.0, 0.04, "kg/kg", 0.95),),
    "power": ((0.0, 150.0, "kW", 0.75), (1000.0, 500_000.0, "W", 0.9)),
    "current": ((0.0, 500.0, "A", 0.9),),
}
"""Largest number of a column, the unit that it then most probably has, and how sure (our own assumption)."""


def _by_size(point: Point, sample: Sample) -> LikelyMeasure:
    rows = _BY_SIZE[point.kind.name]
    names = tuple(name for _, _, name, _ in rows)
    high = sample.bulk[1]
    for least, most, name, chance in rows:
        if sample.numbers and least <= high <= most:
            others = tuple(dict.fromkeys(one for one in names if one != name))
            sure = chance - (0.3 if point.id == "building_pressure" else 0.0)  # a few pascals are a usual one
            return LikelyMeasure(
                measure_named(point.kind.name, name), sure, f"numbers up to {high:g}", others
            )
    return LikelyMeasure(None, 0.0, "the file names no unit, and the numbers do not tell it", names)


def agreed(found: Sequence[tuple[Point, Sample, LikelyMeasure]]) -> list[LikelyMeasure]:
    """Let the temperatures of one file agree on one unit where the file names none: the room tells that of outdoors."""
    judged = [
        (point, sample)
        for point, sample, told in found
        if point.kind.name == "temperature" and not told.why.startswith("the file says") and sample.numbers
    ]
    if len(judged) < 2:
        return [told for _, _, told in found]
    marks = [1.0, 1.0]
    for point, sample in judged:
        for one, measure in enumerate(_TEMPERATURES):
            marks[one] *= 0.02 + 0.98 * _fit(point, measure, sample)
    best = 0 if marks[0] >= marks[1] else 1
    share = marks[best] / sum(marks)
    why = f"{len(judged)} temperatures of the file together"
    together = LikelyMeasure(_TEMPERATURES[best], share, why, (_TEMPERATURES[1 - best].name,))
    chosen = []
    for point, sample, told in found:
        is_judged = any(one is point and other is sample for one, other in judged)
        fits = is_judged and _fit(point, _TEMPERATURES[best], sample) > 0.05
        chosen.append(together if fits else told)
    return chosen
