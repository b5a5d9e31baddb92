"""Jobs as lists of changes: merged by union, undone, in conflict, kept in a database that loses nothing acknowledged."""

from __future__ import annotations

import asyncio
import json
import os
import random
import sqlite3
import subprocess
import sys
import time
from collections.abc import Coroutine, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any, TypeVar
from unittest.mock import patch

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from tests.either import At

from ventwright.errors import Refused
from ventwright.job import job_json, read_job
from ventwright.store import load
from ventwright.store.change import Change, change_of
from ventwright.store.checking import checked
from ventwright.store.claims import ABSENT, at_place
from ventwright.store.database import Migration, migrations
from ventwright.store.exchange import as_copy, exported, merge, read_copy
from ventwright.store.folding import folded
from ventwright.store.history import History, Pen
from ventwright.store.jobs import Jobs
from ventwright.store.outside_names import refuse_outside_names_in
from ventwright.store.place import steps_of
from ventwright.store.sqlite import opened

Returned = TypeVar("Returned")

DEMO = Path(__file__).parents[2] / "src/ventwright/cli/demo_job/larkspur-row-r-2.yaml"
START = datetime(2026, 11, 25, 9, 0, tzinfo=UTC)

SMALL: dict[str, Any] = {
    "schema_version": 1,
    "id": "t-1",
    "facts": {
        "kit": "two-speed-dry-bulb",
        "site": {"name": "Nowhere", "climate_zone": "3C", "energy_code": "90.1-2019"},
        "unit": {"tag": "T-1", "cooling_capacity": "10 ton", "fan_speeds": [{"name": "high", "supply_air": "4000 cfm"}]},
        "spaces": [{"name": "A", "use": "Retail / Sales", "floor_area": "4800 ft2"}, {"name": "B", "use": "Retail / Sales", "floor_area": "900 ft2"}],
        "ventilation": {"drawn": {"cooling": "500 cfm", "source": "invented sheet"}},
        "instruments": [{"id": "probe", "kind": "temperature", "accuracy": "± 0.5 F"}],
    },
}  # fmt: skip

SUPPLY_AIR = {
    "what": "supply air",
    "id": "s1",
    "at": "2026-11-25T09:00-08:00",
    "speed": "high",
    "airflow": "4000 cfm ± 4 %",
    "method": "traverse",
}


def run(work: Coroutine[Any, Any, Returned]) -> Returned:
    """Run one method of the store to its end."""
    return asyncio.run(work)


def small(**unit: Any) -> dict[str, Any]:
    """Return the small invented job, its unit with something otherwise."""
    document: dict[str, Any] = json.loads(json.dumps(SMALL))
    document["facts"]["unit"] |= unit
    return document


def tick(name: str, **other: Any) -> dict[str, Any]:
    """Return an entry of the readings."""
    return {"what": "tick", "id": name, "at": "2026-11-25T09:00-08:00", "item": "hood in place"} | other


def begun(document: dict[str, Any] | None = None) -> History:
    """Return the history of a job right after it was made."""
    pen = Pen(History("t-1"), device="van", at=START)
    pen.put("", document or small())
    return pen.history


def pen_on(history: History, device: str = "van") -> Pen:
    """Return a pen of one device."""
    return Pen(history, device=device, by="Kim", at=START)


@pytest.fixture
def jobs(at: At, tmp_path: Path) -> Iterator[Jobs]:
    """Return an empty store."""
    store = Jobs(at(tmp_path / "kept" / "jobs.sqlite"))
    yield store
    store.close()


# the union of changes


PLACES = (
    "facts.unit.tag", "facts.unit.serves", "facts.unit", "facts.spaces[2].use", "facts.spaces[1]", "facts.spaces",
    "facts.instruments[1].serial", "record.next_check", "facts.weather.outdoor_air",
)  # fmt: skip
LISTS = ("readings.entries", "readings.visits", "verdict.deficiencies", "facts.spaces")
DEVICES = ("van", "roof", "shop")
OPERATIONS = st.lists(
    st.tuples(
        st.sampled_from(("put", "put", "append", "undo", "redo", "share")),
        st.sampled_from(DEVICES),
        st.sampled_from(DEVICES),
        st.integers(0, 1_000_000),
    ),
    max_size=30,
)


