"""The demo, as somebody meets it on the first day: one command in an empty folder, and everything is there."""

from __future__ import annotations

import io
import json
import os
import re
import subprocess
import sys
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

import pytest
from pypdf import PdfReader

from ventwright import cli
from ventwright.cli import main
from ventwright.job import read_job
from ventwright.store import load

NAME, LATER = "larkspur-row-r-2.yaml", "tern-yard-u-4.yaml"
SHIPPED = Path(cli.__file__).parent / "demo_job" / NAME
RECORD = ["card.pdf", "record.html", "record.json", "record.pdf"]
WRITTEN = sorted([*RECORD, NAME, LATER, *(f"tern-yard-u-4/{name}" for name in RECORD)])

US_UNITS = re.compile(r"°F|cfm|in\.w\.g\.|Btu|\bft\d?\b|\bfpm\b|\bgr/lb\b")
BOTH = re.compile(r"\d[\d.]* (?:F|ft|fpm) \(\d[\d.]* (?:K|m|m/s)\)")
"""A fixed sentence that gives both systems, such as "6 ft (1.8 m)", serves either reader."""


@dataclass(frozen=True, slots=True)
class Run:
    """A run of the demo: where, and what it said."""

    folder: Path
    code: int
    out: str
    err: str


@pytest.fixture(scope="module")
def first_day(tmp_path_factory: pytest.TempPathFactory) -> Run:
    """The demo without options, as a process of its own in an empty folder."""
    folder = tmp_path_factory.mktemp("first-day")
    done = subprocess.run(
        [sys.executable, "-m", "ventwright", "demo"],
        cwd=folder,
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
        timeout=600,
        env=os.environ | {"PYTHONIOENCODING": "utf-8"},
    )
    return Run(folder, done.returncode, done.stdout, done.stderr)


@pytest.fixture(scope="module")
def in_si(tmp_path_factory: pytest.TempPathFactory) -> Run:
    """The demo in SI on A4 paper."""
    folder = tmp_path_factory.mktemp("si")
    words = ("demo", "--units", "si", "--paper", "a4", "--out", str(folder / "ventwright-demo"))
    done = subprocess.run(
        [sys.executable, "-m", "ventwright", *words],
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
        timeout=600,
        env=os.environ | {"PYTHONIOENCODING": "utf-8"},
    )
    return Run(folder, done.returncode, done.stdout, done.stderr)


@pytest.fixture(params=["first_day", "in_si"])
def run(request: pytest.FixtureRequest) -> Run:
    """Each of the two runs."""
    found: Run = request.getfixturevalue(request.param)
    return found


def folder(run: Run) -> Path:
    """Return the folder that the demo wrote."""
    return run.folder / "ventwright-demo"


def files_in(top: Path) -> list[str]:
    """Name every file below a folder."""
    return sorted(path.relative_to(top).as_posix() for path in top.rglob("*") if path.is_file())


def job_in(pdf: Path) -> bytes:
    """Return the job document that a PDF carries."""
    (content,) = PdfReader(io.BytesIO(pdf.read_bytes())).attachments["job.json"]
    return content


def test_it_ends_well_and_complains_of_nothing(run: Run) -> None:
    """The demo ends with 0 whatever its verdicts, and says nothing on the error output."""
    assert (run.code, run.err) == (0, "")


def test_it_writes_job_record_card_page_and_data(run: Run) -> None:
    """Of each of the two jobs five files, and no rest of any other."""
    assert files_in(folder(run)) == WRITTEN
    assert [path.name for path in run.folder.iterdir()] == ["ventwright-demo"]


def test_it_names_every_file_in_a_line_of_its_own(run: Run) -> None:
    """What was written can be copied from the screen."""
    lines = run.out.splitlines()
    for name in set(WRITTEN) - {NAME, LATER}:
        assert [
            line for line in lines if line.endswith(f"ventwright-demo{os.sep}{name.replace('/', os.sep)}")
        ], name


def test_it_goes_from_facts_to_record(run: Run) -> None:
    """The stages are shown in their order."""
    headings = (
        "Plan: unit R-2",
        "Settings",
        "What the code asks",
        "To prove",
        "Readings",
        "What the readings show",
        "Record",
    )
    places = [run.out.index(f"\n{heading}") for heading in headings]
    assert places == sorted(places)


