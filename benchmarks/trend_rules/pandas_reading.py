"""Reading a log with pandas, from text as it was written or from whole steps in Parquet.

Text is read in two ways. ``read_csv`` trusts the file: names, units and the form of the times are written into the
program, and a word among the numbers would end it. ``read_csv_closely`` does what our own reader does beside: it finds what
parts the cells and how the times are written, and counts rows and cells that hold no value and why.
"""

from __future__ import annotations

import csv
from collections import Counter
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
from benchmarks.trend_rules.invented_logs import HEADINGS, SWITCHES, TEMPERATURES

from ventwright.tables.point import points


def read_csv(path: Path) -> Any:
    """Read a log as it was written, and bring it to whole steps."""
    names = {heading: name for name, heading in HEADINGS.items()}
    frame = pd.read_csv(path, dtype=dict.fromkeys(names, "float64")).rename(columns=names)
    frame.index = pd.to_datetime(frame.pop("Time"), format="%Y-%m-%d %H:%M:%S")
    for name in HEADINGS:
        frame[name] = _in_steps(frame[name], name)
    return frame.astype("int64")


def _in_steps(numbers: Any, name: str) -> Any:
    """Return numbers as they were written in steps of the point."""
    if name in TEMPERATURES:
        return np.rint((numbers - 32.0) / 1.8 * 1000.0)
    return numbers if name in SWITCHES else np.rint(numbers * 1000.0)


def read_csv_closely(path: Path) -> tuple[Any, Counter[tuple[str, str]]]:
    """Read a log whose form is not known; return it, and how many rows and cells were left out, by column and reason."""
    with path.open(encoding="utf-8", newline="") as file:
        form = csv.Sniffer().sniff(file.read(1 << 16), delimiters=",;\t|")
    frame = pd.read_csv(
        path, sep=form.delimiter, engine="c", on_bad_lines="warn", dtype={"Time": "str"}, low_memory=False
    )
    names = {heading: name for name, heading in HEADINGS.items()}
    frame = frame.rename(columns=names)
    left_out: Counter[tuple[str, str]] = Counter()
    times = pd.to_datetime(frame.pop("Time"), format="%Y-%m-%d %H:%M:%S", errors="coerce", utc=True)
    left_out["", "no_time"] = int(times.isna().sum())
    for name in HEADINGS:
        steps = _in_steps(pd.to_numeric(frame[name], errors="coerce"), name)
        point = points()[name]
        possible = steps.between(point.least / point.step, point.most / point.step)
        left_out[name, "blank"] = int(frame[name].isna().sum())
        left_out[name, "text"] = int(steps.isna().sum()) - left_out[name, "blank"]
        left_out[name, "impossible"] = int((~possible & steps.notna()).sum())
        frame[name] = steps.where(possible)
    frame.index = times.dt.tz_localize(None)
    some = frame.notna().any(axis=1) & frame.index.notna()
    left_out["", "no_value"] = int((~some).sum())
    frame = frame[some]
    if not frame.index.is_monotonic_increasing:
        frame = frame.sort_index(kind="stable")
    left_out["", "repeated"] = int(frame.index.duplicated().sum())
    return frame.groupby(level=0).first() if left_out["", "repeated"] else frame, left_out


def read_parquet(path: Path) -> Any:
    """Read a log that is kept in whole steps."""
    frame = pd.read_parquet(path)
    frame.index = pd.to_datetime(frame.pop("time"), unit="s")
    return frame
