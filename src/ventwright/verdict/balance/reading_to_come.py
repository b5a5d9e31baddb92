"""The reading one would take next: with which probes, at what difference, and whether the probes can be compared first."""

from __future__ import annotations

from dataclasses import dataclass

from ventwright.facts import Facts, Instrument
from ventwright.physics.inference import Layers, Means, Observation
from ventwright.plan import best_probe
from ventwright.readings import MixedAir, Readings
from ventwright.tables import prior
from ventwright.tables.balance_prior import balance_prior
from ventwright.verdict.balance.observed import Stream, layers_of, probe_errors, recent_comparisons
from ventwright.verdict.balance.standing import SpeedAsRead, too_even


@dataclass(frozen=True, slots=True)
class ReadingToCome:
    """Probes for outdoor, return and mixed air, today's difference, and what layers leave.

    ``difference`` is None where nobody knows today's air yet; then no reading is called useless. [K]
    """

    probes: tuple[Instrument, Instrument, Instrument] | None
    difference: float | None
    layers: Layers | None
    compared: bool

    @property
    def too_even(self) -> bool:
        """Whether outdoor and return air are too alike today for any verdict by temperatures."""
        return self.difference is not None and too_even(self.difference)

    @property
    def one_probe(self) -> bool:
        """Whether one probe reads all three streams."""
        return self.probes is not None and len({one.id for one in self.probes}) == 1

    def means(self, standing: SpeedAsRead) -> Means:
        """How one would read at a speed, and how often that is still thought worth it."""
        left = max(2, balance_prior().readings - len(standing.usable))
        return Means(
            self.observation, self.comparisons(), 0 if self.too_even or self.probes is None else left
        )

    def observation(self, speed: str, signal: float, share: float) -> Observation:
        """Return the reading as it would come out at a share."""
        probes, difference = self.probes, self.difference or USUAL_DIFFERENCE
        if probes is None:
            return Observation("to come", share, 1.0, (), speed, signal)
        errors, noise = [], []
        for probe, where in zip(probes, ("outdoor", "return", "mixed"), strict=True):
            offset_u, over_range_u, scatter_u = probe_errors(probe)
            errors.append(((probe.id, offset_u), (f"{probe.id} in {where} air", over_range_u)))
            noise.append(scatter_u)
        values = (0.0, difference, difference * (1.0 - share))
        stream = Stream(values, tuple(errors), (noise[0], noise[1], noise[2]))
        return stream.observation("to come", speed, signal, self.layers)

    def comparisons(self) -> tuple[Observation, ...]:
        """What holding the probes side by side would show; nothing where there is one, or it was done."""
        if self.probes is None or self.compared or self.one_probe:
            return ()
        reference, others = self.probes[1], {one.id: one for one in self.probes}
        offset_u, _, scatter_u = probe_errors(reference)
        found = []
        for other in others.values():
            if other.id != reference.id:
                its_offset_u, _, its_scatter_u = probe_errors(other)
                errors = (
                    (other.id, its_offset_u),
                    (reference.id, -offset_u),
                    ("scatter to come", -scatter_u),
                )
                found.append(Observation("to come", 0.0, its_scatter_u, errors))
        return tuple(found)


USUAL_DIFFERENCE = 17.0
"""Outdoor-return difference that a first reading is planned with where nobody gave today's: 30 °F, our own assumption. [K]"""


def reading_to_come(facts: Facts, readings: Readings) -> ReadingToCome:
    """Plan the next reading: as the last one was taken, else with the best probe for all three in today's weather."""
    by_id = {one.id: one for one in facts.instruments}
    best = best_probe(facts.instruments)
    together = {probe.instrument for entry in recent_comparisons(readings) for probe in entry.probes}
    taken = readings.standing(MixedAir)
    if not taken:
        probes = (best, best, best) if best is not None else None
        return ReadingToCome(probes, _today(facts), _usual_layers(), compared=False)
    last = taken[-1]
    used = [
        by_id.get(one or last.instrument or "")
        for one in (last.outdoor_instrument, last.return_instrument, last.mixed_instrument)
    ]
    outdoor, returned, mixed = (one or best for one in used)
    probes = (outdoor, returned, mixed) if outdoor and returned and mixed else None
    layers = layers_of(last) if last.difference > 0.0 else None
    compared = probes is not None and {one.id for one in probes} <= together
    return ReadingToCome(probes, last.difference, layers, compared)


def _today(facts: Facts) -> float | None:
    weather = facts.weather
    if weather is None or weather.return_air is None:
        return None
    return abs(weather.return_air.value - weather.outdoor_air.value)


def _usual_layers() -> Layers:
    """A traverse of well-mixed air: its points some way apart."""
    return Layers("traverse", prior.mixed_air().traverse_of_spread * WELL_MIXED)


WELL_MIXED = 0.1
"""Range of the points of a good traverse, as a share of the outdoor-return difference: our own assumption. [-]"""
