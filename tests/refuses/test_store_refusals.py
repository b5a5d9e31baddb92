"""What the store of jobs refuses, each in its exact sentence: files of others, damage, no room, unfit changes and names."""

from __future__ import annotations

import asyncio
import json
import sqlite3
from collections.abc import Callable, Coroutine
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from ventwright.cli import main
from ventwright.errors import Refused
from ventwright.store import database, sqlite
from ventwright.store.change import change_of
from ventwright.store.checking import checked
from ventwright.store.exchange import merge, read_copy
from ventwright.store.history import History, Pen
from ventwright.store.jobs import Jobs

START = datetime(2026, 11, 25, 9, 0, tzinfo=UTC)
SMALL: dict[str, Any] = {
    "schema_version": 1,
    "id": "t-1",
    "facts": {"kit": "two-speed-dry-bulb", "unit": {"tag": "T-1"}, "spaces": [{"name": "A"}]},
}
ID = "0123456789abcdef0123456789abcdef"
CHANGE: dict[str, Any] = {
    "id": ID, "job": "t-1", "number": 1, "at": "2026-11-25T09:00+00:00", "device": "van", "by": "", "do": "put",
    "path": "facts.unit.tag", "value": "T-2", "over": [],
}  # fmt: skip


def begun() -> History:
    """Return the history of a small invented job."""
    pen = Pen(History("t-1"), device="van", at=START)
    pen.put("", SMALL)
    return pen.history


def sentences(work: Callable[[], object]) -> list[str]:
    """Return what doing something is refused with."""
    with pytest.raises(Refused) as caught:
        work()
    return [refusal.sentence for refusal in caught.value.refusals]


def refused(work: Coroutine[Any, Any, object]) -> list[str]:
    """Return what a method of the store is refused with."""
    return sentences(lambda: asyncio.run(work))


def opened_file(jobs: Jobs) -> sqlite.Sqlite:
    """Return the file of a store."""
    assert isinstance(jobs.database, sqlite.Sqlite)
    return jobs.database


# the file


def test_a_newer_database(tmp_path: Path) -> None:
    """What a newer version wrote is left as it is."""
    path = tmp_path / "jobs.sqlite"
    Jobs(path).close()
    connection = sqlite3.connect(path)
    connection.execute("pragma user_version = 999")
    connection.close()
    assert sentences(lambda: Jobs(path)) == [
        f"{path}: was written by a newer Ventwright; accepted: an update of Ventwright."
    ]


def test_a_database_of_another_program(tmp_path: Path) -> None:
    """Not one of its tables is touched."""
    path = tmp_path / "other.sqlite"
    connection = sqlite3.connect(path)
    connection.execute("create table theirs (a text)")
    connection.close()
    before = path.read_bytes()
    assert sentences(lambda: Jobs(path)) == [
        f"{path}: is a database of another program; accepted: a file of jobs, or a new name."
    ]
    assert path.read_bytes() == before


def test_a_file_that_is_no_database(tmp_path: Path) -> None:
    """A file that was overwritten is left as it is."""
    path = tmp_path / "jobs.sqlite"
    path.write_bytes(b"no database at all, but long enough to be looked at. " * 100)
    before = path.read_bytes()
    assert sentences(lambda: Jobs(path)) == [
        f"{path}: is no database, or is damaged; accepted: a copy of it from before, or another file; the damaged one is left as it is."
    ]
    assert path.read_bytes() == before


def test_a_database_with_a_damaged_middle(tmp_path: Path) -> None:
    """Where pages are gone the damage is said, not a traceback."""
    path = tmp_path / "jobs.sqlite"
    jobs = Jobs(path)
    asyncio.run(jobs.create(SMALL | {"note": "x" * 200_000}, device="van"))
    jobs.close()
    content = path.read_bytes()
    path.write_bytes(content[:4096] + b"\xff" * (len(content) - 4096))
    assert sentences(lambda: Jobs(path)) == [
        f"{path}: is damaged; accepted: a copy of it from before, or another file; the damaged one is left as it is."
    ]


