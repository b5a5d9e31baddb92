"""What travels beside the changes: pictures in pieces that go on after a cut, and equipment files of one's own."""

from __future__ import annotations

import asyncio
import json
from base64 import b64decode
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from tests.web_client import Client, words
from tests.web_on_phone.histories import FIRST
from tests.web_on_phone.test_sharing import way_to

from ventwright.errors import Refused
from ventwright.store.file_sharing import OTHERS
from ventwright.store.history import Pen
from ventwright.store.jobs import Jobs
from ventwright.store.photo_sharing import PIECE, parcel_of
from ventwright.store.photos import MOST_ON_THEIR_WAY, Picture
from ventwright.store.sharing import NoPeer, answered, share, shared
from ventwright.version import VERSION
from ventwright.web import make_app

NO_NETWORK = "no network"

LARGE = Picture(bytes(range(256)) * 4000, b"small", 1600, 1200)
"""Five pieces on the way."""


@pytest.fixture
def two(tmp_path: Path) -> Iterator[tuple[Jobs, Jobs]]:
    """A phone and a server."""
    stores = Jobs(tmp_path / "phone.sqlite3"), Jobs(tmp_path / "server.sqlite3")
    yield stores
    for one in stores:
        one.close()


async def photographed(store: Jobs, picture: Picture = LARGE) -> str:
    """Open a job with a photo."""
    job = await store.create(FIRST, device="here")
    await store.photos.keep(job, picture)
    pen = Pen(await store.history(job), device="here")
    pen.append("readings.photos", {"id": picture.name, "caption": "blades shut"})
    await store.add(pen.changes)
    return job


def sent_bytes(message: dict[str, Any]) -> int:
    """How much of a picture a message carries."""
    return len(b64decode((message.get("photos") or {}).get("data", "")))


def test_a_picture_goes_there_and_on_to_the_next_phone(two: tuple[Jobs, Jobs], tmp_path: Path) -> None:
    phone, server = two
    tablet = Jobs(tmp_path / "tablet.sqlite3")

    async def story() -> None:
        job = await photographed(phone)
        assert (await share(phone, "server", way_to(server))).photos == 0
        assert await server.photos.picture(job, LARGE.name) == LARGE
        assert (await share(tablet, "server", way_to(server))).photos == 0
        assert await tablet.photos.picture(job, LARGE.name) == LARGE
        for store in (phone, server, tablet):
            assert await store.photos.parts(LARGE.name) == b""

    asyncio.run(story())
    tablet.close()


@pytest.mark.parametrize("cut", [1, 2, 3, 4])
def test_after_a_cut_it_goes_on_from_there(two: tuple[Jobs, Jobs], cut: int) -> None:
    """In all no more bytes than the picture has, and the piece that nobody confirmed."""
    phone, server = two
    carried = list[int]()

    def cut_after(pieces: int) -> Any:
        async def send(message: dict[str, Any]) -> Any:
            if sent_bytes(message):
                if len(carried) == pieces:
                    raise NoPeer(NO_NETWORK)
                carried.append(sent_bytes(message))
            return await answered(server, json.loads(json.dumps(message)))

        return send

    async def story() -> None:
        job = await photographed(phone)
        broken = await share(phone, "server", cut_after(cut))
        assert broken.problem == NO_NETWORK
        assert await server.photos.picture(job, LARGE.name) is None
        assert (await share(phone, "server", cut_after(99))).problem == ""
        assert await server.photos.picture(job, LARGE.name) == LARGE
        assert sum(carried) == len(parcel_of(LARGE))

    asyncio.run(story())


def test_fetching_goes_on_from_there_too(two: tuple[Jobs, Jobs]) -> None:
    phone, server = two
    asked = list[int]()

    async def story() -> None:
        job = await photographed(server)
        left = 3

        async def cut(message: dict[str, Any]) -> Any:
            nonlocal left
            photos = message.get("photos") or {}
            if "at" in photos:
                left -= 1
                if left < 0:
                    raise NoPeer(NO_NETWORK)
                asked.append(photos["at"])
            return await answered(server, message)

        assert (await share(phone, "server", cut)).problem == NO_NETWORK
        left = 99
        assert (await share(phone, "server", cut)).photos == 0
        assert await phone.photos.picture(job, LARGE.name) == LARGE

    asyncio.run(story())
    assert asked == [PIECE * number for number in range(len(asked))]


