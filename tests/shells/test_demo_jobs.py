"""The invented jobs that come along: a unit of each kind, a job in each state, each as its own pages show it."""

from __future__ import annotations

import asyncio
from collections.abc import Iterator
from pathlib import Path

import pytest
from tests.web_client import Client, words

from ventwright.cli.serve import invented_jobs
from ventwright.store.exchange import read_copy
from ventwright.web.standing import standing_of

STATES = {
    "demo-heron-quay-v-3": ("plan", "balance"),  # planned, nobody was there
    "demo-osier-lane-e-5": ("balance", "balance"),
    "demo-alder-bench-hp-1": ("restore", "restore"),
    "demo-tern-yard-u-4": ("record", "balance"),
    "demo-larkspur-row-r-2": ("record", "balance"),
}
"""Of each job the stage that was got to, and the one that is not done."""


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Client]:
    """The app with every invented job."""
    made = Client(tmp_path_factory.mktemp("demo"))
    for content in invented_jobs():
        asyncio.run(made.jobs.create(read_copy(content.decode(), "demo"), device="demo"))
    yield made
    made.jobs.close()


def test_there_is_a_unit_of_each_kind(client: Client) -> None:
    """One, two and variable fan speeds; gas, electric and a heat pump; US and SI; low and high up."""
    jobs = [client.document(job) for job in STATES]
    assert all(job["invented"] for job in jobs)
    assert len({job["facts"]["unit"]["sheet"] for job in jobs}) == 4
    assert len({job["facts"]["kit"] for job in jobs}) == 4
    assert {job["units"] for job in jobs} == {"us", "si"}


@pytest.mark.parametrize("job", STATES)
def test_each_is_a_job_in_order(client: Client, job: str) -> None:
    """It works, and nothing in it is missing."""
    desk = client.app._application.state.desk  # type: ignore[attr-defined]
    opened = asyncio.run(desk.open(job))
    assert opened.lacking == ()
    stands = standing_of(opened, asyncio.run(desk.proof(opened)))
    reached, ahead = STATES[job]
    assert stands.stage(reached).mark != "none", stands
    assert stands.stage(ahead).mark != "done", stands
    assert "Invented example" in words(client.get(f"/jobs/{job}").text)


def test_they_are_in_different_states(client: Client) -> None:
    """No two of them look alike in the list."""
    desk = client.app._application.state.desk  # type: ignore[attr-defined]
    states = set()
    for job in STATES:
        opened = asyncio.run(desk.open(job))
        stands = standing_of(opened, asyncio.run(desk.proof(opened)))
        states.add(tuple(one.mark for one in stands.stages))
    assert len(states) == len(STATES)


def test_serving_them_again_leaves_what_was_changed(tmp_path: Path) -> None:
    """Who tried something in the demo finds it again."""
    from ventwright.cli.serve import _put_in
    from ventwright.store.history import Pen
    from ventwright.store.jobs import Jobs

    jobs = Jobs(tmp_path / "jobs.sqlite3")
    asyncio.run(_put_in(jobs, invented_jobs()))
    pen = Pen(asyncio.run(jobs.history("demo-heron-quay-v-3")), device="test")
    pen.put("facts.unit.tag", "V-4")
    asyncio.run(jobs.add(pen.changes))
    asyncio.run(_put_in(jobs, invented_jobs()))
    assert asyncio.run(jobs.row("demo-heron-quay-v-3")).tag == "V-4"
    assert len(asyncio.run(jobs.jobs())) == len(STATES)
    jobs.close()
