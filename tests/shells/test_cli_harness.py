"""The command ``harness``: from a job or from named parts; what people read, what programs read, and its exit codes."""

from __future__ import annotations

import json
from importlib.resources import as_file, files
from pathlib import Path
from typing import Any
from xml.etree import ElementTree as ET

import pytest

from ventwright import cli
from ventwright.cli import CANNOT_TELL, DONE, FAILS, REFUSED

KIT, BOARD = "two-speed-dry-bulb", "twelve-way-with-jumper-plug"
RIGHT, WRONG = "nine-way-to-twelve-way", "nine-way-to-twelve-way-for-another-kit"

JOB = """\
id: invented-harness-job
invented: true
facts:
  site: {name: Nowhere, climate_zone: 3C, elevation: 0 ft}
  unit: {tag: T-1, sheet: five-ton-one-speed-electric}
  ventilation: {drawn: {cooling: 450 cfm, source: invented sheet M-1}}
  kit: two-speed-dry-bulb
"""


def run(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str, str]:
    """Exit code, what was printed, and what was said of mistakes."""
    code = cli.main(["harness", *arguments])
    said = capsys.readouterr()
    return code, said.out, said.err


def document(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, dict[str, Any]]:
    """Exit code and the JSON."""
    code, out, _ = run(capsys, *arguments, "--json")
    found: dict[str, Any] = json.loads(out)
    return code, found


@pytest.fixture
def job(tmp_path: Path) -> Path:
    """A job file."""
    path = tmp_path / "job.yaml"
    path.write_text(JOB, encoding="utf-8")
    return path


def test_parts_that_go_together(capsys: pytest.CaptureFixture[str]) -> None:
    """The right adapter: whole, exit code 0, every part of the list there."""
    code, out, _ = run(capsys, "--kit", KIT, "--board", BOARD, "--adapters", RIGHT)

    assert code == DONE
    assert "WHOLE: every circuit is whole through Nine-way socket to twelve-way plug." in out
    for heading in (
        "Where every wire lands",
        "Before power",
        "What a meter should show",
        "Mechanical cooling comes back by",
        "Take care",
    ):
        assert heading in out
    assert "(invented example)" in out
    assert "insulated probes" in out


