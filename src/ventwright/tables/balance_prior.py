"""First beliefs of the search for a minimum damper signal, as data: what dampers one may meet, when the search ends."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from ventwright.evidence import ACCEPTED_RISK
from ventwright.physics.inference import CurvePrior, Rules
from ventwright.quantity import FRACTION, TEMPERATURE_DIFFERENCE, read
from ventwright.tables.data_file import read_toml


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
    """

    curve: CurvePrior
    rules: Rules
    readings: int
    days: float
    design_supply_u: float
    dry_bulb_u: float


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
    return BalancePrior(curve, rules, search["readings"], search["days"], design_supply_u, dry_bulb_u)


def _share(text: str) -> float:
    return read(text, FRACTION).value
