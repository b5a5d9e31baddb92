"""Two stores exchange the changes that the other lacks: in bounded pieces, begun again wherever it broke off.

Each side remembers how far it came by marks of arrival, never by a clock. A change is taken once however often it
comes, in whatever order, so that an exchange which was cut off, repeated or came twice leaves the same as one that was not.
Photos travel apart, piece by piece under their own hash, and after the changes; equipment files go with them.
"""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Any

from ventwright.errors import Refused
from ventwright.job import SCHEMA_VERSION
from ventwright.store import file_sharing, photo_sharing
from ventwright.store.change import Change, change_of, new_id, value_json
from ventwright.store.heard import is_answer, is_mark, said
from ventwright.store.jobs import Jobs
from ventwright.store.sharing_kept import NOTHING, keep, kept_of, note, with_not_taken

PROTOCOL = 1
"""Version of what is said in an exchange; a side that speaks another says so and exchanges nothing."""

MOST, LARGEST = 200, 1_000_000
"""Changes, and bytes of them, in one piece; our own assumption. A single change may be larger."""

MOST_IDLE = 5
"""Rounds in a row that bring nothing new either way before an exchange ends; a sound server has two at most. Our own assumption."""

MOST_ROUNDS = 1000
"""Rounds of one exchange: two hundred thousand changes. What is left goes with the next one. Our own assumption."""

SEEN_DEVICES = 50
"""Devices that are remembered as having shared."""

Send = Callable[[dict[str, Any]], Awaitable[Any]]
"""Sends a message to the other side and returns its answer; raises NoPeer where there is none."""


class NoPeer(Exception):
    """The other side was not there, or is none; says so in one sentence."""


@dataclass(frozen=True, slots=True)
class Shared:
    """How far a store and another came. ``waiting`` changes have not been handed over yet."""

    last: datetime | None
    waiting: int
    problem: str
    refused: Mapping[str, str]
    photos: int = 0
    """Pictures that are still to be handed over or fetched."""
    files: tuple[str, ...] = ()
    """Files as the other side has them, of which each side has changed its own."""
    declined: tuple[str, ...] = ()
    """Why a picture or a file was not taken the last time, in sentences."""
    not_taken: Mapping[str, str] = field(default_factory=dict)
    """Changes from there that were not taken here, each with the sentence why."""


async def own_id(jobs: Jobs) -> str:
    """Return the id of a store, made when it is first asked for."""
    known: str | None = await jobs.setting("store id")
    if known is None:
        known = await jobs.change_setting("store id", lambda meanwhile: meanwhile or new_id())
    return known


async def shared(jobs: Jobs, peer: str) -> Shared:
    """Return how far a store came with another."""
    kept = await kept_of(jobs, peer)
    waiting = await jobs.count_after(kept["sent"]) + len(kept["refused"])
    last = datetime.fromisoformat(kept["last"]) if kept["last"] else None
    return Shared(
        last,
        waiting,
        kept["problem"],
        kept["refused"],
        kept["photos"],
        file_sharing.changed_on_both_sides(kept["files"]),
        tuple(kept["declined"]),
        kept["not_taken"],
    )


async def share(jobs: Jobs, peer: str, send: Send, *, name: str = "") -> Shared:
    """Exchange changes with another store until neither has more; what was exchanged stays if it breaks off.

    Parameters
    ----------
    peer
        What the other store is remembered as here.
    send
        The way to it.
    name
        Whose device this is, as the other side shows it.
    """
    try:
        problem = await _exchange(jobs, peer, send, name)
        if not problem:
            await _exchange_beside(jobs, peer, send)
    except (NoPeer, photo_sharing.Declined) as nobody:
        problem = str(nobody)
    except Refused as refused:
        problem = said(refused.refusals[0].sentence)
    kept = await kept_of(jobs, peer)
    if problem != kept["problem"] or not problem:
        last = {} if problem else {"last": datetime.now(UTC).isoformat(timespec="seconds")}
        await keep(jobs, peer, kept | {"problem": problem} | last)
    return await shared(jobs, peer)


