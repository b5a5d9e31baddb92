"""A file packed with gzip, unpacked as it is read; what breaks off in the middle gives what was there before."""

from __future__ import annotations

import zlib
from typing import IO, Final

TAKEN: Final = 4096
"""Packed bytes taken at a time: what is lost where the data is damaged does not depend on how much is asked for."""

GZIP: Final = 31
"""Tells zlib that the data has the head and the check of gzip."""


class Unpacked:
    """Reads like a file."""

    def __init__(self, file: IO[bytes]) -> None:
        self.file = file
        self.cut_off = False
        """Whether the data ends in the middle or is damaged."""
        self._held = bytearray()
        self._ended = False
        self._unpack = zlib.decompressobj(GZIP)

    def read(self, size: int) -> bytes:
        """Return the next bytes, fewer only at the end."""
        while len(self._held) < size and not self._ended:
            self._take()
        found = bytes(self._held[:size])
        del self._held[:size]
        return found

    def _take(self) -> None:
        packed = self.file.read(TAKEN)
        if not packed:
            self._ended = True
            self.cut_off = not self._unpack.eof
            return
        while packed:
            try:
                self._held += self._unpack.decompress(packed)
            except zlib.error:
                self._ended = self.cut_off = True
                return
            packed = self._unpack.unused_data.lstrip(b"\0") if self._unpack.eof else b""
            if packed:  # another one packed behind the first
                self._unpack = zlib.decompressobj(GZIP)

    def tell(self) -> int:
        """Return how many packed bytes have been read."""
        return self.file.tell()

    def skip(self, size: int) -> None:
        """Pass over bytes, which have to be unpacked all the same."""
        while size > 0 and (part := self.read(min(size, 1 << 20))):
            size -= len(part)
