"""Logs kept as Parquet in a folder: each file read through once, taken up again where it was left, and what is new added.

Beside the parts stands ``read.json``. For every file that was read it holds a fingerprint of the file's beginning, the
place in the unpacked bytes up to which it is read, and the counts so far. It is written after every part, by a
rename, so that a reading that was stopped at any moment goes on from the last part and reads no row twice. A file that
begins differently from the one of that name before is another file, and is refused rather than mixed in.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from dataclasses import asdict
from functools import partial
from typing import TYPE_CHECKING, Any, Final

import polars as pl

from ventwright.errors import Refusal, Refused
from ventwright.readings.trend.counts import Counts
from ventwright.readings.trend.frames import UnitFrame, frame_steps, gathered_frame
from ventwright.readings.trend.quick_rows import QuickReader
from ventwright.readings.trend.source_file import is_same
from ventwright.readings.trend.streaming import Progress, ready

if TYPE_CHECKING:
    from pathlib import Path

    from ventwright.readings.trend.understood import LogFile, Understood

STATE: Final = "read.json"


def keep(understood: Understood, folder: Path, watch: Callable[[Progress], None] | None = None) -> Counts:
    """Read files into a folder, going on where an earlier reading stopped; return the counts of what was read now.

    Parameters
    ----------
    understood
        The files, with no question left open.
    folder
        Where the parts and the state stand; made where it is not there.
    watch
        Called after every part; what it raises stops the reading, which the next call takes up again.

    Raises
    ------
    Refused
        A question is open, the folder cannot be written, or a file is not the one it was.
    """
    ready(understood)
    state = _state(folder)
    now, done = Counts(), 0
    for file in understood.files:
        _keep_file(file, folder, state, now, partial(_told, watch, done, understood.size))
        done += file.source.size
    return now


def _told(watch: Callable[[Progress], None] | None, done: int, total: int, step: Progress) -> None:
    if watch is not None:
        watch(Progress(step.file, done + step.done, total, step.counts, step.place, step.finished))


def _keep_file(
    file: LogFile, folder: Path, state: dict[str, Any], now: Counts, told: Callable[[Progress], None]
) -> None:
    """Read one file from where it was left."""
    name = str(file.path.resolve())
    kept = state["files"].setdefault(name, _untouched(file, len(state["files"])))
    if not is_same(file.source, kept["beginning"], kept["covered"]):
        problem = "does not begin as it did when it was read before"
        raise Refused(
            Refusal(
                problem,
                "another folder to keep it in, or the log as it was, which may have grown",
                str(file.path),
            )
        )
    reader = QuickReader(file)
    reader.plain.before = kept["before"]
    rows: list[tuple[str, pl.DataFrame]] = []
    for step in frame_steps(file, kept["place"], reader, grows=True):
        if isinstance(step, tuple):
            rows.append(step)
            continue
        if step.place > kept["place"]:
            _write_part(folder, kept, rows)
            kept |= {"place": step.place, "before": reader.plain.before, "parts": kept["parts"] + 1}
            counts = _counts(kept["counts"])
            counts.add(step.counts)
            kept["counts"] = asdict(counts)
            now.add(step.counts)
            _write_state(folder, state)
        else:
            now.add(step.counts)  # a line that waits
        rows = []
        told(step)


def _untouched(file: LogFile, number: int) -> dict[str, Any]:
    return {
        "number": number,
        "beginning": file.source.beginning,
        "covered": file.source.fingerprinted,
        "place": 0,
        "before": None,
        "parts": 0,
        "counts": asdict(Counts()),
    }


def _counts(held: dict[str, Any]) -> Counts:
    return Counts(**held)


def _write_part(folder: Path, kept: dict[str, Any], rows: list[tuple[str, pl.DataFrame]]) -> None:
    """Write what one piece of a file gave, a part for every unit; a part that was written and not noted is written over."""
    units = dict.fromkeys(unit for unit, _ in rows)
    for unit in units:
        own = pl.concat([frame for one, frame in rows if one == unit], how="diagonal")
        into = folder / _as_folder(unit)
        try:
            into.mkdir(parents=True, exist_ok=True)
            (into / "unit.txt").write_text(unit, encoding="utf-8")
            own.write_parquet(into / f"{kept['number']:05d}-{kept['parts']:06d}.parquet")
        except OSError as failure:
            raise _cannot_write(folder, failure) from None


def _as_folder(unit: str) -> str:
    """Return a name that every system takes for a folder, different for different units."""
    import hashlib

    plain = "".join(sign if sign.isalnum() or sign in "-_." else "_" for sign in unit).strip(".") or "unit"
    return plain if plain == unit else f"{plain[:60]}-{hashlib.sha256(unit.encode()).hexdigest()[:8]}"


def _state(folder: Path) -> dict[str, Any]:
    """Return what was read before."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
        path = folder / STATE
        held: dict[str, Any] = (
            json.loads(path.read_text(encoding="utf-8")) if path.exists() else {"files": {}}
        )
    except OSError as failure:
        raise _cannot_write(folder, failure) from None
    except ValueError:
        raise Refused(
            Refusal("is damaged", "a folder that only this command writes to", str(folder / STATE))
        ) from None
    return held


def _write_state(folder: Path, state: dict[str, Any]) -> None:
    """Write the state beside and rename it, so that it is whole at any moment."""
    try:
        beside = folder / f"{STATE}.new"
        beside.write_text(json.dumps(state), encoding="utf-8")
        beside.replace(folder / STATE)
    except OSError as failure:
        raise _cannot_write(folder, failure) from None


def _cannot_write(folder: Path, failure: OSError) -> Refused:
    reason = (failure.strerror or "an error of the system").lower()
    return Refused(Refusal(f"cannot be written ({reason})", "a folder with room", str(folder)))


def kept_frames(folder: Path, zone: str | None = None) -> Iterator[UnitFrame]:
    """Yield the log of one unit after another from a folder in which logs were kept.

    Raises
    ------
    Refused
        No log is kept there.
    """
    state = _state(folder)
    if not state["files"]:
        raise Refused(
            Refusal("holds no kept log", "a folder that `ventwright trends --keep` wrote", str(folder))
        )
    counted = {kept["number"]: _counts(kept["counts"]) for kept in state["files"].values()}
    whole_parts = {kept["number"]: kept["parts"] for kept in state["files"].values()}
    for inside in sorted(one for one in folder.iterdir() if (one / "unit.txt").exists()):
        parts = [one for one in sorted(inside.glob("*.parquet")) if _is_noted(one.stem, whole_parts)]
        counts = Counts()
        for number in sorted({int(one.stem.partition("-")[0]) for one in parts}):
            counts.add(counted[number])
        frame = gathered_frame([pl.read_parquet(one) for one in parts], counts)
        yield UnitFrame((inside / "unit.txt").read_text(encoding="utf-8"), frame, zone, counts)


def _is_noted(stem: str, parts: dict[int, int]) -> bool:
    number, _, part = stem.partition("-")
    return int(part) < parts.get(int(number), 0)
