"""A backup holds everything as it stood at one moment, and either database gives and takes it."""

from __future__ import annotations

import asyncio
import json
import stat
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from zipfile import ZipFile

import pytest
from tests.either import At
from tests.postgres import Server

from ventwright.cli import main
from ventwright.store.backup import LIST, back_up, bring_back
from ventwright.store.database import Rows, Table, database_at
from ventwright.store.history import Pen
from ventwright.store.jobs import Jobs
from ventwright.store.photos import Picture
from ventwright.store.shop import Shop

SMALL: dict[str, Any] = {"schema_version": 1, "id": "t-1", "facts": {"unit": {"tag": "T-1"}, "site": {"name": "Nöwhere ± 1"}}}  # fmt: skip
PICTURE = Picture(bytes(range(256)) * 40, b"\x00\xff", 64, 40)


def filled(where: Path | str) -> None:
    """Keep something of every kind in a store."""

    async def kept() -> None:
        jobs = Jobs(where)
        await jobs.create(SMALL, device="van", by="Kim")
        pen = Pen(await jobs.history("t-1"), device="van")
        for number in range(130):
            pen.append("readings.entries", {"id": f"e{number}", "note": 'tab\t, quote ", ± °F'})
        await jobs.add(pen.changes)
        await jobs.archive("t-1")
        await jobs.photos.keep("t-1", PICTURE)
        await jobs.set_setting("units", "si")
        await jobs.put_file("kit.yaml", b"id: ours\n", "t-1")
        shop = Shop(jobs)
        async with shop.statements.writing() as run:
            person = await shop.people.add(run, "kim", "Kim", "reviewer", "a hash")
        await shop.tokens.give("device", person.id, made_by=person.id, label="phone")
        await shop.holdings.give("t-1", person.id, made_by=person.id)
        await shop.trail.note("entered", person=person.id, job="t-1")
        jobs.close()

    asyncio.run(kept())


def content(where: Path | str) -> dict[str, list[tuple[Any, ...]]]:
    """Return every row of every table."""

    async def read() -> dict[str, list[tuple[Any, ...]]]:
        database = database_at(where)

        async def rows(at: Rows) -> dict[str, list[tuple[Any, ...]]]:
            return {one.name: sorted(await at.all(_all_of(one)), key=repr) for one in tables}

        tables = await database.tables()
        found = await database.snapshot(rows)
        database.close()
        return found

    return asyncio.run(read())


def _all_of(table: Table) -> str:
    return f"select {', '.join(sorted(table.columns))} from {table.name}"  # noqa: S608 - its own names


@pytest.fixture
def backup(at: At, tmp_path: Path) -> tuple[Path | str, Path]:
    """Return a store with something of every kind in it, and a backup of it."""
    where = at(tmp_path / "kept" / "jobs.sqlite3")
    filled(where)
    asyncio.run(back_up(where, tmp_path / "one.backup"))
    return where, tmp_path / "one.backup"


def test_everything_comes_back(backup: tuple[Path | str, Path], at: At, tmp_path: Path) -> None:
    """Every row of every table, into the same kind of database; and nothing that is kept is left out of the test."""
    where, file = backup
    there = at(tmp_path / "again" / "jobs.sqlite3")
    copied = asyncio.run(bring_back(file, there))
    assert content(there) == content(where)
    assert copied.rows["change"] == 131
    empty = {name for name, rows in content(where).items() if not rows}
    assert empty <= {"looked", "tries", "told", "photo_part"}
    assert stat.S_IMODE(file.stat().st_mode) == 0o600


def test_a_shop_moves_to_the_other_database(
    backup: tuple[Path | str, Path], tmp_path: Path, postgres_server: Server
) -> None:
    """What came from a file goes to PostgreSQL, and the other way about, as it was."""
    where, file = backup
    there: Path | str = postgres_server.lend() if isinstance(where, Path) else tmp_path / "moved.sqlite3"
    asyncio.run(bring_back(file, there))
    assert content(there) == content(where)
    jobs = Jobs(there)
    picture = asyncio.run(jobs.photos.picture("t-1", PICTURE.name))
    assert picture == PICTURE
    jobs.close()
    if isinstance(there, str):
        postgres_server.take_back(there)


WRITER = """
import asyncio, sys
from ventwright.store.history import Pen
from ventwright.store.jobs import Jobs

async def write():
    jobs = Jobs(sys.argv[1])
    for number in range(10_000):
        pen = Pen(await jobs.history("t-1"), device="other")
        pen.append("readings.entries", {"id": "w" + str(number)})
        await jobs.add(pen.changes)
        if not number:
            print("writes", flush=True)

asyncio.run(write())
"""


