"""Equipment and weather files of a person's own: which are taken, and folders in which the engine finds them."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Mapping
from hashlib import sha256
from pathlib import Path

from ventwright.document import LARGEST
from ventwright.errors import Refusal, Refused
from ventwright.store.outside_names import refuse_outside_names_in
from ventwright.tables.shelf import SUFFIXES

TAKEN = (*SUFFIXES, ".epw", ".csv")
"""How the name of such a file ends."""

LONGEST_NAME = 100
"""Letters; longer names are refused by some file systems once they are not all ASCII."""


def refuse_file(name: str, content: bytes) -> None:
    """Refuse a file that no job could name.

    Raises
    ------
    Refused
        Its name is none, it is too large, or no equipment file could hold what it holds.
    """
    if not is_plain_name(name):
        accepted = f"a name without folders that ends in {', '.join(TAKEN)}"
        raise Refused(Refusal("is no name for an equipment or weather file", accepted, given=name))
    if len(content) > LARGEST:
        raise Refused(Refusal("is too large", f"a file of at most {LARGEST // 1_000_000} MB", name))
    if name.endswith(SUFFIXES):
        refuse_outside_names_in(content, name)


def is_plain_name(name: str) -> bool:
    """Whether a name is that of a file that stands beside a job and nowhere else."""
    return (
        name.endswith(TAKEN)
        and name.isprintable()
        and len(name) <= LONGEST_NAME
        and not name.startswith(".")
        and not set('/\\:*?"<>|') & set(name)
    )


class Folders:
    """Temporary folders, one for each set of files with its content."""

    def __init__(self) -> None:
        self._root: Path | None = None

    def holding(self, files: Mapping[str, bytes]) -> Path:
        """Return the folder that holds these files, made where it is not there yet."""
        if self._root is None:
            self._root = Path(tempfile.mkdtemp(prefix="ventwright-"))
        contents = [(name, sha256(content).digest()) for name, content in sorted(files.items())]
        folder = self._root / sha256(repr(contents).encode()).hexdigest()[:32]
        if not folder.is_dir():
            unfinished = Path(tempfile.mkdtemp(dir=self._root))
            for name, content in files.items():
                (unfinished / name).write_bytes(content)
            unfinished.rename(folder)
        return folder

    def close(self) -> None:
        """Take the folders away."""
        if self._root is not None:
            shutil.rmtree(self._root, ignore_errors=True)
            self._root = None
