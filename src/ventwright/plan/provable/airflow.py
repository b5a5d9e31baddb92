"""The outdoor-air share and the outdoor airflow at a fan speed: what these probes can show of them, in which weather."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from ventwright.facts import Instrument
from ventwright.physics.inference.attainable import (
    Attainable,
    ProbeErrors,
    attainable,
    relative_u_that_passes,
)
from ventwright.plan import SpeedPlan, least_difference, probe_uncertainty, thermometers
from ventwright.plan.provable.check import CanBeSettled, ProvableCheck, ShownBy, Way
from ventwright.plan.provable.needs import What, needs_of
from ventwright.quantity import FRACTION
from ventwright.tables import prior
from ventwright.tables.balance_prior import balance_prior
from ventwright.words import Amount, Words, words

MOST_READINGS = balance_prior().readings
"""Readings at one fan speed that are planned with: one more trip to the damper is rarely made (our own choice)."""

WELL_MIXED = 0.02
"""Range of the mixed-air points, as a share of the outdoor-return difference, that is planned with: air that has mixed
well. What was read decides later (our own assumption). [-]"""

POINTS = 8
"""Mixed-air points of a reading, the least that the plan asks for."""


def layers_of(point_range: float) -> float:
    """Return the standard uncertainty that a range of evenly spread mixed-air points leaves in their mean, in its unit.

    Their scatter over the root of their number, and a share of the range for lanes that carry more air than others. [K or -]
    """
    scatter = (POINTS + 1) / (12 * (POINTS - 1) ** 2)
    return float(point_range * math.hypot(math.sqrt(scatter), prior.mixed_air().traverse_of_spread))


def resting_u() -> float:
    """Return the standard uncertainty of the share from where the blades come to rest, when read and when left. [-]"""
    curve = balance_prior().curve
    return math.sqrt(2.0) * curve.slope * curve.positioning


@dataclass(frozen=True, slots=True)
class Probes:
    """One way to read the three temperatures, in numbers."""

    name: Words
    errors: ProbeErrors
    checked: bool
    at_hand: bool

    @property
    def checks(self) -> int:
        """Readings that go into comparing the probes."""
        return 1 if self.checked else 0


def ways_of(instruments: Sequence[Instrument]) -> tuple[Probes, ...]:
    """List the ways to read three temperatures with these probes, or with three like the best of them."""
    probes = thermometers(instruments)
    if not probes:
        return ()
    three = len(probes) >= 3
    weakest = probes[2] if three else probes[0]
    named = _three(probes[:3]) if three else words("three probes like: {one}", one=weakest.called)
    one = words("one probe for all three: {one}", one=probes[0].called)
    return (
        Probes(one, errors_of(probes[0], one_probe=True), False, True),
        Probes(words("{three}, compared side by side first", three=named), errors_of(weakest, one_probe=False), True, three),
        Probes(words("{three}, not compared", three=named), errors_of(weakest, one_probe=False), False, three),
    )  # fmt: skip


def _three(probes: Sequence[Instrument]) -> Words:
    """Name three probes; those that are called alike are counted."""
    first, second, third = (one.called for one in probes)
    if first == second == third:
        return words("three probes: {one}", one=first)
    return words("{first}, {second} and {third}", first=first, second=second, third=third)


def errors_of(probe: Instrument, *, one_probe: bool) -> ProbeErrors:
    """Return what is wrong with a probe, its accuracy parted into what stays, what changes with the temperature, and scatter."""
    offset, rest = probe_uncertainty(probe)
    over_range = min(probe.accuracy.value / 2 * prior.mixed_air().changes_over_range, rest)
    return ProbeErrors(offset, over_range, math.sqrt(rest**2 - over_range**2), one_probe)


def supply_u_of(instruments: Sequence[Instrument]) -> float | None:
    """Relative standard uncertainty of a supply airflow read with the best instrument at hand; None where there is none. [-]"""
    read = [
        one.accuracy.value / 2
        for one in instruments
        if one.kind == "airflow" and one.accuracy.dimension == FRACTION
    ]
    return min(read, default=None)


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked of one fan speed: its share, or its airflow."""

    id: str
    what: Words
    speed: SpeedPlan
    tolerance: float
    supply_u: float | None
    """0 for the share alone; None where no instrument reads the supply airflow."""

    def answer(self, probes: Probes, difference: float, readings: int = MOST_READINGS) -> Attainable:
        """Return what a way can show at a difference; ``readings`` holds a check side by side. [K]"""
        return attainable(
            self.speed.target_outdoor_air_fraction, difference, probes=probes.errors, checked=probes.checked,
            layers=math.hypot(layers_of(WELL_MIXED), resting_u()), supply_u=self.supply_u or 0.0, tolerance=self.tolerance,
            readings=max(readings - probes.checks, 1),
        )  # fmt: skip

    def difference_needed(self, probes: Probes) -> float | None:
        """Difference at which a way does with few readings, never less than any verdict takes; None where none does. [K]"""
        needed = self.answer(probes, least_difference()).difference_needed
        return None if needed is None else max(needed, least_difference())

    def readings(self, probes: Probes, difference: float | None) -> int | None:
        """Readings that a way takes at a difference, the check side by side counted; None where few do not do."""
        if difference is None or difference < least_difference() * (1.0 - 1e-9):
            return None
        alone = self.answer(probes, difference).readings_needed
        return alone + probes.checks if alone is not None and alone + probes.checks <= MOST_READINGS else None


