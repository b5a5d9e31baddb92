"""Imports from tables of bytecode: one file for hundreds of modules, because on a phone each look into a folder costs."""

from __future__ import annotations

import dataclasses
import marshal
import sys
import zlib
from importlib.machinery import ModuleSpec
from types import ModuleType, SimpleNamespace
from typing import Any


class Finder:
    """Finds and loads the modules of one table."""

    def __init__(self, table: bytes, folder: str) -> None:
        """Read a table.

        Parameters
        ----------
        table
            For every module by its name whether it is a package, and its bytecode.
        folder
            Where the files lie that stand beside the modules.
        """
        self._held: dict[str, tuple[bool, bytes]] = marshal.loads(table)  # noqa: S302 - our own bundle, held against its hash
        for name in list(self._held):  # packages that have no module of their own
            while (name := name.rpartition(".")[0]) and name not in self._held:
                self._held[name] = (True, zlib.compress(marshal.dumps(compile("", name, "exec"))))
        self._folder = folder

    def find_spec(self, name: str, path: Any = None, target: Any = None) -> ModuleSpec | None:  # noqa: ARG002 - the interpreter's own call
        """Return how a module is loaded, None where it is not of this table."""
        if name not in self._held:
            return None
        is_package, _ = self._held[name]
        place = f"{self._folder}/{name.replace('.', '/')}"
        origin = f"{place}/__init__.py" if is_package else f"{place}.py"
        loader: Any = self
        spec = ModuleSpec(name, loader, origin=origin, is_package=is_package)
        spec.has_location = True
        if is_package:
            spec.submodule_search_locations = [place]
        return spec

    def create_module(self, spec: ModuleSpec) -> None:
        """Leave it to the interpreter to make the module."""

    def exec_module(self, module: ModuleType) -> None:
        """Run a module."""
        _, code = self._held[module.__name__]
        exec(marshal.loads(zlib.decompress(code)), module.__dict__)  # noqa: S102, S302 - our own bundle, held against its hash

    def get_resource_reader(self, name: str) -> Any:
        """Return who reads the files beside a package."""
        from importlib.readers import FileReader

        place: Any = SimpleNamespace(path=f"{self._folder}/{name.replace('.', '/')}/__init__.py")
        return FileReader(place)


def find_in(table: bytes, folder: str) -> None:
    """Import from a table from now on."""
    sys.meta_path.insert(0, Finder(table, folder))


def quicken(recorded: bytes) -> None:
    """Have dataclasses take what they compiled when the folder was built; what is not there they compile."""
    kept: dict[str, bytes] = marshal.loads(zlib.decompress(recorded))  # noqa: S302 - our own bundle

    def taking(text: str, names: dict[str, Any], own: dict[str, Any]) -> None:
        code = kept.get(text)
        exec(text if code is None else marshal.loads(code), names, own)  # noqa: S102, S302 - what the library itself would do

    library: Any = dataclasses
    library.exec = taking
