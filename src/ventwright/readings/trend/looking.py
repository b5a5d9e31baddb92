"""Look at files before reading them: what each column is, in which unit, and what has to be asked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Final

from ventwright.errors import Refusal, Refused
from ventwright.readings.trend import questions
from ventwright.readings.trend.clock import zone_named
from ventwright.readings.trend.layout import Layout, layout_of
from ventwright.readings.trend.naming import NOT_USED, Guess, guess
from ventwright.readings.trend.point_map import PointMap
from ventwright.readings.trend.sample import FEW, ROWS, Looked, looked_at, order_in
from ventwright.readings.trend.source_file import PARQUET, source_of
from ventwright.readings.trend.stamps import TimeForm
from ventwright.readings.trend.understood import SHARED, Column, LogFile, Understood
from ventwright.readings.trend.unit_names import stem_of, unit_in, unit_of_file
from ventwright.readings.trend.unit_told import LikelyMeasure, Sample, agreed, told_by
from ventwright.tables.point import Point, points

ENDINGS: Final = (".csv", ".txt", ".tsv", ".log", ".dat", ".csv.gz", ".txt.gz", ".tsv.gz", ".parquet", ".pq")
"""Of files that are looked for in a folder; a file that is named is read whatever its ending."""

LEAST: Final = 0.3
"""A guess of a smaller chance is no guess: the column is listed as not used without a question (our own assumption)."""


def look(paths: Sequence[Path], said: PointMap | None = None, unit: str | None = None) -> Understood:
    """Look at files and folders and say what is understood of them.

    Parameters
    ----------
    paths
        Files, or folders that are looked through with the folders in them.
    said
        What a person said earlier or says now; it stands above every guess.
    unit
        The rooftop unit that all of it belongs to, where files and headings do not say.

    Raises
    ------
    Refused
        No file of them can be read.
    """
    said = said or PointMap()
    files: list[LogFile] = []
    refused: list[Refusal] = []
    for path in found_in(paths):
        try:
            files.append(_file(path, said, unit))
        except Refused as failure:
            refused += failure.refusals
    refused += [_no_log(path) for path in paths if path.is_dir() and not found_in([path])]
    if not files:
        raise Refused(*refused)
    dates = said.dates or questions.order_of_all([file.layout.form for file in files])
    files = [_with_order(file, dates) for file in files]
    return Understood(
        files=tuple(files),
        questions=tuple(questions.asked(files)),
        refused=tuple(refused),
        remarks=tuple(questions.remarks(files)),
        zone=said.zone,
        dates=said.dates,
        year=said.year,
    )


def found_in(paths: Sequence[Path]) -> list[Path]:
    """Return the files to read: those named, and those in folders whose names end as logs do, in order."""
    found: list[Path] = []
    for path in paths:
        if path.is_dir():
            inside = sorted(
                one for one in path.rglob("*") if one.is_file() and one.name.lower().endswith(ENDINGS)
            )
            found += [
                one for one in inside if not any(part.startswith(".") for part in one.relative_to(path).parts)
            ]
        else:
            found.append(path)
    return list(dict.fromkeys(found))


def _no_log(folder: Path) -> Refusal:
    accepted = f"a folder with files ending in {', '.join(ENDINGS)}, in it or in the folders in it"
    return Refusal("holds no log", accepted, str(folder))


def _file(path: Path, said: PointMap, unit: str | None) -> LogFile:
    """Look at one file."""
    zone = zone_named(said.zone, "zone") if said.zone else None
    if _is_parquet(path):
        need_polars(path.name)
        from ventwright.readings.trend.parquet_file import look_at_parquet

        source, layout, looked = look_at_parquet(path)
        return _judged(
            LogFile(
                source,
                layout,
                (),
                looked.falls > looked.rises,
                zone,
                unit or unit_of_file(path),
                tabular=True,
            ),
            looked,
            said,
            unit,
        )
    source, text = source_of(path)
    layout = layout_of(text, path.name)
    if layout.form.kind == "no year" and said.year is not None:
        layout = replace(layout, form=replace(layout.form, year=said.year))
    if layout.form.kind == "two figures":
        layout = replace(layout, form=TimeForm("two figures", said.dates or order_in(source, layout)))
    looked = looked_at(source, layout, FEW if _is_said(layout, path, said) else ROWS)
    layout = replace(layout, units=_units_in_cells(layout, looked))
    file = LogFile(source, layout, (), looked.falls > looked.rises, zone, unit or unit_of_file(path))
    return _judged(file, looked, said, unit)


def need_polars(where: str) -> None:
    """Refuse what only Polars and NumPy can read or write where they are not installed."""
    from importlib.util import find_spec

    for package in ("polars", "numpy"):
        if find_spec(package) is None:
            accepted = "text files, or an installation with the extra trends"
            raise Refused(Refusal(f"needs the package {package}, which is not installed", accepted, where))


def _is_parquet(path: Path) -> bool:
    try:
        with path.open("rb") as file:
            return file.read(4) == PARQUET
    except (OSError, ValueError):
        return False  # said by whoever opens it next


def _with_order(file: LogFile, order: str) -> LogFile:
    """Take the order of day and month from the files beside, where one file does not show it."""
    form = file.layout.form
    if form.kind != "two figures" or form.order or not order:
        return file
    return replace(file, layout=replace(file.layout, form=replace(form, order=order)))


def _units_in_cells(layout: Layout, looked: Looked) -> tuple[str, ...]:
    units = list(layout.units)
    for place, of in looked.written_in.items():
        unit, count = max(of.items(), key=lambda pair: pair[1])
        if not units[place] and count >= 0.8 * len(looked.columns[place].numbers):
            units[place] = unit
    return tuple(units)


def _is_said(layout: Layout, path: Path, said: PointMap) -> bool:
    """Whether a person said of every column which point it is and in which unit, so that its numbers tell nothing more."""
    names = (layout.names[place] for place in layout.values)
    mapped = [said.column(path.name, name) if name else None for name in names]
    return all(one is not None and (one.point == NOT_USED or one.measure is not None) for one in mapped)


def _judged(file: LogFile, looked: Looked, said: PointMap, unit: str | None) -> LogFile:
    """Say of every column which point it is, and in which unit."""
    layout = file.layout
    guesses = {place: _guess(file, place) for place in layout.values}
    named = [unit_in(layout.names[place]) for place in layout.values]
    columns: list[Column] = []
    for place in layout.values:
        heading = layout.names[place] or (
            stem_of(file.path) if len(layout.values) == 1 else f"column {place + 1}"
        )
        of = unit or unit_in(heading)
        columns.append(
            _column(
                file,
                place,
                heading,
                of or (SHARED if any(named) and not unit else file.unit),
                bool(of),
                guesses[place],
                looked,
                said,
            )
        )
    return replace(file, columns=tuple(_agreed(columns, looked)))


def _guess(file: LogFile, place: int) -> Guess:
    """Guess a point from the heading; in a file of one point, from the file's name and what stands above too."""
    layout = file.layout
    found = guess(_without_unit(layout.names[place], layout.units[place]))
    if len(layout.values) > 1 or found.is_sure:
        return found
    beside = [guess(text) for text in (stem_of(file.path), *layout.above)]
    best = max((one for one in beside if one.point != NOT_USED), key=lambda one: one.chance, default=found)
    return best if found.point == NOT_USED or best.chance > found.chance else found


