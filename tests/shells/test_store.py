"""Jobs in files: appended to without disturbing a person's work, old or new but never half, nobody's entry lost."""

from __future__ import annotations

import errno
import json
import os
import stat
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

import pytest

from ventwright import job as job_module
from ventwright.errors import Refused
from ventwright.job import job_json
from ventwright.store import append, load, write

DEMO = Path(job_module.__file__).parent / "cli" / "demo_job" / "larkspur-row-r-2.yaml"

SMALL = """\
# written by hand
schema_version: 1
id: t-1          # made up
facts:
  kit: two-speed-dry-bulb   # not the order of the manual

  site: {name: "Nowhere", climate_zone: 3C}
  unit: {tag: 'T-1', cooling_capacity: 10 ton}
  ventilation:
    drawn: {cooling: 500 cfm, source: invented sheet}
"""

TICK = {"what": "tick", "id": "t1", "at": "2026-11-25T09:00-08:00", "item": "hood in place"}


def small(folder: Path, text: str = SMALL, name: str = "job.yaml") -> Path:
    """Write the small invented job, its line ends as they stand in the text."""
    path = folder / name
    path.write_bytes(text.encode())
    return path


def add(path: Path, **other: Any) -> None:
    """Append a tick to the job in a file."""
    append(load(path), "readings", "entries", TICK | other)


def refused(path: Path, **other: Any) -> list[str]:
    """Return what appending a tick is refused with."""
    with pytest.raises(Refused) as caught:
        add(path, **other)
    return [refusal.sentence for refusal in caught.value.refusals]


def files(folder: Path) -> list[str]:
    """Return the names of everything in a folder, hidden or not."""
    return sorted(path.name for path in folder.iterdir())


# what a person wrote stays


def test_every_line_of_the_demo_stays(tmp_path: Path) -> None:
    """An entry adds its own lines and touches no other: comments, quotes, order and blank lines stay."""
    path = small(tmp_path, DEMO.read_text(encoding="utf-8"))
    before = path.read_text(encoding="utf-8").splitlines()
    add(path, id="t9", note="two\nlines, a # and a: colon")
    after = path.read_text(encoding="utf-8").splitlines()
    added = [line for line in after if line not in before]
    assert [line for line in after if line in before] == before
    assert added == [
        "    - what: tick",
        "      id: t9",
        "      at: 2026-11-25T09:00-08:00",
        "      item: hood in place",
        '      note: "two\\nlines, a # and a: colon"',
    ]


def test_a_file_without_readings_gets_them(tmp_path: Path) -> None:
    """The section and the list are made where the first entry needs them, below what stands there."""
    path = small(tmp_path)
    add(path)
    text = path.read_text(encoding="utf-8")
    assert text.startswith(SMALL)
    assert text[len(SMALL) :].splitlines() == [
        "readings:",
        "  entries:",
        "    - what: tick",
        "      id: t1",
        "      at: 2026-11-25T09:00-08:00",
        "      item: hood in place",
    ]


@pytest.mark.parametrize(
    "empty",
    [
        "readings: {}\n",
        "readings: {visits: [], entries: []}\n",
        "readings:\n  visits: []\n  entries: []   # none yet\n",
        "readings:\n  # after lunch\n  visits:\n    - {id: a, started: 2026-11-25T08:00Z, technician: Nobody}\n",
    ],
    ids=["no lists", "empty lists in braces", "empty lists with a comment", "visits only"],
)
def test_an_empty_list_is_filled(tmp_path: Path, empty: str) -> None:
    """Whether the list is missing or empty, the entry ends up in it, and comments and what follows stay."""
    path = small(tmp_path, SMALL + empty + "record:\n  next_check: in a year   # said so\n")
    comments = path.read_text(encoding="utf-8").count("#")
    add(path)
    text = path.read_text(encoding="utf-8")
    assert [entry.id for entry in load(path).job.readings.entries] == ["t1"]
    assert text.endswith("record:\n  next_check: in a year   # said so\n")
    assert text.count("#") == comments


def test_many_entries_one_after_the_other(tmp_path: Path) -> None:
    """Ten entries are ten entries in order; the file that holds them is still the person's."""
    path = small(tmp_path)
    kept = load(path)
    for number in range(10):
        kept = append(kept, "readings", "entries", TICK | {"id": f"t{number}"})
    assert [entry.id for entry in load(path).job.readings.entries] == [f"t{number}" for number in range(10)]
    assert path.read_text(encoding="utf-8").startswith(SMALL)


ODD = ["12345", "1e5", "0x1F", "0o17", "1_000", ".5", "+1", "true", "no", "~", "null", "2026-01-01", "12:30", "=", "<<",
       "- x", "a: b", "a #b", "*x", "&x", "!x", "%x", "@x", "`x", "{x}", "[x", "?", "'", '"', "\\", "ü ☃ 𝄞", "---"]  # fmt: skip


