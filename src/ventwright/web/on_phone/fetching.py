"""The runtime that the phone needs: fetched from its ordinary packages by name, version and hash, and kept."""

from __future__ import annotations

import hashlib
import re
import shutil
import subprocess
import sys
import tarfile
from base64 import b64encode
from collections.abc import Sequence
from importlib.resources import files
from pathlib import Path

from ventwright.errors import Refusal, Refused

RUNTIME = "pyodide@314.0.7"
RUNTIME_SHA512 = "0YvXxEhfEdpLfb/XkM2BFAeMROq0iMUX2bzzH9pOttyMcWkwq+HbE5uyuGD82LN7y2q+SNvi/6V5JEsOlD2R1A=="
RUNTIME_FILES = ("pyodide.mjs", "pyodide.asm.mjs", "pyodide.asm.wasm", "python_stdlib.zip")
"""Python compiled for browsers, an npm package under MPL-2.0; these files of it, unmodified but for the last."""

PYTHON, MACHINE = "3.14", "pyemscripten_2026_0_wasm32"
"""The Python in that runtime, and the kind of machine that its compiled packages are for."""

MARKUPSAFE = (
    "markupsafe==3.0.4 --hash=sha256:a8e9f292fcda89b324f2f5c91d13f1424a153e40fc2756f38ee23b15835ff300"
)
MARKUPSAFE_MACHINE = "manylinux2014_x86_64"
"""It has no package for browsers; of this one the part in Python is taken, which works alone."""

WITHOUT = "nothing else needs this: all the rest works without the app on the phone"


def fetched(folder: Path) -> Path:
    """Return a folder with the runtime's files and the packages, fetched where they are not there yet.

    Raises
    ------
    Refused
        npm or pip is not there, a package cannot be had, or it is not the one that was pinned.
    """
    folder.mkdir(parents=True, exist_ok=True)
    if not all((folder / "runtime" / name).is_file() for name in RUNTIME_FILES):
        _fetch_runtime(folder)
    wanted = files("ventwright.web.on_phone").joinpath("packages.txt").read_text(encoding="utf-8")
    _fetch_packages(folder, wanted, MACHINE)
    _fetch_packages(folder, MARKUPSAFE, MARKUPSAFE_MACHINE)
    return folder


def program(name: str) -> str:
    """Return where a program is.

    Raises
    ------
    Refused
        It is not on this machine.
    """
    found = shutil.which(name)
    if found is None:
        accepted = f"Node.js with npm, then the same command once more; {WITHOUT}"
        raise Refused(Refusal("is not on this machine", accepted, name))
    return found


def called(command: Sequence[str | Path], what: str, folder: Path) -> str:
    """Run a program and return what it printed.

    Raises
    ------
    Refused
        It failed: its last line is told.
    """
    done = subprocess.run(  # noqa: S603 - our own words
        [str(part) for part in command], cwd=folder, check=False, capture_output=True, text=True
    )
    if done.returncode:
        said = [line.strip()[:200] for line in (done.stderr or done.stdout).splitlines() if line.strip()] or [
            ""
        ]
        errors = [line for line in said if re.match(r"(ERROR|npm error|\w*Error)\b", line)] or said
        accepted = f"the same command once more when there is a network; {WITHOUT}"
        raise Refused(Refusal(f"did not succeed ({errors[-1]})", accepted, what))
    return done.stdout


def wheels(folder: Path) -> list[Path]:
    """Return the packages in a folder, in order."""
    return sorted((folder / "packages").glob("*.whl"))


def _fetch_runtime(folder: Path) -> None:
    packed = (
        folder
        / called([program("npm"), "pack", "--silent", RUNTIME], f"npm pack {RUNTIME}", folder).split()[-1]
    )
    content = packed.read_bytes()
    if b64encode(hashlib.sha512(content).digest()).decode() != RUNTIME_SHA512:
        packed.unlink()
        raise Refused(Refusal("is not the package that was pinned", "the one with the pinned hash", RUNTIME))
    (folder / "runtime").mkdir(exist_ok=True)
    with tarfile.open(packed) as archive:
        for name in RUNTIME_FILES:
            held = archive.extractfile(f"package/{name}")
            if held is None:
                raise Refused(Refusal("holds no such file", "the package that was pinned", RUNTIME, name))
            (folder / "runtime" / name).write_bytes(held.read())
    packed.unlink()


def _fetch_packages(folder: Path, wanted: str, machine: str) -> None:
    """Have pip fetch packages for another machine than this one; it holds them against their hashes."""
    stamp = folder / f"holds-{hashlib.sha256(wanted.encode()).hexdigest()[:16]}"
    if stamp.exists():
        return
    listed = folder / "wanted.txt"
    listed.write_text(wanted, encoding="utf-8")
    command: list[str | Path] = [
        sys.executable, "-m", "pip", "download", "--quiet", "--disable-pip-version-check", "--no-deps", "--require-hashes",
        "--only-binary=:all:", "--python-version", PYTHON, "--implementation", "cp", "--abi", f"cp{PYTHON.replace('.', '')}",
        "--platform", machine, "--dest", folder / "packages", "--requirement", listed,
    ]  # fmt: skip
    called(command, "pip download", folder)
    stamp.touch()
