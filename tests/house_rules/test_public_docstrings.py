"""Every public thing says what it is; a formula of physics also says its units and where it comes from."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

SOURCE = Path(__file__).parents[2] / "src" / "ventwright"
MODULES = sorted(SOURCE.rglob("*.py"))

Definition = ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef

UNIT = re.compile(r"\[[^\]]+\]")

CITED = re.compile(r"Handbook|JCGM|ASHRAE|research project|common practice|from memory")
"""What a source is recognized by in the comments of a module."""

NOT_FORMULAS = {
    "air.states": "the formulas of state, row by row; its docstring points there",
    "damper.position_for": "a bisection over whatever curve it is handed",
    "second_quantity.the_one": "picks the argument that was given",
    "second_quantity.can_be_asked": "looks whether numbers are in range",
    "second_quantity.refusal": "words a refusal",
}
"""Public functions of physics that need neither units nor a source of their own, and why."""

ANY_UNIT = {
    "mixing.estimate": "three readings of any one quantity; its result names the units of its fields",
}
"""Formulas that take their arguments in whatever one unit they come."""


@dataclass(frozen=True, slots=True)
class Public:
    """A public definition: module and name, what it is, its docstring."""

    name: str
    node: Definition
    text: str


def definitions(tree: ast.AST, prefix: str) -> Iterator[Public]:
    """Yield the public functions, classes and methods of a syntax tree; overloads and dunders aside."""
    for node in ast.iter_child_nodes(tree):
        if isinstance(node, Definition) and not node.name.startswith("_"):
            yield Public(f"{prefix}.{node.name}", node, ast.get_docstring(node) or "")
            if isinstance(node, ast.ClassDef):
                yield from definitions(node, f"{prefix}.{node.name}")


def public(path: Path) -> list[Public]:
    """Return the public definitions of a file."""
    return list(definitions(ast.parse(path.read_text(encoding="utf-8")), path.stem))


def formulas() -> Iterator[tuple[Path, Public]]:
    """Yield the public functions of physics, those that are no formulas aside."""
    for path in sorted((SOURCE / "physics").rglob("*.py")):
        for one in public(path):
            is_method = one.name.count(".") > 1
            if isinstance(one.node, ast.FunctionDef) and not is_method and one.name not in NOT_FORMULAS:
                yield path, one


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(SOURCE)))
def test_every_public_thing_has_a_docstring(path: Path) -> None:
    """Module, class, function and method, each in at least two words."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    silent = [one.name for one in definitions(tree, path.stem) if len(one.text.split()) < 2]
    assert len((ast.get_docstring(tree) or "").split()) >= 2, f"{path.name} does not say what it is"
    assert silent == []


def test_every_formula_names_its_units() -> None:
    """A unit in square brackets stands in the docstring of every formula."""
    assert {one.name for _, one in formulas() if not UNIT.search(one.text)} == ANY_UNIT.keys()


def test_every_formula_names_its_source() -> None:
    """A formula has its references; a building block of one line may leave them to its module's comments."""
    unsaid = []
    for path, one in formulas():
        block = "Parameters\n" not in one.text
        if "References\n" not in one.text and not (block and CITED.search(path.read_text(encoding="utf-8"))):
            unsaid.append(one.name)
    assert unsaid == []


def test_every_parameter_of_a_sheet_is_described() -> None:
    """Where a formula lists its parameters it lists all of them, in the order in which they are taken."""
    for _, one in formulas():
        if "Parameters\n" not in one.text:
            continue
        part = re.split(r"\n(?:Returns|Raises|References)\n", one.text.partition("Parameters\n")[2])[0]
        listed = [
            name.strip()
            for line in re.findall(r"^(\w[\w, ]*)$", part, re.MULTILINE)
            for name in line.split(",")
        ]
        assert isinstance(one.node, ast.FunctionDef)
        arguments = one.node.args
        taken = [
            argument.arg for argument in (*arguments.posonlyargs, *arguments.args, *arguments.kwonlyargs)
        ]
        assert listed == taken, one.name


def test_what_raises_says_so() -> None:
    """A formula in whose body something is refused has a Raises section."""
    for _, one in formulas():
        raises = any(isinstance(node, ast.Raise) for node in ast.walk(one.node))
        assert not raises or "Raises\n" in one.text, one.name


def test_no_exception_is_stale() -> None:
    """What is excused above exists."""
    there = {one.name for path in (SOURCE / "physics").rglob("*.py") for one in public(path)}
    assert NOT_FORMULAS.keys() <= there