def test_a_damaged_database_is_not_migrated(tmp_path: Path) -> None:
    """Before a migration the whole file is looked through; nothing is done to one that is damaged."""
    path = tmp_path / "jobs.sqlite"
    jobs = Jobs(path)
    asyncio.run(jobs.create(SMALL | {"note": "x" * 200_000}, device="van"))
    jobs.close()
    content = path.read_bytes()
    path.write_bytes(content[:-8192] + b"\xff" * 8192)
    steps = (
        *database.migrations(),
        database.Migration(len(database.migrations()) + 1, "create table more (a text);\n"),
    )
    (sentence,) = sentences(lambda: sqlite.opened(path, steps=steps))
    assert sentence.startswith(f"{path}: is damaged; accepted:")
    assert list(tmp_path.glob("*version*")) == []


def test_a_folder_that_cannot_be_made(tmp_path: Path) -> None:
    """A file stands where the folder would have to."""
    (tmp_path / "file").touch()
    path = tmp_path / "file" / "jobs.sqlite"
    assert sentences(lambda: Jobs(path)) == [
        f"{path}: cannot be written (file exists); accepted: a folder that can be written to."
    ]


def test_a_name_that_is_a_folder(tmp_path: Path) -> None:
    """A folder is no file of jobs."""
    assert sentences(lambda: Jobs(tmp_path)) == [
        f"{tmp_path}: cannot be opened; accepted: a folder that can be written to."
    ]


def test_a_full_disk(tmp_path: Path) -> None:
    """What finds no room is refused whole; what was acknowledged stays, and with room it goes on."""
    path = tmp_path / "jobs.sqlite"
    jobs = Jobs(path)
    asyncio.run(jobs.create(SMALL, device="van"))
    before = asyncio.run(jobs.changes("t-1"))
    connection = opened_file(jobs).connection
    pages = connection.execute("pragma page_count").fetchone()[0]
    connection.execute(f"pragma max_page_count = {pages}")
    pen = Pen(asyncio.run(jobs.history("t-1")), device="van", at=START)
    for number in range(200):
        pen.append("readings.entries", {"id": f"t{number}", "note": "x" * 500})
    assert refused(jobs.add(pen.changes)) == [
        f"{path}: cannot be written (no space left); accepted: some room on the disk, then the same once more; what was acknowledged before is kept."
    ]
    assert asyncio.run(jobs.changes("t-1")) == before
    connection.execute("pragma max_page_count = 1000000")
    assert len(asyncio.run(jobs.add(pen.changes))) == 200
    jobs.close()


def test_a_file_that_may_only_be_read(tmp_path: Path) -> None:
    """Entries are refused where nothing can be kept."""
    path = tmp_path / "jobs.sqlite"
    jobs = Jobs(path)
    opened_file(jobs).connection.execute("pragma query_only = on")
    assert refused(jobs.create(SMALL, device="van")) == [
        f"{path}: cannot be written (it may only be read); accepted: a folder that can be written to."
    ]
    jobs.close()


def test_another_process_that_keeps_writing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """After the wait the entry is refused, and the person can send it again."""
    monkeypatch.setattr(sqlite, "WAIT", 0.05)
    path = tmp_path / "jobs.sqlite"
    jobs = Jobs(path)
    other = sqlite3.connect(path, isolation_level=None)
    other.execute("begin immediate")
    assert refused(jobs.create(SMALL, device="van")) == [
        f"{path}: is being written by someone else; accepted: the same once more in a moment."
    ]
    other.execute("rollback")
    assert asyncio.run(jobs.create(SMALL, device="van")) == "t-1"
    other.close()
    jobs.close()


# jobs


def test_a_job_that_is_not_here(tmp_path: Path) -> None:
    """Every method that names a job says so."""
    jobs = Jobs(tmp_path / "jobs.sqlite")
    sentence = ['"t-9" is no job here; accepted: the id of a job in the list.']
    for work in (jobs.document, jobs.changes, jobs.row, jobs.last_number, jobs.archive, jobs.unarchive):
        assert refused(work("t-9")) == sentence
    jobs.close()


def test_a_job_that_is_here_already(tmp_path: Path) -> None:
    """It is never written over; what else can be done with the file is said."""
    jobs = Jobs(tmp_path / "jobs.sqlite")
    asyncio.run(jobs.create(SMALL, device="van"))
    assert refused(jobs.create(SMALL | {"facts": {}}, device="van")) == [
        'id: "t-1" is a job that is here already; accepted: the two merged, or this one as a copy with an id of its own.'
    ]
    assert asyncio.run(jobs.document("t-1")) == SMALL
    assert refused(jobs.create({"id": 7, "facts": {}}, device="van")) == [
        'id: "7" is no id of a job; accepted: a text.'
    ]
    jobs.close()