def test_it_says_that_it_is_invented(run: Run) -> None:
    """In its first line, in the plan, in the page and in the data."""
    assert run.out.startswith("An invented job: unit, site, kit, people and readings exist nowhere.")
    assert "(invented example)" in run.out
    assert "invented example" in (folder(run) / "record.html").read_text(encoding="utf-8")
    assert json.loads((folder(run) / "record.json").read_bytes())["invented"] is True


def test_the_job_beside_it_is_the_one_that_is_shipped(run: Run) -> None:
    """The copy is byte for byte ours, passes `check`, and is there to be changed."""
    assert (folder(run) / NAME).read_bytes() == SHIPPED.read_bytes()
    assert main(["check", str(folder(run) / NAME)]) == 0


@pytest.mark.parametrize("pdf", ["record.pdf", "card.pdf"])
def test_each_pdf_carries_the_job(run: Run, pdf: str) -> None:
    """The attached document reads back as the same job, so that record and card alone are enough to compute again."""
    assert read_job(json.loads(job_in(folder(run) / pdf))) == load(SHIPPED).job


def test_the_data_carry_the_job_and_its_digest(run: Run) -> None:
    """The SHA-256 in the data is that of the attached bytes."""
    data = json.loads((folder(run) / "record.json").read_bytes())
    attached = job_in(folder(run) / "record.pdf")
    assert data["sha256_of_job"] == sha256(attached).hexdigest()
    assert data["job"] == json.loads(attached)
    assert {"schema_version", "made", "made_with", "plan", "verdicts"} <= set(data)


@pytest.mark.parametrize("pdf", ["record.pdf", "card.pdf"])
def test_the_paper(first_day: Run, in_si: Run, pdf: str) -> None:
    """Letter without a word, A4 when asked for; the card is one sheet."""
    for run, size in ((first_day, (612, 792)), (in_si, (595, 842))):  # points: 8.5 by 11 in; 210 by 297 mm
        pages = PdfReader(folder(run) / pdf).pages
        for page in pages:
            assert (round(float(page.mediabox.width)), round(float(page.mediabox.height))) == size
        assert len(pages) == 1 or pdf == "record.pdf"


def test_the_units(first_day: Run, in_si: Run) -> None:
    """In SI no US unit is left on the page, but where a person typed it or a fixed sentence gives both."""
    page = re.sub(r"<[^>]*>", "", (folder(in_si) / "record.html").read_text(encoding="utf-8"))
    job = load(SHIPPED).job
    for typed in (job.record.next_check, *(one.what for one in job.verdict.deficiencies)):
        page = page.replace(typed, "")
    left = [line.strip() for line in page.splitlines() if US_UNITS.search(BOTH.sub("", line))]
    assert [line for line in left if not OF_THE_TABLES.search(line)] == []
    assert "°C" in page
    assert "°F" in (folder(first_day) / "record.html").read_text(encoding="utf-8")


OF_THE_TABLES = re.compile(r"modelling tool|band, Btu/lb")
"""Remarks of the code tables that are fixed texts with their own units."""


def test_it_runs_again_over_its_own_files(first_day: Run, capsys: pytest.CaptureFixture[str]) -> None:
    """A second run into the same folder replaces the files, and leaves no others."""
    assert main(["demo", "--out", str(folder(first_day))]) == 0
    assert capsys.readouterr().err == ""
    assert files_in(folder(first_day)) == WRITTEN


def test_it_does_not_write_over_a_job_that_was_changed(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Who changed the job to try something does not lose it to the next demo."""
    job = tmp_path / NAME
    mine = SHIPPED.read_text(encoding="utf-8").replace("60 %", "65 %")
    job.write_text(mine, encoding="utf-8")
    assert main(["demo", "--out", str(tmp_path)]) == 2
    assert capsys.readouterr().err == (
        f'ventwright: "{job}" is not the demo job any more; accepted: another folder by --out, or this file taken away; '
        "a changed job is shown by the other commands.\n"
    )
    assert job.read_text(encoding="utf-8") == mine
    assert [path.name for path in tmp_path.iterdir()] == [NAME]
