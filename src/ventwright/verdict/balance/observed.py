"""Readings of a job as the estimate sees them: apparent shares with the errors they have in common."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import timedelta

from ventwright.evidence import Shortfall
from ventwright.facts import Facts, Instrument
from ventwright.physics.inference import Layers, Observation, merged, tracer_share
from ventwright.physics.saturation import ZERO_CELSIUS, ln_pressure_over_liquid
from ventwright.plan import Plan, probe_uncertainty
from ventwright.quantity import FRACTION
from ventwright.readings import (
    CarbonDioxide,
    Humidity,
    MixedAir,
    OutdoorAirflow,
    ProbesSideBySide,
    Readings,
)
from ventwright.tables import prior
from ventwright.tables.balance_prior import balance_prior
from ventwright.verdict.at_damper import AtDamper, at_damper, counts_since
from ventwright.verdict.balance.direct import of_airflow, positioning, warmth
from ventwright.verdict.fraction import fraction_from, left_by_layers
from ventwright.verdict.supply import Supply
from ventwright.words import Words

OUTSIDE_STREAMS = "airflow.mixed_outside_streams"
"""Name of what is wrong with mixed air that is colder or warmer than both its streams."""


@dataclass(frozen=True, slots=True)
class Observed:
    """One reading at the damper: where it was taken, and what it says or why it says nothing."""

    entry: AtDamper
    signal: float
    observation: Observation | None = None
    unusable: Shortfall | None = None

    @property
    def outside_streams(self) -> bool:
        """Whether mixed air lies outside its streams: a reading that is wrong, where others just say nothing."""
        return self.unusable is not None and self.unusable.name == OUTSIDE_STREAMS


@dataclass(frozen=True, slots=True)
class Stream:
    """What carries the share: its three values and the errors of each, in one unit."""

    values: tuple[float, float, float]
    errors: tuple[tuple[tuple[str, float], ...], ...]
    noise: tuple[float, float, float]

    @property
    def difference(self) -> float:
        """Return minus outdoor. [its unit]"""
        return self.values[1] - self.values[0]

    def observation(self, id_: str, speed: str, signal: float, layers: Layers | None) -> Observation:
        """Return the apparent share with its errors: a change of a stream moves it by that stream's weight."""
        share = tracer_share(*self.values)
        bounded = min(1.0, max(0.0, share))
        weights = (bounded / self.difference, (1.0 - bounded) / self.difference, -1.0 / self.difference)
        summed: dict[str, float] = {}
        for weight, of_stream in zip(weights, self.errors, strict=True):
            for name, u in of_stream:
                summed[name] = summed.get(name, 0.0) + weight * u
        noise = math.hypot(*(w * u for w, u in zip(weights, self.noise, strict=True)), positioning())
        kept = tuple((name, moved) for name, moved in summed.items() if abs(moved) > CANCELLED)
        return Observation(id_, share, noise, kept, speed, signal, layers)


CANCELLED = 1e-12
"""What rounding leaves of an error that cancels, and no more: readings with it are alike to those without. [-]"""


def observe(
    facts: Facts, plan: Plan, readings: Readings, supplies: Mapping[str, Supply]
) -> tuple[Observed, ...]:
    """Turn every standing reading at the damper, of the last visit or so and since the last repair, into an observation, by time."""
    entries = at_damper(readings)
    if not entries:
        return ()
    since = counts_since(readings, entries[-1].at)
    return tuple(_observed(facts, plan, one, supplies, entries) for one in entries if one.at >= since)


def compared(facts: Facts, readings: Readings) -> tuple[Observation, ...]:
    """Return what the probes showed side by side on the last visit or so, each against the first of its entry."""
    entries = recent_comparisons(readings)
    return tuple(one for entry in entries for one in _side_by_side(entry, facts.instruments))


