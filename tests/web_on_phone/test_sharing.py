"""Devices that share end equal, and nothing is lost on the way, whatever happens to the network, the clocks and the power."""

from __future__ import annotations

import asyncio
import json
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from tests.either import At
from tests.web_client import Client, words
from tests.web_on_phone.histories import FIRST, run_history

from ventwright.store.history import Pen
from ventwright.store.jobs import Jobs
from ventwright.store.sharing import (
    GOES_ON,
    MOST,
    OTHER_PROTOCOL,
    PROTOCOL,
    STANDS_STILL,
    NoPeer,
    answered,
    share,
    shared,
)
from ventwright.web.on_phone.engine import NO_ANSWER, NO_WAY, way_of_phone


@pytest.fixture
def two(at: At, tmp_path: Path) -> Iterator[tuple[Jobs, Jobs]]:
    """A phone and a server."""
    stores = Jobs(tmp_path / "phone.sqlite3"), Jobs(at(tmp_path / "server.sqlite3"))
    yield stores
    for one in stores:
        one.close()


def way_to(server: Jobs, sent: list[dict[str, Any]] | None = None) -> Any:
    """Return a way to a server that notes what goes over it."""

    async def send(message: dict[str, Any]) -> Any:
        text = json.dumps(message)
        if sent is not None:
            sent.append(json.loads(text))
        return json.loads(json.dumps(await answered(server, json.loads(text))))

    return send


@pytest.mark.parametrize("seed", range(20))
def test_three_devices_end_equal(seed: int, at: At, tmp_path: Path) -> None:
    run_history(seed, tmp_path, 25, at)


def test_what_came_from_the_server_is_not_sent_back(two: tuple[Jobs, Jobs]) -> None:
    phone, server = two

    async def story() -> list[dict[str, Any]]:
        await server.create(FIRST, device="server")
        await share(phone, "server", way_to(server))
        sent: list[dict[str, Any]] = []
        await share(phone, "server", way_to(server, sent))
        return sent

    sent = asyncio.run(story())
    assert not any(one["changes"] for one in sent)


def test_many_changes_go_in_bounded_pieces(two: tuple[Jobs, Jobs]) -> None:
    phone, server = two

    async def story() -> list[dict[str, Any]]:
        job = await phone.create(FIRST, device="phone")
        pen = Pen(await phone.history(job), device="phone")
        for number in range(2 * MOST):
            pen.append("readings.entries", {"kind": "tick", "note": str(number)})
        await phone.add(pen.changes)
        sent: list[dict[str, Any]] = []
        outcome = await share(phone, "server", way_to(server, sent))
        assert (outcome.waiting, outcome.problem) == (0, "")
        assert await server.document(job) == await phone.document(job)
        return sent

    assert max(len(one["changes"]) for one in asyncio.run(story())) == MOST


def test_another_protocol_is_said_and_nothing_is_exchanged(two: tuple[Jobs, Jobs]) -> None:
    phone, server = two

    async def newer(message: dict[str, Any]) -> Any:
        return await answered(server, message | {"protocol": PROTOCOL + 1})

    async def story() -> None:
        await phone.create(FIRST, device="phone")
        outcome = await share(phone, "server", newer)
        assert outcome.problem == OTHER_PROTOCOL
        assert outcome.waiting == 1
        assert await server.jobs() == ()
        assert (await share(phone, "server", way_to(server))).problem == ""
        assert len(await server.jobs()) == 1

    asyncio.run(story())


def test_what_the_server_does_not_take_keeps_nothing_else_back(two: tuple[Jobs, Jobs]) -> None:
    phone, server = two

    async def story() -> None:
        job = await phone.create(FIRST, device="phone")
        await share(phone, "server", way_to(server))
        pen = Pen(await phone.history(job), device="phone")
        mine, good = (
            pen.append("readings.entries", {"note": "mine"}),
            pen.append("readings.entries", {"note": "good"}),
        )
        await phone.add(pen.changes)
        await server.add([replace(mine, value={"note": "another under the same id"})])
        outcome = await share(phone, "server", way_to(server))
        assert dict(outcome.refused) == {mine.id: f'id: "{mine.id}" is another change that is here already; accepted: an id that is made anew for every change.'}  # fmt: skip
        assert good.id in {one.id for one in await server.changes(job)}

    asyncio.run(story())


