"""(a) and (b): what the trade does at the damper. Both claim *passes*, since nobody asks them how sure they are."""

from __future__ import annotations

from benchmarks.balance.roof import SPEEDS, Outcome, Speed, Visit


def percent_for_percent(visit: Visit) -> dict[Speed, Outcome]:
    """(a) Set the signal to the percentage of air that is wanted; read nothing."""
    return {speed: Outcome("passes", min(1.0, visit.required / visit.supply(speed))) for speed in SPEEDS}


def read_once_and_scaled(visit: Visit) -> dict[Speed, Outcome]:
    """(b) Read the temperature ratio once, at the percentage wanted, and scale the signal with it."""
    outcomes: dict[Speed, Outcome] = {}
    for speed in SPEEDS:
        target = min(1.0, visit.required / visit.supply(speed))
        sample = visit.read(speed, target)
        difference = sample.returned - sample.outdoor
        share = (sample.returned - sample.mixed) / difference if difference else 0.0
        signal = min(1.0, target * target / share) if share > 0.0 else 1.0
        outcomes[speed] = Outcome("passes", signal)
    return outcomes
