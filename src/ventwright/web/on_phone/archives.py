"""What goes to the phone in archives: this program, the libraries that it stands on, and their notices."""

from __future__ import annotations

import json
import zipfile
from collections.abc import Iterator, Mapping
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path

from ventwright.web.on_phone.compiling import add
from ventwright.web.on_phone.fetching import PYTHON, RUNTIME, wheels

AS_SOURCE = ("anyio/__init__.py",)
"""A module that reads its own source to import the rest late; without it, it imports what a browser does not have."""

VERSIONS_ASKED = ("pydantic-", "starlette-")
"""Libraries whose version is asked for while they run."""

NOT_NEEDED = (
    "pydantic/v1/", "pydantic/mypy.py", "anyio/_backends/_trio.py", "anyio/pytest_plugin.py", "starlette/testclient.py",
    "fontTools/ufoLib/", "fontTools/mtiLib/", "fontTools/voltLib/", "fontTools/merge/", "fontTools/qu2cu/",
)  # fmt: skip
"""Parts of the libraries that no page reaches; nothing else imports them."""

NO_SOURCE = (".pyi", ".c", ".pyx", ".so", ".typed")

OURS_NOT_NEEDED = ("web/on_phone/site/", "cli/", "__pycache__/", "_cache/")
"""Parts of this program that the phone has no use for."""


NATIVE = "pydantic_core/_pydantic_core.cpython-314-wasm32-emscripten.so"
"""The library in machine code: it is loaded apart, before Python begins."""


def libraries(folder: Path) -> tuple[dict[str, bytes], dict[str, bytes]]:
    """Return the modules of the libraries, and the files that must lie beside them in a folder on the phone."""
    modules: dict[str, bytes] = {}
    beside: dict[str, bytes] = {}
    for wheel in wheels(folder):
        with zipfile.ZipFile(wheel) as packed:
            for name in packed.namelist():
                if _is_needed(name, wheel.name):
                    kept = modules if _is_module(name) else beside
                    kept[name] = packed.read(name)
    return modules, beside


def _is_module(name: str) -> bool:
    return name.endswith(".py") and name not in AS_SOURCE


def _is_needed(name: str, wheel: str) -> bool:
    if ".dist-info/" in name:
        return name.startswith(VERSIONS_ASKED) and name.endswith("/METADATA")
    if name.endswith("/") or ".data/" in name or name.startswith(NOT_NEEDED):
        return False
    return not name.endswith(NO_SOURCE) or (name.endswith(".so") and "wasm32" in wheel)


def program() -> tuple[dict[str, bytes], dict[str, bytes]]:
    """Return the modules of this program that the phone needs, and the files that lie beside them."""
    held = {f"ventwright/{name}": content for name, content in _files(files("ventwright"), "")}
    modules = {name: content for name, content in held.items() if _is_module(name)}
    return modules, {name: content for name, content in held.items() if name not in modules}


def _files(folder: Traversable, under: str) -> Iterator[tuple[str, bytes]]:
    for one in sorted(folder.iterdir(), key=lambda one: one.name):
        name = f"{under}{one.name}"
        if one.name.startswith(".") or any(part in f"{name}/" for part in OURS_NOT_NEEDED):
            continue
        if one.is_dir():
            yield from _files(one, f"{name}/")
        elif not name.endswith((".pyc", ".mjs")):
            yield name, one.read_bytes()


def write_pack(path: Path, held: Mapping[str, bytes]) -> None:
    """Write files one after the other behind an index of them: on the phone each lies there as it is."""
    index, at = dict[str, tuple[int, int]](), 0
    for name in sorted(held):
        index[name] = (at, len(held[name]))
        at += len(held[name])
    head = json.dumps(index).encode()
    path.write_bytes(len(head).to_bytes(4, "little") + head + b"".join(held[name] for name in sorted(held)))


def write_archive(path: Path, held: Mapping[str, bytes]) -> None:
    """Write files into an archive, as they are."""
    with zipfile.ZipFile(path, "w") as archive:
        for name in sorted(held):
            add(archive, name, held[name], 0)


RUNTIME_NOTICE = (
    f"{RUNTIME}: Python {PYTHON} compiled for browsers. Mozilla Public License 2.0; its text and the source of this release"
    " are in the project's public repository under the same version. Files unmodified, but python_stdlib.zip: the"
    " standard library, compiled. Python: PSF License 2. Linked in: SQLite (public domain), zlib, bzip2, libffi and"
    " what the project's own notices name."
)


def notices(folder: Path) -> str:
    """Return the notices of everything that goes to the phone beside this program."""
    said = [RUNTIME_NOTICE]
    for wheel in wheels(folder):
        with zipfile.ZipFile(wheel) as packed:
            named = [one for one in packed.namelist() if ".dist-info/" in one]
            metadata = next(packed.read(one).decode() for one in named if one.endswith("/METADATA"))
            head = [line for line in metadata.partition("\n\n")[0].splitlines() if line.startswith(_TOLD)]
            texts = [packed.read(one).decode() for one in named if _is_licence(one)]
        said.append("\n".join([*head, "", *texts]))
    return ("\n" + "-" * 72 + "\n").join(said)


_TOLD = ("Name:", "Version:", "License:", "License-Expression:")


def _is_licence(name: str) -> bool:
    last = name.rpartition("/")[2].upper()
    return "/licenses/" in name or last.startswith(("LICENSE", "LICENCE", "COPYING", "NOTICE", "AUTHORS"))
