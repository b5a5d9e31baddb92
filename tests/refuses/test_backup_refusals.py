"""What backup and restore refuse, each in its exact sentence; nothing is written over or brought back in part."""

from __future__ import annotations

import asyncio
import json
import random
from hashlib import sha256
from pathlib import Path
from zipfile import ZIP_DEFLATED, ZipFile

import pytest
from tests.either import At
from tests.shells.test_backup import content, filled

from ventwright.cli import REFUSED, main
from ventwright.errors import Refused
from ventwright.store.backup import LIST, back_up, bring_back
from ventwright.store.jobs import Jobs


@pytest.fixture
def made(tmp_path: Path) -> Path:
    """Return a backup."""
    filled(tmp_path / "one.sqlite3")
    asyncio.run(back_up(tmp_path / "one.sqlite3", tmp_path / "one.backup"))
    return tmp_path / "one.backup"


def refused(file: Path, where: Path | str) -> str:
    """Return what bringing a file back is refused with."""
    with pytest.raises(Refused) as caught:
        asyncio.run(bring_back(file, where))
    return caught.value.refusals[0].sentence


def damaged(file: Path) -> str:
    """Return the sentence for a damaged file."""
    return f"{file}: is no backup, or is damaged; accepted: another backup; nothing was brought back."


def with_list(made: Path, **other: object) -> Path:
    """Return a backup whose list says something else."""
    file = made.with_name("other.backup")
    with ZipFile(made) as before, ZipFile(file, "w", ZIP_DEFLATED) as after:
        for name in before.namelist():
            part = before.read(name)
            after.writestr(name, json.dumps(json.loads(part) | other) if name == LIST else part)
    return file


def test_a_store_in_which_something_is_kept(made: Path, at: At, tmp_path: Path) -> None:
    """It is left as it is."""
    where = at(tmp_path / "kept.sqlite3")
    jobs = Jobs(where)
    asyncio.run(jobs.set_setting("units", "si"))
    jobs.close()
    before = content(where)
    sentence = refused(made, where)
    assert sentence.endswith(
        ": is not empty; accepted: a new folder or an empty database; what is here stays as it is."
    )
    assert content(where) == before


def test_a_byte_that_is_another(made: Path, tmp_path: Path) -> None:
    """Whichever byte of the file is wrong, it is refused, or everything in it is still what it was."""
    whole, chance = made.read_bytes(), random.Random(3)  # noqa: S311 - places of damage, not secrets
    file, said = tmp_path / "wrong.backup", list[str]()
    for number in range(60):
        wrong = bytearray(whole)
        wrong[chance.randrange(len(wrong))] ^= 1 << chance.randrange(8)
        file.write_bytes(wrong)
        there = tmp_path / f"there-{number}.sqlite3"
        try:
            asyncio.run(bring_back(file, there))
        except Refused as refused_it:
            said.append(refused_it.refusals[0].sentence)
            assert not there.exists()
        else:
            assert content(there) == content(tmp_path / "one.sqlite3")  # a time or a remark of the zip itself
    assert set(said) == {damaged(file)}
    assert len(said) > 30


@pytest.mark.parametrize(("place", "byte"), [(6, 0x6D), (46, 0xFF)])
def test_the_zips_own_list_that_is_damaged(made: Path, tmp_path: Path, place: int, byte: int) -> None:
    """A version of zip that nobody reads yet; a name that is no text."""
    wrong, file = bytearray(made.read_bytes()), tmp_path / "wrong.backup"
    at = wrong.index(b"PK\x01\x02")
    wrong[at + 9] |= 0x08  # names are UTF-8
    wrong[at + place] = byte
    file.write_bytes(wrong)
    assert refused(file, tmp_path / "there.sqlite3") == damaged(file)


