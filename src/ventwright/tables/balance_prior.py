"""First beliefs of the search for a minimum damper signal, as data: what dampers one may meet, when the search ends."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from ventwright.evidence import ACCEPTED_RISK
from ventwright.physics.inference import CurvePrior, Rules
from ventwright.quantity import DURATION, FRACTION, TEMPERATURE, TEMPERATURE_DIFFERENCE, read
from ventwright.tables.data_file import read_toml


@dataclass(frozen=True, slots=True)
class DensityPrior:
    """What is assumed of the densities of outdoor and return air beside an airflow that was measured directly.

    Attributes
    ----------
    near
        How near in time a reading of temperatures has to be. [s]
    return_air, return_air_u
        Usual return air, and its standard uncertainty. [°C, K]
    unknown_u
        Standard uncertainty of the ratio of the densities where the outdoor temperature is not known. [-]
    """

    near: float
    return_air: float
    return_air_u: float
    unknown_u: float


@dataclass(frozen=True, slots=True)
class BalancePrior:
    """First beliefs about a damper, the rules of the search, and what is assumed where nothing was measured.

    Attributes
    ----------
    curve, rules
        Dampers one may meet, and when a chance is good enough.
    readings
        How many readings a speed is thought worth. [-]
    days
        Age beyond which a reading, counted from the newest, no longer tells of the unit as it is. [days]
    design_supply_u
        Relative standard uncertainty of a supply airflow that was only designed. [-]
    dry_bulb_u
        Standard uncertainty of the dry bulb that a humidity instrument shows. [K]
    density
        Of the air in a hood.
    """

    curve: CurvePrior
    rules: Rules
    readings: int
    days: float
    design_supply_u: float
    dry_bulb_u: float
    density: DensityPrior


@cache
def balance_prior() -> BalancePrior:
    """Return the first beliefs that the balance starts from."""
    data = read_toml("priors", "balance.toml")
    steps = tuple(
        (_share(width), _share(apart))
        for width, apart in zip(data["steps"]["width"], data["steps"]["apart"], strict=True)
    )
    curve = CurvePrior(
        leaks=tuple((_share(one["share"]), _share(one["band"]) / 2, one["often"]) for one in data["closed"]),
        reach=_share(data["rise"]["share"]),
        reach_u=_share(data["rise"]["band"]) / 2,
        steps=steps,
        departs=_share(data["departs"]["stroke"]),
        roughness=_share(data["roughness"]["share"]),
        roughness_length=_share(data["roughness"]["stroke"]),
        speed_effect=_share(data["fan_speed"]["share"]),
        speed_length=_share(data["fan_speed"]["stroke"]),
        layers_length=_share(data["layers"]["stroke"]),
        positioning=_share(data["positioning"]["stroke"]),
        dead=_share(data["odd"]["dead"]),
        reversed_=_share(data["odd"]["reversed"]),
        dead_share=_share(data["odd"]["share"]),
        dead_share_u=_share(data["odd"]["band"]) / 2,
        slope=data["positioning"]["slope"],
    )
    rules = Rules(sure=1.0 - ACCEPTED_RISK, near=_share(data["search"]["near"]))
    search = data["search"]
    design_supply_u = _share(data["design_supply"]["band"]) / 2
    dry_bulb_u = read(data["dry_bulb"]["band"], TEMPERATURE_DIFFERENCE).value / 2
    return BalancePrior(
        curve,
        rules,
        search["readings"],
        search["days"],
        design_supply_u,
        dry_bulb_u,
        _density(data["density"]),
    )


def _density(row: Mapping[str, str]) -> DensityPrior:
    return_air = read(row["return_air"], TEMPERATURE)
    return DensityPrior(
        near=read(row["near"], DURATION).value,
        return_air=return_air.value,
        return_air_u=return_air.uncertainty or 0.0,
        unknown_u=_share(row["unknown"]) / 2,
    )


def _share(text: str) -> float:
    return read(text, FRACTION).value
