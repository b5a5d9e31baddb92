"""The outdoor-air share of one mixed-air reading by itself, or why it gives none."""

from __future__ import annotations

import math
from collections.abc import Sequence

from ventwright.evidence import Shortfall
from ventwright.facts import Instrument
from ventwright.physics.mixing import FractionEstimate, estimate
from ventwright.plan import probe_reading
from ventwright.quantity import FRACTION
from ventwright.readings import MixedAir
from ventwright.tables import prior
from ventwright.verdict.thermometer import no_thermometer, reads_temperature
from ventwright.words import Amount, Words


def fraction_from(entry: MixedAir, instruments: Sequence[Instrument]) -> Amount | Shortfall:
    """Estimate the outdoor-air fraction of one reading, or say why it gives none. [-]"""
    by_id = {one.id: one for one in instruments}
    named = (entry.outdoor_instrument, entry.return_instrument, entry.mixed_instrument)
    probes = [by_id[one or entry.instrument or ""] for one in named if (one or entry.instrument) in by_id]
    if len(probes) < len(named):
        return Shortfall(
            "airflow.no_instrument", Words("the reading does not say which probe was used, so its accuracy is not known"),
            Words("correct it by a new entry that names the instrument"))  # fmt: skip
    strangers = [one for one in probes if not reads_temperature(one)]
    if strangers:
        return no_thermometer("airflow.no_thermometer", strangers[0])
    share = estimate(
        probe_reading(entry.outdoor_air.value, probes[0]),
        probe_reading(entry.return_air.value, probes[1]),
        probe_reading(entry.before_fan, probes[2], _scatter(entry)),
    )
    if share.finding is not None or share.outdoor_air_fraction is None:
        return contradiction(share, entry)
    return Amount(share.outdoor_air_fraction, FRACTION, share.outdoor_air_fraction_u)


def _scatter(entry: MixedAir) -> float:
    """Standard uncertainty that layers, and the heat of the fan, leave in the mean of the mixed-air points. [K]"""
    return math.hypot(left_by_layers(entry), entry.heat_of_fan.uncertainty)


def left_by_layers(entry: MixedAir) -> float:
    """Standard uncertainty that layers leave in the mean: most in a single point, nothing in one behind the fan. [K]"""
    assumed, count, mean = prior.mixed_air(), len(entry.mixed_air), entry.mean
    if count == 1:
        return 0.0 if entry.behind_fan else assumed.single_point_of_difference * entry.difference
    variance = sum((point.value - mean) ** 2 for point in entry.mixed_air) / (count - 1)
    return math.sqrt(variance / count + (assumed.traverse_of_spread * entry.spread) ** 2)


def contradiction(share: FractionEstimate, entry: MixedAir) -> Shortfall:
    """Why a reading gives no fraction."""
    amounts = {
        "outdoor": Amount(entry.outdoor_air.value, entry.outdoor_air.dimension),
        "returned": Amount(entry.return_air.value, entry.return_air.dimension),
    }
    if share.finding == "mixing.outside_streams":
        return Shortfall(
            "airflow.mixed_outside_streams",
            Words("mixed air does not lie between outdoor air at {outdoor} and return air at {returned}: a probe is wrong, crossed, or heat leaks in", amounts),
            Words("read all three with one probe, side by side first"))  # fmt: skip
    return Shortfall(
        "airflow.streams_too_close",
        Words("outdoor air at {outdoor} and return air at {returned} are too close for these probes to tell any share", amounts),
        Words("come back when outdoor and return air are further apart, or measure the outdoor airflow itself"))  # fmt: skip
