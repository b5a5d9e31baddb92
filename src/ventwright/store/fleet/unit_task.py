"""One unit of a fleet as a piece of work: where its data are and what is known of it, to what was found. It pickles.

The same function runs here, in another process or on another machine that reaches the same files or the same database.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from ventwright.errors import Refusal, Refused
from ventwright.quantity import System
from ventwright.readings.trend import PointMap, Understood, look
from ventwright.readings.trend.questions import asked
from ventwright.record.html import report_html
from ventwright.record.trend_document import unit_document
from ventwright.record.trend_report import trend_report
from ventwright.store.fleet.table import Table, written_to
from ventwright.verdict.trend_findings import KnownUnit, RuleSet
from ventwright.verdict.trend_judged import Judged, has_columns, judging_unit
from ventwright.version import VERSION
from ventwright.words import plain

LAST = "; the time below is that of the last reading"


@dataclass(frozen=True, slots=True)
class UnitTask:
    """One unit: its data, as files that were looked at or as rows of a table, and what is known of it."""

    site: str
    unit: str
    said: PointMap
    known: KnownUnit
    data: Understood | Table
    stamp: str
    """Of the data: another one as soon as they are others."""
    system: System = "us"

    def mark(self, rules: RuleSet) -> str:
        """Return a mark of everything that the findings depend on."""
        held = [
            VERSION,
            self.site,
            self.unit,
            self.stamp,
            self.system,
            plain(rules),
            plain(self.known),
            self.said.model_dump(),
        ]
        return hashlib.sha256(json.dumps(held, sort_keys=True, default=str).encode()).hexdigest()[:32]


@dataclass(frozen=True, slots=True)
class UnitOutcome:
    """What came of one unit: a document for programs and a page; or why it could not be judged."""

    site: str
    unit: str
    mark: str
    document: Mapping[str, Any] | None = None
    page: str = ""
    refused: tuple[str, ...] = ()
    """Sentences: questions that only a person can answer, or why the data cannot be read."""


def judge_unit(task: UnitTask, rules: RuleSet) -> UnitOutcome:
    """Judge one unit: from its data and the rules to what was found, and nothing else.

    Parameters
    ----------
    task
        The unit.
    rules
        What it is held against.
    """
    mark = task.mark(rules)
    try:
        with TemporaryDirectory(prefix="ventwright-fleet-") as folder:
            judged = _judged(task, rules, Path(folder))
    except Refused as refused:
        return UnitOutcome(
            task.site, task.unit, mark, refused=tuple(one.sentence for one in refused.refusals)
        )
    made = datetime.fromtimestamp(
        judged.last or 0, UTC
    )  # of the data, so that the same data give the same page
    report = trend_report([judged], {task.unit: task.known}, task.system, note=LAST)
    document = {"site": task.site, **unit_document(judged, task.known)}
    del document["states"]  # the page has them as a picture; a fleet of them is large
    return UnitOutcome(task.site, task.unit, mark, document, report_html(report, made=made))


def _judged(task: UnitTask, rules: RuleSet, folder: Path) -> Judged:
    understood = task.data
    if isinstance(understood, Table):
        path = written_to(understood, folder, task.unit)
        understood = look([path], task.said, task.unit)
    questions = tuple(asked([*understood.of_unit(task.unit)]))
    if questions:
        raise Refused(*questions)
    if task.unit not in understood.units:
        raise Refused(Refusal("has no point of a rooftop unit", "columns that a point map names", task.unit))
    steps = judging_unit(understood, task.unit, rules, task.known, columns=has_columns())
    while True:
        try:
            next(steps)
        except StopIteration as ended:
            judged: Judged = ended.value
            return judged
