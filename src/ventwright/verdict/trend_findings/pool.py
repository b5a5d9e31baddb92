"""Shares of outdoor air pooled over days: least squares with the sensors' lasting errors as unknowns that all rows share.

In a class of the damper signal the mixed air departs from the return air by y = F x + a + F e, where x is outdoor less
return air, F the share, a the error of the mixed sensor less that of the return sensor, and e the error of the return
sensor less that of the outdoor one. So a common offset of a sensor is never taken for a damper.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import accumulate

from ventwright.tables.fault_rule import Figures
from ventwright.verdict.trend_findings.day_sums import Sums
from ventwright.verdict.trend_findings.log_steps import SHARE_STEP, TEMPERATURE_STEP
from ventwright.verdict.trend_findings.shape import KnownUnit
from ventwright.verdict.trend_findings.signal_classes import PER_DAY

READING_U = 0.3
"""Of one reading against the next, all three temperatures together (our own assumption). [K]"""
ALIKE = 10
"""Readings one after the other that count as one (our own assumption)."""

Key = tuple[int, int]
"""Class of signal, and 1 where outdoor air is warmer than return air."""


@dataclass(frozen=True, slots=True)
class LastingErrors:
    """Standard uncertainty of the lasting error of each sensor. [K]"""

    outdoor: float
    returned: float
    mixed: float


@dataclass(frozen=True, slots=True)
class ClassShare:
    """Share of outdoor air in one class of signal."""

    name: int
    signal: float
    """Mean. [-]"""
    share: float
    u: float
    hours: float
    days: int
    difference: float
    """Mean of outdoor less return air, without its sign. [K]"""


@dataclass(frozen=True, slots=True)
class Pool:
    """Shares of some days, with what their uncertainties have in common."""

    classes: Mapping[int, ClassShare]
    covariance: Mapping[Key, float]
    """Of the shares of two classes. [-]"""
    offset: float
    """Of the mixed sensor against the return sensor. [K]"""
    offset_u: float
    offset_u_before: float
    """Before the log was read. [K]"""

    def rise(self, low: int, high: int) -> tuple[float, float]:
        """Return how much more outdoor air one class has than another, and its standard uncertainty. [-]"""
        one, other = self.classes[low], self.classes[high]
        variance = one.u**2 + other.u**2 - 2.0 * self.covariance[low, high]
        return other.share - one.share, max(variance, 0.0) ** 0.5

    @property
    def hours(self) -> float:
        """Judged in all. [h]"""
        return sum(one.hours for one in self.classes.values())


def errors(figures: Figures, known: KnownUnit, *, of_supply: bool) -> LastingErrors:
    """Return the accuracy of the sensors: as the job knows it, else as the data file has it.

    Parameters
    ----------
    figures
        With what is usual.
    known
        Of the unit: accuracies that somebody gave. [K]
    of_supply
        Whether supply air stands for mixed air: then what the fan adds is not known either.
    """
    usual, given = figures.accuracy, known.sensor_accuracy
    mixed = given.get("mixed_temperature", usual.mixed_temperature)
    if of_supply:
        supply = given.get("supply_temperature", usual.supply_temperature)
        mixed = (supply**2 + usual.fan_heat_u**2) ** 0.5
    return LastingErrors(
        given.get("outdoor_temperature", usual.outdoor_temperature),
        given.get("return_temperature", usual.return_temperature),
        mixed,
    )


class Days:
    """Sums by day, so that any stretch of days is pooled by one subtraction."""

    def __init__(self, shares: Sums, merge: Sequence[int]) -> None:
        """Take the sums; ``merge`` says which class each fine class of signal belongs to."""
        by_day: dict[int, dict[Key, list[int]]] = {}
        for key, (rows, first, last, *sums) in shares.items():
            day, rest = divmod(key, PER_DAY)
            place = (merge[rest // 2], rest % 2)
            row = [1, first, last, rows, *sums]
            held = by_day.setdefault(day, {})
            held[place] = _joined(held[place], row) if place in held else row
        self.days = sorted(by_day)
        self.of_day = [by_day[day] for day in self.days]
        keys = sorted({key for held in self.of_day for key in held})
        empty = [0] * 10
        self._totals = {
            key: list(accumulate((held.get(key, empty) for held in self.of_day), _added, initial=empty))
            for key in keys
        }

    def __len__(self) -> int:
        """Count the days on which anything could be judged."""
        return len(self.days)

    def between(self, start: int, end: int) -> dict[Key, list[int]]:
        """Return the sums of the days from one place to before another: days, rows, seconds, x, y, xx, xy, signal."""
        found = {}
        for key, totals in self._totals.items():
            sums = [late - early for late, early in zip(totals[end], totals[start], strict=True)]
            if sums[0]:
                found[key] = [sums[0], *sums[3:]]
        return found

    def common(self, start: int, end: int, classes: tuple[int, int]) -> dict[Key, list[int]]:
        """Return the same of two classes, from days only on which both were judged: a damper may change between days."""
        return self.of(self.shared(start, end, classes), classes)

    def shared(self, start: int, end: int, classes: tuple[int, int]) -> list[int]:
        """Return the places of the days on which both of two classes were judged."""
        return [
            place for place in range(start, end) if set(classes) <= {key[0] for key in self.of_day[place]}
        ]

    def of(self, places: Iterable[int], classes: tuple[int, ...]) -> dict[Key, list[int]]:
        """Return the sums of some classes on some days."""
        found: dict[Key, list[int]] = {}
        for place in places:
            for key, row in self.of_day[place].items():
                if key[0] in classes:
                    own = [row[0], *row[3:]]
                    found[key] = _added(found[key], own) if key in found else own
        return found

    def span(self, start: int, end: int, classes: Iterable[int]) -> tuple[int, int]:
        """Return the first and the last time judged in some classes."""
        wanted = set(classes)
        rows = [row for held in self.of_day[start:end] for key, row in held.items() if key[0] in wanted]
        return min(row[1] for row in rows), max(row[2] for row in rows)


def roughly(rows: Collection[list[int]]) -> float:
    """Return the share that some sums give as if the sensors had no errors. [-]"""
    squares = sum(row[5] for row in rows)
    return sum(row[6] for row in rows) / squares if squares else 0.0


def _joined(one: list[int], other: list[int]) -> list[int]:
    sums = [a + b for a, b in zip(one[3:], other[3:], strict=True)]
    return [1, min(one[1], other[1]), max(one[2], other[2]), *sums]


def _added(one: list[int], other: list[int]) -> list[int]:
    return [a + b for a, b in zip(one, other, strict=True)]


def pooled(cells: Mapping[Key, list[int]], figures: Figures, sensor: LastingErrors) -> Pool:
    """Estimate the share of every class from the sums of some days.

    Parameters
    ----------
    cells
        Days, rows, seconds, then sums by seconds of x, y, xx, xy [steps] and signal [steps], by class and sign.
    figures
        Scatter and accuracy.
    sensor
        Lasting errors. [K]

    Returns
    -------
    Pool
        Shares with their covariance [-], and the offset that the sensors turn out to have [K].

    References
    ----------
    Generalized least squares with prior information on the errors (JCGM 101 and textbooks, from memory).
    """
    names = sorted({key[0] for key in cells})
    size = len(names) + 2
    a, e = size - 2, size - 1
    information = _before_the_log(size, sensor)
    right = [0.0] * size
    for (name, _), sums in _with_sums(cells):
        days, rows, _, _, _, xx, xy, _ = sums
        share, per = xy / xx, _per_kelvin(sums)
        inside = min(max(share, 0.0), 1.0)
        scale = 1.0 / _variance(days, rows, inside, per, figures, sensor)
        slopes = ((names.index(name), 1.0), (a, per), (e, per * inside))
        for i, one in slopes:
            right[i] += scale * one * share
            for j, other in slopes:
                information[i][j] += scale * one * other
    covariance = _inverse(information)
    found = [sum(row[j] * right[j] for j in range(size)) for row in covariance]
    return Pool(
        {name: _class(cells, name, found[i], covariance[i][i] ** 0.5) for i, name in enumerate(names)},
        {(one, other): covariance[i][j] for i, one in enumerate(names) for j, other in enumerate(names)},
        found[a],
        covariance[a][a] ** 0.5,
        (sensor.mixed**2 + sensor.returned**2) ** 0.5,
    )


def _before_the_log(size: int, sensor: LastingErrors) -> list[list[float]]:
    """Information on the errors of the sensors, the last two unknowns, before anything is read; of shares none. [1/K2]"""
    a, e = size - 2, size - 1
    # mixed less return, and return less outdoor, have the return sensor in common
    aa, ee, ae = (
        sensor.mixed**2 + sensor.returned**2,
        sensor.returned**2 + sensor.outdoor**2,
        -(sensor.returned**2),
    )
    determinant = aa * ee - ae * ae
    found = [[0.0] * size for _ in range(size)]
    found[a][a], found[e][e] = ee / determinant, aa / determinant
    found[a][e] = found[e][a] = -ae / determinant
    return found


def _with_sums(cells: Mapping[Key, list[int]]) -> Iterable[tuple[Key, list[int]]]:
    return ((key, sums) for key, sums in cells.items() if sums[5] > 0)


def _per_kelvin(sums: list[int]) -> float:
    """How much a kelvin at the mixed sensor moves the share. [1/K]"""
    return sums[3] / sums[5] / TEMPERATURE_STEP


def _variance(
    days: int, rows: int, share: float, per: float, figures: Figures, sensor: LastingErrors
) -> float:
    """Variance of one cell's share beyond the lasting errors: from day to day, and from reading to reading. [-]"""
    inside = sensor.mixed**2 + ((1.0 - share) * sensor.returned) ** 2
    of_day = figures.accuracy.of_day**2 * inside
    of_day += (figures.accuracy.of_day_outdoor * share * sensor.outdoor) ** 2
    scatter = (figures.scatter.fixed + figures.scatter.of_share * share) ** 2
    reading = READING_U**2 * per**2 / max(1.0, rows / ALIKE)
    return (of_day * per**2 + scatter) / days + reading


def _class(cells: Mapping[Key, list[int]], name: int, share: float, u: float) -> ClassShare:
    held = [sums for key, sums in cells.items() if key[0] == name]
    seconds = sum(sums[2] for sums in held)
    return ClassShare(
        name=name,
        signal=sum(sums[7] for sums in held) / seconds * SHARE_STEP,
        share=share,
        u=u,
        hours=seconds / 3600.0,
        days=max(sums[0] for sums in held),
        difference=sum(abs(sums[3]) for sums in held) / seconds * TEMPERATURE_STEP,
    )


def _inverse(matrix: list[list[float]]) -> list[list[float]]:
    """Inverse of a symmetric positive matrix by elimination."""
    size = len(matrix)
    rows = [[*row, *(float(i == j) for j in range(size))] for i, row in enumerate(matrix)]
    for i in range(size):
        pivot = rows[i][i]
        rows[i] = [value / pivot for value in rows[i]]
        for j in range(size):
            factor = rows[j][i]
            if j != i and factor:
                rows[j] = [value - factor * own for value, own in zip(rows[j], rows[i], strict=True)]
    return [row[size:] for row in rows]