@pytest.mark.parametrize("there", [True, False])
def test_a_picture_in_crumbs_does_not_keep_an_exchange_busy(two: tuple[Jobs, Jobs], there: bool) -> None:
    """A byte a time is a million times: the round ends, what came of it is kept, and the next one goes on from there."""
    phone, server = two
    pieces = 0

    async def crumbling(message: dict[str, Any]) -> Any:
        nonlocal pieces
        photos = message.get("photos") or {}
        if "data" not in photos and "at" not in photos:
            return await answered(server, message)
        pieces += 1
        assert pieces < 200, "busy without end"
        if "data" in photos:
            return await answered(server, {**message, "photos": {**photos, "data": photos["data"][:4]}})
        answer = await answered(server, message)
        return {**answer, "photos": {**answer["photos"], "data": answer["photos"]["data"][:4]}}

    async def story() -> None:
        job = await photographed(server if there else phone)
        outcome = await share(phone, "server", crumbling)
        assert (outcome.photos, outcome.problem) == (1, "")
        assert (await share(phone, "server", way_to(server))).photos == 0
        for store in (phone, server):
            assert await store.photos.picture(job, LARGE.name) == LARGE

    asyncio.run(story())


def test_a_picture_that_is_not_what_its_name_says_is_not_kept(two: tuple[Jobs, Jobs]) -> None:
    phone, server = two

    said = list[str]()

    async def damaging(message: dict[str, Any]) -> Any:
        if sent_bytes(message):
            message["photos"]["data"] = "AAAA" + message["photos"]["data"][4:]
        try:
            return await answered(server, message)
        except Refused as refused:
            said.append(refused.refusals[0].sentence)
            return {"protocol": 0, "problem": said[-1]}

    async def story() -> None:
        job = await photographed(phone)
        outcome = await share(phone, "server", damaging)
        assert (outcome.photos, outcome.declined, outcome.problem) == (1, tuple(said), "")
        assert await server.photos.names(job) == frozenset()
        outcome = await share(phone, "server", way_to(server))
        assert (outcome.photos, outcome.declined) == (0, ())
        assert await server.photos.names(job) == {LARGE.name}

    asyncio.run(story())
    (sentence,) = said
    assert f'"{LARGE.name[:12]}" came damaged; accepted: the same once more.' in sentence


def test_one_that_is_refused_keeps_no_other_back(two: tuple[Jobs, Jobs]) -> None:
    """A file that one side has and the other does not take, and of two pictures the one that comes first."""
    phone, server = two
    refuses = "photo: is full; accepted: room."
    pictures = sorted(
        (Picture(bytes([one]) * 9000, b"s", 90, 90) for one in (1, 2)), key=lambda one: one.name
    )

    async def refusing(message: dict[str, Any]) -> Any:
        said = (message.get("photos") or {}) | (message.get("files") or {})
        if "put" in said or (said.get("data") and said["name"] == pictures[0].name):
            return {"protocol": 0, "problem": refuses}
        return await answered(server, json.loads(json.dumps(message)))

    async def story() -> None:
        job = await photographed(phone, pictures[0])
        await phone.photos.keep(job, pictures[1])
        pen = Pen(await phone.history(job), device="here")
        pen.append("readings.photos", {"id": pictures[1].name})
        await phone.add(pen.changes)
        await phone.put_file("kit.yaml", b"kind: kit\n")
        await server.put_file("board.yaml", b"kind: board\n")
        outcome = await share(phone, "server", refusing)
        assert (outcome.photos, outcome.declined, outcome.problem) == (1, (refuses,), "")
        assert await server.photos.names(job) == {pictures[1].name}
        assert set(await phone.own_files()) == {"kit.yaml", "board.yaml"}

    asyncio.run(story())


def test_pieces_of_pictures_that_never_become_whole_are_let_go_of(two: tuple[Jobs, Jobs]) -> None:
    phone, _ = two

    async def story() -> None:
        for number in range(MOST_ON_THEIR_WAY + 3):
            await phone.photos.add_part(str(number), 0, b"begun")
            await phone.photos.add_part(str(number), 5, b"more")
        kept = [bool(await phone.photos.parts(str(one))) for one in range(MOST_ON_THEIR_WAY + 3)]
        assert kept == [False] * 3 + [True] * MOST_ON_THEIR_WAY

    asyncio.run(story())


def test_a_picture_that_was_taken_out_does_not_come_back(two: tuple[Jobs, Jobs]) -> None:
    phone, server = two

    async def story() -> None:
        job = await photographed(phone)
        await share(phone, "server", way_to(server))
        pen = Pen(await phone.history(job), device="phone")
        pen.put("readings.photos[1]", None)
        await phone.add(pen.changes)
        await phone.photos.wipe(job, LARGE.name)
        await share(phone, "server", way_to(server))
        assert await phone.photos.names(job) == frozenset()

    asyncio.run(story())