async def answered(jobs: Jobs, asked: object) -> dict[str, Any]:
    """Take what another store sends, and answer with what it lacks.

    Raises
    ------
    Refused
        A change in it cannot be read; then nothing was taken.
    """
    own = {"protocol": PROTOCOL, "schema": SCHEMA_VERSION, "store": await own_id(jobs)}
    if not isinstance(asked, dict) or asked.get("protocol") != PROTOCOL:
        return own | {"problem": OTHER_PROTOCOL}
    if isinstance(asked.get("photos"), dict):
        return own | {"photos": await photo_sharing.answered(jobs, asked["photos"])}
    if isinstance(asked.get("files"), dict):
        return own | {"files": await file_sharing.answered(jobs, asked["files"])}
    mark, last = _mark_in(asked.get("mark"))
    if asked.get("store") not in ("", own["store"]) or not await _is_ours(jobs, mark, last):
        return own | {"begin_again": True}
    sent = asked.get("changes")
    taken = [change_of(one) for one in (sent if isinstance(sent, list) else ())]
    refused = await _take(jobs, taken)
    reached, changes, more = await _piece(jobs, mark, {one.id for one in taken})
    if not more:
        await _note_device(jobs, str(asked.get("device", ""))[:64], str(asked.get("name", ""))[:80])
    return own | {"mark": reached, "changes": changes, "more": more, "refused": refused}


OTHER_PROTOCOL = "App and server are of versions that do not understand each other; bring both up to date, nothing is lost meanwhile."
NOT_OURS = "What answered there is no Ventwright that shares; a job travels as a file."
FORGETS = "The server forgets what was shared a moment ago; look at it, nothing is lost here."
STANDS_STILL = "The server says that there is more, and nothing new comes; nothing is lost here. Share again later, or look at the server."
GOES_ON = (
    "There is more than goes in one exchange; what came is kept, nothing is lost. Share once more to go on."
)
NEWER_SCHEMA = "The server keeps jobs in a newer form than this app knows; take the update of the app."


async def _exchange(jobs: Jobs, peer: str, send: Send, name: str) -> str:
    """Exchange piece by piece, and return what is to be said about it; it ends, whatever the other side answers."""
    came_from_there, heard = set[str](), set[str]()
    schema, again, idle = SCHEMA_VERSION, False, 0
    for _ in range(MOST_ROUNDS):
        kept = await kept_of(jobs, peer)
        sent, changes, more_here = await _piece(jobs, kept["sent"], came_from_there)
        changes += await _refused_before(jobs, kept)
        message = {"protocol": PROTOCOL, "schema": SCHEMA_VERSION, "store": kept["store"], "device": await own_id(jobs), "name": name, "mark": kept["mark"], "changes": changes}  # fmt: skip
        answer = await send(message)
        if not isinstance(answer, dict) or "protocol" not in answer:
            raise NoPeer(NOT_OURS)
        if answer.get("problem") or answer["protocol"] != PROTOCOL:
            return OTHER_PROTOCOL if answer["protocol"] != PROTOCOL else said(answer["problem"]) or NOT_OURS
        if not is_answer(answer):
            raise NoPeer(NOT_OURS)
        schema = max(schema, answer.get("schema", 0))
        if answer.get("begin_again"):
            if again:
                raise NoPeer(FORGETS)
            again = True
            await keep(jobs, peer, NOTHING | {"store": answer["store"]})
            continue
        received, not_taken = _read(answer["changes"])
        not_taken |= await _take(jobs, received)
        came_from_there |= {one.id for one in received} - not_taken.keys()
        moved = with_not_taken(kept, not_taken) | {"store": answer["store"], "mark": answer["mark"], "sent": sent[0], "refused": answer["refused"]}  # fmt: skip
        await keep(jobs, peer, moved)
        if not answer["more"] and not more_here and await _sends_nothing(jobs, moved, peer, came_from_there):
            return NEWER_SCHEMA if schema > SCHEMA_VERSION else ""
        new = ({one.id for one in received} | not_taken.keys()) - heard
        heard |= new
        idle = 0 if new or sent[0] > kept["sent"] else idle + 1
        if idle >= MOST_IDLE:
            raise NoPeer(STANDS_STILL)
    return GOES_ON