def recent_comparisons(readings: Readings) -> tuple[ProbesSideBySide, ...]:
    """Probes held side by side not long before the newest such reading, or the newest at the damper: probes drift."""
    entries = readings.standing(ProbesSideBySide)
    newest = max((one.at for one in (*entries, *at_damper(readings))), default=None)
    if newest is None:
        return ()
    since = newest - timedelta(days=balance_prior().days)
    return tuple(one for one in entries if one.at >= since)


def gathered(observed: Sequence[Observed], comparisons: Sequence[Observation]) -> tuple[Observation, ...]:
    """All that was learnt from; readings of one thing become one, so that thousands cost no more than a few."""
    return (*merged([one.observation for one in observed if one.observation is not None]), *comparisons)


def _observed(
    facts: Facts, plan: Plan, entry: AtDamper, supplies: Mapping[str, Supply], entries: Sequence[AtDamper]
) -> Observed:
    signal = plan.kit.share_of_stroke(entry.damper_signal)
    by_id = {one.id: one for one in facts.instruments}
    if isinstance(entry, OutdoorAirflow):
        warm = warmth(entry, entries, plan.basis.climate_zone)
        return Observed(entry, signal, of_airflow(entry, signal, by_id, supplies[entry.speed], warm))
    if isinstance(entry, MixedAir):
        share = fraction_from(entry, facts.instruments)
        if isinstance(share, Shortfall):
            return Observed(entry, signal, unusable=share)
        return Observed(entry, signal, _of_temperatures(entry, signal, by_id))
    stream = (
        _gas(entry, by_id)
        if isinstance(entry, CarbonDioxide)
        else _moisture(entry, by_id, plan.basis.pressure)
    )
    if isinstance(stream, Shortfall):
        return Observed(entry, signal, unusable=stream)
    if abs(stream.difference) < 4.0 * math.hypot(*(sum(u for _, u in one) for one in stream.errors[:2])):
        return Observed(entry, signal, unusable=_TOO_ALIKE)
    return Observed(entry, signal, stream.observation(entry.id, entry.speed, signal, None))


_TOO_ALIKE = Shortfall(
    "airflow.streams_too_close",
    Words("outdoor and return air are too alike for these instruments to tell any share"),
    Words("come back when outdoor and return air are further apart, or measure the outdoor airflow itself"),
)

_NO_INSTRUMENT = Shortfall(
    "airflow.no_instrument",
    Words("the reading does not say which instrument was used, so its accuracy is not known"),
    Words("correct it by a new entry that names the instrument"),
)


def instruments_used(entry: MixedAir | CarbonDioxide | Humidity) -> tuple[str | None, ...]:
    """Instrument of each stream, as the air flows."""
    return tuple(
        one or entry.instrument
        for one in (entry.outdoor_instrument, entry.return_instrument, entry.mixed_instrument)
    )


def _of_temperatures(entry: MixedAir, signal: float, by_id: Mapping[str, Instrument]) -> Observation:
    probes = [by_id[name or ""] for name in instruments_used(entry)]
    errors, noise = [], []
    for probe, where in zip(probes, ("outdoor", "return", "mixed"), strict=True):
        offset_u, over_range_u, repeatability_u = probe_errors(probe)
        errors.append(((probe.id, offset_u), (f"{probe.id} in {where} air", over_range_u)))
        noise.append(repeatability_u)
    heat = entry.heat_of_fan.uncertainty
    errors[2] = (*errors[2], *(((f"fan heat at {entry.speed}", heat),) if heat else ()))
    noise[2] = noise[2] / math.sqrt(len(entry.mixed_air))
    values = (entry.outdoor_air.value, entry.return_air.value, entry.before_fan)
    stream = Stream(values, tuple(errors), (noise[0], noise[1], noise[2]))
    return stream.observation(entry.id, entry.speed, signal, layers_of(entry))


def probe_errors(probe: Instrument) -> tuple[float, float, float]:
    """Standard uncertainties of a probe: fixed offset, what changes between cold and warm air, repeatability. [K]"""
    offset_u, rest_u = probe_uncertainty(probe)
    over_range_u = prior.mixed_air().changes_over_range * probe.accuracy.value / 2
    return offset_u, over_range_u, math.sqrt(max(rest_u**2 - over_range_u**2, 0.0))


