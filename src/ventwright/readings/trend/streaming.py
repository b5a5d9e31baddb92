"""Files read through once, in blocks of bounded size, with progress; whoever takes the blocks may stop at any time."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from ventwright.errors import Refused
from ventwright.readings.trend.counts import Counts
from ventwright.readings.trend.rows import RowReader
from ventwright.readings.trend.shape import Block
from ventwright.readings.trend.source_file import PIECE, pieces
from ventwright.readings.trend.understood import LogFile, Understood

TEXT_PIECE: Final = PIECE // 16
"""Bytes read at a time in plain Python, where a row takes several times its length in memory."""


@dataclass(frozen=True, slots=True)
class Progress:
    """How far the reading is, after every piece of a file."""

    file: str
    done: int
    """Bytes on the disk that are read, of all files together."""
    total: int
    counts: Counts
    """Of the piece that was just read."""
    place: int
    """Where in the unpacked file the next piece begins."""
    finished: bool = False
    """Whether this was the last piece of the file."""


def stream(understood: Understood, unit: str | None = None) -> Iterator[Progress | Block]:
    """Read files through and yield their rows in blocks, each followed by how far the reading is.

    To stop, stop taking: nothing is open but one file, which is then closed.

    Parameters
    ----------
    understood
        The files, with no question left open.
    unit
        The rooftop unit whose files are read; all where none is named.

    Raises
    ------
    Refused
        A question is open, or a file cannot be read any further.
    """
    ready(understood)
    files = understood.files if unit is None else tuple(understood.of_unit(unit))
    done, total = 0, sum(file.source.size for file in files)
    for file in files:
        for one in read_file(file):
            if isinstance(one, Progress):
                yield Progress(one.file, done + one.done, total, one.counts, one.place, one.finished)
            elif unit is None or one.unit == unit:
                yield one
        done += file.source.size


def ready(understood: Understood) -> None:
    """Refuse to read files of which something is not understood."""
    if understood.questions:
        raise Refused(*understood.questions)


def read_file(file: LogFile, start: int = 0, reader: RowReader | None = None) -> Iterator[Progress | Block]:
    """Read one file from a place on; the columns of a typed file come by another way, which gives the same."""
    if file.tabular:
        yield from _typed(file, start)
        return
    reader = reader or RowReader(file)
    place, read = start, 0
    for piece in pieces(file.source, start, TEXT_PIECE):
        blocks, counts = reader.read(piece.data, from_the_start=piece.start == 0)
        counts.break_off(piece)
        yield from blocks
        place, read = piece.end, min(piece.read, file.source.size)
        yield Progress(file.name, read, file.source.size, counts, place)
    yield Progress(file.name, file.source.size, file.source.size, Counts(), place, finished=True)


def _typed(file: LogFile, start: int) -> Iterator[Progress | Block]:
    """Read a file of typed columns, which only Polars can."""
    from ventwright.readings.trend.frames import block_of, frame_steps

    for step in frame_steps(file, start):
        yield step if isinstance(step, Progress) else block_of(*step, file.name)
