"""Python sources compiled for the Python that runs in the browser; run by that very Python, because bytecode must match."""

from __future__ import annotations

import dataclasses
import importlib
import importlib._bootstrap_external as bootstrap
import importlib.util
import marshal
import zipfile
import zlib
from typing import Any

THEN = (1980, 1, 1, 0, 0, 0)
"""One date for every file of an archive, so that the same content gives the same hash."""


def compile_library(source: str, target: str, folder: str) -> None:
    """Write the archive of the standard library anew, with bytecode in place of each source."""
    with zipfile.ZipFile(source) as given, zipfile.ZipFile(target, "w") as made:
        for name in _names(given):
            content = given.read(name)
            if name.endswith(".py"):
                machinery: Any = bootstrap
                code, mark = _code(content, f"{folder}/{name}"), importlib.util.source_hash(content)
                content = machinery._code_to_hash_pyc(code, mark, checked=False)  # noqa: SLF001 - the library's own writer
                name = f"{name}c"  # noqa: PLW2901 - in its place, so that it is imported without its source
            add(made, name, content)


def compile_modules(source: str, target: str, folder: str) -> None:
    """Write the modules of an archive as one table from which `finder` imports them."""
    with zipfile.ZipFile(source) as given:
        held = {}
        for name in _names(given):
            dotted = name.removesuffix(".py").replace("/", ".")
            code = zlib.compress(marshal.dumps(_code(given.read(name), f"{folder}/{name}")), 9)
            held[dotted.removesuffix(".__init__")] = (name.endswith("/__init__.py"), code)
    with open(target, "wb") as made:  # noqa: PTH123 - one import less on the way
        marshal.dump(held, made)


def record(module: str, target: str) -> None:
    """Import a module and write down what dataclasses have compiled on the way: the next time it is only taken."""
    kept: dict[str, bytes] = {}

    def recording(text: str, names: dict[str, Any], own: dict[str, Any]) -> None:
        code = compile(text, "<string>", "exec", dont_inherit=True)
        kept[text] = marshal.dumps(code)
        exec(code, names, own)  # noqa: S102 - what the library itself would do

    library: Any = dataclasses
    library.exec = recording
    importlib.import_module(module)
    with open(target, "wb") as made:  # noqa: PTH123 - as above
        made.write(zlib.compress(marshal.dumps(kept), 9))


def add(archive: zipfile.ZipFile, name: str, content: bytes, level: int = 9) -> None:
    """Add a file to an archive, the same way each time."""
    how = zipfile.ZIP_DEFLATED if level else zipfile.ZIP_STORED
    archive.writestr(zipfile.ZipInfo(name, THEN), content, how, level or None)


def _names(archive: zipfile.ZipFile) -> list[str]:
    return sorted(one.filename for one in archive.infolist() if not one.is_dir())


def _code(content: bytes, place: str) -> Any:
    return compile(content, place, "exec", dont_inherit=True, optimize=0)
