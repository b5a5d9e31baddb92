"""Merging long histories: the work grows with the entries, not with their square; counted in calls, not in seconds."""

from __future__ import annotations

import sys
from collections.abc import Callable
from datetime import UTC, datetime
from types import FrameType
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ventwright.store.claims import at_place
from ventwright.store.exchange import first_changes, merge
from ventwright.store.folding import folded
from ventwright.store.history import History, Pen
from ventwright.store.past import Past
from ventwright.store.place import steps_of

START = datetime(2026, 11, 25, 9, 0, tzinfo=UTC)


def document(ids: list[str], note: str = "") -> dict[str, Any]:
    """Return a job with ticks of these ids."""
    ticks = [
        {"what": "tick", "id": one, "at": "2026-11-25T09:00-08:00", "item": "hood in place", "note": note}
        for one in ids
    ]
    return {"id": "t-1", "facts": {"unit": {"tag": "T-1"}}, "readings": {"entries": ticks}}


def kept(ids: list[str]) -> History:
    """Return the history of such a job as a store keeps it."""
    pen = Pen(History("t-1"), device="van", at=START)
    first_changes(pen, document(ids))
    return pen.history


def names(letter: str, number: int) -> list[str]:
    """Return ids."""
    return [f"{letter}{one}" for one in range(number)]


def counted(work: Callable[[], object]) -> int:
    """Count the calls of functions that a piece of work takes."""
    calls = 0

    def saw(_: FrameType, event: str, __: object) -> None:
        nonlocal calls
        calls += event in {"call", "c_call"}

    sys.setprofile(saw)
    try:
        work()
    finally:
        sys.setprofile(None)
    return calls


def of_another_device(number: int) -> Callable[[], object]:
    """A copy with as many entries of its own."""
    here, there = kept(names("a", number)), document(names("b", number))
    return lambda: merge(Pen(here, device="roof", at=START), there)


def of_other_words(number: int) -> Callable[[], object]:
    """A copy that says every entry otherwise, of a job in which entries were taken back and brought back."""
    pen = Pen(kept(names("a", number)), device="van", at=START)
    undone = [pen.undo(one.id) for one in pen.history.changes[1:20]]
    for one in undone:
        pen.undo(one.id)
    here, there = pen.history, document(names("a", number), "seen")
    return lambda: merge(Pen(here, device="roof", at=START), there)


def of_a_file(number: int) -> Callable[[], object]:
    """A job taken in for the first time."""
    taken = document(names("a", number))
    return lambda: first_changes(Pen(History("t-1"), device="roof", at=START), taken)


@pytest.mark.parametrize("of", [of_another_device, of_other_words, of_a_file])
def test_twice_as_many_entries_take_twice_the_work(of: Callable[[int], Callable[[], object]]) -> None:
    """Two devices with 1,300 entries each once took minutes."""
    assert counted(of(400)) < 2.3 * counted(of(200))


def test_what_two_devices_entered_is_all_there() -> None:
    """The histories of 1,300 entries on each of two devices come together whole, and as each other's merge."""
    van, roof = kept(names("a", 1300)), document(names("b", 1300))
    pen = Pen(van, device="roof", at=START)
    merge(pen, roof)
    entries = pen.history.document["readings"]["entries"]
    assert [one["id"] for one in entries] == names("a", 1300) + names("b", 1300)
    assert pen.history.conflicts == ()


def test_a_pen_knows_what_it_wrote_itself() -> None:
    """Each change of a pen lies over its own earlier ones, as if the history had been read anew before it."""
    pen = Pen(kept(["a0"]), device="van", at=START)
    first = pen.put("facts.unit.tag", "T-2")
    entry = pen.append("facts.spaces", {"name": "Hall"})
    assert pen.put("facts.unit", {"tag": "T-3"}).over == (first.id,)
    assert entry.id in pen.put("facts.spaces[1].use", "Retail / Sales").over
    assert first.id not in pen.put("facts.unit.serves", "hall").over
    fresh = Pen(pen.history, device="van", at=START)
    assert pen.put("facts", {}).over == fresh.put("facts", {}).over
    pen.undo(entry.id)
    assert "spaces" not in pen.history.document["facts"]


@settings(max_examples=120, deadline=None)
@given(st.lists(st.tuples(st.sampled_from(("put", "entry", "undo", "over")), st.integers(0, 9)), max_size=14))
def test_what_was_said_before_is_found_without_looking_at_everything(done: list[tuple[str, int]]) -> None:
    """A place said a value exactly where some beginning of the history says it there."""
    pen = Pen(kept(["a0", "a1", "a2"]), device="van", at=START)
    for do, number in done:
        changes = pen.history.changes
        if do == "put":
            pen.put(("facts.unit.tag", "facts.unit.serves")[number % 2], f"v{number}")
        elif do == "entry":
            pen.append("readings.entries", {"id": f"a{number % 4}", "note": f"n{number}"})
        elif do == "over":
            pen.put("facts.unit" if number % 2 else "readings", {"tag": f"w{number}"} if number % 2 else {})
        elif number < len(changes):
            pen.undo(changes[-1 - number].id)
    history = pen.history
    past = Past(history)
    beginnings = [folded(history.changes[:number]) for number in range(1, len(history.changes) + 1)]
    for place in ("facts.unit.tag", "facts.unit.serves", "readings.entries[a1]", "readings.entries[a3]"):
        steps = steps_of(place)
        ever = history.claims.ever_said(place)
        for value in [*(f"v{one}" for one in range(10)), *({"id": f"a{one % 4}", "note": f"n{one}"} for one in range(10))]:  # fmt: skip
            before = value in ever or any(at_place(one, steps) == value for one in beginnings)
            assert past.said(place, value) == before
