"""What can be mended in the header of an EPW file without guessing, and the sentence that says so."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from statistics import fmean

from ventwright.physics.moist_air import elevation_at_pressure
from ventwright.tables.weather_layout import ELEVATION_IN_EPW, PRESSURE_IN_EPW, Row

WHOLE_YEARS = (8760, 8784)
PERIODS, LOCATION = "DATA PERIODS", "LOCATION"


def mended(
    rows: Sequence[Row], is_hour: Callable[[Sequence[str]], bool]
) -> tuple[Sequence[Row], tuple[str, ...]]:
    """Mend an EPW header: how many records an hour, from how many there are; the elevation, from the pressure.

    Everything else, such as a place that is missing, nobody can know: it is left for the refusal.

    Parameters
    ----------
    rows
        Line and cells of every row that holds anything.
    is_hour
        Whether cells are an hour of weather.

    Returns
    -------
    tuple
        Rows, and a sentence for each thing that was mended.
    """
    if not rows or rows[0][1][0].strip().upper() != LOCATION:
        return rows, ()
    notes: list[str] = []
    return _elevation(_periods(rows, is_hour, notes), is_hour, notes), tuple(notes)


def _periods(
    rows: Sequence[Row], is_hour: Callable[[Sequence[str]], bool], notes: list[str]
) -> Sequence[Row]:
    """Put in a DATA PERIODS line where it is missing or not to be read, and the rows make one whole year of hours."""
    hours = sum(is_hour(cells) for _, cells in rows)
    if hours not in WHOLE_YEARS:
        return rows
    place = next((n for n, (_, cells) in enumerate(rows) if cells[0].strip().upper() == PERIODS), None)
    if place is None:
        first = next(number for number, (_, cells) in enumerate(rows) if is_hour(cells))
        notes.append(
            f"its {PERIODS} line is missing: one record an hour is taken, as it holds {hours} of them"
        )
        return [*rows[:first], (rows[first][0], [PERIODS, "1", "1"]), *rows[first:]]
    line, cells = rows[place]
    said = cells[2].strip() if len(cells) > 2 else ""
    if said.isdigit():
        return rows
    notes.append(
        f'its {PERIODS} line says "{said}" records an hour: one is taken, as it holds {hours} of them'
    )
    return [*rows[:place], (line, [PERIODS, "1", "1", *cells[3:]]), *rows[place + 1 :]]


def _elevation(
    rows: Sequence[Row], is_hour: Callable[[Sequence[str]], bool], notes: list[str]
) -> Sequence[Row]:
    """Put in the elevation where none is written, by the mean pressure of the hours."""
    line, cells = rows[0]
    if len(cells) <= ELEVATION_IN_EPW or _number(cells[ELEVATION_IN_EPW]) is not None:
        return rows
    found = [_number(hour[PRESSURE_IN_EPW]) for _, hour in rows if is_hour(hour)]
    pressures = [one for one in found if one is not None and 31e3 <= one <= 120e3]
    if len(pressures) < min(WHOLE_YEARS) // 2:
        return rows
    height = elevation_at_pressure(fmean(pressures))
    notes.append(
        f"its first line names no elevation: {height:.0f} m by the mean pressure of its hours, good to about 100 m"
    )
    return [(line, [*cells[:ELEVATION_IN_EPW], f"{height:.0f}", *cells[ELEVATION_IN_EPW + 1 :]]), *rows[1:]]


def _number(text: str) -> float | None:
    try:
        return float(text)
    except ValueError:
        return None
