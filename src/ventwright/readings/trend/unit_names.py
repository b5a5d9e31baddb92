"""Which rooftop unit a column, a file or a folder belongs to, by the names people give them."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Final

from ventwright.readings.trend.naming import NOT_USED, guess

if TYPE_CHECKING:
    from pathlib import Path

NAMED: Final = re.compile(
    r"(?<![A-Za-z0-9])(?P<what>rtu|ahu|acu|ac|hvac|mau|doas|unit|roof ?top|hp)[ _#-]{0,2}(?P<which>\d{1,4}[A-Za-z]?(?![A-Za-z0-9])|\d{1,4}|[A-Z](?![A-Za-z0-9]))",
    re.IGNORECASE,
)


def unit_in(text: str) -> str:
    """Return the rooftop unit that a text names, such as "RTU-3" in "Bldg2.rtu_03.SAT"; "" where it names none."""
    found = NAMED.search(text.replace("_", " "))
    if found is None:
        return ""
    which = found["which"]
    figures = which.rstrip("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ")
    number = f"{int(figures)}{which[len(figures) :].upper()}" if figures else which.upper()
    return f"{found['what'].upper().replace(' ', '')}-{number}"


def unit_of_file(path: Path) -> str:
    """Return the unit of a file: what its name says, else its folder; a file that holds one point is of its folder."""
    stem = stem_of(path)
    named = unit_in(stem) or unit_in(path.parent.name)
    if named:
        return named
    one_point = guess(stem).point != NOT_USED and guess(stem).chance > 0.5
    return path.resolve().parent.name if one_point else stem


def stem_of(path: Path) -> str:
    """Return the name of a file without its endings."""
    stem = path.name
    for ending in (".gz", ".csv", ".txt", ".tsv", ".log", ".dat", ".parquet", ".pq"):
        if stem.lower().endswith(ending) and len(stem) > len(ending):
            stem = stem[: -len(ending)]
    return stem