def test_what_the_phone_does_not_take_keeps_nothing_else_back(two: tuple[Jobs, Jobs]) -> None:
    """One that cannot be read and one that is another here: the rest comes in, both are said, and neither is sent again."""
    phone, server = two

    async def story() -> None:
        job = await phone.create(FIRST, device="phone")
        await share(phone, "server", way_to(server))
        pen = Pen(await server.history(job), device="server")
        spoilt, other, good = (pen.append("readings.entries", {"note": note}) for note in "abc")
        await server.add(pen.changes)
        known = (await phone.changes(job))[0].id
        came: list[dict[str, Any]] = []

        async def spoiling(message: dict[str, Any]) -> Any:
            answer = await way_to(server)(message)
            for one in answer.get("changes", []):
                came.append(one["id"])
                if one["id"] == spoilt.id:
                    one["do"] = "sing"
                if one["id"] == other.id:
                    one["id"] = known
            return answer

        outcome = await share(phone, "server", spoiling)
        assert outcome.problem == ""
        assert dict(outcome.not_taken) == {
            spoilt.id: "do: is not put, append or undo; accepted: a change as Ventwright writes it.",
            known: f'id: "{known}" is another change that is here already; accepted: an id that is made anew for every change.',
        }  # fmt: skip
        assert good.id in {one.id for one in await phone.changes(job)}
        again = await share(phone, "server", spoiling)
        assert again.not_taken == outcome.not_taken
        assert len(came) == len(set(came))

    asyncio.run(story())


def test_what_an_older_app_did_not_take_comes_again_to_a_newer(
    two: tuple[Jobs, Jobs], monkeypatch: pytest.MonkeyPatch
) -> None:
    """It could not be read; another version of the app asks for it once more, and has it."""
    phone, server = two

    async def story() -> None:
        job = await server.create(FIRST, device="server")

        async def newer(message: dict[str, Any]) -> Any:
            answer = await way_to(server)(message)
            for one in answer.get("changes", []):
                one["do"] = "sing"
            return answer

        assert len((await share(phone, "server", newer)).not_taken) == len(await server.changes(job))
        monkeypatch.setattr("ventwright.store.sharing_kept.VERSION", "a newer one")
        assert (await share(phone, "server", way_to(server))).not_taken == {}
        assert await phone.document(job) == await server.document(job)

    asyncio.run(story())


EMPTY = {"changes": [], "refused": {}, "more": True}


@pytest.mark.parametrize("answers", ["other marks", "the same changes", "what is no change"])
def test_a_server_that_has_more_for_ever_ends_the_round(two: tuple[Jobs, Jobs], answers: str) -> None:
    """Nothing new comes, whatever else moves: it is said, what was sent and what came are kept, and the next try goes through."""
    phone, server = two
    rounds = 0

    async def endless(message: dict[str, Any]) -> Any:
        nonlocal rounds
        rounds += 1
        assert rounds < 50, "busy without end"
        answer = await way_to(server)(message | {"store": "", "mark": [0, ""]})
        came = [one.as_data() for one in await server.changes("of-the-server")]
        sent = {"other marks": [], "the same changes": came, "what is no change": [{"id": "x" * 32}, 7]}
        return answer | EMPTY | {"changes": sent[answers], "mark": [1_000_000 + rounds, f"made-up-{rounds}"]}

    async def story() -> None:
        own = await phone.create(FIRST, device="phone")
        there = await server.create(FIRST | {"id": "of-the-server"}, device="server")
        outcome = await share(phone, "server", endless)
        assert (outcome.problem, outcome.waiting) == (STANDS_STILL, 0)
        assert await server.document(own) == await phone.document(own)
        assert (await share(phone, "server", way_to(server))).problem == ""
        assert await phone.document(there) == await server.document(there)

    asyncio.run(story())