def test_a_server_that_knows_nothing_of_it_shares_changes_as_before(two: tuple[Jobs, Jobs]) -> None:
    phone, server = two

    async def older(message: dict[str, Any]) -> Any:
        return await answered(
            server, {name: said for name, said in message.items() if name not in {"photos", "files"}}
        )

    async def story() -> None:
        job = await photographed(phone)
        await phone.put_file("kit.yaml", b"kind: kit\n")
        outcome = await share(phone, "server", older)
        assert (outcome.problem, outcome.waiting) == ("", 0)
        assert await server.document(job) == await phone.document(job)
        assert (await share(phone, "server", way_to(server))).photos == 0
        assert await server.photos.names(job) == {LARGE.name}
        assert await server.own_files() == {"kit.yaml": b"kind: kit\n"}

    asyncio.run(story())


def test_a_kit_made_in_the_office_is_on_the_roof_and_mended_there(two: tuple[Jobs, Jobs]) -> None:
    phone, server = two

    async def story() -> None:
        await server.put_file("kit.yaml", b"kind: kit\nname: one\n")
        await share(phone, "server", way_to(server))
        assert await phone.own_files() == await server.own_files()
        await phone.put_file("kit.yaml", b"kind: kit\nname: two\n")
        await share(phone, "server", way_to(server))
        assert await server.own_files() == {"kit.yaml": b"kind: kit\nname: two\n"}
        await phone.take_file("kit.yaml")
        await share(phone, "server", way_to(server))
        assert (await phone.own_files(), list(await server.own_files())) == ({}, ["kit.yaml"])

    asyncio.run(story())


@pytest.mark.parametrize("keeps_own", [True, False])
def test_a_kit_changed_on_both_sides_is_kept_twice_and_asked(two: tuple[Jobs, Jobs], keeps_own: bool) -> None:
    phone, server = two
    beside = f"kit{OTHERS}.yaml"

    async def story() -> None:
        for store, name in ((phone, b"mine"), (server, b"theirs")):
            await store.put_file("kit.yaml", b"kind: kit\nname: " + name)
        for _ in range(2):
            assert (await share(phone, "server", way_to(server))).files == (beside,)
            assert (await phone.own_files())["kit.yaml"].endswith(b"mine")
            assert (await phone.own_files())[beside].endswith(b"theirs")
            assert (await server.own_files())["kit.yaml"].endswith(b"theirs")
        if not keeps_own:
            await phone.put_file("kit.yaml", (await phone.own_files())[beside])
        await phone.take_file(beside)
        assert (await share(phone, "server", way_to(server))).files == ()
        wanted = b"mine" if keeps_own else b"theirs"
        for store in (phone, server):
            files = await store.own_files()
            assert list(files) == ["kit.yaml"]
            assert files["kit.yaml"].endswith(wanted)

    asyncio.run(story())


def test_units_and_instruments_stay_on_the_device(two: tuple[Jobs, Jobs]) -> None:
    phone, server = two

    async def story() -> None:
        await phone.set_setting("units", "si")
        await phone.set_setting("instruments", [{"id": "probe"}])
        await share(phone, "server", way_to(server))
        assert await server.setting("units") is None
        assert await server.setting("instruments") is None

    asyncio.run(story())


def test_what_is_no_piece_of_a_picture_is_refused(tmp_path: Path) -> None:
    client = Client(tmp_path)
    asked = {"protocol": 1, "store": "", "photos": {"parcel": "x", "data": "", "of": -5, "at": 0}}
    answer = client.post("/sync", json=asked)
    assert answer.status_code == 422
    assert answer.json()["problem"] == "photo: is no piece of a picture; accepted: one of at most 2200 kB."
    odd = {"protocol": 1, "store": "", "photos": {"have": [["a"], 5, ["a", 1]], "lack": "all"}}
    assert client.post("/sync", json=odd).json()["photos"] == {"want": [], "give": []}


def test_the_page_says_what_is_on_its_way(tmp_path: Path) -> None:
    client = Client(tmp_path)

    async def story() -> None:
        await client.jobs.set_setting(
            "shared with the server",
            {
                "photos": 2,
                "files": {f"kit{OTHERS}.yaml": "h"},
                "declined": ["photo: is one too many."],
                "not_taken": {"a" * 32: "do: is no change."},
                "not_taken_by": VERSION,
            },
        )
        assert (await shared(client.jobs, "the server")).photos == 2

    asyncio.run(story())
    client.app = make_app(client.jobs, peer=way_to(client.jobs))
    said = words(client.get("/share").text)
    assert "A photo or a file was not taken: photo: is one too many." in said
    assert "An entry from the server was not taken here; the rest was: do: is no change." in said
    assert "2 photos are still on their way" in said
    assert f"kit{OTHERS}.yaml is what the server has." in said


KIT = b"kind: kit\n"
BAD = ["?", "abc", "é", "AAAA=AAA", 3, None, ["AAAA"], {"AAAA": 1}]
"""What is no base64, and what is no text at all."""


