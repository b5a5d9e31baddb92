"""Jobs kept in files: read whole, written whole and safely, appended to without disturbing a person's comments."""

from __future__ import annotations

import errno
import io
import json
import os
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Any

from ventwright.document import LARGEST, read_document
from ventwright.errors import Refusal, Refused
from ventwright.job import FIRST_SCHEMA_VERSION, SCHEMA_VERSION, Job, read_job, upgraded


@dataclass(frozen=True, slots=True)
class Kept:
    """A job and where it is kept. ``text`` is the file as it was read, ``schema_version`` what it was of."""

    job: Job
    path: Path
    text: str
    schema_version: int = SCHEMA_VERSION

    @property
    def beside(self) -> Path:
        """The folder in which the job's own equipment files are looked for."""
        return self.path.parent


def load(named: Path | str) -> Kept:
    """Read a job from a .yaml or .json file.

    Raises
    ------
    Refused
        The file cannot be read, or holds mistakes: all of them, with their lines.
    """
    path = Path(named)
    text = read_text(path)
    data, lines = read_document(text, path.name)
    job = read_job(data, lines=lines, name=path.name, beside=path.parent)
    return Kept(job, path, text, data.get("schema_version", FIRST_SCHEMA_VERSION))


def read_text(path: Path) -> str:
    """Return the text of a job or equipment file, its line ends as they are; raises Refused where it cannot be read."""
    try:
        with path.open("rb") as file:
            content = file.read(LARGEST + 1)  # a device may have no size and no end
    except (OSError, ValueError) as failure:  # a ValueError where the name itself is impossible
        reason = (getattr(failure, "strerror", None) or "no name for a file").lower()
        raise Refused(
            Refusal(f"cannot be read ({reason})", "the path of a job file that exists", str(path))
        ) from None
    if len(content) > LARGEST:
        raise Refused(Refusal("is too large", f"a job file of at most {LARGEST // 1_000_000} MB", str(path)))
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise Refused(Refusal("is not a text file", "a job as .yaml or .json, in UTF-8", str(path))) from None


def append(kept: Kept, section: str, key: str, entry: Mapping[str, Any]) -> Kept:
    """Append an entry to a list of the job's file, checking the whole before anything is written.

    An older document is brought to the present schema on the way, without its comments; its file is kept beside,
    under its version.

    Raises
    ------
    Refused
        The job with the entry in it would be refused, the file was changed meanwhile, or it cannot be written.
    """
    text = _appended(kept, section, key, entry)
    data, _ = read_document(text, kept.path.name)
    job = read_job(data, name=kept.path.name, beside=kept.beside)
    with _alone_with(kept.path):
        if read_text(kept.path) != kept.text:
            raise Refused(
                Refusal("was changed by someone else meanwhile", "the same command once more", str(kept.path))
            )
        if kept.schema_version != SCHEMA_VERSION:
            name = f"{kept.path.stem}.schema-{kept.schema_version}{kept.path.suffix}"
            original = kept.path.with_name(name)
            write(original, kept.text.encode())
        write(kept.path, text.encode())
    return Kept(job, kept.path, text)


@contextmanager
def _alone_with(path: Path) -> Iterator[None]:
    """Keep other processes from writing between the last look at a file and its replacement."""
    file = Path(os.path.realpath(path))
    lock = file.with_name(f".{file.name}.lock")
    try:
        os.close(os.open(lock, os.O_CREAT | os.O_EXCL, 0o600))
    except FileExistsError:
        accepted = f"the same command once more; if nobody else writes, take {lock} away first"
        raise Refused(Refusal("is being written by someone else", accepted, str(path))) from None
    except OSError as failure:
        raise unwritable(path, failure) from None
    try:
        yield
    finally:
        lock.unlink(missing_ok=True)


def _appended(kept: Kept, section: str, key: str, entry: Mapping[str, Any]) -> str:
    """Return the text of the file with one more entry in it, its line ends kept."""
    line_end = "\r\n" if "\r\n" in kept.text else "\n"
    text = kept.text.replace("\r\n", "\n")
    changed = (
        _json_appended(text, kept.path.name, section, key, entry)
        if kept.path.suffix.lower() == ".json"
        else _yaml_appended(text, kept, section, key, entry)
    )
    return changed.replace("\n", line_end)


def _json_appended(text: str, name: str, section: str, key: str, entry: Mapping[str, Any]) -> str:
    try:
        document = upgraded(json.loads(text))
    except json.JSONDecodeError as failure:  # as YAML it was read
        accepted = "JSON in a file that ends in .json, YAML in one that ends in .yaml"
        raise Refused(Refusal("is no JSON", accepted, name, line=failure.lineno)) from None
    _list_in(document, section, key).append(dict(entry))
    return json.dumps(document, indent=2, ensure_ascii=False) + "\n"


def _yaml_appended(text: str, kept: Kept, section: str, key: str, entry: Mapping[str, Any]) -> str:
    from ruamel.yaml import YAML

    yaml = YAML()
    yaml.indent(mapping=2, sequence=4, offset=2)
    yaml.preserve_quotes = True
    yaml.width = 4096
    present = kept.schema_version == SCHEMA_VERSION
    document = yaml.load(text) if present else upgraded(read_document(text, kept.path.name)[0])
    _list_in(document, section, key).append(dict(entry))
    out = io.StringIO()
    yaml.dump(document, out)
    return out.getvalue()


def _list_in(document: Any, section: str, key: str) -> list[Any]:
    """Return the list to append to, made where it is missing."""
    if not document.get(section):
        document[section] = {}
    if not document[section].get(key):
        document[section][key] = []
    found: list[Any] = document[section][key]
    return found


def write(path: Path, content: bytes) -> None:
    """Write a file so that it is either the old one or the new one, and on the disk when this returns.

    A link stays a link; the file it points to is written.

    Raises
    ------
    Refused
        The file cannot be written there.
    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        target = Path(os.path.realpath(path))
        mode = target.stat().st_mode & 0o777 if target.exists() else 0o644
        if not mode & 0o222:  # a new file would take its place without asking
            raise PermissionError(errno.EACCES, "it is kept from being written")
        with whole(target, mode=mode) as file:
            file.write(content)
    except OSError as failure:
        raise unwritable(path, failure) from None


@contextmanager
def whole(target: Path, *, mode: int = 0o600) -> Iterator[IO[bytes]]:
    """Write a file that is there once it is whole, and on the disk then; what was there before stays until it is."""
    handle, name = tempfile.mkstemp(dir=target.parent, prefix=f".{target.name}.")
    try:
        with os.fdopen(handle, "wb") as file:
            yield file
            file.flush()
            os.fsync(file.fileno())
        Path(name).chmod(mode)
        Path(name).replace(target)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
    settle(target.parent)


def settle(folder: Path) -> None:
    """Have a new name in a folder on the disk too, where the system can do that."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def unwritable(path: Path, failure: OSError) -> Refused:
    """Say that a file cannot be written, and why."""
    reason = (failure.strerror or "an error of the file system").lower()
    return Refused(
        Refusal(f"cannot be written ({reason})", "a file and a folder that can be written to", str(path))
    )
