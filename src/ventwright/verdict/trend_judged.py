"""Files of logged points judged one unit after another: read, put together, held against the rules.

The steps are generators, so that whoever takes them sees how far the work is and may stop it; memory holds one unit.
"""

from __future__ import annotations

from collections.abc import Callable, Generator, Iterator, Mapping
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

from ventwright.readings.trend import Block, Counts, Progress, Understood, stream
from ventwright.readings.trend.gather import gathered
from ventwright.readings.trend.streaming import ready
from ventwright.verdict.trend_findings import KnownUnit, RuleSet, UnitFindings, findings, findings_of_frame

if TYPE_CHECKING:
    from ventwright.readings.trend.frames import UnitFrame


@dataclass(frozen=True, slots=True)
class Judged:
    """What is said of one unit, and of the log that it is said from."""

    found: UnitFindings
    first: int | None
    """Seconds since 1970, UTC; None of a log without a value."""
    last: int | None
    zone: str | None
    counts: Counts

    @property
    def unit(self) -> str:
        """Name of the unit."""
        return self.found.unit


Judging = Generator[Progress, None, Judged]
"""Yields how far the reading of a unit is, and returns what was found."""


def has_columns() -> bool:
    """Whether what reads and judges by columns is installed."""
    return all(find_spec(package) is not None for package in ("polars", "numpy"))


def judging(
    understood: Understood, rules: RuleSet, known: Mapping[str, KnownUnit], *, columns: bool
) -> Generator[Progress, None, tuple[Judged, ...]]:
    """Judge every unit of a set of files.

    Parameters
    ----------
    understood
        The files, with no question left open.
    rules
        What they are held against.
    known
        What is known of a unit, by its name; nothing of one that is not there.
    columns
        Whether by Polars, which gives the same to the last bit, quicker.

    Raises
    ------
    Refused
        A question is open, or a file cannot be read any further.
    """
    ready(understood)
    done, judged = 0, []
    total = sum(file.source.size for unit in understood.units for file in understood.of_unit(unit))
    for unit in understood.units:
        one = judging_unit(understood, unit, rules, known.get(unit, KnownUnit()), columns=columns)
        judged.append((yield from _further(one, done, total)))
        done += sum(file.source.size for file in understood.of_unit(unit))
    return tuple(judged)


def _further(one: Judging, done: int, total: int) -> Judging:
    """Count the progress of one unit as a part of that of all."""
    while True:
        try:
            step = next(one)
        except StopIteration as ended:
            result: Judged = ended.value
            return result
        yield Progress(step.file, done + step.done, total, step.counts, step.place, step.finished)


def judging_unit(
    understood: Understood, unit: str, rules: RuleSet, known: KnownUnit, *, columns: bool
) -> Judging:
    """Judge one unit of a set of files."""
    if columns:
        return judged_frame((yield from _frame(understood, unit)), rules, known)
    counts, blocks = Counts(), list[Block]()
    for step in stream(understood, unit):
        if isinstance(step, Block):
            blocks.append(step)
        else:
            counts.add(step.counts)
            yield step
    log = gathered(unit, blocks, counts, understood.zone)
    return Judged(findings(log, rules, known), log.first, log.last, log.zone, counts)


def _frame(understood: Understood, unit: str) -> Generator[Progress, None, UnitFrame]:
    """Read one unit by columns."""
    from ventwright.readings.trend.frames import UnitFrame, frame_steps, gathered_frame

    counts, parts, done = Counts(), [], 0
    total = sum(file.source.size for file in understood.of_unit(unit))
    for file in understood.of_unit(unit):
        for step in frame_steps(file):
            if isinstance(step, Progress):
                counts.add(step.counts)
                yield Progress(step.file, done + step.done, total, step.counts, step.place, step.finished)
            elif step[0] == unit:
                parts.append(step[1])
        done += file.source.size
    return UnitFrame(unit, gathered_frame(parts, counts), understood.zone, counts)


def judged_frame(frame: UnitFrame, rules: RuleSet, known: KnownUnit) -> Judged:
    """Judge one unit that was read by columns."""
    times = frame.frame.get_column("time")
    first, last = (times[0], times[-1]) if len(times) else (None, None)
    return Judged(findings_of_frame(frame, rules, known), first, last, frame.zone, frame.counts)


def judged_kept(
    understood: Understood,
    folder: Path,
    rules: RuleSet,
    known: Mapping[str, KnownUnit],
    watch: Callable[[Progress], None] | None = None,
) -> Iterator[Judged]:
    """Read into a folder what is new in the files, and judge every unit that is kept there.

    Parameters
    ----------
    understood
        The files, with no question left open.
    folder
        Where earlier readings are kept as Parquet; made where it is not there.
    rules, known
        As for ``judging``.
    watch
        Called after every piece of what is new.
    """
    from ventwright.readings.trend.keep import keep, kept_frames

    keep(understood, folder, watch)
    for frame in kept_frames(folder, understood.zone):
        yield judged_frame(frame, rules, known.get(frame.unit, KnownUnit()))
