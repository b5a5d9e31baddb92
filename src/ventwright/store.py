"""Jobs kept in files: read whole, written whole and safely, appended to without disturbing a person's comments."""

from __future__ import annotations

import io
import json
import os
import tempfile
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from ventwright.document import LARGEST, read_document
from ventwright.errors import Refusal, Refused
from ventwright.job import SCHEMA_VERSION, Job, read_job, upgraded


@dataclass(frozen=True, slots=True)
class Kept:
    """A job and where it is kept. ``text`` is the file as it was read."""

    job: Job
    path: Path
    text: str

    @property
    def beside(self) -> Path:
        """The folder in which the job's own equipment files are looked for."""
        return self.path.parent


def load(path: Path) -> Kept:
    """Read a job from a .yaml or .json file.

    Raises
    ------
    Refused
        The file cannot be read, or holds mistakes: all of them, with their lines.
    """
    text = read_text(path)
    data, lines = read_document(text, path.name)
    return Kept(read_job(data, lines=lines, name=path.name, beside=path.parent), path, text)


def read_text(path: Path) -> str:
    """Return the text of a job or equipment file; raises Refused where it cannot be read."""
    try:
        if path.stat().st_size > LARGEST:
            raise Refused(
                Refusal("is too large", f"a job file of at most {LARGEST // 1_000_000} MB", str(path))
            )
        return path.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError:
        raise Refused(Refusal("is not a text file", "a job as .yaml or .json, in UTF-8", str(path))) from None
    except OSError as failure:
        reason = (failure.strerror or "cannot be read").lower()
        raise Refused(
            Refusal(f"cannot be read ({reason})", "the path of a job file that exists", str(path))
        ) from None


def append(kept: Kept, section: str, key: str, entry: Mapping[str, Any]) -> Kept:
    """Append an entry to a list of the job's file, checking the whole before anything is written.

    An older document is brought to the present schema on the way; its file is kept beside, under its version.

    Raises
    ------
    Refused
        The job with the entry in it would be refused, the file was changed meanwhile, or it cannot be written.
    """
    if read_text(kept.path) != kept.text:
        raise Refused(
            Refusal("was changed by someone else meanwhile", "the same command once more", str(kept.path))
        )
    text = _appended(kept, section, key, entry)
    data, _ = read_document(text, kept.path.name)
    job = read_job(data, name=kept.path.name, beside=kept.beside)
    before = read_document(kept.text, kept.path.name)[0].get("schema_version", SCHEMA_VERSION)
    if before != SCHEMA_VERSION:
        original = kept.path.with_name(f"{kept.path.stem}.schema-{before}{kept.path.suffix}")
        write(original, kept.text.encode())
    write(kept.path, text.encode())
    return Kept(job, kept.path, text)


def _appended(kept: Kept, section: str, key: str, entry: Mapping[str, Any]) -> str:
    """Return the text of the file with one more entry in it."""
    if kept.path.suffix == ".json":
        document = upgraded(json.loads(kept.text))
        _list_in(document, section, key).append(dict(entry))
        return json.dumps(document, indent=2, ensure_ascii=False) + "\n"
    from ruamel.yaml import YAML

    yaml = YAML()
    yaml.indent(mapping=2, sequence=4, offset=2)
    yaml.preserve_quotes = True
    yaml.width = 4096
    loaded = yaml.load(kept.text)
    document = (
        loaded if loaded.get("schema_version", SCHEMA_VERSION) == SCHEMA_VERSION else upgraded(dict(loaded))
    )
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

    Raises
    ------
    Refused
        The file cannot be written there.
    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(content)
                file.flush()
                os.fsync(file.fileno())
            Path(name).chmod(path.stat().st_mode & 0o777 if path.exists() else 0o644)
            Path(name).replace(path)
        except BaseException:
            Path(name).unlink(missing_ok=True)
            raise
    except OSError as failure:
        reason = (failure.strerror or "an error of the file system").lower()
        raise Refused(
            Refusal(f"cannot be written ({reason})", "a folder that can be written to", str(path))
        ) from None