async def _exchange_beside(jobs: Jobs, peer: str, send: Send) -> None:
    """Exchange files and pictures; a side that knows nothing of them answers as if no change had been sent."""
    kept = await kept_of(jobs, peer)
    own = {
        "protocol": PROTOCOL,
        "schema": SCHEMA_VERSION,
        "store": kept["store"],
        "mark": kept["mark"],
        "changes": [],
    }

    def asking(what: str) -> photo_sharing.Ask:
        async def ask(message: dict[str, Any]) -> Any:
            answer = await send({**own, what: message})
            if not isinstance(answer, dict):
                return None
            if answer.get("problem"):
                raise photo_sharing.Declined(said(answer["problem"]) or NOT_OURS)
            return answer.get(what)

        return ask

    files, declined = await file_sharing.exchange(jobs, asking("files"), kept["files"])
    await note(jobs, peer, files=files, declined=list(declined))
    photos = await photo_sharing.exchange(jobs, asking("photos"))
    await note(jobs, peer, photos=photos.waiting, declined=list(dict.fromkeys([*declined, *photos.refused])))


async def _sends_nothing(jobs: Jobs, kept: dict[str, Any], peer: str, came_from_there: set[str]) -> bool:
    """Pass over what came from there; whether nothing of our own is left to be sent."""
    sent, changes, more = await _piece(jobs, kept["sent"], came_from_there)
    while more and not changes:
        sent, changes, more = await _piece(jobs, sent[0], came_from_there)
    if not changes:
        await keep(jobs, peer, kept | {"sent": sent[0]})
    return not changes


async def _piece(
    jobs: Jobs, mark: int, known_there: set[str]
) -> tuple[tuple[int, str], list[dict[str, Any]], bool]:
    """Return the next changes after a mark that the other side lacks, the mark and id they reach to, whether more follow."""
    found = await jobs.arrived_after(mark, MOST)
    changes: list[dict[str, Any]] = []
    reached, size = await _named(jobs, mark), 0
    for arrived, change in found:
        if change.id not in known_there:
            data = change.as_data()
            size += len(value_json(data))
            if changes and size > LARGEST:
                break
            changes.append(data)
        reached = arrived, change.id
    return reached, changes, bool(await jobs.count_after(reached[0]))


async def _named(jobs: Jobs, mark: int) -> tuple[int, str]:
    """Return a mark with the id of the change that has it, nothing where none has."""
    found = await jobs.arrived_after(mark - 1, 1) if mark else ()
    return (mark, found[0][1].id) if found and found[0][0] == mark else (0, "")


async def _is_ours(jobs: Jobs, mark: int, last: str) -> bool:
    """Whether the change of a mark is the one that the other side got with it: not so in a store brought back from a copy."""
    return mark == 0 or await _named(jobs, mark) == (mark, last)


def _mark_in(told: Any) -> tuple[int, str]:
    return (told[0], told[1]) if is_mark(told) else (0, "")


def _read(sent: Iterable[Any]) -> tuple[list[Change], dict[str, str]]:
    """Read changes; of those that cannot be read, return the id and the sentence why."""
    read, unread = list[Change](), dict[str, str]()
    for one in sent:
        try:
            read.append(change_of(one))
        except Refused as why:
            unread[said(one.get("id")) if isinstance(one, Mapping) else ""] = why.refusals[0].sentence
    return read, unread


async def _take(jobs: Jobs, changes: list[Change]) -> dict[str, str]:
    """Add changes; those that cannot be taken are returned with the sentence why, and keep no other from being taken."""
    try:
        await jobs.add(changes)
    except Refused:
        refused = {}
        for one in changes:
            try:
                await jobs.add([one])
            except Refused as why:
                refused[one.id] = why.refusals[0].sentence
        return refused
    return {}


async def _refused_before(jobs: Jobs, kept: dict[str, Any]) -> list[dict[str, Any]]:
    """Return the changes that the other side did not take before: it may know better by now."""
    if not kept["refused"]:
        return []
    found = []
    mark = 0
    while piece := await jobs.arrived_after(mark):
        mark = piece[-1][0]
        found += [one.as_data() for _, one in piece if one.id in kept["refused"]]
    return found


async def _note_device(jobs: Jobs, device: str, name: str) -> None:
    now = {device: {"name": name, "last": datetime.now(UTC).isoformat(timespec="seconds")}}

    def noted(before: dict[str, Any] | None) -> dict[str, Any]:
        others = [one for one in (before or {}).items() if one[0] != device]
        return dict(others[-SEEN_DEVICES + 1 :]) | now

    await jobs.change_setting("devices that shared", noted)
