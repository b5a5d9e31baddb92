"""What the documents show is what the program does: commands, outputs, examples, keys, names, links, files.

A ``console`` block shows commands after "$ " and what they print. On the README it is real: docs/make_shown.py puts
there what the program prints. An ``sh`` block only shows commands. All are read with the program's own parsers.
"""

from __future__ import annotations

import json
import re
import shlex
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from docs import make_commands, make_lists, make_shown

from ventwright import cli
from ventwright.cli.plan import plan_document
from ventwright.cli.verdict import verdict_document
from ventwright.cli.zone import zone_document
from ventwright.facts.harness import SeenConnector
from ventwright.facts.power import Power
from ventwright.job import record_of, work
from ventwright.plan.power import plan_power
from ventwright.plan.wiring.named_circuits import tell
from ventwright.store import load
from ventwright.tables.circuit import Function
from ventwright.tables.climate_from_weather import zone_of_weather
from ventwright.tables.weather import WeatherYear
from ventwright.tables.weather_layout import DAYS
from ventwright.words import plain

ROOT = Path(__file__).parents[2]
SOURCE = ROOT / "src" / "ventwright"
README = ROOT / "README.md"
PAGES = sorted([README, ROOT / "CHANGELOG.md", *ROOT.glob("[!.]*/*.md")])
DEMO = SOURCE / "cli" / "demo_job" / "larkspur-row-r-2.yaml"

FENCE = re.compile(r"^```(?P<kind>\w*)\n(?P<body>.*?)^```$", re.MULTILINE | re.DOTALL)

OURS = {"./dev", "ventwright"}
OF_DEV = {"demo", "test", "lint", "bench"}


def page_name(page: Path) -> str:
    """Return a page as tests name it."""
    return page.relative_to(ROOT).as_posix()


def blocks(page: Path, kind: str) -> list[str]:
    """Return the fenced blocks of one kind."""
    text = page.read_text(encoding="utf-8")
    return [found["body"] for found in FENCE.finditer(text) if found["kind"] == kind]


def shown(page: Path) -> Iterator[list[str]]:
    """Yield every command of a page's console and sh blocks, in words."""
    for block in blocks(page, "console"):
        yield from (make_shown.words(command) for command in make_shown.commands(block))
    for block in blocks(page, "sh"):
        for line in block.replace("\\\n", " ").splitlines():
            if words := shlex.split(line, comments=True):
                yield words


def called(words: list[str]) -> list[str] | None:
    """Return what the program is called with: verb and arguments; None for another program or a task of ./dev."""
    if words[0] not in OURS:
        return None
    if words[0] == "./dev" and words[1] in OF_DEV - {"demo"}:
        return None
    assert words[0] == "ventwright" or words[1] in {"run", "demo"}, f"./dev knows no {words[1]}"
    return make_shown.called(words)


COMMANDS = [
    pytest.param(arguments, id=f"{page_name(page)}: {' '.join(arguments)}"[:100])
    for page in PAGES
    for words in shown(page)
    if (arguments := called(words)) is not None
]