@pytest.mark.parametrize("suffix", [".yaml", ".json"])
def test_odd_words_are_read_back_as_they_were_given(tmp_path: Path, suffix: str) -> None:
    """No word of a note is taken for a number, a date or a sign of YAML, and no later append changes it."""
    path = small(tmp_path)
    if suffix == ".json":
        path = small(tmp_path, job_json(load(path).job).decode(), "job.json")
    kept = load(path)
    for first, second, third, fourth in zip(*[iter(ODD)] * 4, strict=True):
        entry = TICK | {"id": first, "note": second, "by": third, "conditions": fourth}
        kept = append(kept, "readings", "entries", entry)
    found = load(path).job.readings.entries
    assert [word for entry in found for word in (entry.id, entry.note, entry.by, entry.conditions)] == ODD


def test_windows_line_ends_stay(tmp_path: Path) -> None:
    """A file with CRLF has CRLF in every line afterwards too, and reads as the same job."""
    path = small(tmp_path, SMALL.replace("\n", "\r\n"))
    add(path, note="first\nsecond")
    content = path.read_bytes()
    assert content.startswith(SMALL.replace("\n", "\r\n").encode())
    assert content.count(b"\r\n") == content.count(b"\n")
    assert load(path).job.readings.entries[0].note == "first\nsecond"


def test_a_byte_order_mark_is_no_letter(tmp_path: Path) -> None:
    """A file from an editor that marks UTF-8 is read and appended to."""
    path = tmp_path / "job.yaml"
    path.write_bytes(b"\xef\xbb\xbf" + SMALL.encode())
    add(path)
    assert [entry.id for entry in load(path).job.readings.entries] == ["t1"]


def test_json_is_appended_to_as_json(tmp_path: Path) -> None:
    """A JSON job stays JSON, with its letters as they are."""
    before = load(DEMO).job
    path = small(tmp_path, job_json(before).decode(), "job.JSON")
    add(path, id="t9", note="± 2 K")
    document = json.loads(path.read_text(encoding="utf-8"))
    assert document["readings"]["entries"][-1]["note"] == "± 2 K"
    assert "± 2 K" in path.read_text(encoding="utf-8")
    assert load(path).job.readings.entries[:-1] == before.readings.entries


def test_what_is_named_json_and_is_not_is_refused_with_its_line(tmp_path: Path) -> None:
    """A .json file with a comma too many was read as YAML; it is not rewritten into something else."""
    text = (
        '{\n"id": "t-1",\n"facts": '
        + json.dumps(json.loads(job_json(load(small(tmp_path)).job))["facts"])
        + ",\n}\n"
    )
    path = small(tmp_path, text, "job.json")
    assert refused(path) == [
        "line 4, job.json: is no JSON; accepted: JSON in a file that ends in .json, YAML in one that ends in .yaml."
    ]
    assert path.read_text(encoding="utf-8") == text


# old or new, never half


def test_an_entry_that_is_refused_changes_nothing(tmp_path: Path) -> None:
    """The whole is checked before the file is touched; every mistake of the entry is named."""
    path = small(tmp_path)
    assert refused(path, visit="nowhere", corrects="nothing") == [
        'readings.entries[1].visit: "nowhere" is not a visit of this job; accepted: a visit listed under readings.visits.',
        'readings.entries[1].corrects: "nothing" is no earlier entry; accepted: the id of an entry above.',
    ]
    assert path.read_text(encoding="utf-8") == SMALL
    assert files(tmp_path) == ["job.yaml"]


FAILURES = {
    "os.fsync": (errno.ENOSPC, "no space left on device"),
    "pathlib.Path.replace": (errno.EACCES, "permission denied"),
}


@pytest.mark.parametrize("what", FAILURES)
def test_a_write_that_fails_leaves_the_old_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, what: str
) -> None:
    """A full disk or a forbidden replacement is one sentence; the old file is whole and nothing lies beside it."""
    path = small(tmp_path)
    kept = load(path)
    number, reason = FAILURES[what]

    def fail(*_: object) -> None:
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr(what, fail)
    with pytest.raises(Refused) as caught:
        append(kept, "readings", "entries", TICK)
    monkeypatch.undo()
    assert str(caught.value) == (
        f"{path}: cannot be written ({reason}); accepted: a file and a folder that can be written to."
    )
    assert path.read_text(encoding="utf-8") == SMALL
    assert files(tmp_path) == ["job.yaml"]


def test_an_interruption_leaves_the_old_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Ctrl-C in the middle of writing leaves the old file, no rest and no lock."""
    path = small(tmp_path)
    kept = load(path)

    def interrupt(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "fsync", interrupt)
    with pytest.raises(KeyboardInterrupt):
        append(kept, "readings", "entries", TICK)
    monkeypatch.undo()
    assert path.read_text(encoding="utf-8") == SMALL
    assert files(tmp_path) == ["job.yaml"]
    add(path)


def test_a_folder_that_may_not_be_written_to(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Without permission in the folder the entry is refused, and the job is as it was (root may write everywhere)."""
    path = small(tmp_path)

    def forbidden(*_: object, **__: object) -> None:
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))

    monkeypatch.setattr(tempfile, "mkstemp", forbidden)
    assert refused(path) == [
        f"{path}: cannot be written (permission denied); accepted: a file and a folder that can be written to."
    ]
    monkeypatch.undo()
    assert path.read_text(encoding="utf-8") == SMALL