@pytest.mark.parametrize("bad", BAD, ids=str)
def test_what_a_broken_server_hands_out_is_said_and_keeps_nothing_else_back(
    two: tuple[Jobs, Jobs], bad: Any
) -> None:
    """A file and a picture that cannot be read: the others come, and these come once the server is mended."""
    phone, server = two

    async def breaking(message: dict[str, Any]) -> Any:
        answer = await way_to(server)(message)
        if (message.get("files") or {}).get("get") == "a.yaml":
            answer["files"] = {"content": bad}
        if "at" in (message.get("photos") or {}) and message["photos"]["fetch"][1] == LARGE.name:
            answer["photos"]["data"] = bad
        return answer

    async def story() -> None:
        job = await photographed(server)
        small = Picture(b"another", b"small", 2, 2)
        other = await photographed_too(server, job, small)
        for name in ("a.yaml", "b.yaml"):
            await server.put_file(name, KIT)
        outcome = await share(phone, "server", breaking)
        assert outcome.problem == ""
        assert await phone.photos.names(job) == {other}
        if bad:
            assert [sentence for sentence in outcome.declined if "came damaged" in sentence] == list(
                outcome.declined
            )
            assert len(outcome.declined) == 2
        assert await phone.own_files() == {"b.yaml": KIT}
        outcome = await share(phone, "server", way_to(server))
        assert (outcome.problem, outcome.declined, outcome.photos) == ("", (), 0)
        assert await phone.photos.names(job) == {other, LARGE.name}
        assert await phone.own_files() == {"a.yaml": KIT, "b.yaml": KIT}

    asyncio.run(story())


async def photographed_too(store: Jobs, job: str, picture: Picture) -> str:
    """Take another photo of a job."""
    await store.photos.keep(job, picture)
    pen = Pen(await store.history(job), device="here")
    pen.append("readings.photos", {"id": picture.name, "caption": "blades open"})
    await store.add(pen.changes)
    return picture.name


ODD: list[Any] = [None, float("nan"), "\ud800", ["\ud800"], {"\ud800": []}]


@pytest.mark.parametrize("odd", ODD, ids=lambda odd: ascii(odd)[:20])
@pytest.mark.parametrize(
    "part",
    [
        "store",
        "schema",
        "problem",
        "begin_again",
        "mark",
        "changes",
        "more",
        "refused",
        "files",
        "photos",
        "have",
        "want",
        "parcel",
        "of",
    ],
)
def test_an_answer_of_another_shape_ends_in_a_sentence(two: tuple[Jobs, Jobs], part: str, odd: Any) -> None:
    """Nothing is thrown, nothing here is lost, and with the server mended all is shared."""
    phone, server = two
    asked = 0

    async def breaking(message: dict[str, Any]) -> Any:
        nonlocal asked
        asked += 1
        if asked > 30:
            raise NoPeer(NO_NETWORK)
        answer = await way_to(server)(message)
        for place in (answer, answer.get("files"), answer.get("photos")):
            if isinstance(place, dict) and (
                part in place or (place is answer and part in {"problem", "begin_again"})
            ):
                place[part] = odd
        return answer

    async def story() -> None:
        job = await photographed(server)
        mine = await photographed(phone)
        await server.put_file("a.yaml", KIT)
        await phone.put_file("b.yaml", KIT)
        assert isinstance((await share(phone, "server", breaking)).problem, str)
        assert isinstance((await shared(phone, "server")).problem.encode(), bytes)
        for _ in range(2):
            outcome = await share(phone, "server", way_to(server))
        assert (outcome.problem, outcome.waiting, outcome.photos) == ("", 0, 0)
        for store in two:
            assert {one.id for one in await store.jobs()} == {job, mine}
            assert await store.own_files() == {"a.yaml": KIT, "b.yaml": KIT}

    asyncio.run(story())


def test_a_change_that_a_hostile_server_makes_up_is_not_taken(two: tuple[Jobs, Jobs]) -> None:
    """A time that no calendar has in UTC, keys and ids with half a character: said, and the rest comes."""
    phone, server = two

    async def story() -> None:
        job = await server.create(FIRST, device="server")
        whole = (await server.changes(job))[0].as_data()
        wrong: list[Any] = [
            whole | {"id": "0" * 32, "at": "0001-01-01T00:00:00+05:00"},
            whole | {"id": "\ud800"},
            whole | {"id": "1" * 32, "\ud800": 1},
            whole | {"id": "2" * 32, "by": "\ud800"},
            "x", None, [whole],
        ]  # fmt: skip

        async def adding(message: dict[str, Any]) -> Any:
            answer = await way_to(server)(message)
            if answer.get("changes"):
                answer["changes"] = wrong + answer["changes"]
            return answer

        outcome = await share(phone, "server", adding)
        assert outcome.problem == ""
        assert len(outcome.not_taken) >= 4
        assert json.dumps(dict(outcome.not_taken), ensure_ascii=False).encode()
        assert await phone.document(job) == await server.document(job)

    asyncio.run(story())
