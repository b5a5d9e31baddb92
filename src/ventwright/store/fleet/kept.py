"""What was found of every unit before: a document and a page each, and the mark of what they were found from."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from ventwright.errors import Refusal, Refused
from ventwright.store.files import write
from ventwright.store.fleet.unit_task import UnitOutcome, UnitTask
from ventwright.verdict.trend_findings import RuleSet

STATE, UNITS = "kept.json", "units"

EVERY = 20
"""Units after which the marks are written: stopped before, so many at most are judged again."""


class Kept:
    """The folder of a fleet's findings."""

    def __init__(self, folder: Path) -> None:
        """Open it, made where there is none.

        Raises
        ------
        Refused
            It holds something else, or is damaged.
        """
        self.folder = folder
        self._marks: dict[str, str] = {}
        self._unwritten = 0
        path = folder / STATE
        try:
            held = json.loads(path.read_text(encoding="utf-8")) if path.exists() else {"marks": {}}
            strange = not path.exists() and folder.exists() and any(folder.iterdir())
            self._marks = {str(name): str(mark) for name, mark in held["marks"].items()}
        except (OSError, ValueError, KeyError, AttributeError, TypeError):
            accepted = "a folder that only this command writes to"
            raise Refused(Refusal("is damaged", accepted, "--out", str(path))) from None
        if strange:
            raise Refused(Refusal("holds something else", "an empty or a new folder", "--out", str(folder)))

    def new(self, tasks: Iterable[UnitTask], rules: RuleSet) -> list[UnitTask]:
        """Return the units that are new, or whose data, rules or facts are others than they were."""
        return [one for one in tasks if self._marks.get(key(one.site, one.unit)) != one.mark(rules)]

    def keep(self, outcome: UnitOutcome) -> None:
        """Keep what was found of one unit."""
        name = key(outcome.site, outcome.unit)
        document = outcome.document or {
            "site": outcome.site,
            "unit": outcome.unit,
            "refused": list(outcome.refused),
        }
        text = json.dumps(document, indent=1, ensure_ascii=False, sort_keys=True)
        write(self.folder / UNITS / f"{name}.json", f"{text}\n".encode())
        if outcome.page:
            write(self.folder / UNITS / f"{name}.html", outcome.page.encode())
        self._marks[name] = outcome.mark
        self._unwritten += 1
        if self._unwritten >= EVERY:
            self.write_marks()

    def let_go(self, tasks: Sequence[UnitTask]) -> None:
        """Forget the units that are not there any more."""
        there = {key(one.site, one.unit) for one in tasks}
        for name in sorted(set(self._marks) - there):
            for ending in ("json", "html"):
                (self.folder / UNITS / f"{name}.{ending}").unlink(missing_ok=True)
            del self._marks[name]

    def documents(self) -> Iterator[Mapping[str, Any]]:
        """Yield what was found of every unit, in order of site and unit; each with the ``key`` of its page."""
        found = []
        for name in self._marks:
            path = self.folder / UNITS / f"{name}.json"
            try:
                found.append({**json.loads(path.read_text(encoding="utf-8")), "key": name})
            except (OSError, ValueError):
                accepted = "a folder that only this command writes to"
                raise Refused(Refusal("is damaged", accepted, "--out", str(path))) from None
        yield from sorted(found, key=lambda one: (str(one["site"]), str(one["unit"])))

    def write_marks(self) -> None:
        """Write what was found from what."""
        self._unwritten = 0
        text = json.dumps({"marks": self._marks}, indent=1, sort_keys=True)
        write(self.folder / STATE, f"{text}\n".encode())


def key(site: str, unit: str) -> str:
    """Return a name that every system takes for a file, another one for another unit."""
    said = f"{site}-{unit}"
    plain = "".join(sign if sign.isascii() and (sign.isalnum() or sign in "-_") else "_" for sign in said)
    return f"{plain[:60]}-{hashlib.sha256(json.dumps([site, unit]).encode()).hexdigest()[:8]}"