def test_a_folder_that_is_a_file(tmp_path: Path) -> None:
    """A path below a file cannot be written, and the reason is said."""
    path = small(tmp_path)
    with pytest.raises(Refused) as caught:
        write(path / "job.yaml", b"x")
    assert "cannot be written (" in str(caught.value)
    assert path.read_text(encoding="utf-8") == SMALL


def test_writing_makes_the_folders_it_needs(tmp_path: Path) -> None:
    """A record may be written into a folder that is not there yet."""
    write(tmp_path / "a" / "b" / "c.txt", b"here")
    assert (tmp_path / "a" / "b" / "c.txt").read_bytes() == b"here"


def test_the_permissions_of_a_file_stay(tmp_path: Path) -> None:
    """What only its owner could read, only its owner can read afterwards."""
    path = small(tmp_path)
    path.chmod(0o600)
    add(path)
    assert stat.S_IMODE(path.stat().st_mode) == 0o600


def test_a_link_stays_a_link(tmp_path: Path) -> None:
    """A job reached by a link is appended to where it lies."""
    (tmp_path / "kept").mkdir()
    path = small(tmp_path / "kept")
    link = tmp_path / "link.yaml"
    link.symlink_to(path)
    add(link)
    assert link.is_symlink()
    assert [entry.id for entry in load(path).job.readings.entries] == ["t1"]
    assert files(tmp_path / "kept") == ["job.yaml"]


# nobody's entry is lost


def test_a_file_changed_meanwhile_is_not_written_over(tmp_path: Path) -> None:
    """What somebody else saved between reading and writing stays; the entry is refused, to be given again."""
    path = small(tmp_path)
    kept = load(path)
    add(path, id="theirs")
    theirs = path.read_bytes()
    with pytest.raises(Refused) as caught:
        append(kept, "readings", "entries", TICK)
    assert str(caught.value) == (
        f"{path}: was changed by someone else meanwhile; accepted: the same command once more."
    )
    assert path.read_bytes() == theirs


def test_a_file_taken_away_meanwhile_is_not_made_anew(tmp_path: Path) -> None:
    """A job that was moved is not resurrected as a second one."""
    path = small(tmp_path)
    kept = load(path)
    path.unlink()
    with pytest.raises(Refused) as caught:
        append(kept, "readings", "entries", TICK)
    assert "cannot be read (no such file or directory)" in str(caught.value)
    assert files(tmp_path) == []


def test_a_file_that_another_process_is_writing(tmp_path: Path) -> None:
    """While somebody else is at it the entry is refused, and what to do about a lock left by a crash is said."""
    path = small(tmp_path)
    lock = tmp_path / ".job.yaml.lock"
    lock.touch()
    assert refused(path) == [
        (
            f"{path}: is being written by someone else; accepted: the same command once more; if nobody else writes, take "
            f"{lock} away first."
        )
    ]
    assert path.read_text(encoding="utf-8") == SMALL
    lock.unlink()
    add(path)


def test_two_processes_at_once_lose_nothing(tmp_path: Path) -> None:
    """Of entries made at the same time each is either in the file or was refused; none vanishes."""
    path = small(tmp_path)
    program = (
        "import sys; from pathlib import Path; from ventwright.store import append, load\n"
        "from ventwright.errors import Refused\n"
        "for n in range(8):\n"
        "    entry = {'what': 'tick', 'id': sys.argv[2] + str(n), 'at': '2026-11-25T09:00Z', 'item': 'hood in place'}\n"
        "    try:\n"
        "        append(load(Path(sys.argv[1])), 'readings', 'entries', entry)\n"
        "        print(entry['id'])\n"
        "    except Refused:\n"
        "        pass\n"
    )
    started = [
        subprocess.Popen([sys.executable, "-c", program, str(path), name], stdout=subprocess.PIPE, text=True)
        for name in "ab"
    ]
    said = [process.communicate()[0].split() for process in started]
    assert [process.returncode for process in started] == [0, 0]
    assert sorted(entry.id for entry in load(path).job.readings.entries) == sorted(said[0] + said[1])
    assert said[0] or said[1]
    assert files(tmp_path) == ["job.yaml"]


def test_a_file_that_is_kept_from_being_written(tmp_path: Path) -> None:
    """A new file could take its place; whoever protected it did not mean that."""
    path = small(tmp_path)
    path.chmod(0o444)
    assert refused(path) == [
        f"{path}: cannot be written (it is kept from being written); accepted: a file and a folder that can be written to."
    ]
    assert path.read_text(encoding="utf-8") == SMALL
