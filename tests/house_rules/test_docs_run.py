"""What the documents show is what the program does: commands, outputs, examples, keys, names, links, files.

A ``console`` block shows commands after "$ " and what they print; it is real: the commands are run, in the order of
the page, in an empty folder. A line that is only "..." stands for any lines left out. An ``sh`` block only shows
commands; they are read with the program's own parsers.
"""

from __future__ import annotations

import io
import json
import re
import shlex
from collections.abc import Iterator
from contextlib import chdir, redirect_stderr, redirect_stdout
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from docs import make_commands

from ventwright import cli
from ventwright.cli.plan import plan_document
from ventwright.cli.verdict import verdict_document
from ventwright.job import work
from ventwright.store import load

ROOT = Path(__file__).parents[2]
SOURCE = ROOT / "src" / "ventwright"
PAGES = sorted([ROOT / "README.md", ROOT / "CHANGELOG.md", *(ROOT / "docs").glob("*.md"), *ROOT.glob("*/README.md")])
README = ROOT / "README.md"
DEMO = SOURCE / "cli" / "demo_job" / "larkspur-row-r-2.yaml"

FENCE = re.compile(r"^```(?P<kind>\w*)\n(?P<body>.*?)^```$", re.MULTILINE | re.DOTALL)
LEFT_OUT = "..."
MADE_UP = re.compile(r"\b(?=[0-9a-f]*\d)(?=[0-9a-f]*[a-f])([0-9a-f]{8}|[0-9a-f]{12})\b")
"""An id that the program makes anew each time: eight or twelve figures and letters."""

OURS = {"./dev", "ventwright"}
OF_DEV = {"demo", "test", "lint", "bench"}


@dataclass(frozen=True, slots=True)
class Shown:
    """A command of a page, in words, and the lines that the page shows under it."""

    words: tuple[str, ...]
    output: tuple[str, ...] = ()


def page_name(page: Path) -> str:
    """Return a page as tests name it."""
    return page.relative_to(ROOT).as_posix()


def blocks(page: Path, kind: str) -> list[str]:
    """Return the fenced blocks of one kind."""
    return [found["body"] for found in FENCE.finditer(page.read_text(encoding="utf-8")) if found["kind"] == kind]


def in_consoles(page: Path) -> Iterator[Shown]:
    """Yield the commands of the console blocks, each with the output under it."""
    for block in blocks(page, "console"):
        for part in re.split(r"^\$ ", block.replace("\\\n", " "), flags=re.MULTILINE)[1:]:
            command, *output = part.rstrip("\n").split("\n")
            yield Shown(tuple(shlex.split(command, comments=True)), tuple(output))


def in_shells(page: Path) -> Iterator[Shown]:
    """Yield the commands of the sh blocks."""
    for block in blocks(page, "sh"):
        for line in block.replace("\\\n", " ").splitlines():
            if words := shlex.split(line, comments=True):
                yield Shown(tuple(words))


def called(words: tuple[str, ...]) -> tuple[str, ...] | None:
    """Return what the program is called with: verb and arguments; None for another program or a task of ./dev."""
    if words[0] not in OURS:
        return None
    if words[0] == "ventwright":
        return words[1:]
    if words[1] == "run":
        return words[2:]
    if words[1] == "demo":
        return words[1:]
    assert words[1] in OF_DEV, f"./dev knows no {words[1]}"
    return None


COMMANDS = [
    pytest.param(arguments, id=f"{page_name(page)}: {' '.join(arguments)}"[:100])
    for page in PAGES
    for shown in (*in_consoles(page), *in_shells(page))
    if (arguments := called(shown.words)) is not None
]


@pytest.mark.parametrize("arguments", COMMANDS)
def test_a_shown_command_is_understood(arguments: tuple[str, ...], capsys: pytest.CaptureFixture[str]) -> None:
    """Verb, options and their number are what the program's own parser takes."""
    if arguments[0] in {"--help", "--version"}:
        assert len(arguments) == 1
        return
    assert arguments[0] in cli.VERBS
    try:
        make_commands.parser_of(arguments[0]).parse_args(arguments[1:])
    except SystemExit as end:
        assert end.code == 0, capsys.readouterr().err


@dataclass(frozen=True, slots=True)
class Walk:
    """What the commands of the README printed, in the order of the page, and the folder they were run in."""

    folder: Path
    printed: list[tuple[Shown, str]]


