"""The job flows one way: a stage imports only what lies upstream, and the engine stays light.

The contracts stand in pyproject.toml and are held by import-linter. A copy of the package with a wrong import
planted in it shows that they would notice.
"""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]

# Run as a module of its own: the copy must be what is imported, not the installed package.
LINT = "from importlinter.cli import lint_imports_command; lint_imports_command()"


def lint(folder: Path) -> subprocess.CompletedProcess[str]:
    """Run the import contracts over the package below a folder."""
    return subprocess.run(
        [sys.executable, "-c", LINT, "--no-cache", "--config", str(folder / "pyproject.toml")],
        cwd=folder / "src",
        env={"PYTHONPATH": str(folder / "src"), "PATH": ""},
        capture_output=True,
        text=True,
        check=False,
    )


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    """Return a folder with a copy of the package and of its contracts, to plant mistakes in."""
    shutil.copytree(ROOT / "src", tmp_path / "src", ignore=shutil.ignore_patterns("__pycache__", "*.csv"))
    shutil.copy(ROOT / "pyproject.toml", tmp_path)
    return tmp_path


def test_every_contract_is_kept() -> None:
    """No module imports what lies downstream of it, and the engine imports nothing heavy."""
    done = lint(ROOT)
    assert done.returncode == 0, done.stdout + done.stderr
    assert re.search(r"Contracts: [2-9]\d* kept, 0 broken", done.stdout)


@pytest.mark.parametrize(
    ("module", "line", "broken"),
    [
        (
            "facts/site.py",
            "from ventwright.verdict import judge",
            "ventwright.facts.site -> ventwright.verdict",
        ),
        (
            "physics/damper.py",
            "from ventwright.tables import prior",
            "ventwright.physics.damper -> ventwright.tables",
        ),
        ("plan/speeds.py", "import sqlite3", "ventwright.plan.speeds -> sqlite3"),
        ("verdict/checks.py", "import numpy", "ventwright.verdict.checks -> numpy"),
    ],
    ids=["stage to a later stage", "physics to a table", "engine to a database", "engine to NumPy"],
)
def test_a_wrong_import_is_noticed(copy: Path, module: str, line: str, broken: str) -> None:
    """One line in the wrong place breaks a contract, and the message names it."""
    file = copy / "src" / "ventwright" / module
    file.write_text(f"{file.read_text(encoding='utf-8')}\n{line}\n", encoding="utf-8")
    done = lint(copy)
    assert done.returncode == 1
    assert broken in done.stdout


def test_a_new_module_has_to_find_its_layer(copy: Path) -> None:
    """The layers are exhaustive: a module beside them breaks the contract until it has a place."""
    (copy / "src" / "ventwright" / "stray.py").write_text('"""Nowhere."""\n', encoding="utf-8")
    done = lint(copy)
    assert done.returncode == 1
    assert "stray" in done.stdout


def test_a_job_is_worked_without_heavy_packages() -> None:
    """From the file to the verdicts nothing compiled, no threads and no PDF or table printer is imported."""
    job = ROOT / "src/ventwright/cli/demo_job/larkspur-row-r-2.yaml"
    code = (
        "import sys; from pathlib import Path; import ventwright;"
        f"kept = ventwright.load(Path({str(job)!r})); ventwright.work(kept.job, kept.beside);"
        "heavy = {'numpy', 'pandas', 'polars', 'PIL', 'sqlite3', 'fontTools', 'rich'};"
        "print(sorted(heavy & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