def test_another_change_under_the_same_id(tmp_path: Path) -> None:
    """Then none of them is added."""
    jobs = Jobs(tmp_path / "jobs.sqlite")
    asyncio.run(jobs.create(SMALL, device="van"))
    asyncio.run(jobs.add([change_of(CHANGE)]))
    before = asyncio.run(jobs.changes("t-1"))
    fresh = change_of(CHANGE | {"id": "f" * 32})
    assert refused(jobs.add([fresh, change_of(CHANGE | {"value": "T-3"})])) == [
        f'id: "{ID}" is another change that is here already; accepted: an id that is made anew for every change.'
    ]
    assert asyncio.run(jobs.changes("t-1")) == before
    jobs.close()


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("- a\n- b\n", "copy.yaml: holds no job; accepted: a document with facts, as Ventwright writes it."),
        (
            "facts: none\n",
            "copy.yaml: holds no job; accepted: a document with facts, as Ventwright writes it.",
        ),
        (
            "schema_version: 99\nfacts: {}\n",
            'schema_version: "99" was written by a newer Ventwright; accepted: an update of Ventwright.',
        ),
        (
            "facts: {kit: /etc/kit.yaml}\n",
            'facts.kit: "/etc/kit.yaml" leads out of the job\'s own files; accepted: the name of a file beside the job, without folders.',
        ),
        (
            "facts: {truck: [a, ' ../b.json ']}\n",
            'facts.truck[2]: "../b.json" leads out of the job\'s own files; accepted: the name of a file beside the job, without folders.',
        ),
        (
            "facts: {site: {weather_file: /etc/passwd}}\n",
            'facts.site.weather_file: "/etc/passwd" leads out of the job\'s own files; accepted: the name of a file beside the job, without folders.',
        ),
    ],
    ids=["a list", "no facts", "a newer one", "a path", "a path upwards", "weather"],
)
def test_a_copy_that_is_not_taken_in(text: str, sentence: str) -> None:
    """What is no job, or would read files of the machine it comes to."""
    assert sentences(lambda: read_copy(text, "copy.yaml")) == [sentence]


def test_a_copy_of_another_job_is_not_merged() -> None:
    """Two units are never mixed."""
    pen = Pen(begun(), device="van", at=START)
    assert sentences(lambda: merge(pen, SMALL | {"id": "t-2"})) == [
        'id: "t-2" is another job; accepted: a copy of t-1, or this one taken in as a job of its own.'
    ]


def test_a_change_that_names_a_file_elsewhere(tmp_path: Path) -> None:
    """A path typed into a field is refused too, before anything is read there."""
    pen = Pen(begun(), device="van", at=START)
    pen.put("facts.unit.sheet", "/etc/sheet.yaml")
    assert sentences(lambda: checked(begun(), pen.changes, tmp_path)) == [
        'facts.unit.sheet: "/etc/sheet.yaml" leads out of the job\'s own files; accepted: the name of a file beside the job, without folders.'
    ]


# changes


@pytest.mark.parametrize(
    ("wrong", "what"),
    [
        ({"id": "x"}, "id: is no id of 32 hexadecimal digits"),
        ({"number": -1}, "number: is no whole number from 0"),
        ({"number": True}, "number: is no whole number from 0"),
        ({"number": 2**60}, "number: is no whole number from 0"),
        ({"at": "yesterday"}, "at: is no time"),
        ({"at": 7}, "at: is no time"),
        ({"at": "2026-11-25T09:00"}, "at: has no offset from UTC"),
        ({"do": "delete"}, "do: is not put, append or undo"),
        ({"do": ["put"]}, "do: is not put, append or undo"),
        ({"job": ""}, "job: is left blank"),
        ({"device": None}, "device: is no text"),
        ({"over": "all"}, "over: is no list of ids"),
        ({"over": [1]}, "over: is no list of ids"),
        ({"path": "", "value": "x"}, "value: is no document"),
        ({"path": "", "do": "append"}, "path: names no list"),
        ({"do": "undo", "value": 1}, "value: is no id of a change"),
        ({"value": float("nan")}, "value: cannot be written as JSON"),
        ({"value": "\ud800"}, "value: cannot be written as JSON"),
        ({"colour": "red"}, "colour: is not known here"),
    ],
    ids=str,
)
def test_a_change_that_is_none(wrong: dict[str, Any], what: str) -> None:
    """What came from another device is looked at before it is kept."""
    assert sentences(lambda: change_of(CHANGE | wrong)) == [
        f"{what}; accepted: a change as Ventwright writes it."
    ]


