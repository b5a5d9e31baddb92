"""First beliefs of the search for a minimum damper signal, as data: what dampers one may meet, when the search ends."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from ventwright.evidence import ACCEPTED_RISK
from ventwright.physics.inference import CurvePrior, Rules
from ventwright.physics.saturation import ZERO_CELSIUS
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
    hottest
        Outdoor air of any climate. [°C]
    coldest
        Outdoor air by climate zone, by its name or its number. [°C]
    """

    near: float
    return_air: float
    return_air_u: float
    hottest: float
    coldest: Mapping[str, float]

    def unknown_u(self, climate_zone: str | None) -> float:
        """Return the standard uncertainty of the ratio of the densities where the outdoor temperature is not known. [-]

        Half the way to the farther end, so that two of them reach to all that the climate may bring.

        Parameters
        ----------
        climate_zone
            Such as 5A or CA 12; the widest of all is taken where it is None.

        References
        ----------
        Ideal gas at one pressure: density goes with the inverse of the absolute temperature. The ends of the climate
        are from memory.
        """
        cold, hot = self.coldest_air(climate_zone) + ZERO_CELSIUS, self.hottest + ZERO_CELSIUS
        cool, warm = (self.return_air + ZERO_CELSIUS + sign * 2.0 * self.return_air_u for sign in (-1.0, 1.0))
        return 0.5 * max(warm / cold - 1.0, hot / cool - 1.0)

    def coldest_air(self, zone: str | None) -> float:
        """Return the coldest outdoor air of a climate zone, of all zones where it is None; from memory. [°C]"""
        named = [] if zone is None else [zone, zone.partition(" ")[0], zone[:1]]
        return next(
            (self.coldest[name] for name in named if name in self.coldest), min(self.coldest.values())
        )


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


def _density(row: Mapping[str, Any]) -> DensityPrior:
    return_air = read(row["return_air"], TEMPERATURE)
    return DensityPrior(
        near=read(row["near"], DURATION).value,
        return_air=return_air.value,
        return_air_u=return_air.uncertainty or 0.0,
        hottest=read(row["unknown"]["hottest"], TEMPERATURE).value,
        coldest={zone: read(text, TEMPERATURE).value for zone, text in row["unknown"]["coldest"].items()},
    )


def _share(text: str) -> float:
    return read(text, FRACTION).value
