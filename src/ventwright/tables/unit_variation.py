"""How one unit that fits the facts differs from the next: what nobody measured of it. Data, with marks."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from ventwright.tables.data_file import read_toml


@dataclass(frozen=True, slots=True)
class FactSpread:
    """Standard deviation of the natural logarithm of what the facts give. [-]"""

    damper_face: float
    damper_loss: float
    """Of what stands in line with the blades."""
    airflow: float
    fan_power: float
    return_duct: float
    envelope: float
    """Of the building."""
    cabinet_gap: float
    full_load: float
    """Of the control transformer's voltage."""
    rating: float
    """Of its power."""


@dataclass(frozen=True, slots=True)
class BladeSpread:
    """Half of a normal distribution: its standard deviation, and the most. [share of stroke]"""

    dead: float
    """At either end, before the outdoor blades follow."""
    most_dead: float
    left_open: float
    """Of the return blades, told to shut."""
    most_left_open: float


@dataclass(frozen=True, slots=True)
class LayerSpread:
    """Whether mixed air lies in layers, and how far. [-]"""

    lanes: int
    chance: float
    left: float
    """Of the unmixed pattern that is left with the outdoor blades closed, at the most."""
    open: float
    """Of that, with them open."""


@dataclass(frozen=True, slots=True)
class UnitVariation:
    """By how much one unit that fits the facts differs from the next."""

    spread: FactSpread
    blades: BladeSpread
    leak: float
    """Mean free gap past the shut outdoor blades, as a share of their face. [-]"""
    layers: LayerSpread
    bias_u: float
    """Standard deviation of a sound sensor's bias. [K]"""


@cache
def unit_variation() -> UnitVariation:
    """Return what is assumed, from the file of priors."""
    data = read_toml("priors", "unit_variation.toml")
    blades = {name: value for name, value in data["blades"].items() if name not in {"confirmed", "note"}}
    return UnitVariation(
        FactSpread(**data["spread"]),
        BladeSpread(**blades),
        data["leak"]["mean"],
        LayerSpread(**data["layers"]),
        data["sensors"]["bias_u"],
    )
