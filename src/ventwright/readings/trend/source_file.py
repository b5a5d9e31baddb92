"""A log file as bytes: whether it is packed, in which letters it is written, and its lines in pieces of bounded size."""

from __future__ import annotations

import codecs
import hashlib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Final

from ventwright.errors import Refusal, Refused
from ventwright.readings.trend.unpacked import Unpacked

HEAD: Final = 1 << 16
"""Bytes from which the form of a file is told."""

PIECE: Final = 1 << 24
"""Bytes read at a time: memory does not grow with the file."""

LONGEST_LINE: Final = 1 << 24
"""Bytes; a line of a thousand points is a thousandth of it."""

PACKED: Final = b"\x1f\x8b"
PARQUET: Final = b"PAR1"
READABLE: Final = "a text file with one reading or one moment a line, .gz of one, or Parquet"
THERE: Final = f"the path of a log that is there ({READABLE}), or of a folder of logs"


@dataclass(frozen=True, slots=True)
class Source:
    """One file: where it is and how its bytes are to be read."""

    path: Path
    encoding: str
    packed: bool
    newline: bytes
    size: int
    """Bytes on the disk."""
    beginning: str
    """Fingerprint of the first bytes, by which a file that has only grown is known again."""
    fingerprinted: int
    """How many bytes the fingerprint covers."""


@dataclass(frozen=True, slots=True)
class Piece:
    """Whole lines of a file, as UTF-8."""

    data: bytes
    start: int
    """Where it begins in the unpacked bytes."""
    end: int
    read: int
    """Bytes of the file on the disk that have been read so far."""
    cut_off: bool = False
    """The packed data ends in the middle, or is damaged from here on."""
    waits: bool = False
    """A last line without an end follows, which is left for the next reading."""


def source_of(path: Path) -> tuple[Source, str]:
    """Look at the beginning of a file; return how to read it, and the text of its beginning.

    Raises
    ------
    Refused
        It cannot be read, is empty, or holds no text.
    """
    raw, packed, size = _beginning(path)
    if not raw.strip(b"\0 \r\n\t"):
        raise Refused(Refusal("is empty", READABLE, path.name))
    encoding = encoding_of(raw)
    if encoding == "":
        raise Refused(Refusal("is not a text file", READABLE, path.name))
    text = raw.decode(encoding, "replace").removeprefix("\ufeff")
    newline = "\n" if "\n" in text or "\r" not in text else "\r"
    source = Source(
        path,
        encoding,
        packed,
        newline.encode(encoding),
        size,
        hashlib.sha256(raw).hexdigest(),
        len(raw),
    )
    return source, text


def _beginning(path: Path) -> tuple[bytes, bool, int]:
    try:
        with path.open("rb") as file:
            packed = file.read(2) == PACKED
            file.seek(0)
            return _reader(file, packed=packed).read(HEAD), packed, path.stat().st_size
    except (OSError, ValueError) as failure:  # a ValueError where the name itself is impossible
        reason = (getattr(failure, "strerror", None) or "no name for a file").lower()
        accepted = THERE if isinstance(failure, FileNotFoundError) else READABLE
        raise Refused(Refusal(f"cannot be read ({reason})", accepted, str(path))) from None


def _reader(file: IO[bytes], *, packed: bool) -> IO[bytes] | Unpacked:
    return Unpacked(file) if packed else file


def is_same(source: Source, beginning: str, covered: int) -> bool:
    """Whether a file still begins as it did: it may have grown since, but it is the same log."""
    try:
        with source.path.open("rb") as file:
            start = _reader(file, packed=source.packed).read(covered)
    except OSError:
        return False
    return hashlib.sha256(start).hexdigest() == beginning


def encoding_of(raw: bytes) -> str:
    """Return the encoding of a text by its first bytes; "" where it is no text at all."""
    if raw.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return "utf-16-le" if raw.startswith(codecs.BOM_UTF16_LE) else "utf-16-be"
    even, odd = raw[0:2048:2].count(0), raw[1:2048:2].count(0)
    half = min(len(raw), 2048) // 2
    if max(even, odd) > 0.4 * half and min(even, odd) < 0.05 * half:
        return "utf-16-le" if odd > even else "utf-16-be"
    strange = sum(raw.count(bytes([sign])) for sign in range(32) if sign not in b"\t\n\r\x0b\x0c\x1a\x1b")
    if strange > 0.02 * len(raw):
        return ""
    try:
        codecs.getincrementaldecoder("utf-8")().decode(raw)
    except UnicodeDecodeError:
        return "cp1252"
    return "utf-8"


def pieces(source: Source, start: int = 0, size: int = PIECE, *, grows: bool = False) -> Iterator[Piece]:
    """Yield whole lines from a place in the unpacked bytes on, about ``size`` bytes at a time.

    Of a file that still grows a last line without an end is left for the next reading: its last number may be half of one.

    Raises
    ------
    Refused
        The file cannot be read any more, or holds a line without end.
    """
    try:
        with source.path.open("rb") as file:
            reader = _reader(file, packed=source.packed)
            if isinstance(reader, Unpacked):
                reader.skip(start)
            else:
                reader.seek(start)
            yield from _cut(source, reader, start, size, grows=grows)
    except OSError:
        raise Refused(Refusal("cannot be read any further", READABLE, source.path.name)) from None


def _cut(
    source: Source, file: IO[bytes] | Unpacked, start: int, size: int, *, grows: bool
) -> Iterator[Piece]:
    rest, done = b"", start
    while True:
        more = file.read(_to_line_end(file, size)) if source.newline == b"\n" else file.read(size)
        held = rest + more
        cut_off = not more and isinstance(file, Unpacked) and file.cut_off
        end = _after_last_line(held, source) if more or grows or cut_off else len(held)
        if more and end == 0 and len(held) > LONGEST_LINE:
            raise Refused(Refusal("holds a line without end", READABLE, source.path.name))
        lines, rest = (held, b"") if end == len(held) else (held[:end], held[end:])
        if lines or cut_off:
            yield Piece(_as_utf8(lines, source.encoding), done, done + end, file.tell(), cut_off)
        done += end
        if not more:
            if rest.strip(b"\0 \r\n\t") and not cut_off:
                yield Piece(b"", done, done, file.tell(), waits=True)
            return


def _to_line_end(file: IO[bytes] | Unpacked, size: int) -> int:
    """Return how many bytes go on to the end of a line, where that can be looked up: then nothing is left to be carried over."""
    if isinstance(file, Unpacked):
        return size
    place = file.tell()
    file.seek(place + size)
    beyond = len(file.readline(size))
    file.seek(place)
    return size + beyond


def _after_last_line(held: bytes, source: Source) -> int:
    """Return where the last whole line ends; letters of two bytes begin at even places."""
    width = len(source.newline)
    place = held.rfind(source.newline)
    while place >= 0 and place % width:
        place = held.rfind(source.newline, 0, place + width - 1)
    return place + width if place >= 0 else 0


def _as_utf8(data: bytes, encoding: str) -> bytes:
    """Return UTF-8 with lines that end in one way, without the mark at the beginning of a file and without zeros."""
    if encoding != "utf-8":
        data = data.decode(encoding, "replace").encode("utf-8")
    data = data.removeprefix(codecs.BOM_UTF8)
    if b"\r" in data:
        data = data.replace(b"\r\n", b"\n").replace(b"\r", b"\n")
    return data.replace(b"\0", b"") if b"\0" in data else data
