"""A JPEG file by its segments: its size and orientation, and the file without anything that is not the picture.

Phones write where and when a photo was taken, and sometimes a film, into segments beside the picture or after its end.
Marker codes and their order: ITU-T T.81 (1992), Annex B; the orientation tag: Exif 2.3, 4.6.4, from memory.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from ventwright.errors import Refusal, Refused

START, END, SCAN, COMMENT, ADOBE, EXIF = 0xD8, 0xD9, 0xDA, 0xFE, 0xEE, 0xE1
RESTARTS = range(0xD0, 0xD8)
APPLICATION = range(0xE0, 0xF0)
FRAMES = frozenset(range(0xC0, 0xD0)) - {0xC4, 0xC8, 0xCC}
"""Segments that say how large the picture is; the three left out are tables."""

ADOBE_LENGTH = 12
"""Bytes of the one application segment without which colours would be read wrongly."""

ORIENTATION = 0x0112
SHORT = 3
"""The tag of the orientation, and the code of its type: a whole number of two bytes."""


@dataclass(frozen=True, slots=True)
class Segment:
    """A marker with what it holds; a scan also holds the compressed picture after it."""

    marker: int
    body: bytes
    scanned: bytes = b""

    @property
    def written(self) -> bytes:
        """The segment as it stands in a file."""
        return bytes((0xFF, self.marker)) + (len(self.body) + 2).to_bytes(2, "big") + self.body + self.scanned


def stripped(content: bytes) -> bytes:
    """Return a JPEG file without remarks, application data and whatever follows its end.

    Raises
    ------
    Refused
        It is no JPEG, or it breaks off.
    """
    kept = [one.written for one in segments(content) if _is_picture(one)]
    return b"".join((bytes((0xFF, START)), *kept, bytes((0xFF, END))))


def size_of(content: bytes) -> tuple[int, int]:
    """Return width and height in pixels, as they lie in the file.

    Raises
    ------
    Refused
        It is no JPEG, or it breaks off.
    """
    for one in segments(content):
        if one.marker in FRAMES and len(one.body) >= 5:
            return int.from_bytes(one.body[3:5], "big"), int.from_bytes(one.body[1:3], "big")
    raise _broken()


def orientation_of(content: bytes) -> int:
    """Return how a JPEG is to be turned by its Exif orientation: 1 is upright, also where nothing is said."""
    for one in segments(content):
        if one.marker == EXIF and one.body.startswith(b"Exif\0\0"):
            return _orientation(one.body[6:])
    return 1


def segments(content: bytes) -> Iterator[Segment]:
    """Yield the segments of a JPEG file up to its end.

    Raises
    ------
    Refused
        It is no JPEG, or it breaks off.
    """
    if content[:2] != bytes((0xFF, START)):
        raise Refused(Refusal("is no photo", "a photo as JPEG, PNG or WebP", "photo"))
    at = 2
    while True:
        while content[at : at + 2] == b"\xff\xff":  # fill bytes may stand before a marker
            at += 1
        if at + 2 > len(content) or content[at] != 0xFF:
            raise _broken()
        marker = content[at + 1]
        if marker == END:
            return
        length = int.from_bytes(content[at + 2 : at + 4], "big")
        end = at + 2 + length
        if length < 2 or end > len(content):
            raise _broken()
        scanned = _end_of_scan(content, end) if marker == SCAN else end
        yield Segment(marker, content[at + 4 : end], content[end:scanned])
        at = scanned


def _end_of_scan(content: bytes, start: int) -> int:
    """Return where the next marker after a scan stands; stuffed bytes and restarts belong to the scan."""
    at = start
    while True:
        at = content.find(b"\xff", at)
        if at < 0 or at + 1 >= len(content):
            raise _broken()
        following = content[at + 1]
        if following == 0xFF:
            at += 1
        elif following == 0 or following in RESTARTS:
            at += 2
        else:
            return at


def _is_picture(one: Segment) -> bool:
    if one.marker == ADOBE:
        return one.body.startswith(b"Adobe") and len(one.body) == ADOBE_LENGTH
    return one.marker != COMMENT and one.marker not in APPLICATION


def _orientation(block: bytes) -> int:
    """Read the orientation in a TIFF block; upright where the block makes no sense."""
    if block[:2] not in {b"II", b"MM"}:
        return 1
    little = block[:2] == b"II"

    def number(at: int, length: int) -> int:
        return int.from_bytes(block[at : at + length], "little" if little else "big")

    first = number(4, 4)
    for entry in range(min(number(first, 2), 500)):
        at = first + 2 + 12 * entry
        if number(at, 2) == ORIENTATION and number(at + 2, 2) == SHORT:
            turned = number(at + 8, 2)
            return turned if 1 <= turned <= 8 else 1
    return 1


def _broken() -> Refused:
    return Refused(Refusal("breaks off or is damaged", "the photo once more, taken or sent anew", "photo"))
