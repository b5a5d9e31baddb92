"""What can be mended in the header of an EPW file without guessing, and the sentence that says so."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from statistics import fmean

from ventwright.physics.moist_air import STANDARD_PRESSURE

Row = tuple[int, list[str]]

WHOLE_YEARS = (8760, 8784)
PERIODS, LOCATION = "DATA PERIODS", "LOCATION"
PRESSURE, ELEVATION = 9, 9
"""Places of the pressure in a row of hours, and of the elevation in the LOCATION line."""


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
    if len(cells) <= ELEVATION or _number(cells[ELEVATION]) is not None:
        return rows
    found = [_number(hour[PRESSURE]) for _, hour in rows if is_hour(hour)]
    pressures = [one for one in found if one is not None and 31e3 <= one <= 120e3]
    if len(pressures) < min(WHOLE_YEARS) // 2:
        return rows
    height = elevation_of(fmean(pressures))
    notes.append(
        f"its first line names no elevation: {height:.0f} m by the mean pressure of its hours, good to about 100 m"
    )
    return [(line, [*cells[:ELEVATION], f"{height:.0f}", *cells[ELEVATION + 1 :]]), *rows[1:]]


def elevation_of(pressure: float) -> float:
    """Height at which the standard atmosphere has a pressure. [m]

    Source: ASHRAE Handbook - Fundamentals 2017 (SI), chapter 1, equation 3, solved for the height.
    """
    height: float = (1.0 - (pressure / STANDARD_PRESSURE) ** (1.0 / 5.2559)) / 2.25577e-5
    return height


def _number(text: str) -> float | None:
    try:
        return float(text)
    except ValueError:
        return None