def test_a_change_without_its_parts() -> None:
    """What is missing is named; a list is no change."""
    short = {key: value for key, value in CHANGE.items() if key != "at"}
    assert sentences(lambda: change_of(short)) == [
        "at: is missing; accepted: a change as Ventwright writes it."
    ]
    assert sentences(lambda: change_of([])) == [
        "is no part with keys; accepted: a change as Ventwright writes it."
    ]


@pytest.mark.parametrize(
    "place", ["facts..tag", "[1]", "facts.spaces[", "facts.spaces[]", "facts spaces]", ".facts"]
)
def test_a_place_that_is_none(place: str) -> None:
    """A place is keys with dots between them and items in brackets."""
    pen = Pen(begun(), device="van", at=START)
    assert sentences(lambda: pen.put(place, "x")) == [
        f'"{place}" is no place in a job; accepted: a place such as facts.unit.tag or facts.spaces[2].use.'
    ]


def test_a_place_that_is_not_in_the_job() -> None:
    """An item that is not in its list, a change that is none of the job's, and what stays as it is."""
    pen = Pen(begun(), device="van", at=START)
    for place in ("facts.spaces[2].name", "facts.spaces[0]", "facts.unit[1]", "facts.spaces[A]"):
        assert sentences(lambda place=place: pen.put(place, "x")) == [  # type: ignore[misc]
            f'"{place}" is not in this job; accepted: an item that is in its list.'
        ]
    assert sentences(lambda: pen.undo(ID)) == [
        f'"{ID}" is no change of this job; accepted: the id of one that is.'
    ]
    assert sentences(lambda: pen.put("id", "t-2")) == [
        '"id" stays as it is for the life of a job; accepted: another place.'
    ]
    assert pen.changes == ()


# files of a person's own


@pytest.mark.parametrize(
    "name",
    ["../kit.yaml", "a/b.yaml", "C:\\kit.yaml", "kit.exe", "", ".yaml", "kit\n.yaml", "k" * 200 + ".yaml"],
)
def test_a_name_that_no_own_file_has(tmp_path: Path, name: str) -> None:
    """Names with folders in them, of other kinds, hidden or endless."""
    jobs = Jobs(tmp_path / "jobs.sqlite")
    (sentence,) = refused(jobs.put_file(name, b"a: b\n"))
    accepted = "a name without folders that ends in .yaml, .yml, .json, .epw, .csv."
    assert sentence.endswith(f"is no name for an equipment or weather file; accepted: {accepted}")
    assert asyncio.run(jobs.own_files()) == {}
    jobs.close()


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"a" * 5_000_001, "kit.yaml: is too large; accepted: a file of at most 5 MB."),
        (b"\xff\xfe", "kit.yaml: is not a text file; accepted: an equipment file, in UTF-8."),
        (
            json.dumps({"board": "/etc/board.yaml"}).encode(),
            'kit.yaml: board: "/etc/board.yaml" leads out of the job\'s own files; accepted: the name of a file beside the job, without folders.',
        ),
    ],
    ids=["too large", "no text", "a path"],
)
def test_an_own_file_that_is_not_kept(tmp_path: Path, content: bytes, sentence: str) -> None:
    """Too large, no text, or leading out of its folder."""
    jobs = Jobs(tmp_path / "jobs.sqlite")
    assert refused(jobs.put_file("kit.yaml", content)) == [sentence]
    jobs.close()


def test_jobs_are_not_kept_in_a_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A file in the place of the folder for the jobs is said before anything is served."""
    taken = tmp_path / "jobs"
    taken.write_text("", encoding="utf-8")
    assert main(["serve", "--port", "0", "--data", str(taken)]) == 2
    assert capsys.readouterr().err == (
        f'ventwright: "{taken}" cannot be made (file exists); '
        "accepted: a folder that can be made and written to, named by --data.\n"
    )