@pytest.mark.parametrize(
    ("arguments", "state"),
    [
        (("--adapters", WRONG), "not whole"),
        (("--adapters", ""), "cannot mate"),
        (("--have", ""), "adapter missing"),
        (("--have", f"{WRONG},nine-way-lead"), "adapter missing"),
    ],
)
def test_parts_that_do_not(
    arguments: tuple[str, ...], state: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Anything but whole ends with exit code 1."""
    code, found = document(capsys, "--kit", KIT, "--board", BOARD, *arguments)

    assert (code, found["state"]) == (FAILS, state)


def test_the_truck_is_searched(capsys: pytest.CaptureFixture[str]) -> None:
    """Of three adapters at hand the one that serves is found."""
    code, found = document(
        capsys, "--kit", KIT, "--board", BOARD, "--have", f"nine-way-lead, {WRONG}, {RIGHT}"
    )

    assert code == DONE
    assert [(one["id"], one["at_hand"]) for one in found["adapters"]] == [(RIGHT, True)]
    assert found["invented"] is True


def test_what_would_help_is_said(capsys: pytest.CaptureFixture[str]) -> None:
    """Wrong adapter: what is wrong, what to put in instead, and no meter list for what must not be switched on."""
    _, out, _ = run(capsys, "--kit", KIT, "--board", BOARD, "--adapters", WRONG)

    assert "NOT WHOLE" in out
    assert "- WRONG: two sources on one wire" in out
    assert "What would help: leave out Nine-way socket to twelve-way plug, made for another kit" in out
    assert "What a meter should show" not in out


def test_wires_to_make_where_nothing_serves(capsys: pytest.CaptureFixture[str]) -> None:
    """No chain at all: why, and the list by function."""
    code, out, _ = run(capsys, "--kit", KIT, "--board", "variable-fan-two-sockets")

    assert code == FAILS
    assert "What would help: no chain reaches the unit" in out
    assert "What an adapter would have to join, by function" in out


def test_a_drawing_is_written(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The drawing is a file of its own."""
    path = tmp_path / "wiring.svg"
    code, out, _ = run(capsys, "--kit", KIT, "--board", BOARD, "--drawing", str(path))

    assert code == DONE
    assert f"{path} written." in out.replace("\n", " ").replace("  ", " ") or path.name in out
    assert ET.parse(path).getroot().tag == "{http://www.w3.org/2000/svg}svg"  # noqa: S314 - our own drawing


def test_a_job_has_its_wiring(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The board comes from the unit's sheet, the adapter from the shelf; what the truck holds nobody said."""
    code, found = document(capsys, str(job))

    assert code == DONE
    assert found["board"] == BOARD
    assert [(one["id"], one["at_hand"]) for one in found["adapters"]] == [(RIGHT, None)]


def test_a_job_with_other_adapters(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Options go before what the job says, without changing it."""
    before = job.read_text(encoding="utf-8")
    code, found = document(capsys, str(job), "--have", "nine-way-lead")

    assert (code, found["missing"]) == (FAILS, [RIGHT])
    assert document(capsys, str(job), "--adapters", WRONG)[1]["state"] == "not whole"
    assert job.read_text(encoding="utf-8") == before


def test_an_unknown_board_asks_for_readings(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Nothing metered yet: put it back and run, what to read next, and exit code 3."""
    seen = "  harness: {seen_board: {name: old board, connector: {name: odd socket, end: socket, rows: 2, columns: 4}}}\n"
    job.write_text(JOB + seen, encoding="utf-8")
    code, out, _ = run(capsys, str(job))

    assert code == CANNOT_TELL
    assert "PUT IT BACK AND RUN" in out
    assert "To read next" in out
    assert "Mechanical cooling comes back by" in out


def test_the_demo_job_has_its_wiring(capsys: pytest.CaptureFixture[str]) -> None:
    """The invented demo goes together with an adapter of the shelf."""
    with as_file(files("ventwright.cli").joinpath("demo_job", "larkspur-row-r-2.yaml")) as path:
        code, found = document(capsys, str(path))

    assert (code, found["state"]) == (DONE, "whole")


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        ((), "nothing to join was given; accepted: a job, or --kit and --board."),
        (("--kit", KIT), "nothing to join was given; accepted: a job, or --kit and --board."),
        (("--kit", KIT, "--board", "nothing"), '--board: "nothing" is not on the shelf of boards'),
        (("--kit", "nothing", "--board", BOARD), '--kit: "nothing" is not on the shelf of kits'),
        (
            ("--kit", KIT, "--board", BOARD, "--adapters", "nothing"),
            '--adapters[1]: "nothing" is not on the shelf of adapters',
        ),
        (
            ("--kit", KIT, "--board", BOARD, "--drawing", "wiring.png"),
            '--drawing: "wiring.png" is no name for a drawing',
        ),
    ],
)
def test_what_is_refused(
    arguments: tuple[str, ...], sentence: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """One sentence, exit code 2."""
    code, _, err = run(capsys, *arguments)

    assert code == REFUSED
    assert err.startswith(f"ventwright: {sentence}")


def test_a_job_and_a_kit_are_one_too_many(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A job names its own kit."""
    code, _, err = run(capsys, str(job), "--kit", KIT)

    assert code == REFUSED
    assert "is given beside a job, which names its own" in err


def test_a_job_that_says_too_little(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Without a board there is nothing to join to, and what to give is said."""
    job.write_text(
        JOB.replace(", sheet: five-ton-one-speed-electric", ", cooling_capacity: 5 ton"), encoding="utf-8"
    )
    code, _, err = run(capsys, str(job))

    assert code == REFUSED
    assert (
        "does not say what is to be joined; accepted: a kit file with a harness, and the unit's board" in err
    )


@pytest.mark.parametrize("kind", ["adapters", "boards", "kits"])
def test_files_of_the_shelf_are_in_order(kind: str, capsys: pytest.CaptureFixture[str]) -> None:
    """``check`` reads adapters too."""
    folder = files("ventwright.tables").joinpath("equipment", kind)
    for file in folder.iterdir():
        with as_file(file) as path:
            assert cli.main(["check", str(path)]) == DONE
    assert "in order" in capsys.readouterr().out


def test_the_schema_of_an_adapter(capsys: pytest.CaptureFixture[str]) -> None:
    """``schema adapter`` prints what may stand in its file."""
    assert cli.main(["schema", "adapter"]) == DONE
    assert {"kit_side", "unit_side", "wires", "loops"} <= json.loads(capsys.readouterr().out)[
        "properties"
    ].keys()