@pytest.fixture(scope="module")
def walk(tmp_path_factory: pytest.TempPathFactory) -> Walk:
    """Run every command of the README's console blocks, one after another, in one folder."""
    folder = tmp_path_factory.mktemp("readme")
    printed = []
    for shown in in_consoles(README):
        arguments = called(shown.words)
        assert arguments is not None, f"no console block can show {' '.join(shown.words)}"
        printed.append((shown, run(arguments, folder)))
    return Walk(folder, printed)


def run(arguments: tuple[str, ...], folder: Path) -> str:
    """Run the program in a folder and return what it prints, on both channels."""
    out = io.StringIO()
    with chdir(folder), redirect_stdout(out), redirect_stderr(out):
        cli.main(list(arguments))
    return out.getvalue()


def plain(text: str) -> list[str]:
    """Return the lines of an output without what differs from run to run; empty lines at the ends left out."""
    lines = [MADE_UP.sub("ID", line.rstrip()) for line in text.splitlines()]
    return "\n".join(lines).strip("\n").split("\n")


def agree(shown: list[str], printed: list[str]) -> bool:
    """Tell whether shown lines are the printed ones; "..." stands for any number of them."""
    if not shown:
        return not printed
    if shown[0] == LEFT_OUT:
        return any(agree(shown[1:], printed[start:]) for start in range(len(printed) + 1))
    return bool(printed) and shown[0] == printed[0] and agree(shown[1:], printed[1:])


def test_what_the_readme_shows_is_printed(walk: Walk) -> None:
    """Every output of the README is what the program prints today."""
    assert len(walk.printed) >= 8
    for shown, text in walk.printed:
        wanted, printed = plain("\n".join(shown.output)), plain(text)
        assert agree(wanted, printed), f"{' '.join(shown.words)} prints:\n" + "\n".join(printed)


def test_lines_left_out_do_not_hide_a_difference() -> None:
    """The comparison above fails on a changed, a missing and an additional line."""
    printed = ["a", "b", "c", "d"]
    assert agree(["a", LEFT_OUT, "d"], printed)
    assert not agree(["a", LEFT_OUT, "e"], printed)
    assert not agree(["a", "b", "d"], printed)
    assert not agree(["a", "b", "c"], printed)


def test_the_python_example_runs(walk: Walk) -> None:
    """The README's example in Python runs after its commands and prints what is shown under it."""
    (example,) = blocks(README, "python")
    (shown,) = blocks(README, "text")
    out = io.StringIO()
    with chdir(walk.folder), redirect_stdout(out):
        exec(compile(example, "README.md", "exec"), {})  # noqa: S102 - our own page
    assert agree(plain(shown), plain(out.getvalue())), out.getvalue()


def test_the_readme_opens_with_the_job_and_two_commands() -> None:
    """One paragraph says what it is for; then stand the two commands that work on a fresh machine."""
    title, paragraph, *_ = README.read_text(encoding="utf-8").split("\n\n")
    assert title == "# Ventwright"
    assert not paragraph.startswith(("#", "!", "[", "```", "-"))
    assert "economizer" in paragraph
    first = blocks(README, "sh")[0].splitlines()
    assert [line.split("#")[0].strip() for line in first] == ["./dev demo", "./dev test"]


def test_the_page_of_commands_is_up_to_date() -> None:
    """docs/commands.md is what docs/make_commands.py writes today."""
    assert make_commands.PAGE.read_text(encoding="utf-8") == make_commands.page()


@pytest.mark.parametrize("verb", cli.VERBS)
def test_every_command_is_documented_and_has_help(verb: str, capsys: pytest.CaptureFixture[str]) -> None:
    """A verb has a heading on the page, a line in the first help, and a help of its own for every argument."""
    text = make_commands.PAGE.read_text(encoding="utf-8")
    parser = make_commands.parser_of(verb)
    assert f"\n## `{verb}`\n" in text
    for word in make_commands.kinds_of(parser):
        assert f"\n### `{verb} JOB {word}`\n" in text
    for one in (parser, *make_commands.kinds_of(parser).values()):
        assert [action.dest for action in make_commands.arguments_of(one) if not action.help] == []
    assert cli.main([]) == 0
    assert re.search(rf"^  {verb} +\w", capsys.readouterr().out, re.MULTILINE)


LINK = re.compile(r"\]\((?!\w+://)([^)#\s]+)(#[^)\s]*)?\)|<img [^>]*src=\"([^\"]+)\"")


