"""How logs are shown: what was understood of the files, what they hold, what was left out and why."""

from __future__ import annotations

import sys
from itertools import pairwise
from typing import TYPE_CHECKING, Any, Final

from ventwright.cli import show
from ventwright.readings.trend import CELL_REASONS, NOT_USED, REASONS, Counts, Progress, UnitLog, logs
from ventwright.record.trend_words import moment
from ventwright.tables.point import points

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from ventwright.readings.trend import Column, LogFile, Series, Understood

LARGE: Final = 8_000_000
"""Bytes from which on reading by columns gains more than it takes to load what does it."""


def show_held(understood: Understood, folder: Path | None, *, as_json: bool) -> None:
    """Read the files where no question is open, and show what they hold."""
    read = [] if understood.questions else read_through(understood, folder)
    if as_json:
        show.as_json(document(understood, read))
    else:
        print_understood(understood, read)


def read_through(understood: Understood, folder: Path | None) -> list[UnitLog]:
    """Read every file, by the quick way where it pays and is there, and keep the values where a folder is named."""
    from ventwright.readings.trend.looking import need_polars
    from ventwright.verdict.trend_judged import has_columns

    if folder is not None:
        need_polars("--keep")
        from ventwright.readings.trend.frames import log_of
        from ventwright.readings.trend.keep import keep, kept_frames

        keep(understood, folder, progress)
        read = [log_of(frame) for frame in kept_frames(folder, understood.zone)]
    elif understood.size > LARGE and has_columns():
        from ventwright.readings.trend.frames import frames, log_of

        read = [log_of(frame) for frame in frames(understood, progress)]
    else:
        read = list(logs(understood, progress))
    end_of_progress()
    return read


def progress(step: Progress) -> None:
    """Say on a terminal how far the reading is."""
    if sys.stderr.isatty():
        share = step.done / max(1, step.total)
        print(f"\rread {share:4.0%} of {step.total / 1e6:.1f} MB  {step.file:.40}", end="", file=sys.stderr)


def end_of_progress() -> None:
    """End the line that said how far the reading was."""
    if sys.stderr.isatty():
        print(file=sys.stderr)


def document(understood: Understood, read: Sequence[UnitLog]) -> dict[str, Any]:
    """Return everything for programs."""
    return {
        "files": [_file(file) for file in understood.files],
        "units": [_unit(log) for log in read],
        "questions": [one.sentence for one in understood.questions],
        "refused": [one.sentence for one in understood.refused],
        "remarks": list(understood.remarks),
        "zone": understood.zone,
    }


def _file(file: LogFile) -> dict[str, Any]:
    layout = file.layout
    return {
        "file": str(file.path),
        "bytes": file.source.size,
        "encoding": file.source.encoding,
        "packed": file.source.packed,
        "delimiter": None if file.tabular else layout.delimiter,
        "decimal": layout.decimal,
        "head_lines": layout.head,
        "dates": f"{layout.form.kind}, {layout.form.order}" if layout.form.order else layout.form.kind,
        "newest_first": file.falling,
        "columns": [_column(column) for column in file.columns],
    }


def _column(column: Column) -> dict[str, Any]:
    return {
        "heading": column.heading,
        "point": column.point,
        "measured_in": column.measure.name if column.measure else None,
        "unit": column.unit or None,
        "chance": round(column.chance, 3),
        "why": column.told.why if column.told else None,
        "confirmed": column.confirmed,
    }


def _unit(log: UnitLog) -> dict[str, Any]:
    return {
        "unit": log.unit,
        "first": moment(log.first),
        "last": moment(log.last),
        "rows": {
            "read": log.counts.rows,
            "kept": log.counts.kept,
            "dropped": log.counts.dropped,
            "out_of_order": log.counts.out_of_order,
        },
        "cells_without_value": log.counts.cells,
        "first_text_that_is_no_number": log.counts.examples,
        "points": [_series(one) for one in log.series.values()],
    }


def _series(series: Series) -> dict[str, Any]:
    step, covered = spacing(series)
    return {
        "point": series.point.id,
        "values": len(series),
        "first": moment(series.times[0]),
        "last": moment(series.times[-1]),
        "usual_step_s": step,
        "coverage": round(covered, 4),
        "least": round(min(series.values) * series.point.step, 7),
        "most": round(max(series.values) * series.point.step, 7),
        "si_unit": series.point.kind.si,
    }


def spacing(series: Series) -> tuple[int, float]:
    """Return the usual time between two values [s], and the share of the time from first to last that values cover."""
    steps = sorted(after - before for before, after in pairwise(series.times))
    if not steps:
        return 0, 1.0
    usual = steps[len(steps) // 2]
    return usual, sum(min(step, usual) for step in steps) / sum(steps)


def print_points(*, as_json: bool) -> None:
    """List the points that are known."""
    rows = [(one.id, one.name, one.kind.si, one.brick, " ".join(one.haystack)) for one in points().values()]
    if as_json:
        show.as_json(
            [
                {"point": name, "name": said, "si_unit": si, "brick": list(brick), "haystack": tags}
                for name, said, si, brick, tags in rows
            ]
        )
        return
    show.table(
        ("point", "what it is", "in SI", "class of Brick 1.4"),
        [(name, said, si, ", ".join(brick)) for name, said, si, brick, _ in rows],
    )


def print_understood(understood: Understood, read: Sequence[UnitLog]) -> None:
    """Show what was understood, what has to be asked, and what the files hold."""
    shown: set[tuple[tuple[str, str], ...]] = set()
    for file in understood.files:
        key = tuple((column.heading, column.point) for column in file.columns)
        if key not in shown:  # a folder of files of one form is shown once
            shown.add(key)
            _print_file(
                file,
                alike=sum(
                    key == tuple((one.heading, one.point) for one in other.columns)
                    for other in understood.files
                )
                - 1,
            )
    for log in read:
        _print_log(log)
    for refusal in understood.refused:
        show.line(f"left out: {refusal.sentence}")
    for remark in understood.remarks:
        show.line(remark)
    if understood.questions:
        show.heading("to be answered before anything is read")
        for question in understood.questions:
            show.line(question.sentence)


def _print_file(file: LogFile, alike: int) -> None:
    others = f", and {alike} of the same form" if alike else ""
    show.heading(f"{file.name}{others}")
    rows = [
        (
            column.heading,
            column.of.name if column.is_used else NOT_USED,
            column.measure.name if column.measure else "",
            column.unit or "all units",
            "said" if column.confirmed else f"{min(9, round(10 * column.chance))} in 10",
        )
        for column in file.columns
    ]
    show.table(("column", "taken for", "in", "unit", "how sure"), rows)


def _print_log(log: UnitLog) -> None:
    show.heading(f"{log.unit}: {moment(log.first) or 'nothing'} to {moment(log.last) or 'nothing'}")
    rows = []
    for series in log.series.values():
        step, covered = spacing(series)
        rows.append((series.point.name, f"{len(series):,}", f"{step / 60:g} min", f"{covered:.1%}"))
    show.table(("point", "values", "usual step", "covered"), rows)
    _print_counts(log.counts)


def _print_counts(counts: Counts) -> None:
    show.line(f"{counts.rows:,} lines read, {counts.kept:,} kept.")
    for reason, rows in counts.dropped.items():
        show.line(f"  {rows:,} left out: {REASONS[reason]}")
    for heading, of in counts.cells.items():
        for reason, cells in of.items():
            example = counts.examples.get(heading, {}).get(reason)
            said = f', such as "{example}"' if example else ""
            show.line(f"  {heading}: {cells:,} without a value: {CELL_REASONS[reason]}{said}")
