"""Nothing in the repository points to a package registry, and what is installed is pinned by version and hash."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]

# The names stand here in pieces, so that this file does not hold what it forbids.
REGISTRIES = [
    ".".join(parts)
    for parts in (
        ("pypi", "org"),
        ("pythonhosted", "org"),
        ("npmjs", "org"),
        ("npmjs", "com"),
        ("crates", "io"),
        ("anaconda", "org"),
        ("conda-forge", "org"),
        ("yarnpkg", "com"),
        ("jsdelivr", "net"),
        ("unpkg", "com"),
        ("rubygems", "org"),
        ("maven", "org"),
        ("proxy", "golang", "org"),
        ("ghcr", "io"),
        ("docker", "io"),
    )
]

NOT_OURS = {".git", ".venv", "__pycache__", "build", "dist", "node_modules", "ventwright-demo"}
"""Folders that are not part of what is handed on; every other hidden cache is left out too."""

KEPT_HIDDEN = {".ci", ".containerignore", ".gitignore"}

REQUIREMENTS = sorted((ROOT / "requirements").glob("*.txt"))
PINNED = re.compile(r"^[a-z0-9][a-z0-9._-]*==[^\s;]+( ; .+?)?( --hash=sha256:[0-9a-f]{64})+$")


def texts() -> list[tuple[Path, str]]:
    """Return every text file of the repository, caches aside."""
    found = []
    for path in sorted(ROOT.rglob("*")):
        parts = path.relative_to(ROOT).parts
        hidden = any(part.startswith(".") and part not in KEPT_HIDDEN for part in parts)
        if hidden or NOT_OURS & set(parts) or not path.is_file():
            continue
        content = path.read_bytes()
        if b"\0" not in content[:4096]:
            found.append((path, content.decode("utf-8")))
    return found


def requirements(text: str) -> list[str]:
    """Return the requirements of a file, each on one line; comments aside."""
    joined = re.sub(r" ?\\\n\s*", " ", text)
    return [line.strip() for line in joined.splitlines() if line.strip() and not line.startswith("#")]


def test_the_files_are_found() -> None:
    """The search below would be met by an empty list."""
    names = {path.relative_to(ROOT).as_posix() for path, _ in texts()}
    assert {"README.md", "pyproject.toml", "dev", ".ci/run", "requirements/run.txt", "docs/names.md"} <= names
    assert len(names) > 150


def test_no_file_names_a_registry() -> None:
    """No host name of a package registry stands in any file, address or not."""
    named = [
        f"{path.relative_to(ROOT)}: {host}"
        for path, text in texts()
        for host in REGISTRIES
        if host in text.lower()
    ]
    assert named == []


@pytest.mark.parametrize("path", REQUIREMENTS, ids=lambda path: path.name)
def test_every_requirement_is_pinned_with_its_hashes(path: Path) -> None:
    """Exact version, at least one hash, nothing but names: no address, no option, no index."""
    listed = requirements(path.read_text(encoding="utf-8"))
    assert len(listed) > 10
    assert [line.split(" ")[0] for line in listed if not PINNED.match(line)] == []


def test_what_is_not_pinned_is_noticed() -> None:
    """A range, a missing hash, an address and an option are all turned away."""
    sha = "--hash=sha256:" + "0" * 64
    for line in (
        "jinja2>=3 " + sha,
        "jinja2==3.1.6",
        f"jinja2 @ https://example.test/j.whl {sha}",
        "--index-url x",
    ):
        assert not PINNED.match(line)
    assert PINNED.match(f"tzdata==2025.2 ; sys_platform == 'win32' {sha} {sha}")


def test_the_files_hold_one_another() -> None:
    """What the tool runs with is what it is tested and measured with: same packages, same versions."""
    held = {
        path.stem: {line.split(" ")[0] for line in requirements(path.read_text(encoding="utf-8"))}
        for path in REQUIREMENTS
    }
    assert held["run"] <= held["shop"] <= held["dev"] <= held["bench"]