@pytest.mark.parametrize("page", PAGES, ids=page_name)
def test_every_link_leads_somewhere(page: Path) -> None:
    """Files and pictures that a page points to are there."""
    found = [first or picture for first, _, picture in LINK.findall(page.read_text(encoding="utf-8"))]
    assert [target for target in found if not (page.parent / target).exists()] == []


@pytest.mark.parametrize("name", ["record.png", "card.png"])
def test_the_pictures_are_shown_and_small(name: str) -> None:
    """The README shows the record and the card, each in less than 150 kB."""
    picture = ROOT / "docs" / "pictures" / name
    assert f"docs/pictures/{name}" in README.read_text(encoding="utf-8")
    content = picture.read_bytes()
    assert content.startswith(b"\x89PNG")
    assert len(content) < 150_000


def in_code(page: str) -> set[str]:
    """Return everything that a page sets as code within a line."""
    text = FENCE.sub("", (ROOT / "docs" / page).read_text(encoding="utf-8"))
    return set(re.findall(r"`([^`\n]+)`", text))


def keys(part: Any) -> Iterator[str]:
    """Yield every key of a document, at any depth."""
    if isinstance(part, dict):
        for key, value in part.items():
            yield key
            yield from keys(value)
    if isinstance(part, list):
        for one in part:
            yield from keys(one)


def test_every_key_of_the_json_is_documented(walk: Walk) -> None:
    """Keys of plan, verdict, air state and record, as the demo prints them, stand in docs/json.md."""
    kept = load(DEMO)
    worked = work(kept.job, kept.beside)
    air = json.loads(run(("air", "--dry-bulb", "75 F", "--rh", "50 %", "--json"), walk.folder))
    run(("demo",), walk.folder)
    record = json.loads((walk.folder / "ventwright-demo" / "record.json").read_text(encoding="utf-8"))
    del record["job"]  # what a person entered; `ventwright schema` documents it
    printed = {
        *keys(plan_document(kept.job, worked.plan)),
        *keys(verdict_document(kept.job, worked.verdicts)),
        *keys(air),
        *keys(record),
    }
    assert sorted(printed - in_code("json.md")) == []


STABLE = re.compile(r"(?:airflow|sensor|settings?)\.[a-z_]+")
QUOTED = re.compile(rf'"({STABLE.pattern})"')


def stable_names() -> set[str]:
    """Return the dotted names of shortfalls and concerns in the source."""
    return {
        name
        for folder in ("verdict", "plan")
        for path in sorted((SOURCE / folder).glob("*.py"))
        for name in QUOTED.findall(path.read_text(encoding="utf-8"))
    }


def test_every_stable_name_is_documented() -> None:
    """A program that reads the JSON can look up each name; a name that is gone leaves the page."""
    names = stable_names()
    documented = {name for name in in_code("json.md") if STABLE.fullmatch(name)}
    assert len(names) > 15
    assert sorted(names - documented) == []
    assert sorted(documented - names) == []


def test_every_module_has_its_line_in_the_design() -> None:
    """docs/design.md lists the house as it is: every module once, and none that is gone."""
    modules = {path.relative_to(SOURCE).as_posix() for path in SOURCE.rglob("*.py") if path.name != "__init__.py"}
    listed = {name for name in in_code("design.md") if re.fullmatch(r"([a-z_]+/)?[a-z_]+\.py", name)}
    assert sorted(modules - listed) == []
    assert sorted(listed - modules) == []


def test_every_outside_check_is_described() -> None:
    """docs/calculations.md says of every file of tests/agrees_with what it holds against what."""
    files = {path.name for path in (ROOT / "tests" / "agrees_with").glob("test_*.py")}
    listed = {name for name in in_code("calculations.md") if re.fullmatch(r"test_\w+\.py", name)}
    assert sorted(files ^ listed) == []


def test_every_step_of_acceptance_and_every_caution_is_in_the_guide() -> None:
    """The technician finds each thing that is ticked by its id, and each caution at its stage."""
    from ventwright.tables.acceptance import acceptance
    from ventwright.tables.caution import cautions

    guide = (ROOT / "docs" / "technician.md").read_text(encoding="utf-8")
    ticks = [step.id for step in acceptance().steps if step.decided_by == "tick"]
    assert [one for one in ticks if f"`{one}`" not in guide] == []
    assert [one.text for one in cautions() if one.text not in " ".join(guide.replace("> ", "").split())] == []
