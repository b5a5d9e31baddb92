"""The store on PostgreSQL where it differs from a file: several writers, connections that break, a server that was away."""

from __future__ import annotations

import asyncio
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import psycopg
import pytest
from tests.either import At
from tests.postgres import Server, programs

from ventwright.errors import Refused
from ventwright.store import postgres
from ventwright.store.database import Rows, database_at
from ventwright.store.history import History, Pen
from ventwright.store.jobs import Jobs
from ventwright.store.postgres import MOST, Postgres
from ventwright.store.seeing import Seeing
from ventwright.store.seen import SeenJobs
from ventwright.store.shop import Shop

SMALL: dict[str, Any] = {"schema_version": 1, "id": "t-1", "facts": {"unit": {"tag": "T-1"}}}
DYING = """
create table dying (a text);
create function die() returns trigger language plpgsql as
  $$ begin perform pg_terminate_backend(pg_backend_pid()); return null; end $$;
create constraint trigger dies after insert on dying deferrable initially deferred for each row execute function die();
"""


@pytest.fixture
def jobs(fresh_postgres_url: str) -> Iterator[Jobs]:
    """Return a store on a server, with a job."""
    store = Jobs(fresh_postgres_url)
    asyncio.run(store.create(SMALL, device="van"))
    yield store
    store.close()


def on_server(jobs: Jobs) -> Postgres:
    """Return the database of a store."""
    assert isinstance(jobs.database, Postgres)
    return jobs.database


async def entered(jobs: Jobs, number: int) -> None:
    """Append a reading."""
    pen = Pen(await jobs.history("t-1"), device=f"d{number}")
    pen.append("readings.entries", {"id": f"e{number}"})
    await jobs.add(pen.changes)


def entries(jobs: Jobs) -> list[str]:
    """Return the ids of the readings that are kept."""
    return sorted(
        one["id"] for one in asyncio.run(jobs.document("t-1")).get("readings", {}).get("entries", [])
    )


def test_a_file_needs_no_driver_of_a_server(tmp_path: Path) -> None:
    """A store in a file is opened, written and read without psycopg."""
    code = (
        "import asyncio, sys; from ventwright.store.jobs import Jobs; jobs = Jobs(sys.argv[1]);"
        "asyncio.run(jobs.set_setting('units', 'si')); jobs.close(); print('psycopg' in sys.modules)"
    )
    command = [sys.executable, "-c", code, str(tmp_path / "jobs.sqlite")]
    assert subprocess.run(command, capture_output=True, text=True, check=True).stdout.strip() == "False"


def test_many_tasks_at_once(at: At, tmp_path: Path) -> None:
    """More than there are connections; each entry once, each with a mark of its own, in a row."""
    store = Jobs(at(tmp_path / "jobs.sqlite"))

    async def all_of_them() -> list[int]:
        await store.create(SMALL, device="van")
        await asyncio.gather(*(entered(store, number) for number in range(5 * MOST)))
        return [mark for mark, _ in await store.arrived_after(0)]

    marks = asyncio.run(all_of_them())
    assert marks == list(range(1, 5 * MOST + 2))
    assert entries(store) == sorted(f"e{number}" for number in range(5 * MOST))
    assert asyncio.run(store.row("t-1")).revision == 5 * MOST + 1
    store.close()


def test_of_two_that_open_the_same_job_one_is_refused(at: At, tmp_path: Path) -> None:
    """Looked up and inserted in one go, also where other tasks come between."""
    store = Jobs(at(tmp_path / "jobs.sqlite"))

    async def both() -> list[Any]:
        making = (store.create(SMALL, device=device) for device in ("van", "roof"))
        return await asyncio.gather(*making, return_exceptions=True)

    done = asyncio.run(both())
    assert sorted(type(one).__name__ for one in done) == ["Refused", "str"]
    assert len(asyncio.run(store.changes("t-1"))) == 1
    store.close()


def test_of_two_whose_phones_bring_the_same_new_job_one_gets_it(at: At, tmp_path: Path) -> None:
    """Nobody comes to see or change the job of another by being looked up a moment earlier."""
    store = Jobs(at(tmp_path / "jobs.sqlite"))
    shop = Shop(store)

    def brought_by(person: str) -> Any:
        pen = Pen(History("t-1"), device=person)
        pen.put("", SMALL | {"id": "t-1"})
        seen = SeenJobs(shop, Seeing(person=person, name=person, role="technician"))
        return seen.add(pen.changes)

    async def both() -> list[Any]:
        return await asyncio.gather(*map(brought_by, ("kim", "tim")), return_exceptions=True)

    done = asyncio.run(both())
    assert sorted(type(one).__name__ for one in done) == ["Refused", "tuple"]
    assert len(asyncio.run(store.changes("t-1"))) == 1
    assert len(asyncio.run(shop.holdings.people_of("t-1"))) == 1
    store.close()


