"""Hours of a log in which compressors ran with the damper at its minimum: how warm it was, and how much of the hour they ran."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Final

from ventwright.errors import Refusal, Refused
from ventwright.readings.trend.shape import MISSING, UnitLog

HOUR: Final = 3600
"""s"""

STAGES: Final = ("cooling_1", "cooling_2", "cooling_3", "cooling_4")
AS_A_SHARE: Final = ("cooling_signal",)
"""Where no stage is logged: of a compressor of variable speed."""

DAMPER: Final = ("outdoor_damper_signal", "outdoor_damper_position")
MUST_BE_ON: Final = ("supply_fan_status", "occupied")
ABOVE_MINIMUM: Final = 0.05
"""By how much a damper may stand above its usual least position and still count as at its minimum (our own choice). [-]"""

LEAST_PLACE: Final = 0.1
"""Place, among the damper's values while the fan runs, that is taken for its minimum: lower ones may be the night's (our own choice)."""

MOST_OF_AN_HOUR: Final = 0.7
"""Of an hour that has to be logged for it to count (our own choice). [-]"""


@dataclass(frozen=True, slots=True)
class CompressorHour:
    """One hour: outdoor air [°C], and what share of it the compressors ran, all stages together [-]."""

    outdoor: float
    running: float


@dataclass(slots=True)
class _Hour:
    """Sums of one hour, weighted by how long each row stands."""

    seconds: float = 0.0
    outdoor: float = 0.0
    running: float = 0.0
    damper: list[float] = field(default_factory=list[float])
    fit: bool = True


def compressor_hours(log: UnitLog) -> tuple[CompressorHour, ...]:
    """Find the hours from which a balance point can be told.

    An hour counts where the fan runs throughout, the damper stands at its minimum, and nobody economizes: outdoor air
    beyond the minimum lets compressors stop earlier.

    Parameters
    ----------
    log
        Of one unit.

    Raises
    ------
    Refused
        The log holds no outdoor temperature, no stage of cooling, or nothing that tells of the damper.
    """
    stages = [name for name in STAGES if name in log] or [name for name in AS_A_SHARE if name in log]
    damper = next((name for name in DAMPER if name in log), None)
    _refuse_lacking(log, stages, damper)
    hours: dict[int, _Hour] = defaultdict(_Hour)
    for time, lasts, row in _rows(log, ["outdoor_temperature", *stages, *DAMPER, *MUST_BE_ON, "economizing"]):
        _take(hours[time // HOUR], lasts, row, stages, damper)
    minimum = _minimum([value for one in hours.values() if one.fit for value in one.damper])
    return tuple(
        CompressorHour(one.outdoor / one.seconds, one.running / one.seconds)
        for _, one in sorted(hours.items())
        if one.fit and one.seconds >= MOST_OF_AN_HOUR * HOUR and _at_minimum(one, minimum)
    )


def _refuse_lacking(log: UnitLog, stages: Sequence[str], damper: str | None) -> None:
    needed = {
        "an outdoor temperature": "outdoor_temperature" in log,
        "a stage of cooling": bool(stages),
        "a damper signal, or whether the economizer is on": damper is not None or "economizing" in log,
    }
    lacking = [words for words, there in needed.items() if not there]
    if lacking:
        problem = f"holds not {' and not '.join(lacking)}"
        raise Refused(Refusal(problem, "a log with " + ", ".join(needed), log.unit))


def _rows(log: UnitLog, names: Sequence[str]) -> Iterator[tuple[int, int, dict[str, float]]]:
    """Yield times, how long each row stands, and its values in SI; a value stands for an hour at most."""
    kept = tuple(dict.fromkeys(name for name in names if name in log))
    table = log.table(kept, hold=HOUR)
    steps = {name: log.series[name].point.step for name in kept}
    times = list(table.times)
    for number, time in enumerate(times):
        until = times[number + 1] if number + 1 < len(times) else time
        lasts = min(
            until - time, HOUR - time % HOUR
        )  # what stands over the full hour is counted to this one only
        values = {name: table.columns[name][number] for name in kept}
        yield time, lasts, {name: value * steps[name] for name, value in values.items() if value != MISSING}


def _take(hour: _Hour, lasts: int, row: dict[str, float], stages: Sequence[str], damper: str | None) -> None:
    """Add one row to its hour; a row that lacks what is needed, or in which air cools, spoils the hour."""
    needed = ["outdoor_temperature", *stages, *([damper] if damper else [])]
    if any(name not in row for name in needed) or row.get("economizing", 0.0) > 0.0:
        hour.fit = False
        return
    if any(row.get(name, 1.0) <= 0.0 for name in MUST_BE_ON):
        hour.fit = False
        return
    hour.seconds += lasts
    hour.outdoor += lasts * row["outdoor_temperature"]
    hour.running += lasts * sum(row[name] for name in stages) / len(stages)
    if damper:
        hour.damper.append(row[damper])


def _minimum(values: Sequence[float]) -> float | None:
    """Position that the damper keeps where it is asked for no more; None where nothing tells."""
    return sorted(values)[int(LEAST_PLACE * len(values))] if values else None


def _at_minimum(hour: _Hour, minimum: float | None) -> bool:
    return minimum is None or all(one <= minimum + ABOVE_MINIMUM for one in hour.damper)
