"""A log in pieces: whole lines whatever the size, and rows below what stands above them."""

from __future__ import annotations

import gzip
from pathlib import Path

import pytest

from ventwright.readings.trend.body import Body, below
from ventwright.readings.trend.source_file import pieces, source_of

ROWS = "".join(
    f"2025-01-01 {hour:02d}:{minute:02d},{20 + minute / 60:.2f}\n"
    for hour in range(24)
    for minute in range(60)
)
TEXT = "Roof unit, invented\nTime,Return °F\n" + ROWS


def _written(path: Path, kind: str) -> Path:
    data = {
        "line feeds": TEXT.encode(),
        "no last end": TEXT.removesuffix("\n").encode(),
        "two signs": TEXT.replace("\n", "\r\n").encode(),
        "carriage returns": TEXT.replace("\n", "\r").encode(),
        "two bytes a letter": TEXT.encode("utf-16"),
        "packed": gzip.compress(TEXT.encode()),
    }[kind]
    path.write_bytes(data)
    return path


@pytest.mark.parametrize("size", [40, 100, 1000, 1 << 14, 1 << 20])
@pytest.mark.parametrize(
    "kind",
    ["line feeds", "no last end", "two signs", "carriage returns", "two bytes a letter", "packed"],
)
def test_pieces_are_whole_lines_and_all_of_the_file(tmp_path: Path, kind: str, size: int) -> None:
    """Put together again they are the file, each ends where a line does, and each begins where the one before ended."""
    source, _ = source_of(_written(tmp_path / "log.csv", kind))
    found = list(pieces(source, size=size))

    assert b"".join(piece.data for piece in found).decode().removesuffix("\n") == TEXT.removesuffix("\n")
    assert all(piece.data.endswith(b"\n") for piece in found[:-1])
    assert [piece.start for piece in found[1:]] == [piece.end for piece in found[:-1]]
    again = list(pieces(source, found[1].start, size)) if len(found) > 1 else found
    assert b"".join(piece.data for piece in again) == b"".join(
        piece.data for piece in (found[1:] if len(found) > 1 else found)
    )


@pytest.mark.parametrize("ended", [True, False])
def test_rows_below_two_lines(ended: bool) -> None:
    """Lines are those of the rows, the last one with or without its end; a quote above the rows is none in them."""
    data = b'"Roof ""A"""\nTime,Return\n' + b"1,2\n" * 300_000
    body = below(data if ended else data[:-1], 2)

    assert data[body.start :].startswith(b"1,2")
    assert body.lines == 300_000
    assert not body.holds(b'"')
    assert below(data, 0).holds(b'"')


@pytest.mark.parametrize(("data", "head"), [(b"", 0), (b"a\nb", 2), (b"a\nb\n", 2), (b"a", 5)])
def test_nothing_below(data: bytes, head: int) -> None:
    """A piece that ends above its rows has none."""
    body = below(data, head)

    assert body == Body(data, head, len(data))
    assert body.lines == 0
