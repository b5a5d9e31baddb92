"""From the facts of a rooftop unit to the proved settings of its outdoor-air economizer.

The stages are functions, each fed by what lies upstream::

    import ventwright

    job = ventwright.load("my-unit.yaml").job         # facts and readings, checked
    plan = ventwright.make_plan(job.facts)            # facts -> plan
    verdicts = ventwright.judge(job.facts, plan, job.readings)
    files = ventwright.record_of(ventwright.work(job), made=now)   # every stage at once, then the record

Names are imported when they are first used, so that ``import ventwright`` costs nothing.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

from ventwright.version import VERSION

if TYPE_CHECKING:
    from ventwright.errors import Refusal, Refused
    from ventwright.evidence import Estimate, Limits, Verdict
    from ventwright.job import Job, read_job, record_of, work
    from ventwright.physics.air import AirState
    from ventwright.physics.air import state as air_state
    from ventwright.plan import Plan, make_plan
    from ventwright.quantity import Quantity
    from ventwright.quantity import read as read_quantity
    from ventwright.store import append, load
    from ventwright.verdict import Verdicts, judge


__version__ = VERSION

_PLACES = {
    "AirState": ("physics.air", "AirState"),
    "Estimate": ("evidence", "Estimate"),
    "Job": ("job", "Job"),
    "Limits": ("evidence", "Limits"),
    "Plan": ("plan", "Plan"),
    "Quantity": ("quantity", "Quantity"),
    "Refusal": ("errors", "Refusal"),
    "Refused": ("errors", "Refused"),
    "Verdict": ("evidence", "Verdict"),
    "Verdicts": ("verdict", "Verdicts"),
    "air_state": ("physics.air", "state"),
    "append": ("store", "append"),
    "judge": ("verdict", "judge"),
    "load": ("store", "load"),
    "make_plan": ("plan", "make_plan"),
    "read_job": ("job", "read_job"),
    "read_quantity": ("quantity", "read"),
    "record_of": ("job", "record_of"),
    "work": ("job", "work"),
}

__all__ = [
    "AirState", "Estimate", "Job", "Limits", "Plan", "Quantity", "Refusal", "Refused", "Verdict", "Verdicts", "air_state",
    "append", "judge", "load", "make_plan", "read_job", "read_quantity", "record_of", "work",
]  # fmt: skip


def __getattr__(name: str) -> Any:
    """Import a public name when it is first asked for."""
    if name not in _PLACES:
        message = f"module 'ventwright' has no attribute {name!r}"
        raise AttributeError(message)
    module, attribute = _PLACES[name]
    return getattr(import_module(f"ventwright.{module}"), attribute)


def __dir__() -> list[str]:
    """List the public names."""
    return sorted([*globals(), *_PLACES])
