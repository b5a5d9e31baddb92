"""The units of a fleet from a folder: a site for every folder in it, and in a site the units that its logs name."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from ventwright.errors import Refusal, Refused
from ventwright.quantity import System
from ventwright.readings.trend import LogFile, PointMap, Understood, look, read_point_map
from ventwright.readings.trend.looking import found_in
from ventwright.store.fleet.unit_task import UnitTask
from ventwright.verdict.trend_findings import KnownUnit

MAP = "points.yaml"
"""Name of the point map in a site's folder, or in the folder of all."""

Knows = Callable[[str, str], KnownUnit]
"""What is known of a unit, by its site and its name."""


@dataclass(frozen=True, slots=True)
class Gathered:
    """The units of a fleet, and the files that could not be read."""

    tasks: tuple[UnitTask, ...]
    refused: tuple[Refusal, ...] = ()


def gathered(folder: Path, said: PointMap | None, knows: Knows, system: System = "us") -> Gathered:
    """Find the units of a fleet.

    Parameters
    ----------
    folder
        With a folder for every site; logs that stand in it belong to a site of its own name.
    said
        What a person says of all logs; else ``points.yaml`` in the site's folder, or in the folder of all.
    knows
        What is known of a unit.
    system
        Units of the pages.

    Raises
    ------
    Refused
        There is no such folder, no log in it, or a point map has mistakes.
    """
    if not folder.is_dir():
        raise Refused(
            Refusal("is no folder", "a folder of logs, or postgresql:// and a database", given=str(folder))
        )
    tasks: list[UnitTask] = []
    refused: list[Refusal] = []
    for site, paths in sites(folder).items():
        try:
            understood = look(paths, said or _map(folder, site))
        except Refused as failure:
            refused += failure.refusals
            continue
        refused += understood.refused
        tasks += _tasks(site, understood, knows, system)
    if not tasks:
        raise Refused(*(refused or [Refusal("holds no log", "logs, or folders of logs", given=str(folder))]))
    return Gathered(tuple(tasks), tuple(refused))


def sites(folder: Path) -> Mapping[str, list[Path]]:
    """Return the logs of every site, by its name."""
    found: dict[str, list[Path]] = {}
    for path in found_in([folder]):
        inside = path.relative_to(folder).parts
        found.setdefault(inside[0] if len(inside) > 1 else folder.resolve().name, []).append(path)
    return dict(sorted(found.items()))


def _map(folder: Path, site: str) -> PointMap:
    """Return the point map that stands nearest."""
    for place in (folder / site / MAP, folder / MAP):
        if place.is_file():
            return read_point_map(place)
    return PointMap()


def _tasks(site: str, understood: Understood, knows: Knows, system: System) -> Iterator[UnitTask]:
    said = PointMap.model_validate(
        {key: value for key in ("zone", "dates", "year") if (value := getattr(understood, key)) is not None}
    )
    contents = {file.path: _content(file.path) for file in understood.files}
    for unit in understood.units:
        files = tuple(understood.of_unit(unit))
        own = replace(understood, files=files, questions=(), refused=(), remarks=())
        yield UnitTask(site, unit, said, knows(site, unit), own, _stamp(files, contents), system)


def _content(path: Path) -> str:
    """Return a mark of what a file holds; nothing where it cannot be read, which is said when it is judged."""
    try:
        with path.open("rb") as file:
            return hashlib.file_digest(file, "sha256").hexdigest()
    except OSError:
        return ""


def _stamp(files: tuple[LogFile, ...], contents: Mapping[Path, str]) -> str:
    """Return a mark of what files hold and of how they are understood."""
    held = hashlib.sha256()
    for file in files:
        columns = [(one.heading, one.unit, one.point, str(one.measure)) for one in file.columns]
        held.update(repr((file.name, contents[file.path], columns)).encode())
    return held.hexdigest()