def happened(operations: list[tuple[str, str, str, int]], seed: int) -> dict[str, History]:
    """Return what each device knows after some operations; ids follow from the seed, so that a failure comes again."""
    ids = random.Random(seed)  # noqa: S311 - an order, not a secret
    with patch("ventwright.store.history.new_id", lambda: f"{ids.getrandbits(128):032x}"):
        histories = dict.fromkeys(DEVICES, begun())
        for operation in operations:
            act(histories, operation)
    return histories


def value_for(place: str, number: int) -> Any:
    """Return something to put at a place."""
    if number % 5 == 0:
        return None
    if place == "facts.unit":
        return {"tag": f"U-{number}"}
    if place == "facts.spaces":
        return [{"name": f"N-{number}"}]
    return {"name": f"S-{number}"} if place == "facts.spaces[1]" else f"v-{number}"


def act(histories: dict[str, History], operation: tuple[str, str, str, int]) -> None:
    """Do one thing on one device; its clock may be wrong by days."""
    do, device, other, number = operation
    history = histories[device]
    pen = Pen(history, device=device, at=START + timedelta(days=number % 9 - 4))
    changes = history.changes
    if do == "put":
        place = PLACES[number % len(PLACES)]
        try:
            pen.put(place, value_for(place, number))
        except Refused:
            assert "[" in place  # an item that is not in the list
    elif do == "append":
        pen.append(LISTS[number % len(LISTS)], {"id": f"e{number}", "note": device})
    elif do == "undo":
        pen.undo(changes[number % len(changes)].id)
    elif do == "redo":
        pen.redo(changes[number % len(changes)].id)
    else:
        shuffled = list(histories[other].changes)
        random.Random(number).shuffle(shuffled)  # noqa: S311 - an order, not a secret
        histories[device] = history.plus(*shuffled[: 1 + number % len(shuffled)], *shuffled[:2])
        return
    histories[device] = pen.history


def said(history: History) -> list[Any]:
    """Return the conflicts of a history as plain data."""
    return [
        (one.place, one.shown, [(told.change.id, told.value) for told in one.said])
        for one in history.conflicts
    ]