def questions(
    speeds: Sequence[SpeedPlan], tolerance: float, instruments: Sequence[Instrument]
) -> Iterator[Question]:
    """Ask for the share and for the airflow at every fan speed, with the ids of their verdicts."""
    supply_u = supply_u_of(instruments)
    for speed in speeds:
        amounts: dict[str, Amount | Words] = {
            "name": Words(speed.name),
            "target": Amount(speed.target_outdoor_air_fraction, FRACTION),
            "tolerance": Amount(tolerance, FRACTION),
        }
        share = Words("outdoor-air share at {name} speed: {target} ± {tolerance} of it", amounts)
        flow = Words("outdoor airflow at {name} speed, within {tolerance} of what is required", amounts)
        yield Question(f"outdoor_air_fraction.{speed.name}", share, speed, tolerance, 0.0)
        yield Question(f"outdoor_air.{speed.name}", flow, speed, tolerance, supply_u)


def airflow_check(asked: Question, instruments: Sequence[Instrument], today: float | None) -> ProvableCheck:
    """Say of one question whether, how, and at what difference it can be settled; when that is, is for others to say.

    Parameters
    ----------
    today
        Outdoor and return air apart today; None where nobody said. [K]
    """
    ways = ways_of(instruments)
    nothing = Words("")
    if not asked.speed.can_deliver or not ways:
        why = Words("a temperature probe whose accuracy is known") if not ways else words(
            "a faster {name} speed: it moves less air than is required from outdoors, whatever the damper does",
            name=Words(asked.speed.name))  # fmt: skip
        return ProvableCheck(
            asked.id, asked.what, CanBeSettled.NEVER, ShownBy.MEASUREMENT, None, why, nothing
        )
    best = min((way for way in ways if way.at_hand), key=lambda way: asked.difference_needed(way) or math.inf)
    needed, readings = asked.difference_needed(best), asked.readings(best, today)
    measures = asked.supply_u is not None
    if not measures or needed is None:
        settled, needed, readings = CanBeSettled.NEVER, None, None
    elif today is None:
        settled = CanBeSettled.NOT_KNOWN
    else:
        settled = CanBeSettled.NOT_TODAY if readings is None else CanBeSettled.TODAY
    found = asked.answer(best, today, readings or MOST_READINGS) if today else None
    wide = asked.answer(best, max(today or 0.0, 2.0 * least_difference()))
    points = _points_within(asked, found, today) if settled is CanBeSettled.TODAY else None
    supply_u_allowed = (found if settled is CanBeSettled.TODAY and found else wide).supply_u_allowed
    at_hand = What(
        settled=settled, probe=thermometers(instruments)[0], today=today, needed=needed, supply_u=asked.supply_u,
        of_airflow=asked.supply_u != 0.0, supply_u_allowed=supply_u_allowed, points_within=points,
        direct_u_allowed=relative_u_that_passes(asked.tolerance), best=best.name,
    )  # fmt: skip
    return ProvableCheck(
        id=asked.id,
        what=asked.what,
        can_be_settled=settled,
        shown_by=ShownBy.MEASUREMENT,
        readings=readings,
        needs=needs_of(at_hand),
        best_time=nothing,
        difference_needed=needed,
        chance_of_passing=None if found is None or not measures else found.chance_of_passing,
        points_within=points,
        supply_u_allowed=supply_u_allowed if asked.supply_u != 0.0 else None,
        ways=tuple(
            Way(way.name, way.at_hand, asked.difference_needed(way), asked.readings(way, today))
            for way in ways
        )
        if measures
        else (),
    )


def _points_within(asked: Question, found: Attainable | None, today: float | None) -> float | None:
    """Range of the mixed-air points up to which a reading of today passes, none counted that is called stratified. [K]"""
    if found is None or found.supply_u_allowed is None or not today:
        return None
    share = asked.speed.target_outdoor_air_fraction
    left = share**2 * (found.supply_u_allowed**2 - (asked.supply_u or 0.0) ** 2)
    layers = math.sqrt(max(layers_of(WELL_MIXED) ** 2 + left, 0.0))
    return min(layers / layers_of(1.0), prior.mixed_air().stratified_above) * today
