"""The folder of files that a phone takes the app from, made by one command."""

from __future__ import annotations

import gzip
import hashlib
import json
import shutil
import tempfile
from collections.abc import Callable, Iterator
from importlib.resources import as_file, files
from pathlib import Path
from typing import Any

from ventwright.version import VERSION
from ventwright.web import page as pages
from ventwright.web.on_phone import archives
from ventwright.web.on_phone.fetching import RUNTIME_FILES, called, fetched, program
from ventwright.web.on_phone.folder import LIST

APART = frozenset({"sw.js", LIST})
"""Files that are not on the list: the browser asks for them by itself."""

COMPRESSED = (".wasm", ".so", ".pack", ".mjs", ".js", ".css", ".svg", ".html", ".txt", ".json")
SMALLEST = 1000
"""Bytes from which a file also lies there compressed."""

Say = Callable[[str], None]


def build(out: Path, kept: Path, say: Say) -> dict[str, Any]:
    """Build the folder and return its list of files.

    Parameters
    ----------
    out
        The folder; what an earlier build left in it is replaced at the end, in one step.
    kept
        Where what was fetched and compiled is kept for the next time.
    say
        Is told what is being done.

    Raises
    ------
    Refused
        Node.js or npm is not there, or a package cannot be had.
    """
    program("node")
    say("Fetching the runtime and its packages, where they are not there yet.")
    fetched(kept)
    out.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=out.parent, prefix=".phone-") as beside:
        made = Path(beside) / "phone"
        made.mkdir()
        _pages(made)
        say("Compiling Python for the phone.")
        _runtime(made / "py", kept)
        (made / "notices.txt").write_text(archives.notices(kept), encoding="utf-8")
        listed = _list(made)
        for path in [one for one in made.rglob("*") if one.is_file()]:
            _compress(path)
        shutil.rmtree(out, ignore_errors=True)
        made.rename(out)
    return listed


def _pages(made: Path) -> None:
    """Lay out what the browser starts with, and the files of the pages."""
    style = made / "files" / pages.edition()
    style.mkdir(parents=True)
    for name, content in pages.static_files().items():
        (style / name).write_bytes(content)
    for one in files("ventwright.web.on_phone").joinpath("site").iterdir():
        text = one.read_text(encoding="utf-8").replace("EDITION_OF_FILES", pages.edition())
        (made / one.name).write_text(text, encoding="utf-8")


def _runtime(made: Path, kept: Path) -> None:
    """Lay out Python, the libraries and this program, compiled by that very Python."""
    made.mkdir()
    for name in RUNTIME_FILES:
        shutil.copy(kept / "runtime" / name, made / name)
    ours = files("ventwright.web.on_phone")
    (made / "finder.py").write_bytes(ours.joinpath("finder.py").read_bytes())
    modules, beside = archives.libraries(kept)
    own_modules, own_beside = archives.program()
    (made / "pydantic_core.so").write_bytes(beside.pop(archives.NATIVE))
    archives.write_pack(made / "parts.pack", beside)
    archives.write_pack(made / "ventwright.pack", own_beside)
    with tempfile.TemporaryDirectory() as folder, as_file(ours) as sources:
        given = Path(folder)
        archives.write_archive(given / "libraries.zip", modules)
        archives.write_archive(given / "ventwright.zip", own_modules)
        compiled = Compiled(kept, sources)
        compiled.lay(
            "compile_library",
            kept / "runtime" / "python_stdlib.zip",
            made / "python_stdlib.zip",
            "/lib/python314.zip",
        )
        compiled.lay("compile_modules", given / "libraries.zip", made / "libraries.table", "/app")
        compiled.lay("compile_modules", given / "ventwright.zip", made / "ventwright.table", "/app")
        compiled.lay("recorded", made, made / "dataclasses.table", "ventwright.web.on_phone.engine")
        compiled.forget_others()


class Compiled:
    """What was compiled before, found again by what it was compiled from."""

    def __init__(self, kept: Path, sources: Path) -> None:
        self._kept, self._sources = kept, sources
        self._folder = kept / "compiled"
        self._folder.mkdir(exist_ok=True)
        self._used: set[Path] = set()

    def lay(self, what: str, source: Path, target: Path, argument: str) -> None:
        """Compile a file, or what a folder holds, and lay the result out."""
        mark = hashlib.sha256(what.encode() + (self._sources / "compiling.py").read_bytes())
        for one in sorted(source.iterdir()) if source.is_dir() else [source]:
            mark.update(one.read_bytes())
        result = self._folder / mark.hexdigest()[:16]
        if not result.exists():
            part = result.with_suffix(".part")
            script = self._sources / "compile.mjs"
            called([program("node"), script, self._kept / "runtime", self._sources, what, source, part, argument], f"node compile.mjs {what}", self._kept)  # fmt: skip
            part.rename(result)
        self._used.add(result)
        shutil.copy(result, target)

    def forget_others(self) -> None:
        """Take away what was compiled from what is not there any more."""
        for old in set(self._folder.iterdir()) - self._used:
            old.unlink()


def _list(made: Path) -> dict[str, Any]:
    """Write the list of files: a phone holds each against its hash."""
    held = {name: _told(path) for name, path in _named(made) if name not in APART}
    mark = hashlib.sha256(json.dumps(held, sort_keys=True).encode()).hexdigest()[:12]
    listed = {
        "edition": mark,
        "program": VERSION,
        "bytes": sum(one["bytes"] for one in held.values()),
        "files": held,
    }
    (made / LIST).write_text(json.dumps(listed, indent=1) + "\n", encoding="utf-8")
    return listed


def _named(made: Path) -> Iterator[tuple[str, Path]]:
    for path in sorted(made.rglob("*")):
        if path.is_file():
            yield path.relative_to(made).as_posix(), path


def _told(path: Path) -> dict[str, Any]:
    content = path.read_bytes()
    return {"sha256": hashlib.sha256(content).hexdigest(), "bytes": len(content)}


def _compress(path: Path) -> None:
    """Leave a compressed copy beside a file that gains by it."""
    if path.suffix in COMPRESSED and path.stat().st_size >= SMALLEST:
        packed = gzip.compress(path.read_bytes(), 6, mtime=0)
        path.with_name(f"{path.name}.gz").write_bytes(packed)