def _without_unit(name: str, unit: str) -> str:
    """Return a heading without the unit behind it: the W of a power is no humidity ratio."""
    bare = name.strip().rstrip("])}")
    if unit and unit.lower() not in {"w", "kw"} and bare.endswith(unit) and len(bare) > len(unit):
        return bare[: -len(unit)].rstrip("[({_ ,")
    return name


def _column(
    file: LogFile,
    place: int,
    heading: str,
    unit: str,
    unit_said: bool,
    found: Guess,
    looked: Looked,
    said: PointMap,
) -> Column:
    layout, sample = file.layout, looked.columns[place]
    mapped = said.column(file.name, heading)
    name = mapped.point if mapped else (found.point if found.chance >= LEAST else NOT_USED)
    if mapped is None and not sample.numbers and not sample.words:
        name = NOT_USED  # a column without any value is read only if somebody says so
    told = None if name == NOT_USED else told_by(points()[name], layout.units[place], sample)
    measure = mapped.measure if mapped and mapped.measure else (told.measure if told else None)
    return Column(
        place=place,
        heading=heading,
        written_in=layout.units[place],
        unit=mapped.unit if mapped and mapped.unit else unit,
        unit_said=unit_said or bool(mapped and mapped.unit),
        guess=found,
        told=told,
        point=name,
        measure=measure,
        confirmed=mapped is not None
        and (name == NOT_USED or mapped.measure is not None or bool(told and told.is_sure)),
    )


def _agreed(columns: list[Column], looked: Looked) -> list[Column]:
    """Let the temperatures of a file agree on their unit; what a person said stays."""
    open_ones = [one for one in columns if one.told is not None and not one.confirmed]
    found: list[tuple[Point, Sample, LikelyMeasure]] = [
        (one.of, looked.columns[one.place], one.told) for one in open_ones if one.told is not None
    ]
    together = dict(zip([one.place for one in open_ones], agreed(found), strict=True))
    return [
        replace(one, told=told, measure=told.measure)
        if (told := together.get(one.place)) is not None
        else one
        for one in columns
    ]
