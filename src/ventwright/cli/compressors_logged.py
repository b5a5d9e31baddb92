"""The hours in which compressors ran, from logs of the unit, put among a job's facts for one reckoning: the file stays as it is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ventwright.store import Kept


def with_hours_seen(kept: Kept, paths: Sequence[Path], points: Path | None) -> Kept:
    """Return a job with the hours of its logs in which compressors ran at the minimum damper position.

    Parameters
    ----------
    kept
        The job.
    paths
        Logs of its unit.
    points
        Point map of the logs, where somebody wrote one.

    Raises
    ------
    Refused
        The logs cannot be read without an answer, hold several units and none of its tag, or tell no balance point.
    """
    from ventwright.errors import Refusal, Refused, refuse_word
    from ventwright.facts.running import CompressorSeen, Running
    from ventwright.physics.year.balance_point import stops_at
    from ventwright.readings.trend import PointMap, logs, look, read_point_map
    from ventwright.readings.trend.compressor_hours import compressor_hours

    understood = look(paths, read_point_map(points) if points else PointMap(), None)
    if understood.questions:
        raise Refused(*understood.questions)
    facts, units = kept.job.facts, understood.units
    if len(units) > 1 and facts.unit.tag not in units:
        raise refuse_word(facts.unit.tag, list(units), "a unit of these logs", "--logs")
    found = next(one for one in logs(understood) if len(units) == 1 or one.unit == facts.unit.tag)
    hours = compressor_hours(found)
    if stops_at([(one.outdoor, one.running) for one in hours]) is None:
        problem = f"tells no balance point in {len(hours)} hours at the minimum damper position"
        accepted = "hours of different outdoor temperatures in which compressors run more the warmer it is"
        raise Refused(Refusal(problem, accepted, "--logs"))
    seen = tuple(
        CompressorSeen.model_validate(
            {"outdoor_air": f"{one.outdoor:.3f} °C", "share_running": f"{100.0 * one.running:.3f} %"}
        )
        for one in hours
    )
    running = (facts.running or Running()).model_copy(update={"compressor_seen": seen})
    job = kept.job.model_copy(update={"facts": facts.model_copy(update={"running": running})})
    return replace(kept, job=job)
