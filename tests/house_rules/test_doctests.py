"""Examples in docstrings are run, wherever one stands in the source."""

from __future__ import annotations

import doctest
import importlib
from pathlib import Path

import pytest

SOURCE = Path(__file__).parents[2] / "src" / "ventwright"
PROMPT = ">>> "

WITH_EXAMPLES = [path for path in sorted(SOURCE.rglob("*.py")) if PROMPT in path.read_text(encoding="utf-8")]


def module_name(path: Path) -> str:
    """Return the dotted name of a module of the package."""
    parts = path.relative_to(SOURCE.parent).with_suffix("").parts
    return ".".join(part for part in parts if part != "__init__")


def failures(text: str, names: dict[str, object]) -> int:
    """Run the examples of a text and return how many fail."""
    example = doctest.DocTestParser().get_doctest(text, names, "text", None, None)
    runner = doctest.DocTestRunner(verbose=False)
    return runner.run(example, out=lambda _: None).failed


def test_every_example_in_the_source_holds() -> None:
    """What a docstring shows is what one gets."""
    wrong = {}
    for path in WITH_EXAMPLES:
        result = doctest.testmod(importlib.import_module(module_name(path)))
        assert result.attempted, f"{path.name} shows examples outside its docstrings"
        if result.failed:
            wrong[path.name] = result.failed
    assert wrong == {}


@pytest.mark.parametrize(("shown", "failed"), [("2", 0), ("3", 1)])
def test_a_wrong_example_is_noticed(shown: str, failed: int) -> None:
    """The runner above tells a right answer from a wrong one."""
    assert failures(f"{PROMPT}one + 1\n{shown}\n", {"one": 1}) == failed


def test_the_examples_of_the_documents_hold() -> None:
    """Short examples in the pages, written as at Python's prompt, hold as well."""
    import ventwright

    names = {"ventwright": ventwright}
    pages = sorted((SOURCE.parents[1] / "docs").glob("*.md"))
    assert {page.name: failures(page.read_text(encoding="utf-8"), dict(names)) for page in pages} == {
        page.name: 0 for page in pages
    }