@settings(max_examples=150, deadline=None)
@given(OPERATIONS, st.integers(0, 2**32))
def test_devices_that_have_met_hold_the_same(operations: list[tuple[str, str, str, int]], seed: int) -> None:
    """Whatever was done where, and in whatever order and how often it arrived, the job is one and the same."""
    every = [change for history in happened(operations, seed).values() for change in history.changes]
    together = History("t-1", every)
    order = random.Random(seed)  # noqa: S311 - an order, not a secret
    for _ in range(3):
        order.shuffle(every)
        one = History("t-1", every + every[: len(every) // 2])
        assert one.changes == together.changes
        assert json.dumps(one.document) == json.dumps(together.document)
        assert said(one) == said(together)


@settings(max_examples=100, deadline=None)
@given(OPERATIONS, st.integers(0, 2**32))
def test_union_is_commutative_associative_and_idempotent(
    operations: list[tuple[str, str, str, int]], seed: int
) -> None:
    """Two copies are merged by putting their changes together, and nothing else matters."""
    a, b, c = (history.changes for history in happened(operations, seed).values())
    assert folded([*a, *b]) == folded([*b, *a])
    first, last = History("t-1", a + b), History("t-1", b + c)
    assert History("t-1", first.changes + c).changes == History("t-1", a + last.changes).changes
    assert folded([*a, *a]) == folded(a)


@settings(max_examples=100, deadline=None)
@given(OPERATIONS, st.integers(0, 2**32))
def test_no_entry_is_lost(operations: list[tuple[str, str, str, int]], seed: int) -> None:
    """Every entry of the readings that nobody took back stands in the document, whatever was put above it."""
    every = [change for history in happened(operations, seed).values() for change in history.changes]
    together = History("t-1", every)
    appended = {
        change.value["id"]
        for change in together.changes
        if change.path == "readings.entries" and change.id not in together.undone
    }
    entries = together.document.get("readings", {}).get("entries", [])
    assert {entry["id"] for entry in entries} == appended
    assert len(entries) == len(appended)


@settings(max_examples=100, deadline=None)
@given(OPERATIONS, st.integers(0, 2**32))
@example(
    [("put", "van", "van", 365), ("put", "roof", "van", 30_999)], 0
)  # an item of a list that was taken away
def test_what_is_in_conflict_can_be_settled(operations: list[tuple[str, str, str, int]], seed: int) -> None:
    """Putting each place as it stands, knowing what was said there, leaves nothing to ask and the document as it was."""
    every = [change for history in happened(operations, seed).values() for change in history.changes]
    pen = pen_on(History("t-1", every))
    before = pen.history.document
    for conflict in pen.history.conflicts:
        stands = at_place(before, steps_of(conflict.shown))
        pen.settle(conflict.place, None if stands is ABSENT else stands)
    assert pen.history.conflicts == ()
    assert pen.history.document == before


def test_an_entry_survives_a_copy_put_over_it() -> None:
    """Two devices take in the same file and each adds an entry; together they hold both."""
    there = [begun(), begun()]
    for number, history in enumerate(there):
        pen = pen_on(history)
        pen.append("readings.entries", tick(f"t{number}"))
        there[number] = pen.history
    together = there[0].plus(*there[1].changes)
    assert [entry["id"] for entry in together.document["readings"]["entries"]] in (["t0", "t1"], ["t1", "t0"])
    assert together.conflicts == ()


def test_a_list_item_keeps_its_name_when_one_above_it_goes() -> None:
    """While one device takes the first space away, another corrects the second: the second is corrected."""
    start = begun()
    away, corrected = pen_on(start, "van"), pen_on(start, "roof")
    away.put("facts.spaces[1]", None)
    corrected.put("facts.spaces[2].use", "Office / Office space")
    together = start.plus(*away.changes, *corrected.changes)
    assert together.document["facts"]["spaces"] == [
        {"name": "B", "use": "Office / Office space", "floor_area": "900 ft2"}
    ]
    assert together.conflicts == ()
    pen = pen_on(together)
    assert pen.put("facts.spaces[1].name", "C").path == "facts.spaces[2].name"
    assert pen.history.document["facts"]["spaces"][0]["name"] == "C"


def test_a_part_in_which_nothing_is_left_goes() -> None:
    """An emptied weather is no weather, not one without its temperature."""
    pen = pen_on(begun())
    pen.put("facts.weather.outdoor_air", "50 F")
    pen.put("facts.weather.outdoor_air", None)
    assert "weather" not in pen.history.document["facts"]


# taking back


def test_undo_and_undo_of_the_undo() -> None:
    """What is undone is left out; undone once more it is back; twice the same undo is one."""
    pen = pen_on(begun())
    put = pen.put("facts.unit.tag", "T-2")
    first, _ = pen.undo(put.id), pen.undo(put.id)
    assert pen.history.document["facts"]["unit"]["tag"] == "T-1"
    pen.undo(first.id)
    assert pen.history.document["facts"]["unit"]["tag"] == "T-1"
    assert len(pen.redo(put.id)) == 1
    assert pen.history.document["facts"]["unit"]["tag"] == "T-2"


def test_an_undone_entry_is_left_out_and_can_come_back() -> None:
    """A reading typed by mistake goes, and comes back where it stood."""
    pen = pen_on(begun())
    first = pen.append("readings.entries", tick("t0"))
    pen.append("readings.entries", tick("t1"))
    undo = pen.undo(first.id)
    assert [entry["id"] for entry in pen.history.document["readings"]["entries"]] == ["t1"]
    pen.undo(undo.id)
    assert [entry["id"] for entry in pen.history.document["readings"]["entries"]] == ["t0", "t1"]


# who did not know of whom


def test_two_values_at_one_place_are_kept_shown_and_settled() -> None:
    """Both values are listed, the last stands; a put that knows both settles it; undoing that asks again."""
    start = begun()
    first, other = pen_on(start, "van"), pen_on(start, "roof")
    first.put("facts.unit.tag", "T-2")
    other.put("facts.unit.serves", "hall")
    other.put("facts.unit.tag", "T-3")
    together = start.plus(*first.changes, *other.changes)
    (conflict,) = together.conflicts
    assert conflict.shown == "facts.unit.tag"
    assert [(told.change.device, told.value) for told in conflict.said] == [("van", "T-2"), ("roof", "T-3")]
    assert together.document["facts"]["unit"]["tag"] == "T-3"
    settling = pen_on(together)
    settled = settling.put("facts.unit.tag", "T-2")
    assert settling.history.conflicts == ()
    settling.undo(settled.id)
    assert list(settling.history.conflicts) == [conflict]


def test_the_same_value_twice_is_no_conflict() -> None:
    """Two people who say the same do not disagree."""
    start = begun()
    pens = [pen_on(start, "van"), pen_on(start, "roof")]
    for pen in pens:
        pen.put("facts.unit.tag", "T-2")
    assert start.plus(*pens[0].changes, *pens[1].changes).conflicts == ()


def test_a_part_against_a_value_in_it() -> None:
    """One puts the whole unit, the other its tag: only what differs is asked."""
    start = begun()
    whole, inside = pen_on(start, "van"), pen_on(start, "roof")
    whole.put("facts.unit", {"tag": "T-5", "serves": "hall"})
    inside.put("facts.unit.tag", "T-9")
    (conflict,) = start.plus(*whole.changes, *inside.changes).conflicts
    assert (conflict.shown, [told.value for told in conflict.said][-1]) in {
        ("facts.unit.tag", "T-9"),
        ("facts.unit.tag", "T-5"),
    }


def test_an_item_taken_away_while_it_was_corrected() -> None:
    """Away and corrected at once is a conflict, and both stay known."""
    start = begun()
    away, corrected = pen_on(start, "van"), pen_on(start, "roof")
    away.put("facts.spaces[2]", None)
    corrected.put("facts.spaces[2].use", "Office / Office space")
    (conflict,) = start.plus(*away.changes, *corrected.changes).conflicts
    assert {told.value for told in conflict.said} == {None, "Office / Office space"}


# a change may not add a mistake


def test_an_unfinished_job_is_kept_and_a_mistake_is_not(tmp_path: Path) -> None:
    """No site yet: everything else can be entered, its own mistakes are refused, and the gap stays known."""
    document = small()
    del document["facts"]["site"], document["facts"]["kit"]
    start = begun(document)
    pen = pen_on(start)
    pen.put("facts.unit.cooling_capacity", "12 ton")
    after = checked(start, pen.changes, tmp_path)
    assert [one.where for one in after.refusals] == ["facts.site", "facts.kit"]
    wrong = pen_on(start)
    wrong.put("facts.unit.cooling_capacity", "12 tonnes of cold")
    with pytest.raises(Refused) as caught:
        checked(start, wrong.changes, tmp_path)
    assert [one.where for one in caught.value.refusals] == ["facts.unit.cooling_capacity"]


def test_what_a_gap_had_hidden_does_not_stop_who_fills_it(tmp_path: Path) -> None:
    """A choice that no kit has comes to light with the kit; the kit is kept, and the choice is named as wrong."""
    document = small() | {
        "plan": {"choices": [{"label": "No such setting", "value": "5 V", "reason": "none"}]}
    }
    del document["facts"]["kit"]
    start = begun(document)
    pen = pen_on(start)
    pen.put("facts.kit", "two-speed-dry-bulb")
    after = checked(start, pen.changes, tmp_path)
    assert [one.where for one in after.refusals] == ["plan.choices[1].label"]


def test_a_whole_job_is_not_broken_from_afar(tmp_path: Path) -> None:
    """A fan speed that a reading names cannot get another name: the reading would be of no speed of this unit."""
    sound = begun(small() | {"readings": {"entries": [SUPPLY_AIR]}})
    renamed = pen_on(sound)
    renamed.put("facts.unit.fan_speeds[1].name", "full")
    with pytest.raises(Refused) as caught:
        checked(sound, renamed.changes, tmp_path)
    assert [one.where for one in caught.value.refusals] == ["readings.entries[1].speed"]


def test_a_mistake_that_moved_is_not_a_new_one(tmp_path: Path) -> None:
    """With the first space gone the second's gap stands in the first place, and stays the gap it was."""
    document = small()
    del document["facts"]["spaces"][1]["use"]
    start = begun(document)
    pen = pen_on(start)
    pen.put("facts.spaces[1]", None)
    assert [one.where for one in checked(start, pen.changes, tmp_path).refusals] == ["facts.spaces[1].use"]


# the store


def test_the_demo_job_goes_in_and_comes_out(jobs: Jobs) -> None:
    """Every section and entry of the demo comes back as it was, in order, and the program reads it."""
    document = json.loads(job_json(load(DEMO).job))
    job = run(jobs.create(document, device="van"))
    out = exported(run(jobs.history(job)))
    assert json.loads(out) == document
    assert list(json.loads(out)) == list(document)
    assert job_json(read_job(json.loads(out))) == job_json(load(DEMO).job)


def test_adding_is_a_union(jobs: Jobs) -> None:
    """What is here already is not new; what is new is returned, and raises the revision."""
    job = run(jobs.create(small(), device="van"))
    before = run(jobs.row(job))
    pen = pen_on(run(jobs.history(job)))
    pen.put("facts.unit.tag", "T-2")
    pen.append("readings.entries", tick("t0"))
    assert run(jobs.add([*pen.changes, pen.changes[0]])) == pen.changes
    assert run(jobs.add(pen.changes)) == ()
    after = run(jobs.row(job))
    assert (after.revision, after.tag, after.last_number) == (
        before.revision + 1,
        "T-2",
        before.last_number + 2,
    )
    assert run(jobs.changes(job)) == pen.history.changes
    assert run(jobs.last_number(job)) == pen.history.last_number
    assert run(jobs.document(job)) == pen.history.document


def test_changes_travel_as_json() -> None:
    """A change written as JSON and read again is the same change."""
    pen = pen_on(begun())
    pen.append("readings.entries", tick("t0", note="± 0.5 °F"))
    for change in pen.history.changes:
        assert change_of(json.loads(json.dumps(change.as_data()))) == change


def test_another_device_asks_for_what_arrived(jobs: Jobs, at: At, tmp_path: Path) -> None:
    """By the mark of the last time, in pieces; taking a piece twice does no harm."""
    job = run(jobs.create(small(), device="van"))
    pen = pen_on(run(jobs.history(job)))
    for number in range(7):
        pen.append("readings.entries", tick(f"t{number}"))
    run(jobs.add(pen.changes))
    other = Jobs(at(tmp_path / "other.sqlite"))
    mark = 0
    while True:
        piece = run(jobs.arrived_after(mark, 3))
        assert len(piece) == min(3, run(jobs.count_after(mark)))
        if not piece:
            break
        mark = piece[-1][0]
        run(other.add(change for _, change in piece))
        run(other.add(change for _, change in piece))
    assert run(other.document(job)) == run(jobs.document(job))
    assert [row.site for row in run(other.jobs())] == ["Nowhere"]
    other.close()


def test_the_list_is_found_by_words_and_put_aside(jobs: Jobs) -> None:
    """Words in any case, all of which must stand; a job put aside leaves the list and comes back, its changes alone."""
    first = run(jobs.create(small(serves="sales floor"), device="van", at=START))
    second = run(jobs.create(as_copy(small(tag="T-7")), device="van", at=START + timedelta(hours=1)))
    assert [row.id for row in run(jobs.jobs())] == [second, first]
    assert [row.id for row in run(jobs.jobs(search="SALES nowhere"))] == [first]
    before = run(jobs.changes(first))
    run(jobs.archive(first))
    assert [row.id for row in run(jobs.jobs())] == [second]
    assert [row.id for row in run(jobs.jobs(archived=True))] == [first]
    run(jobs.unarchive(first))
    assert len(run(jobs.jobs())) == 2
    assert run(jobs.changes(first)) == before


def test_settings_and_own_files(jobs: Jobs) -> None:
    """Settings are JSON under a name; a job sees its own files over those of all jobs, in a folder of their own."""
    assert run(jobs.setting("units", "us")) == "us"
    run(jobs.set_setting("units", "si"))
    run(jobs.set_setting("instruments", [{"id": "probe"}]))
    assert (run(jobs.setting("units")), run(jobs.setting("instruments"))) == ("si", [{"id": "probe"}])
    run(jobs.set_setting("units", None))
    assert run(jobs.setting("units")) is None
    job = run(jobs.create(small(), device="van"))
    run(jobs.put_file("our-kit.yaml", b"id: ours\n"))
    run(jobs.put_file("sheet.yaml", b"id: of all\n"))
    run(jobs.put_file("sheet.yaml", b"id: of this job\n", job))
    folder = run(jobs.folder(job))
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == {
        "our-kit.yaml": b"id: ours\n",
        "sheet.yaml": b"id: of this job\n",
    }
    assert run(jobs.folder(job)) == folder
    run(jobs.take_file("sheet.yaml", job))
    assert (run(jobs.folder(job)) / "sheet.yaml").read_bytes() == b"id: of all\n"
    assert list(run(jobs.own_files())) == ["our-kit.yaml", "sheet.yaml"]
    jobs.close()
    assert not folder.exists()


def test_a_write_is_answered_after_it_was_copied_away(tmp_path: Path) -> None:
    """Where the file lasts elsewhere, the hook is awaited first, and finds everything in the one file."""
    path, seen = tmp_path / "jobs.sqlite", []

    async def copy_away() -> None:
        (tmp_path / "copy.sqlite").write_bytes(path.read_bytes())
        with sqlite3.connect(f"file:{tmp_path}/copy.sqlite?immutable=1", uri=True) as copy:
            seen.append(copy.execute("select count(*) from change").fetchone()[0])
        copy.close()

    jobs = Jobs(path, on_write=copy_away)
    job = run(jobs.create(small(), device="van"))
    pen = pen_on(run(jobs.history(job)))
    pen.append("readings.entries", tick("t0"))
    run(jobs.add(pen.changes))
    assert seen == [1, 2]
    run(jobs.add(pen.changes))
    assert seen == [1, 2]  # nothing new, nothing to copy
    jobs.close()


def test_five_thousand_changes_fold_fast() -> None:
    """A job of many years: 5,000 changes become a document and their conflicts within seconds on a slow machine."""
    pen = pen_on(begun())
    number = pen.history.last_number
    changes = [
        Change(
            f"{one:032x}",
            "t-1",
            number + one,
            START,
            "van",
            "",
            "append",
            "readings.entries",
            tick(f"t{one}"),
        )
        for one in range(1, 5001)
    ]
    history = pen.history.plus(*changes)
    started = time.perf_counter()
    assert len(history.document["readings"]["entries"]) == 5000
    assert history.conflicts == ()
    assert time.perf_counter() - started < 5.0


def test_the_store_opens_no_database_until_it_is_asked() -> None:
    """Files of jobs are read without a database."""
    code = "import sys, ventwright.store, ventwright.store.jobs; print({'sqlite3', 'psycopg'} & sys.modules.keys())"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "set()"


# documents in and out


def test_a_copy_merges_without_losing_an_entry() -> None:
    """Entries of both are there; what only the copy says is taken; where they differ both are shown, ours stands."""
    ours = pen_on(begun(small(serves="hall") | {"readings": {"entries": [tick("t0")]}}))
    ours.put("facts.unit.tag", "T-2")
    ours.append("readings.entries", tick("t1"))
    copy = read_copy(
        json.dumps(small(serves="attic", serial="77") | {"readings": {"entries": [tick("t0"), tick("t9")]}}),
        "copy.json",
    )
    pen = pen_on(ours.history, "roof")
    merge(pen, copy)
    document = pen.history.document
    assert [entry["id"] for entry in document["readings"]["entries"]] == ["t0", "t1", "t9"]
    assert document["facts"]["unit"] == SMALL["facts"]["unit"] | {
        "tag": "T-2",
        "serves": "hall",
        "serial": "77",
    }
    assert [(one.shown, [told.value for told in one.said]) for one in pen.history.conflicts] == [
        ("facts.unit.serves", ["attic", "hall"])
    ]
    again = pen_on(pen.history, "roof")
    merge(again, copy)
    assert again.changes == ()  # fmt: skip


def test_an_older_copy_changes_nothing() -> None:
    """What a copy says that was so before is only old: lists, settings and entries stay as they are now."""
    pen = pen_on(begun(small() | {"readings": {"entries": [tick("t0")]}}))
    pen.put("facts.spaces[1].name", "Hall")
    copy = pen.history.document
    pen.put("facts.spaces[2]", None)
    pen.put("facts.unit.tag", "T-2")
    pen.put("facts.site.energy_code", None)
    pen.append("readings.entries", tick("t1"))
    older = pen_on(pen.history)
    merge(older, copy)
    assert older.changes == ()


def test_a_job_that_is_here_becomes_a_copy(jobs: Jobs) -> None:
    """Taken in as a copy it has an id of its own, and both stay."""
    first = run(jobs.create(small(), device="van"))
    second = run(jobs.create(as_copy(run(jobs.document(first))), device="van"))
    assert first != second
    assert run(jobs.document(second)) == run(jobs.document(first)) | {"id": second}


def test_a_document_without_an_id_gets_one(jobs: Jobs) -> None:
    """A job from nothing has the id that is made here, in its document too."""
    job = run(jobs.create({"facts": {"unit": {"tag": "T-1"}}}, device="van"))
    assert run(jobs.document(job)) == {"schema_version": 1, "facts": {"unit": {"tag": "T-1"}}, "id": job}


def test_an_equipment_file_names_only_its_neighbours() -> None:
    """A board by its id or beside the sheet is fine."""
    refuse_outside_names_in(b"board: plain-two-stage\nother: our-board.yaml\n", "sheet.yaml")


# the database under bad luck: processes are forked from one that has imported everything, so that many can be killed

WRITERS = """\
import asyncio, os, random, signal, sys, time
from ventwright.store.history import Pen
from ventwright.store.jobs import Jobs

path, log, task = sys.argv[1:]
if "://" in path:
    import ventwright.store.postgres

async def write(device, most):
    jobs = Jobs(path)
    heard = os.open(log, os.O_WRONLY | os.O_APPEND | os.O_CREAT)
    for number in range(most):
        pen = Pen(await jobs.history("t-1"), device=device)
        change = pen.append("readings.entries", {"id": device + str(number)})
        await jobs.add(pen.changes)
        os.write(heard, change.value["id"].encode() + b"\\n")

def forked(work):
    child = os.fork()
    if child:
        return child
    try:
        work()
        os._exit(0)
    except BaseException as failure:
        print(failure, file=sys.stderr, flush=True)
        os._exit(1)

def ends(children):
    return [os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) for child in children]

if task == "kill":
    moments = random.Random(5)
    for number in range(30):
        before = os.path.exists(log) and os.path.getsize(log)
        child = forked(lambda: asyncio.run(write(f"d{number}-", 10_000)))
        while number % 2 and (not os.path.exists(log) or os.path.getsize(log) == before):
            time.sleep(0.001)  # every other one has been heard of when it is killed
        time.sleep(moments.uniform(0.0, 0.3))
        os.kill(child, signal.SIGKILL)
        print(*ends([child]))
if task == "both":
    print(*ends([forked(lambda: asyncio.run(write(device, 40))) for device in "ab"]))
if task == "make":
    for number in range(20):
        print(*ends([forked(lambda: Jobs(path + str(number)).close()) for _ in range(3)]))
"""


def writers(where: Path | str, log: Path, task: str) -> tuple[list[str], list[str]]:
    """Let processes write into a database; return how they ended, and the entries that were acknowledged."""
    command = [sys.executable, "-c", WRITERS, str(where), str(log), task]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    assert done.stderr == ""
    return done.stdout.split(), log.read_text(encoding="utf-8").split() if log.exists() else []


@pytest.mark.skipif(not hasattr(os, "fork"), reason="this system starts no process by copying one")
def test_a_killed_writer_loses_nothing_it_acknowledged(at: At, tmp_path: Path) -> None:
    """Killed at thirty moments, whatever was acknowledged is there, each entry once, and the next one opens the store."""
    where = at(tmp_path / "jobs.sqlite")
    jobs = Jobs(where)
    run(jobs.create(small(), device="van"))
    jobs.close()
    ended, acknowledged = writers(where, tmp_path / "log", "kill")
    assert ended == ["-9"] * 30
    jobs = Jobs(where)
    there = [entry["id"] for entry in run(jobs.document("t-1"))["readings"]["entries"]]
    assert len(acknowledged) >= 15
    assert set(acknowledged) <= set(there)
    assert (
        len(there) == len(set(there)) <= len(acknowledged) + 30
    )  # at most one a kill was written and not yet said
    assert run(jobs.row("t-1")).revision == len(there) + 1
    jobs.close()


@pytest.mark.skipif(not hasattr(os, "fork"), reason="this system starts no process by copying one")
def test_two_processes_write_at_once(at: At, tmp_path: Path) -> None:
    """Both are acknowledged, and everything is there."""
    where = at(tmp_path / "jobs.sqlite")
    jobs = Jobs(where)
    run(jobs.create(small(), device="van"))
    ended, acknowledged = writers(where, tmp_path / "log", "both")
    assert ended == ["0", "0"]
    there = {entry["id"] for entry in run(jobs.document("t-1"))["readings"]["entries"]}
    assert there == set(acknowledged)
    assert len(there) == 80
    jobs.close()


@pytest.mark.skipif(not hasattr(os, "fork"), reason="this system starts no process by copying one")
def test_processes_make_the_file_at_once(tmp_path: Path) -> None:
    """The migrations are taken once, whoever comes first, and nobody is turned away."""
    assert writers(tmp_path / "jobs.sqlite", tmp_path / "log", "make")[0] == ["0"] * 60


# migrations

NEXT = Migration(
    len(migrations()) + 1,
    "-- a colour; with a sign ; in a comment\nalter table job add column colour text;\nupdate job set colour = 'a;b';\n",
)


def test_the_migrations_are_numbered_from_one() -> None:
    """None is missing and none has two."""
    assert [one.version for one in migrations()] == list(range(1, len(migrations()) + 1))


def test_a_migration_keeps_a_copy_first(tmp_path: Path) -> None:
    """The file as it was stands beside under its version, and can be opened; the new one has all that was there."""
    path = tmp_path / "jobs.sqlite"
    jobs = Jobs(path)
    run(jobs.create(small(), device="van"))
    jobs.close()
    opened(path, steps=(*migrations(), NEXT)).close()
    database = sqlite3.connect(path)
    assert database.execute("select id, colour from job").fetchall() == [("t-1", "a;b")]
    database.close()
    copy = Jobs(tmp_path / f"jobs.sqlite.version-{len(migrations())}")
    assert run(copy.document("t-1")) == small()
    copy.close()


def test_a_migration_that_fails_changes_nothing(tmp_path: Path) -> None:
    """All of it or nothing: the file is still of the version before."""
    path = tmp_path / "jobs.sqlite"
    Jobs(path).close()
    broken = Migration(
        len(migrations()) + 1, "alter table job add column colour text;\nselect * from nowhere;\n"
    )
    with pytest.raises(sqlite3.OperationalError, match="nowhere"):
        opened(path, steps=(*migrations(), broken))
    jobs = Jobs(path)
    assert run(jobs.jobs()) == ()
    jobs.close()
