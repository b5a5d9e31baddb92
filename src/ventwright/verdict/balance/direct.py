"""An outdoor airflow that was measured directly, as the share of the supply air's mass that it is."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from ventwright.facts import Instrument
from ventwright.physics.inference import Observation
from ventwright.physics.saturation import ZERO_CELSIUS
from ventwright.quantity import FRACTION
from ventwright.readings import Humidity, MixedAir, OutdoorAirflow
from ventwright.readings.streams import VolumeShown
from ventwright.tables import prior
from ventwright.tables.balance_prior import balance_prior
from ventwright.verdict.at_damper import AtDamper
from ventwright.verdict.supply import Supply


@dataclass(frozen=True, slots=True)
class MassShare:
    """Share of the supply air's mass that a share of its volume is.

    Attributes
    ----------
    share
        Of the mass. [-]
    slope
        By how much it moves with the share of the volume. [-]
    density_u
        Standard uncertainty that not knowing the densities leaves. [-]
    """

    share: float
    slope: float
    density_u: float


@dataclass(frozen=True, slots=True)
class Warmth:
    """Temperatures of outdoor and return air while an airflow was measured, and how far the second may be off. [°C, K]"""

    outdoor: float
    returned: float
    returned_u: float


@dataclass(frozen=True, slots=True)
class UnknownWarmth:
    """Nothing that tells the outdoor temperature while an airflow was measured: what that leaves of the ratio of the densities.

    Attributes
    ----------
    ratio_u
        Its standard uncertainty in the climate of the site. [-]
    """

    ratio_u: float


def positioning() -> float:
    """Standard uncertainty that a reading has from where the blades come to rest. [-]"""
    curve = balance_prior().curve
    return curve.slope * curve.positioning


def supply_error(speed: str) -> str:
    """Name of the error that everything read from the supply airflow of a speed shares."""
    return f"supply airflow at {speed}"


def of_airflow(
    entry: OutdoorAirflow, signal: float, by_id: Mapping[str, Instrument], supply: Supply, warm: Warmth | UnknownWarmth
) -> Observation:  # fmt: skip
    """An outdoor airflow measured directly: as a share of the mass of the supply air, whose error it then shares.

    Outdoor air of another temperature than the supply air has another density. Where its temperature is not known, the
    two are taken to be alike, and the uncertainty carries what that may miss in the climate of the site; where only that of the return air is not
    known, a usual one is taken. Where the entry does not say whether the instrument shows the volume as it flows or
    that of standard air, it is taken as it flows, and the uncertainty reaches to the other.

    Parameters
    ----------
    entry, signal
        The reading, and where the damper stood as a share of stroke. [-]
    by_id
        The instruments of the job.
    supply
        The supply airflow at its speed.
    warm
        Temperatures of the two streams then, by :func:`warmth`.
    """
    of_volume = entry.airflow.value / supply.airflow
    found = mass_share(of_volume, warm, entry.volume)
    named = entry.instrument or entry.method.value
    errors = [
        (f"airflow by {named}", found.slope * _u(entry, by_id) / supply.airflow),
        (supply_error(entry.speed), found.slope * of_volume * supply.assumed_u / supply.airflow),
    ]
    if found.density_u:
        errors.append((f"density of the air by {named}", found.density_u))
    return Observation(entry.id, found.share, positioning(), tuple(errors), entry.speed, signal)


def _u(entry: OutdoorAirflow, by_id: Mapping[str, Instrument]) -> float:
    """Standard uncertainty of the airflow itself: as typed or the method's, not below the instrument's own. [m3/s]"""
    named = by_id.get(entry.instrument or "")
    own = named.accuracy.value / 2 if named is not None and named.accuracy.dimension == FRACTION else 0.0
    typed = entry.airflow.uncertainty
    if typed is not None:
        return max(typed, entry.airflow.value * own)
    of_method = prior.outdoor_airflow_method(entry.method.value).relative_uncertainty or 0.0
    return entry.airflow.value * max(of_method, own)


def mass_share(volume_share: float, warm: Warmth | UnknownWarmth, shown: VolumeShown | None) -> MassShare:
    """Return the share of mass that a share of volume is; one of more than all supply air stays a finding, and so large.

    Parameters
    ----------
    volume_share
        Outdoor over supply airflow as measured. [-]
    warm
        Temperatures of the two streams, or what not knowing that of outdoor air leaves.
    shown
        What the instrument shows.

    References
    ----------
    Ideal gas, the two streams at one pressure, which cancels: the density goes with the inverse of the absolute
    temperature; volumes add as the streams mix (ASHRAE Handbook - Fundamentals, chapter Psychrometrics, adiabatic
    mixing; from memory). Moisture is left out: it makes up to 1 % of the share, in hot humid air up to 4 %.
    """
    if shown is VolumeShown.STANDARD_AIR:
        return MassShare(volume_share, 1.0, 0.0)
    rest = max(0.0, 1.0 - volume_share)
    if isinstance(warm, UnknownWarmth):
        return MassShare(volume_share, 1.0, volume_share * rest * warm.ratio_u)
    outdoor, returned = warm.outdoor + ZERO_CELSIUS, warm.returned + ZERO_CELSIUS
    mixed = outdoor + min(1.0, volume_share) * (returned - outdoor)
    share = volume_share * returned / mixed
    of_return = volume_share * rest * outdoor / mixed**2 * warm.returned_u
    either = 0.0 if shown is VolumeShown.AS_IT_FLOWS else 0.5 * abs(share - volume_share)
    return MassShare(share, returned * outdoor / mixed**2, math.hypot(of_return, either))


def warmth(
    entry: OutdoorAirflow, entries: Sequence[AtDamper], climate_zone: str | None
) -> Warmth | UnknownWarmth:
    """Return the temperatures while an airflow was measured, or what is left open where nothing tells that of outdoor air.

    Parameters
    ----------
    entry
        The airflow: its own outdoor temperature counts first.
    entries
        Every reading at the damper: the nearest in time tells the rest.
    climate_zone
        Of the site, where it is known.
    """
    density = balance_prior().density
    near = [(abs((one.at - entry.at).total_seconds()), *two) for one in entries for two in _two_streams(one)]
    apart, outdoor, returned = min(near, default=(float("inf"), 0.0, 0.0))
    if apart <= density.near:
        return Warmth(outdoor if entry.outdoor_air is None else entry.outdoor_air.value, returned, 0.0)
    if entry.outdoor_air is None:
        return UnknownWarmth(density.unknown_u(climate_zone))
    return Warmth(entry.outdoor_air.value, density.return_air, density.return_air_u)


def _two_streams(entry: AtDamper) -> Iterator[tuple[float, float]]:
    """Outdoor and return temperature of a reading that tells them. [°C]"""
    if isinstance(entry, MixedAir):
        yield entry.outdoor_air.value, entry.return_air.value
    elif isinstance(entry, Humidity):
        yield entry.outdoor_dry_bulb.value, entry.return_dry_bulb.value