@pytest.mark.parametrize("arguments", COMMANDS)
def test_a_shown_command_is_understood(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    """Verb, options and their number are what the program's own parser takes."""
    if arguments[0] in {"--help", "--version"}:
        assert len(arguments) == 1
        return
    assert arguments[0] in cli.VERBS
    parser = make_commands.parser_of(arguments[0])
    if "--help" in arguments:
        with pytest.raises(SystemExit, match=r"^0$"):
            parser.parse_args(arguments[1:])
    else:
        parser.parse_args(arguments[1:])  # a misuse ends the program, and so the test
    assert capsys.readouterr().err == ""


def test_what_the_readme_shows_is_printed() -> None:
    """Every output of the README, that of the Python example too, is what the program prints today.

    ``docs/make_shown.py`` brings the page up to date.
    """
    text = README.read_text(encoding="utf-8")
    assert len(blocks(README, "console")) >= 8
    assert len(blocks(README, "python")) == len(blocks(README, "text")) == 1
    assert text == make_shown.page(text)


def test_another_output_is_noticed() -> None:
    """A changed, a missing and an additional line make another page; a part that is gone is named."""
    head = "<!-- shown\ndry bulb\nenthalpy .. volume\n-->\n"
    command = '$ ventwright air --dry-bulb "75 F" --rh "50 %"'
    right = make_shown.page(f"{head}```console\n{command}\n```")
    lines = right.splitlines()
    assert [line.split("  ")[0] for line in lines[6:-1]] == [
        "dry bulb",
        "...",
        "enthalpy",
        "specific volume",
        "...",
    ]
    for wrong in (
        "\n".join([*lines[:7], *lines[8:]]),
        right.replace("75.0", "75.1"),
        right.replace("...", "...\nmore", 1),
    ):
        assert make_shown.page(wrong) == right
    with pytest.raises(LookupError, match="nothing like 'entropy' is printed any more"):
        make_shown.page(f"<!-- shown\nentropy\n-->\n```console\n{command}\n```")


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
    return (key for key, _ in items(part))


def items(part: Any) -> Iterator[tuple[str, Any]]:
    """Yield every key of a document with its value, at any depth."""
    if isinstance(part, dict):
        for key, value in part.items():
            yield key, value
            yield from items(value)
    if isinstance(part, (list, tuple)):
        for one in part:
            yield from items(one)


def test_every_key_of_the_json_is_documented(tmp_path: Path) -> None:
    """Keys of plan, verdict, air state and record, as the demo prints them, stand in docs/json.md."""
    kept = load(DEMO)
    worked = work(kept.job, kept.beside)
    air = json.loads(make_shown.run(["air", "--dry-bulb", "75 F", "--rh", "50 %", "--json"], tmp_path))
    record = json.loads(record_of(worked, made=datetime(2026, 11, 25, tzinfo=UTC))["record.json"])
    del record["job"]  # what a person entered; `ventwright schema` documents it
    printed = {
        *keys(plan_document(kept.job, worked.plan)),
        *keys(verdict_document(kept.job, worked.verdicts)),
        *keys(air),
        *keys(record),
    }
    assert sorted(printed - in_code("json.md")) == []


SENSOR = ["sensor", "--curve", "thermistor-10k-type-2"]
HARNESS = ["harness", "--kit", "two-speed-dry-bulb", "--board"]
OTHERS = [
    ["sensor", "--list"],
    [*SENSOR, "--ohms", "9.9k ohm ± 1 %", "--lead", "1 ohm"],
    [*SENSOR, "--substitute", "55 F"],
    ["sensor", "--pairs", "11.5k ohm @ 71 F, 10.5k ohm @ 75 F"],
    ["sensor", "--signal", "6 V", "--shunt", "500 ohm ± 1 %", "--range", "0 F to 100 F"],
    ["sensor", "--signal", "0 V", "--span", "0-10 V"],
    ["zone", "--county", "Cook", "--state", "Illinois"],
    ["power", str(DEMO)],
    ["ledger", str(DEMO)],
    ["recheck", str(DEMO), "--high-limit", "63 F"],
    ["power", "--transformer", "unknown", "--loads", "relay 7 VA on call"],
    ["power", "--wire", "18", "--length", "60 ft ± 5 %", "--load", "20 VA"],
    [*HARNESS, "twelve-way-with-jumper-plug"],
    [*HARNESS, "twelve-way-with-jumper-plug", "--have", ""],
    [*HARNESS, "twelve-way-with-jumper-plug", "--adapters", "nine-way-to-twelve-way-for-another-kit"],
    [*HARNESS, "plain-two-stage"],
    [*HARNESS, "variable-fan-two-sockets"],
]
"""Commands whose JSON is looked through, beside those above."""


@pytest.mark.parametrize("arguments", OTHERS, ids=" ".join)
def test_every_key_of_another_command_is_documented(arguments: list[str], tmp_path: Path) -> None:
    """Sensor, power, zone and harness, in each of their forms."""
    assert undocumented(json.loads(make_shown.run([*arguments, "--json"], tmp_path))) == set()


def test_every_key_that_needs_a_file_or_readings_is_documented() -> None:
    """A zone computed from a year of weather, an unknown connector, two transformers that are joined."""
    hours = [(month, day + 1, hour + 1) for month, days in enumerate(DAYS, 1) for day in range(days) for hour in range(24)]  # fmt: skip
    nothing = (None,) * len(hours)
    year = WeatherYear(
        name="Nowhere", region="", station="", layout="EPW", latitude=40.0, longitude=-100.0, time_zone=-6.0, elevation=0.0,
        stamps=tuple(hours), dry_bulb=(12.0,) * len(hours), dew_point=nothing, relative_humidity=nothing, pressure=nothing,
        precipitation=nothing,
    )  # fmt: skip
    seen = SeenConnector.model_validate(
        {
            "name": "socket",
            "end": "socket",
            "columns": 2,
            "wires": [{"cavity": 1, "marked": "C"}, {"cavity": 2}],
        }
    )
    told = tell(seen, [Function.COOLING_1])
    two = Power.model_validate({
        "transformers": [{"name": "one"}, {"name": "two"}],
        "joined": [{"transformers": ["one", "two"], "tied": "commons", "between_hots": "0.4 V"}],
    })  # fmt: skip
    assert told.circuits
    assert told.to_measure
    for document in (
        zone_document(year, zone_of_weather(year)),
        {"named": plain(told.circuits), "to_measure": plain(told.to_measure)},
        plain(plan_power(two)),
    ):
        assert undocumented(document) == set()


def undocumented(part: Any) -> set[str]:
    """Return the keys that the page does not have; one that holds nothing stands there with its unit."""
    documented = in_code("json.md")
    return {
        key
        for key in keys(part)
        if key not in documented
        and not (key in empty_keys(part) and any(one.startswith(f"{key}_") for one in documented))
    }


def empty_keys(part: Any) -> set[str]:
    """Return the keys that hold nothing wherever they stand."""
    found: dict[str, bool] = {}
    for key, value in items(part):
        found[key] = found.get(key, True) and value is None
    return {key for key, empty in found.items() if empty}


MISMATCH = re.compile(r'Mismatch\(\s*"([a-z_]+)"')
STABLE = re.compile(r"(?:airflow|sensor|settings?|nothing_left|kit|power|wiring)\.[a-z0-9_.]+")
QUOTED = re.compile(rf'"({STABLE.pattern})"')
REMARKS = {"_seen", "_numbers"}
"""Functions of plan/wiring/mating.py that say what to know; the others say why two connectors do not go together."""


def stable_names() -> set[str]:
    """Return the dotted names of shortfalls, concerns and findings in the source."""
    found = {
        name
        for folder in ("verdict", "plan")
        for path in sorted((SOURCE / folder).rglob("*.py"))
        for name in QUOTED.findall(path.read_text(encoding="utf-8"))
    }
    return (found - {"wiring.cannot_mate"}) | set(mating_names())


def mating_names() -> Iterator[str]:
    """Yield the names of findings about two connectors, which plan/wiring/chain.py puts together from those of the mating."""
    text = (SOURCE / "plan" / "wiring" / "mating.py").read_text(encoding="utf-8")
    for function in text.split("\ndef ")[1:]:
        kind = "wiring" if function.partition("(")[0] in REMARKS else "wiring.cannot_mate"
        yield from (f"{kind}.{name}" for name in MISMATCH.findall(function))


def test_every_stable_name_is_documented() -> None:
    """A program that reads the JSON can look up each name; a name that is gone leaves the page."""
    names = stable_names()
    documented = {name for name in in_code("json.md") if STABLE.fullmatch(name)}
    assert len(names) > 15
    assert sorted(names - documented) == []
    assert sorted(documented - names) == []


@pytest.mark.parametrize("made", make_lists.PAGES, ids=page_name)
def test_the_lists_from_the_source_are_up_to_date(made: Path) -> None:
    """Every module stands in the design and every outside check in the calculations; docs/make_lists.py fills them in."""
    text = made.read_text(encoding="utf-8")
    assert text == make_lists.page(text)


def test_every_module_and_every_check_is_on_the_lists() -> None:
    """Nothing is left out between the marks."""
    modules = {
        path.relative_to(SOURCE).as_posix() for path in SOURCE.rglob("*.py") if path.name != "__init__.py"
    }
    checks = {path.name for path in (ROOT / "tests" / "agrees_with").glob("test_*.py")}
    assert modules <= in_code("design.md")
    assert checks <= in_code("calculations.md")
    named = {name for made in make_lists.PAGES for name in in_code(made.name) if name.endswith(".py")}
    places = (ROOT, SOURCE, ROOT / "tests" / "agrees_with")
    assert sorted(name for name in named if not any((place / name).exists() for place in places)) == []


def test_every_step_of_acceptance_and_every_caution_is_in_the_guide() -> None:
    """The technician finds each thing that is ticked by its id, and each caution at its stage."""
    from ventwright.tables.acceptance import acceptance
    from ventwright.tables.caution import cautions

    guide = (ROOT / "docs" / "technician.md").read_text(encoding="utf-8")
    ticks = [step.id for step in acceptance().steps if step.decided_by == "tick"]
    assert [one for one in ticks if f"`{one}`" not in guide] == []
    assert [one.text for one in cautions() if one.text not in " ".join(guide.replace("> ", "").split())] == []
