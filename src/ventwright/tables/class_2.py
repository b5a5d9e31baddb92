"""What a source of control power may be, so that its wiring counts as Class 2."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any, Final

from ventwright.quantity import APPARENT_POWER, CURRENT, VOLTAGE, read
from ventwright.tables.data_file import ROUNDING, read_facts
from ventwright.tables.source import Source, source_of
from ventwright.words import measured

if TYPE_CHECKING:
    from collections.abc import Mapping

FILE: Final = "class_2.toml"


@dataclass(frozen=True, slots=True, kw_only=True)
class Class2Limits:
    """Limits of a Class 2 source at its highest secondary voltage."""

    apparent_power: float = measured(APPARENT_POWER)
    """Nameplate, at most."""
    fuse: float = measured(CURRENT)
    """Largest overcurrent protection of a source that does not limit itself."""
    source: Source


def class_2(highest_voltage: float) -> Class2Limits | None:
    """Return the limits at a secondary voltage, or None where no source of that voltage is Class 2.

    Parameters
    ----------
    highest_voltage
        Highest secondary voltage at any load, that is without load. [V]
    """
    facts = read_facts(FILE)
    for band in facts["band"]:
        above, up_to = (read(band[end], VOLTAGE).value for end in ("above", "up_to"))
        if above < highest_voltage <= up_to * (1 + ROUNDING):
            return _limits(band, facts, highest_voltage)
    return None


def highest_voltage() -> float:
    """Return the voltage above which no source is Class 2 [V]."""
    return max(read(band["up_to"], VOLTAGE).value for band in read_facts(FILE)["band"])


@cache
def interconnection() -> Source:
    """Return where it stands that sources wired together must be listed for it."""
    facts = read_facts(FILE)
    return source_of(facts["interconnection"], facts)


def _limits(band: Mapping[str, Any], facts: Mapping[str, Any], voltage: float) -> Class2Limits:
    power = (
        read(band["apparent_power"], APPARENT_POWER).value
        if "apparent_power" in band
        else band["apparent_power_per_volt"] * voltage
    )
    fuse = (
        read(band["fuse"], CURRENT).value
        if "fuse" in band
        else read(band["fuse_apparent_power"], APPARENT_POWER).value / voltage
    )
    return Class2Limits(apparent_power=power, fuse=fuse, source=source_of(band, facts))
