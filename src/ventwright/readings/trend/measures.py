"""How numbers become SI: units as files write them, and words for off and on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Final

from ventwright.quantity import (
    AIRFLOW,
    CURRENT,
    ENTHALPY,
    HEAT_RATE,
    PRESSURE,
    TEMPERATURE,
    Dimension,
)

ON: Final = frozenset(
    [
        "on",
        "true",
        "yes",
        "run",
        "running",
        "active",
        "open",
        "occupied",
        "occ",
        "enabled",
        "enable",
        "start",
        "started",
        "proven",
        "high",
        "closed_contact",
        "1",
        "1.0",
        "100",
    ]
)
OFF: Final = frozenset(
    [
        "off",
        "false",
        "no",
        "stop",
        "stopped",
        "inactive",
        "closed",
        "unoccupied",
        "unocc",
        "disabled",
        "disable",
        "not_running",
        "idle",
        "low",
        "0",
        "0.0",
    ]
)
"""Words of a switch, in small letters (common practice, no published source)."""


DENSITY: Final = 1.2
"""kg/m3 by which a flow of mass is taken for one of volume: standard air of ASHRAE Fundamentals (from memory)."""


@dataclass(frozen=True, slots=True)
class Measure:
    """SI value = number × slope + intercept."""

    name: str
    """As the mapping file writes it."""
    slope: float
    intercept: float = 0.0


SHARES: Final = (
    Measure("0-1", 1.0),
    Measure("%", 0.01),
    Measure("0-10 V", 0.1),
    Measure("2-10 V", 0.125, -0.25),
    Measure("4-20 mA", 0.0625, -0.25),
    Measure("Hz of 60", 1 / 60),
)
"""How a signal or a share may be written."""

_DIMENSIONS: Final[Mapping[str, Dimension]] = {
    "temperature": TEMPERATURE, "pressure": PRESSURE, "airflow": AIRFLOW, "enthalpy": ENTHALPY, "power": HEAT_RATE, "current": CURRENT,
}  # fmt: skip
_OTHERS: Final[Mapping[str, tuple[tuple[str, Measure], ...]]] = {
    "share": (
        ("% pct percent %rh rh% %open %_open perc", SHARES[1]), ("0-1 fraction frac -", SHARES[0]), ("0-10 0-10v 0-10vdc", SHARES[2]),
        ("2-10 2-10v 2-10vdc", SHARES[3]), ("ma 4-20ma 4-20", SHARES[4]), ("hz", SHARES[5]),
    ),
    "switch": (("on/off onoff bool boolean status 0/1 -", Measure("on/off", 1.0)),),
    "stages": (("stages stage count number -", Measure("count", 1.0)),),
    "concentration": (("ppm ppmv", Measure("ppm", 1.0)),),
    "humidity ratio": (
        ("kg/kg kgkg kgw/kga", Measure("kg/kg", 1.0)), ("g/kg gkg", Measure("g/kg", 1e-3)), ("gr/lb grlb grains grains/lb", Measure("gr/lb", 1 / 7000)),
    ),
    "airflow": (("kg/s kgs", Measure("kg/s", 1 / DENSITY)),),
    "enthalpy": (("jkg", Measure("J/kg", 1.0)), ("kjkg", Measure("kJ/kg", 1e3))),
}  # fmt: skip


@cache
def measure_named(kind: str, text: str) -> Measure | None:
    """Return the measure of a kind of point that a unit means, as a file writes it; None where it means none."""
    bare = (
        "".join(text.lower().split())
        .replace("°", "")
        .replace("º", "")
        .replace("\N{REPLACEMENT CHARACTER}", "")
    )
    for names, measure in _OTHERS.get(kind, ()):
        if bare in names.split() or text.strip().lower() == measure.name.lower():
            return measure
    dimension = _DIMENSIONS.get(kind)
    unit = dimension.unit(text.strip()) or dimension.unit(bare) if dimension and bare else None
    if dimension is TEMPERATURE and bare in {"degf", "degc", "degreesf", "degreesc", "deg.f", "deg.c"}:
        unit = TEMPERATURE.unit(bare[-1])
    return None if unit is None else Measure(unit.names[0], unit.factor, unit.offset)


@cache
def is_unit(text: str) -> bool:
    """Whether a text is a unit of anything a log holds."""
    return (
        any(measure_named(kind, text) for kind in {*_OTHERS, *_DIMENSIONS})
        or text.strip().lower() in _FURTHER
    )


_FURTHER: Final = frozenset(
    [
        "v",
        "vdc",
        "volts",
        "kwh",
        "btu",
        "rpm",
        "gpm",
        "s",
        "min",
        "h",
        "date",
        "time",
        "hh:mm",
        "yyyy-mm-dd",
        "lux",
    ]
)


def measures_of(kind: str) -> tuple[str, ...]:
    """Return the names by which the measures of a kind of point can be given."""
    dimension = _DIMENSIONS.get(kind)
    names = [unit.names[0] for unit in dimension.units] if dimension else []
    return tuple(dict.fromkeys([*names, *(measure.name for _, measure in _OTHERS.get(kind, ()))]))