def test_an_exchange_goes_on_where_it_was_too_long(
    two: tuple[Jobs, Jobs], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A thousand rounds are no end of what a server makes up; what there really is comes with the next ones."""
    phone, server = two
    monkeypatch.setattr("ventwright.store.sharing.MOST_ROUNDS", 2)
    monkeypatch.setattr("ventwright.store.sharing.MOST", 4)

    async def story() -> None:
        job = await server.create(FIRST, device="server")
        pen = Pen(await server.history(job), device="server")
        for number in range(15):
            pen.append("readings.entries", {"kind": "tick", "note": str(number)})
        await server.add(pen.changes)
        problems = [(await share(phone, "server", way_to(server))).problem for _ in range(4)]
        assert problems[0] == GOES_ON
        assert problems[-1] == ""
        assert await phone.document(job) == await server.document(job)

    asyncio.run(story())


def test_a_long_history_that_is_here_already_comes_again_to_its_end(two: tuple[Jobs, Jobs]) -> None:
    """A server that was set up anew is asked for all it has: nothing of it is new here, and the round goes through all the same."""
    phone, server = two

    async def story() -> None:
        job = await server.create(FIRST, device="server")
        pen = Pen(await server.history(job), device="server")
        for number in range(8 * MOST):
            pen.append("readings.entries", {"kind": "tick", "note": str(number)})
        await server.add(pen.changes)
        await share(phone, "server", way_to(server))
        await phone.set_setting("shared with server", {})
        outcome = await share(phone, "server", way_to(server))
        assert (outcome.problem, outcome.waiting) == ("", 0)

    asyncio.run(story())


def test_a_server_that_never_answers_is_not_waited_for(
    two: tuple[Jobs, Jobs], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The way that a phone has gives up after a while, says so, and the next try is free to go."""
    phone, server = two
    monkeypatch.setattr("ventwright.web.on_phone.engine.PATIENCE", 0.05)

    async def silent(_: str) -> str:
        await asyncio.sleep(30)
        return "{}"

    async def story() -> None:
        await phone.create(FIRST, device="phone")
        outcome = await asyncio.wait_for(share(phone, "server", way_of_phone(silent)), 5)
        assert (outcome.problem, outcome.waiting) == (NO_ANSWER, 1)
        assert (await share(phone, "server", way_to(server))).waiting == 0

    asyncio.run(story())


def test_no_network_is_said_and_what_waits_is_counted(two: tuple[Jobs, Jobs]) -> None:
    phone, _ = two

    async def nobody(_: dict[str, Any]) -> Any:
        raise NoPeer(NO_WAY)

    async def story() -> None:
        await phone.create(FIRST, device="phone")
        outcome = await share(phone, "server", nobody)
        assert outcome == await shared(phone, "server")
        assert (outcome.problem, outcome.last) == (NO_WAY, None)

    asyncio.run(story())


def test_a_server_brought_back_from_an_old_copy_gets_everything_again(tmp_path: Path) -> None:
    phone, server = Jobs(tmp_path / "phone.sqlite3"), Jobs(tmp_path / "server.sqlite3")

    async def enter(note: str) -> None:
        pen = Pen(await phone.history("invented"), device="phone")
        pen.append("readings.entries", {"kind": "tick", "note": note})
        await phone.add(pen.changes)

    async def before() -> None:
        await phone.create(FIRST, device="phone")
        await share(phone, "server", way_to(server))

    async def after(brought_back: Jobs) -> None:
        await share(phone, "server", way_to(brought_back))
        assert await brought_back.document("invented") == await phone.document("invented")

    asyncio.run(before())
    server.close()
    copy = (tmp_path / "server.sqlite3").read_bytes()
    later = Jobs(tmp_path / "server.sqlite3")
    asyncio.run(enter("after the copy"))
    asyncio.run(share(phone, "server", way_to(later)))
    later.close()
    (tmp_path / "copy.sqlite3").write_bytes(copy)
    brought_back = Jobs(tmp_path / "copy.sqlite3")
    asyncio.run(after(brought_back))
    phone.close()
    brought_back.close()


def test_the_server_takes_a_message_and_refuses_what_is_none(tmp_path: Path) -> None:
    client = Client(tmp_path)
    assert (
        client.post("/sync", content="no JSON").json()["problem"]
        == "This is no message of a device that shares."
    )
    wrong = client.post("/sync", json={"protocol": PROTOCOL, "store": "", "changes": [{"id": "x"}]})
    assert wrong.status_code == 422
    assert "at is missing" in wrong.json()["problem"] or "is missing" in wrong.json()["problem"]
    right = client.post(
        "/sync", json={"protocol": PROTOCOL, "store": "", "device": "d" * 32, "name": "Ada", "changes": []}
    )
    assert right.json()["more"] is False
    assert "Ada" in words(client.get("/share").text)


def test_another_sites_page_cannot_share(tmp_path: Path) -> None:
    client = Client(tmp_path)
    assert client.post("/sync", json={}, headers={"origin": "http://elsewhere.example"}).status_code == 403


def test_without_the_app_the_page_says_how_it_is_added(tmp_path: Path) -> None:
    client = Client(tmp_path)
    assert "how it is added" in words(client.get("/share").text)
    answer = client.get("/phone/")
    assert answer.status_code == 404
    assert "ventwright phone build" in words(answer.text)