def layers_of(entry: MixedAir) -> Layers | None:
    """What layers in the mixed air leave in a reading: most in a single point, nothing behind the fan.

    The scatter of the points counts here too: whoever repeats the traverse reads the same lanes again.
    """
    share_u = left_by_layers(entry) / entry.difference
    if share_u <= CANCELLED:
        return None
    return Layers("traverse" if len(entry.mixed_air) > 1 else "single point", share_u)


def _gas(entry: CarbonDioxide, by_id: Mapping[str, Instrument]) -> Stream | Shortfall:
    meters = [by_id.get(name or "") for name in instruments_used(entry)]
    values = (
        entry.outdoor_concentration.value,
        entry.return_concentration.value,
        entry.mixed_concentration.value,
    )
    errors, noise = [], []
    for meter, value in zip(meters, values, strict=True):
        if meter is None:
            return _NO_INSTRUMENT
        scale = value if meter.accuracy.dimension == FRACTION else 1.0
        errors.append(((meter.id, scale * meter.accuracy.value / 2),))
        noise.append(_repeatability(meter) * scale)
    return Stream(values, tuple(errors), (noise[0], noise[1], noise[2]))


def _repeatability(meter: Instrument) -> float:
    """Standard uncertainty between two readings of one thing, in the unit of the instrument's accuracy."""
    if meter.repeatability is not None and meter.repeatability.dimension == meter.accuracy.dimension:
        return meter.repeatability.value / 2
    return prior.mixed_air().repeatability_of_accuracy * meter.accuracy.value / 2


def _moisture(entry: Humidity, by_id: Mapping[str, Instrument], pressure: float) -> Stream | Shortfall:
    """Humidity ratios with what the humidity instrument and the thermometer each make of their errors."""
    meters, thermometer = (
        [by_id.get(name or "") for name in instruments_used(entry)],
        by_id.get(entry.thermometer or ""),
    )
    values, errors, noise = entry.humidity_ratios(pressure), [], []
    for number, meter in enumerate(meters):
        if meter is None:
            return _NO_INSTRUMENT
        dry_bulb, humidity = entry.streams[number]
        for_humidity = values[number] / max(humidity.value, 0.01)
        for_kelvin = values[number] * _growth(dry_bulb.value)
        of_thermometer = thermometer or meter
        dry_bulb_u = of_thermometer.accuracy.value / 2 if thermometer else balance_prior().dry_bulb_u
        errors.append(((meter.id, for_humidity * meter.accuracy.value / 2),
                       (f"dry bulb by {of_thermometer.id}", for_kelvin * dry_bulb_u)))  # fmt: skip
        noise.append(for_humidity * _repeatability(meter))
    return Stream(values, tuple(errors), (noise[0], noise[1], noise[2]))


def _growth(dry_bulb: float) -> float:
    """By what share the vapour of a given relative humidity grows with each kelvin. [1/K]"""
    warmer, here = (ln_pressure_over_liquid(dry_bulb + more + ZERO_CELSIUS, math.log) for more in (0.5, -0.5))
    return warmer - here


def _side_by_side(entry: ProbesSideBySide, instruments: Sequence[Instrument]) -> Iterator[Observation]:
    by_id = {one.id: one for one in instruments}
    first, *others = entry.probes
    reference = by_id[first.instrument]
    offset_u, _, scatter_u = probe_errors(reference)
    for other in others:
        its_offset_u, _, its_scatter_u = probe_errors(by_id[other.instrument])
        errors = (
            (other.instrument, its_offset_u),
            (first.instrument, -offset_u),
            (f"scatter in {entry.id}", -scatter_u),
        )
        yield Observation(entry.id, other.shows.value - first.shows.value, its_scatter_u, errors)
