"""Interim."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Reading:
    value: float
    repeatability_u: float
    instrument: str | None
    offset_u: float


@dataclass(frozen=True, slots=True)
class FractionEstimate:
    outdoor_air_fraction: float | None
    outdoor_air_fraction_u: float | None
    finding: str | None = None


def estimate_fraction(o: Reading, r: Reading, m: Reading) -> FractionEstimate:
    d = r.value - o.value
    f = (r.value - m.value) / d
    c = {"m": -1 / d, "r": (1 - f) / d, "o": f / d}
    var = sum((c[k] * x.repeatability_u) ** 2 for k, x in (("m", m), ("r", r), ("o", o)))
    by: dict[str, float] = {}
    for k, x in (("m", m), ("r", r), ("o", o)):
        by[x.instrument or k] = by.get(x.instrument or k, 0.0) + c[k] * x.offset_u
    return FractionEstimate(f, (var + sum(v * v for v in by.values())) ** 0.5)


def difference_needed(f: float, u: float, offset_u: float, rep_u: float) -> float:
    return rep_u * (1 + (1 - f) ** 2 + f * f) ** 0.5 / u
