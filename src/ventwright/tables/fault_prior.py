"""What can be wrong with an economizer and how likely it is before anything is read: data, with sources and marks."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

from ventwright.errors import refuse_word
from ventwright.tables.data_file import read_toml

Range = tuple[float, float]


@dataclass(frozen=True, slots=True)
class FaultRow:
    """One fault as the data file has it: what of the unit in software it is, in ranges that are drawn from evenly."""

    id: str
    words: str
    group: str
    weight: float
    """Within its group. [-]"""
    acts: str
    confirmed: str
    complaints: tuple[str, ...]
    proof: tuple[str, ...]
    """Measurements that show it by itself."""
    severity: Range = (1.0, 1.0)
    """[-]"""
    size: Range = (0.0, 0.0)
    """Of a bias, or the stroke at which a damper sticks. [K or -]"""
    signs: int = 1
    """2 where a bias goes either way."""
    sensor: str = ""
    other: str = ""
    shows: Range = (0.0, 0.0)
    """Of a resistor in a sensor's place. [°C]"""
    call: str = ""
    to_compressor: bool = False
    at: str = ""
    place: str = ""
    """Of a setting."""
    by: Range | None = None
    """What is added to the setting. [K]"""
    times: Range | None = None
    """What the setting is multiplied by. [-]"""
    needs: str = ""
    """What a unit must have for it."""
    excludes: str = ""
    """Faults of the same word do not come together."""
    note: str = ""


@dataclass(frozen=True, slots=True)
class FaultPrior:
    """Probabilities before anything is read."""

    none: float
    one: float
    two: float
    """Probability of as many faults at once. [-]"""
    faults: tuple[FaultRow, ...]
    shares: tuple[float, ...]
    """Of each fault among single ones: they add up to 1. [-]"""
    complaint_none: float
    complaint_fitting: float
    complaint_other: float
    scored_fraction: float
    """Change of the outdoor-air fraction from which a fault counts in the benchmark. [-]"""
    scored_pressure: float
    """The same of the pressure in the space. [Pa]"""
    sources: tuple[str, ...]

    def fault(self, named: str) -> FaultRow:
        """Return the fault with an id; refuse an unknown one."""
        known = {row.id: row for row in self.faults}
        if named not in known:
            raise refuse_word(named, {row.id: row.words for row in self.faults}, "a fault that is known here")
        return known[named]


@cache
def fault_prior() -> FaultPrior:
    """Return the faults with their first probabilities."""
    data = read_toml("priors", "faults.toml")
    rows = tuple(_row(row) for row in data["fault"])
    groups = {row["name"]: row["share"] for row in data["group"]}
    whole = {name: sum(row.weight for row in rows if row.group == name) for name in groups}
    complaint = data["complaint"]
    count = data["count"]
    return FaultPrior(
        count["none"],
        count["one"],
        count["two"],
        rows,
        tuple(groups[row.group] * row.weight / whole[row.group] for row in rows),
        complaint["none"],
        complaint["fitting"],
        complaint["other"],
        data["scored"]["outdoor_air_fraction"],
        data["scored"]["space_pressure"],
        tuple(f"{row['source']} ({row['confirmed']})" for row in (data["count"], *data["group"])),
    )


def _row(given: dict[str, Any]) -> FaultRow:
    values: dict[str, Any] = {
        key: tuple(value) if isinstance(value, list) else value for key, value in given.items()
    }
    return FaultRow(**values)
