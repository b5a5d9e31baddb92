"""Resistance of copper control wire by American wire gauge, as printed, and at the temperature it works at."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Final, Literal

from ventwright.errors import Refusal, Refused
from ventwright.physics.circuit import resistance_at
from ventwright.quantity import FOOT, TEMPERATURE, Dimension, Unit, read
from ventwright.tables.data_file import read_sheet
from ventwright.tables.source import Source, source_of
from ventwright.words import measured

Conductor = Literal["solid", "stranded"]

RESISTANCE_PER_LENGTH: Final = Dimension(
    "resistance per length",
    "_ohm_m",
    Unit(("ohm/km",), 1e-3),
    Unit(("ohm/kft", "ohm/1000 ft"), 1e-3 / FOOT),
    (Unit(("ohm/m",), 1.0),),
    '"7.77 ohm/kft" or "25.5 ohm/km"',
    at_least=0.0,
    decimals=(2, 2),
)

SHEETS: Final = ("wire_resistance.csv", "wire_resistance_thin.csv")


@dataclass(frozen=True, slots=True, kw_only=True)
class Wire:
    """One conductor of a table."""

    gauge: int
    conductor: Conductor
    resistance: float = measured(RESISTANCE_PER_LENGTH)
    """At the temperature of its table."""
    reference_temperature: float = measured(TEMPERATURE)
    temperature_coefficient: float
    source: Source

    def at(self, temperature: float) -> float:
        """Resistance of the conductor at a temperature [°C]. [ohm/m]"""
        return resistance_at(
            self.resistance, self.reference_temperature, self.temperature_coefficient, temperature
        )


@cache
def wires() -> tuple[Wire, ...]:
    """Return every conductor, the thinnest first."""
    found: list[Wire] = []
    for name in SHEETS:
        sheet = read_sheet(name)
        factor = sheet.unit("resistance", RESISTANCE_PER_LENGTH).factor
        found += [
            Wire(
                gauge=int(row["gauge"]),
                conductor="solid" if row["conductor"] == "solid" else "stranded",
                resistance=float(row["resistance"]) * factor,
                reference_temperature=read(sheet.head["temperature"], TEMPERATURE).value,
                temperature_coefficient=float(sheet.head["coefficient"]),
                source=source_of({}, sheet.head, f"temperature: {sheet.head['coefficient_source']}"),
            )
            for row in sheet.rows
        ]
    return tuple(sorted(found, key=lambda one: (-one.gauge, one.conductor)))


def gauges() -> tuple[int, ...]:
    """Return the gauges of the tables, the thinnest first."""
    return tuple(dict.fromkeys(one.gauge for one in wires()))


def wire(gauge: int, conductor: Conductor = "solid", where: str = "") -> Wire:
    """Return a conductor by its gauge.

    Parameters
    ----------
    gauge
        American wire gauge, such as 18.
    conductor
        Thermostat cable is mostly solid (common practice, no published source).
    where
        Place of the entry, for the refusal.

    Raises
    ------
    Refused
        A gauge that the tables do not have, or have only solid.
    """
    same = [one for one in wires() if one.gauge == gauge]
    if not same:
        accepted = f"{', '.join(str(one) for one in gauges())} AWG"
        raise Refused(Refusal("is no wire gauge of these tables", accepted, where, str(gauge)))
    for one in same:
        if one.conductor == conductor:
            return one
    problem = f"has no row for {conductor} wire here"
    accepted = f"{gauge} AWG {same[0].conductor}, within a few per cent of it"
    raise Refused(Refusal(problem, accepted, where, f"{gauge} AWG"))