def test_a_setting_that_several_change_loses_nothing(at: At, tmp_path: Path) -> None:
    """What follows from what is there is worked out and kept beside no other."""
    store = Jobs(at(tmp_path / "jobs.sqlite"))

    async def counted() -> None:
        await asyncio.gather(*(store.change_setting("n", lambda n: (n or 0) + 1) for _ in range(30)))

    asyncio.run(counted())
    assert asyncio.run(store.setting("n")) == 30
    store.close()


def test_connections_that_broke_are_made_anew(jobs: Jobs, postgres_server: Server) -> None:
    """Those that lie idle were ended on the server: nobody notices."""

    async def several() -> None:
        await asyncio.gather(*(entered(jobs, number) for number in range(MOST)))

    asyncio.run(several())
    postgres_server.tell("select pg_terminate_backend(pid) from pg_stat_activity where application_name = 'ventwright'")  # fmt: skip
    asyncio.run(entered(jobs, 100))
    assert "e100" in entries(jobs)


def test_a_transaction_that_broke_is_done_again(jobs: Jobs) -> None:
    """Cut off in the middle; all of it is there once."""
    cut = list[bool]()

    async def work(at: Rows) -> int:
        await at.run("insert into setting (name, value) values ('once', '1')")
        if not cut:
            cut.append(True)
            await at.one("select pg_terminate_backend(pg_backend_pid())")
        return 7

    assert asyncio.run(jobs.database.write(work)) == 7
    assert asyncio.run(jobs.setting("once")) == 1


def test_a_commit_of_which_nothing_was_heard(jobs: Jobs) -> None:
    """It is not said to be kept, and not done again; the sentence says what to do."""

    async def work(at: Rows) -> None:
        tried.append(True)
        await at.run("insert into dying (a) values ('x')")

    tried: list[bool] = []
    with psycopg.connect(on_server(jobs)._url) as connection:
        connection.execute(DYING.encode())
    with pytest.raises(Refused) as caught:
        asyncio.run(jobs.database.write(work))
    assert caught.value.refusals[0].sentence == (
        f"{jobs.database.name}: broke off while this was being saved, so that it may be kept or not; accepted: a look"
        " whether it is there, and the same once more where it is not."
    )
    assert tried == [True]
    assert asyncio.run(jobs.jobs())


def test_what_is_stopped_in_the_middle_leaves_nothing(jobs: Jobs) -> None:
    """A task that is cancelled, and one that fails: the rows are as before, and the place of the writer is free."""

    async def waits(at: Rows) -> None:
        await at.run("insert into setting (name, value) values ('x', '1')")
        await at.one("select pg_sleep(60)")

    async def fails(at: Rows) -> None:
        await at.run("insert into setting (name, value) values ('x', '1')")
        raise LookupError

    async def story() -> None:
        task = asyncio.create_task(jobs.database.write(waits))
        await asyncio.sleep(0.3)
        task.cancel()
        with pytest.raises(asyncio.CancelledError):
            await task
        with pytest.raises(LookupError):
            await jobs.database.write(fails)
        await asyncio.wait_for(entered(jobs, 1), 2)

    asyncio.run(story())
    assert asyncio.run(jobs.setting("x")) is None
    assert entries(jobs) == ["e1"]


def test_a_server_that_starts_anew_is_waited_for(monkeypatch: pytest.MonkeyPatch) -> None:
    """Its power was cut while somebody entered; what was acknowledged is there, and the next entry waits for it."""
    monkeypatch.setattr(postgres, "WAIT", 60.0)  # a busy machine starts it slowly
    found = programs()
    if found is None:
        pytest.skip("PostgreSQL: no server's programs on this machine")
    server = Server(found)
    jobs = Jobs(server.fresh())
    try:
        asyncio.run(jobs.create(SMALL, device="van"))
        asyncio.run(entered(jobs, 1))
        server.kill()
        back = threading.Timer(0.5, server.start)
        back.start()
        started = time.monotonic()
        asyncio.run(entered(jobs, 2))
        assert time.monotonic() - started > 0.4
        back.join()
        assert entries(jobs) == ["e1", "e2"]
    finally:
        jobs.close()
        server.close()


def test_connections_are_let_go(fresh_postgres_url: str) -> None:
    """Nothing of a closed store is left on the server."""
    database = database_at(fresh_postgres_url)

    async def at_once() -> None:
        await asyncio.gather(*(database.read(lambda at: at.one("select pg_sleep(0.01)")) for _ in range(20)))

    asyncio.run(at_once())
    with psycopg.connect(fresh_postgres_url, autocommit=True) as other:
        ours = "select count(*) from pg_stat_activity where datname = current_database() and pid <> pg_backend_pid()"
        assert other.execute(ours).fetchone() == (MOST,)
        database.close()
        for _ in range(200):
            if (left := other.execute(ours).fetchone()) == (0,):
                break
            time.sleep(0.01)
        assert left == (0,)
