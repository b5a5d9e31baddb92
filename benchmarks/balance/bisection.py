"""(c) and (e): bisection on the temperature ratio with textbook uncertainty, and a search that knows the errors.

Both stop by the one rule: *passes* where the chance of being within is at least 95 %, no signal can deliver where a
closed or fully open damper is beyond the limit with 95 %, and *cannot tell* when the readings are spent or the
bracket is too narrow to tell more.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from benchmarks.balance.roof import SPEEDS, TOLERANCE, Kind, Outcome, Sample, Speed, Visit

from ventwright.evidence import Estimate, Limits, Verdict, verdict

NARROW = 0.005
"""Width of bracket at which bisection ends. [-]"""
FROM_END = 0.1
"""Width of bracket at an end of the stroke not yet read, from which on the end itself is read. [-]"""


@dataclass(frozen=True, slots=True)
class Point:
    """A signal and the share that was found there."""

    signal: float
    share: float


Measure = Callable[[Sample], Estimate]
Supply = Callable[[Speed], Estimate]
NextSignal = Callable[[Point, Point, float, bool], float]


def textbook(visit: Visit) -> dict[Speed, Outcome]:
    """(c) Bisection; the probes' errors independent, the check's corrections subtracted where a check can be made."""
    stated = visit.stated
    corrections = visit.compare() if stated.check_possible else (0.0, 0.0)
    offset_u = stated.noise_u if stated.check_possible else stated.probe_u

    def measure(sample: Sample) -> Estimate:
        outdoor, mixed = sample.outdoor - corrections[0], sample.mixed - corrections[1]
        difference = sample.returned - outdoor
        if difference == 0.0:
            return Estimate(0.0, math.inf)
        share = (sample.returned - mixed) / difference
        one = math.hypot(offset_u, stated.noise_u)
        probes_u = one / abs(difference) * math.sqrt((1.0 - share) ** 2 + share**2 + 1.0)
        return Estimate(share, math.hypot(probes_u, stated.layers_u))

    def supply(speed: Speed) -> Estimate:
        return Estimate(visit.supply(speed), visit.supply(speed) * stated.supply_u)

    return _search(visit, measure, supply, _middle)


def oracle(visit: Visit) -> dict[Speed, Outcome]:
    """(e) The same search by straight lines, with every fixed error known, the supply airflow's too; noise is left."""

    def measure(sample: Sample) -> Estimate:
        share = visit.true_share(sample)
        difference = abs(sample.returned - sample.outdoor)
        if difference == 0.0:
            return Estimate(0.0, math.inf)
        noise = visit.stated.noise_u / difference * math.sqrt((1.0 - share) ** 2 + share**2 + 1.0)
        return Estimate(share, noise)

    def supply(speed: Speed) -> Estimate:
        return Estimate(visit.unit.supply[speed], 0.0)

    return _search(visit, measure, supply, _straight)


def _search(visit: Visit, measure: Measure, supply: Supply, following: NextSignal) -> dict[Speed, Outcome]:
    """Both speeds in turn; the second begins in the bracket that the first one's readings make for it."""
    outcomes: dict[Speed, Outcome] = {}
    seen: list[Point] = []
    for speed in SPEEDS:
        outcomes[speed] = _search_speed(visit, speed, measure, supply(speed), following, seen)
    return outcomes


def _search_speed(
    visit: Visit, speed: Speed, measure: Measure, supply: Estimate, following: NextSignal, seen: list[Point]
) -> Outcome:
    target = visit.required / supply.value
    short = max((p for p in seen if p.share < target), key=lambda p: p.signal, default=Point(0.0, 0.0))
    over = min((p for p in seen if p.share >= target), key=lambda p: p.signal, default=Point(1.0, 1.0))
    if short.signal >= over.signal:
        short, over = Point(0.0, 0.0), Point(1.0, 1.0)
    found: list[Point] = []
    signal = following(short, over, target, False)
    while visit.left(speed) > 0:
        estimate = measure(visit.read(speed, signal))
        kind = _judged(estimate, supply, visit.required, signal)
        point = Point(signal, estimate.value)
        found.append(point)
        seen.append(point)
        if kind is not None:
            return Outcome(kind, signal)
        short, over = (point, over) if estimate.value < target else (short, point)
        if over.signal - short.signal < NARROW:
            widened = _widened(short, over, found)
            if widened is None:
                break
            short, over = widened
        rising = len(found) > 1 and all(p.share < target for p in found[-2:])
        signal = following(short, over, target, rising and over.signal == 1.0)
    return Outcome("cannot_tell", found[-1].signal if found else None)


def _widened(short: Point, over: Point, found: list[Point]) -> tuple[Point, Point] | None:
    """Where one end of the bracket is the other speed's, open the bracket on that side; None where both were read now."""
    if over not in found:
        return (short, Point(1.0, 1.0)) if over.signal < 1.0 else None
    if short not in found:
        return (Point(0.0, 0.0), over) if short.signal > 0.0 else None
    return None


def _judged(share: Estimate, supply: Estimate, required: float, signal: float) -> Kind | None:
    """The stopping rule at a signal that was just read; None to go on."""
    relative = supply.uncertainty / supply.value
    flow = Estimate(
        share.value * supply.value,
        supply.value * math.hypot(share.uncertainty, share.value * relative),
    )
    least, most = (1.0 - TOLERANCE) * required, (1.0 + TOLERANCE) * required
    if verdict(flow, Limits(least, most)) is Verdict.PASSES:
        return "passes"
    short = signal == 1.0 and verdict(flow, Limits(at_most=least)) is Verdict.PASSES
    over = signal == 0.0 and verdict(flow, Limits(at_least=most)) is Verdict.PASSES
    return "cannot_deliver" if short or over else None


def _middle(short: Point, over: Point, _target: float, rising: bool) -> float:
    """Half-way; an end of the stroke itself, where two readings in a row point to it or little is left before it."""
    if over.signal == 1.0 and (rising or 1.0 - short.signal < FROM_END):
        return 1.0
    if short.signal == 0.0 and over.signal < FROM_END:
        return 0.0
    return 0.5 * (short.signal + over.signal)


def _straight(short: Point, over: Point, target: float, rising: bool) -> float:
    """Where the straight line between the two meets the target, kept off the ends of the bracket by a twentieth."""
    if over.signal == 1.0 and (rising or 1.0 - short.signal < FROM_END):
        return 1.0
    if short.signal == 0.0 and over.signal < FROM_END:
        return 0.0
    part = (target - short.share) / (over.share - short.share) if over.share > short.share else 0.5
    return short.signal + min(0.95, max(0.05, part)) * (over.signal - short.signal)
