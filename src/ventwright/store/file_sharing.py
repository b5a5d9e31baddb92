"""Equipment files of a person's own go from one store to another: a kit made in the office is on the roof too.

The side that asks remembers each file as both sides had it last. Where only one side has changed a file since, the other
takes that; where both have, each keeps its own, and the other's stands beside it under a name of its own, to be looked at:
whoever takes that away again has decided for his own. A file that was taken away stays away, and is taken away nowhere else.
"""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Mapping
from hashlib import sha256
from pathlib import PurePosixPath
from typing import Any

from ventwright.errors import Refusal, Refused
from ventwright.store.heard import decoded
from ventwright.store.jobs import Jobs
from ventwright.store.photo_sharing import Ask, Declined

LARGEST_FILE = 500_000
"""Bytes of a file that is shared; our own assumption. Larger ones travel inside a job's file."""

OTHERS = "-from-there"
"""Stands behind the name of a file that was changed on both sides, as the other side has it."""


async def exchange(jobs: Jobs, ask: Ask, known: Mapping[str, str]) -> tuple[dict[str, str], tuple[str, ...]]:
    """Bring the files of both sides together; returns each file as both have it now, by its hash, and why some were refused.

    Parameters
    ----------
    ask
        The way to the other side.
    known
        The same as it was after the exchange before.
    """
    told = await ask({})
    if not isinstance(told, dict) or not isinstance(told.get("have"), dict):
        return dict(known), ()
    there = {
        name: held for name, held in told["have"].items() if isinstance(held, str) and name.isprintable()
    }
    here = _hashes(await jobs.own_files())
    both, refused = dict[str, str](), list[str]()
    for name in sorted(here.keys() | there.keys()):
        try:
            both |= await _together(jobs, ask, name, (here.get(name, ""), there.get(name, "")), known)
        except (Declined, Refused) as why:
            refused.append(str(why))
            both |= {name: known[name]} if known.get(name) else {}
    return both, tuple(dict.fromkeys(refused))


async def _together(
    jobs: Jobs, ask: Ask, name: str, hashes: tuple[str, str], known: Mapping[str, str]
) -> dict[str, str]:
    """Bring one file together, of which this side and the other have the hashes; returns what both have then."""
    mine, other = hashes
    before, beside = known.get(name, ""), _beside(name)
    as_before = {name: before} if before else {}
    if mine == other or (before and before == (mine or other) and not (mine and other)):
        return {name: mine or other}  # the same, or taken away on one side
    looked_at = known.get(beside) == other and beside not in await jobs.own_files()
    if mine and (other in {before, ""} or looked_at):
        return {name: mine} if await _handed_over(jobs, ask, name, other) == mine else as_before
    if other and mine in {before, ""}:
        return {name: other} if await _fetched(jobs, ask, name, name) == other else as_before
    return as_before | ({beside: other} if await _fetched(jobs, ask, name, beside) == other else {})


def changed_on_both_sides(known: Mapping[str, str]) -> tuple[str, ...]:
    """Return the names of files as the other side has them, that stand beside one's own to be looked at."""
    return tuple(name for name in known if OTHERS in name)


async def answered(jobs: Jobs, asked: dict[str, Any]) -> dict[str, Any]:
    """Answer what another store says of files.

    Raises
    ------
    Refused
        A file is too large, or its name is none.
    """
    files = await jobs.own_files()
    if "put" in asked:
        name = str(asked["put"])
        content = decoded(asked.get("content", ""), "file", name[:80])
        if _hash(files.get(name)) == asked.get("was") and OTHERS not in name:
            _refuse_large(name, content)
            await jobs.put_file(name, content)
            files[name] = content
        return {"hash": _hash(files.get(name))}
    if "get" in asked:
        content = files.get(str(asked["get"]), b"")
        return {"content": b64encode(content).decode()} if 0 < len(content) <= LARGEST_FILE else {}
    return {"have": _hashes(files)}


def _hashes(files: Mapping[str, bytes]) -> dict[str, str]:
    """Return the files that are shared, by their hashes."""
    return {
        name: _hash(content)
        for name, content in files.items()
        if len(content) <= LARGEST_FILE and OTHERS not in name
    }


async def _handed_over(jobs: Jobs, ask: Ask, name: str, was: str) -> str:
    """Hand a file over where the other side still has what it had; returns what it has then."""
    content = (await jobs.own_files())[name]
    told = await ask({"put": name, "was": was, "content": b64encode(content).decode()})
    return str(told.get("hash", "")) if isinstance(told, dict) else ""


async def _fetched(jobs: Jobs, ask: Ask, name: str, kept_as: str) -> str:
    """Fetch a file, keep it under a name, and return its hash; nothing where it did not come."""
    told = await ask({"get": name})
    if not isinstance(told, dict) or not told.get("content"):
        return ""
    content = decoded(told["content"], "file", name[:80])
    _refuse_large(kept_as, content)
    if (await jobs.own_files()).get(kept_as) != content:
        await jobs.put_file(kept_as, content)
    return _hash(content)


def _beside(name: str) -> str:
    path = PurePosixPath(name)
    return f"{path.stem}{OTHERS}{path.suffix}"


def _hash(content: bytes | None) -> str:
    return "" if content is None else sha256(content).hexdigest()


def _refuse_large(name: str, content: bytes) -> None:
    if len(content) > LARGEST_FILE:
        raise Refused(Refusal("is too large to be shared", f"at most {LARGEST_FILE // 1000} kB", name[:80]))