def test_a_file_that_was_cut_off(made: Path, tmp_path: Path) -> None:
    """Wherever it ends."""
    whole, file = made.read_bytes(), tmp_path / "cut.backup"
    for length in (0, 1, 100, len(whole) // 2, len(whole) - 1):
        file.write_bytes(whole[:length])
        assert refused(file, tmp_path / "there.sqlite3") == damaged(file)
    assert not (tmp_path / "there.sqlite3").exists()


def test_a_newer_one(made: Path, tmp_path: Path) -> None:
    """A newer form, or a store of a newer version."""
    for other in ({"form": 2}, {"version": 999}):
        file = with_list(made, **other)
        accepted = "was made by a newer Ventwright; accepted: an update of Ventwright."
        assert refused(file, tmp_path / "there.sqlite3") == f"{file}: {accepted}"
    assert not (tmp_path / "there.sqlite3").exists()


def test_a_list_that_is_none(made: Path, tmp_path: Path) -> None:
    """Parts left out, versions that are none, a time that is none."""
    wrong: list[dict[str, object]] = [
        {"tables": []}, {"tables": 3}, {"tables": [3]}, {"version": 2.5}, {"form": 0.5},
        {"tables": [{"table": [], "columns": [], "rows": 0, "sha256": ""}]},
        {"tables": [{"table": "job", "columns": [[]], "rows": 0, "sha256": ""}]},
        {"tables": [{"table": "job", "columns": ["id", "id"], "rows": 0, "sha256": ""}]},
        {"tables": json.loads("[" * 400 + "]" * 400)}, {"form": "x"}, {"version": 0}, {"version": -1}, {"made_at": 3},
    ]  # fmt: skip
    for other in wrong:
        file = with_list(made, **other)
        assert refused(file, tmp_path / "there.sqlite3") == damaged(file)


def made_up(made: Path, table: str, line: bytes) -> Path:
    """Return a backup in which one row of a table is another, its list telling the hash of that."""
    file = made.with_name("made-up.backup")
    with ZipFile(made) as before, ZipFile(file, "w", ZIP_DEFLATED) as after:
        said = json.loads(before.read(LIST))
        for one in said["tables"]:
            name = f"tables/{one['table']}.jsonl"
            part = before.read(name)
            if one["table"] == table:
                part = b"".join([*part.splitlines(keepends=True)[1:], line + b"\n"])
                one |= {"sha256": sha256(part).hexdigest(), "rows": part.count(b"\n")}
            after.writestr(name, part)
        after.writestr(LIST, json.dumps(said))
    return file


SETTING = [
    b"", b"nothing", b"null", b"3", b"[]", b'["units"]', b'["units", "3", "4"]', b'{"name": 1}', b"[[], {}]", b'["units", {"x": 1}]',
    b'["units", {"bytes": 3}]', b'["units", {"bytes": "?"}]', b'["units", null]', b'["units", 1.5]', b'["units", true]', b'["units", "no JSON"]',
    b'["units", NaN]', b'["\\ud800", "1"]', b"\xff", b"[" * 100_000,
]  # fmt: skip


@pytest.mark.parametrize("line", SETTING, ids=lambda line: repr(line)[:30])
def test_a_row_that_was_made_up(made: Path, at: At, tmp_path: Path, line: bytes) -> None:
    """Its hash is right, and it is none: no traceback, and nothing is brought back."""
    file, where = made_up(made, "setting", line), at(tmp_path / "there.sqlite3")
    assert refused(file, where) == damaged(file)


@pytest.mark.parametrize(
    ("column", "cell"),
    [
        ("id", "x"), ("number", "x"), ("number", 2**70), ("arrived", 2**70), ("made_at", "yesterday"), ("does", "sing"), ("value", "{"),
        ("known", "3"), ("job", None), ("path", 3), ("by", "\ud800"), ("arrived", None), ("arrived", "x"),
    ],
)  # fmt: skip
def test_a_change_that_was_made_up(made: Path, at: At, tmp_path: Path, column: str, cell: object) -> None:
    """What nobody could read again is not brought back."""
    with ZipFile(made) as archive:
        columns = next(
            one["columns"] for one in json.loads(archive.read(LIST))["tables"] if one["table"] == "change"
        )
        row = json.loads(archive.read("tables/change.jsonl").splitlines()[0])
    column = {"by": "made_by"}.get(column, column)
    line = json.dumps(
        [cell if name == column else held for name, held in zip(columns, row, strict=True)]
    ).encode()
    file, where = made_up(made, "change", line), at(tmp_path / "there.sqlite3")
    assert refused(file, where) == damaged(file)


def test_what_is_not_there(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A backup, a store, room for a name; said by the commands in one sentence."""
    missing = tmp_path / "missing"
    for words, sentence in (
        (
            ["restore", str(missing), "--data", str(tmp_path / "new")],
            f"{missing}: cannot be read (no such file or directory); accepted: a backup that is there.",
        ),
        (
            ["backup", "--data", str(missing), "--to", str(tmp_path / "x")],
            f"{missing}/jobs.sqlite3: is not there; accepted: a file of jobs.",
        ),
        (
            ["backup", "--data", str(tmp_path), "--database", "postgresql://x", "--to", "x"],
            "--database: names a second store; accepted: either --data or --database.",
        ),
        (
            ["backup", "--database", "mysql://x", "--to", "x"],
            "the database: cannot be kept at an address that begins with mysql; accepted: one that begins with postgresql://.",
        ),
    ):
        assert main(words) == REFUSED
        assert capsys.readouterr().err == f"ventwright: {sentence}\n"


def test_a_name_that_is_taken(made: Path, tmp_path: Path) -> None:
    """An older backup is never written over; a folder that is not there is not made."""
    before = made.read_bytes()
    with pytest.raises(Refused, match="is there already; accepted: a name that is not taken"):
        asyncio.run(back_up(tmp_path / "one.sqlite3", made))
    assert made.read_bytes() == before
    with pytest.raises(Refused, match="cannot be written"):
        asyncio.run(back_up(tmp_path / "one.sqlite3", tmp_path / "none" / "x.backup"))
