"""Reading a log with pandas, from text as it was written or from whole steps in Parquet."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
from benchmarks.trend_rules.invented_logs import HEADINGS, TEMPERATURES


def read_csv(path: Path) -> Any:
    """Read a log as it was written, and bring it to whole steps."""
    names = {heading: name for name, heading in HEADINGS.items()}
    frame = pd.read_csv(path, dtype=dict.fromkeys(names, "float64")).rename(columns=names)
    frame.index = pd.to_datetime(frame.pop("Time"), format="%Y-%m-%d %H:%M:%S")
    for name in HEADINGS:
        if name in TEMPERATURES:
            frame[name] = np.rint((frame[name] - 32.0) / 1.8 * 1000.0)
        elif name.endswith(("signal", "position", "speed", "humidity")):
            frame[name] = np.rint(frame[name] * 1000.0)
    return frame.astype("int64")


def read_parquet(path: Path) -> Any:
    """Read a log that is kept in whole steps."""
    frame = pd.read_parquet(path)
    frame.index = pd.to_datetime(frame.pop("time"), unit="s")
    return frame
