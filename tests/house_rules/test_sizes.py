"""No module grows past what a person reads in one sitting.

Why a number and not good will: the projects we learn from all meant to split their long files and did not, for ten
years in one case. A module here is one noun of the trade; past 320 lines it holds two.
"""

from __future__ import annotations

from pathlib import Path

import pytest

SOURCE = Path(__file__).parents[2] / "src" / "ventwright"
MOST = 320
"""Lines of a module: "about 300" with room for one more docstring."""

MODULES = sorted(SOURCE.rglob("*.py"))


def lines(path: Path) -> int:
    """Return the number of lines of a file."""
    return len(path.read_text(encoding="utf-8").splitlines())


def test_the_modules_are_found() -> None:
    """The measure below would be met by an empty list."""
    assert len(MODULES) > 50


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(SOURCE)))
def test_a_module_is_read_in_one_sitting(path: Path) -> None:
    """At most 320 lines; what is longer is split along a noun."""
    assert lines(path) <= MOST, f"{path.name} has {lines(path)} lines: split it along a noun"


def test_no_module_is_a_drawer_for_odds_and_ends() -> None:
    """Vague names collect strangers: no utils, helpers, common, tools, misc or manager."""
    vague = {"util", "utils", "helper", "helpers", "common", "tools", "misc", "manager", "base"}
    assert [str(path) for path in MODULES if path.stem in vague or path.parent.name in vague] == []
