"""Logs of many units: gathered from a folder or a table, judged one unit after another by any engine, kept and ranked.

``gathered(folder, said)`` or ``gathered_from_table(...)`` give ``UnitTask``s; ``judge_unit(task)`` is one pure function from
one unit's data and the rules to a ``UnitOutcome``, which pickles; ``run`` hands it to an engine. ``Kept`` holds what was found
before, so that a second run judges only what is new.
"""

from __future__ import annotations

from ventwright.store.fleet.engines import ENGINES, cluster_here, run
from ventwright.store.fleet.gathering import Gathered, gathered
from ventwright.store.fleet.kept import Kept
from ventwright.store.fleet.table import gathered_from_table
from ventwright.store.fleet.unit_task import UnitOutcome, UnitTask, judge_unit

__all__ = [
    "ENGINES",
    "Gathered",
    "Kept",
    "UnitOutcome",
    "UnitTask",
    "cluster_here",
    "gathered",
    "gathered_from_table",
    "judge_unit",
    "run",
]