@pytest.fixture
def written_to(backup: tuple[Path | str, Path]) -> Iterator[Path | str]:
    """Return a store into which another process writes all the time."""
    where, _ = backup
    writer = subprocess.Popen([sys.executable, "-c", WRITER, str(where)], stdout=subprocess.PIPE, text=True)
    assert writer.stdout is not None
    writer.stdout.readline()
    yield where
    writer.kill()
    writer.communicate()


def test_it_is_of_one_moment_while_others_write(written_to: Path | str, tmp_path: Path) -> None:
    """The list of jobs, the changes and the count of arrivals agree with one another in every copy."""
    counts = []
    for number in range(5):
        file = tmp_path / f"{number}.backup"
        asyncio.run(back_up(written_to, file))
        with ZipFile(file) as archive:
            rows = {
                name: [json.loads(line) for line in archive.read(f"tables/{name}.jsonl").splitlines()]
                for name in ("change", "job", "arrival")
            }
        (job,) = rows["job"]
        assert rows["arrival"] == [["change", len(rows["change"])]]
        assert (
            len(rows["change"]) == job[-1] == job[-2] - 1 + 130
        )  # a revision for each write, the first of 130
        counts.append(len(rows["change"]))
    assert counts[0] < counts[-1]


def test_what_others_keep_beside_it_is_left_out(
    backup: tuple[Path | str, Path], at: At, tmp_path: Path
) -> None:
    """A table of another program in the same database, such as findings of logs, is neither copied nor in the way."""
    where, _ = backup
    database = database_at(where)
    asyncio.run(database.write(lambda at_it: at_it.run("create table theirs (a text)")))
    database.close()
    copied = asyncio.run(back_up(where, tmp_path / "two.backup"))
    assert "theirs" not in copied.rows
    asyncio.run(bring_back(tmp_path / "two.backup", at(tmp_path / "again" / "jobs.sqlite3")))
    database = database_at(where)
    asyncio.run(database.write(lambda at_it: at_it.run("drop table theirs")))
    database.close()


def test_an_older_backup_is_brought_to_the_present_form(at: At, tmp_path: Path) -> None:
    """A backup from before there were accounts."""
    older, file = tmp_path / "older.sqlite3", tmp_path / "older.backup"
    database = database_at(older, up_to=2)

    async def kept(at_older: Rows) -> None:
        await at_older.run("insert into setting (name, value) values ('units', '\"si\"')")

    asyncio.run(database.write(kept))
    database.close()
    asyncio.run(back_up(older, file))
    with ZipFile(file) as archive:
        assert json.loads(archive.read(LIST))["version"] == 2
    there = at(tmp_path / "present.sqlite3")
    asyncio.run(bring_back(file, there))
    jobs = Jobs(there)
    assert asyncio.run(jobs.setting("units")) == "si"
    assert asyncio.run(Shop(jobs).people.all()) == ()
    jobs.close()


def test_by_command(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """One command each; what was ended since is spoken of."""
    filled(tmp_path / "one" / "jobs.sqlite3")
    file = tmp_path / "friday.backup"
    assert main(["backup", "--data", str(tmp_path / "one"), "--to", str(file)]) == 0
    assert "holds 1 jobs with 131 changes, 1 photos and 1 accounts" in " ".join(
        capsys.readouterr().out.split()
    )
    assert main(["restore", str(file), "--data", str(tmp_path / "two")]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "1 jobs with 131 changes, 1 photos and 1 accounts are back as of 20" in said
    assert "Whatever was ended since then lets somebody in again" in said
    assert content(tmp_path / "one" / "jobs.sqlite3") == content(tmp_path / "two" / "jobs.sqlite3")


def test_the_address_may_come_from_the_environment(
    fresh_postgres_url: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """So that a password stands in no list of processes; a folder that is named counts more."""
    filled(tmp_path / "one" / "jobs.sqlite3")
    monkeypatch.setenv("VENTWRIGHT_DATABASE", fresh_postgres_url)
    file = tmp_path / "one.backup"
    assert main(["backup", "--data", str(tmp_path / "one"), "--to", str(file)]) == 0
    assert main(["restore", str(file)]) == 0
    assert content(fresh_postgres_url) == content(tmp_path / "one" / "jobs.sqlite3")
