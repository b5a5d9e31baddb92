"""Mixed and supply air against a general-purpose building simulator.

EnergyPlus 25.2 (BSD-like licence), our own runs of its public retail-store example; columns and provenance in
tests/data/simulated_trends/NOTICE.md. Only quarters of an hour with the fan on throughout: else they are means of two states.
The simulator counts 1004.84 J/(kg K) for dry air and 2500.94 kJ/kg for vapour, we 1006 and 2501.
"""

from __future__ import annotations

import csv
import gzip
from collections.abc import Iterator
from pathlib import Path

import pytest
from tests.conftest import OUTSIDE_DATA

from ventwright.physics import moist_air
from ventwright.physics.rooftop.stream import Stream, joined, stream, with_heat

EXTRACT = Path(__file__).parents[1] / "data" / "simulated_trends" / "mixed_air.csv"
WHOLE = OUTSIDE_DATA / "simulated_trends"

Row = dict[str, float]

HUNDREDTHS = 0.015
"""Temperatures stand to a hundredth: two of them in, one out. [K]"""
MILLIONTHS = 1.5e-6
"""Humidity ratios stand to a millionth. [kg/kg]"""
FAN_AND_COIL = 0.05
"""The same, with 0.1 % between the heat capacities over up to 31 K of heating. [K]"""


def numbers(rows: Iterator[dict[str, str]]) -> Iterator[Row]:
    """Yield the columns that are numbers."""
    for row in rows:
        yield {
            name: float(cell)
            for name, cell in row.items()
            if name.endswith(("C", "kg", "kgs", "W", "Pa", "plr"))
        }


def extract() -> list[Row]:
    """Return the rows kept beside the tests."""
    with EXTRACT.open(encoding="utf-8") as file:
        return list(numbers(csv.DictReader(file)))


def whole() -> list[Row]:
    """Return the rows of all runs in which the fan never stopped."""
    found: list[Row] = []
    for path in sorted(WHOLE.glob("*.csv.gz")):
        with gzip.open(path, "rt", encoding="utf-8") as file:
            found += [row for row in numbers(csv.DictReader(file)) if row["fan_plr"] > 0.999]
    return found


def made(row: Row, which: str, dry_air: float) -> Stream:
    """Return a stream of the row."""
    ratio = row[f"{which}_w_kgkg"]
    return stream(dry_air, moist_air.enthalpy(row[f"{which}_T_C"], ratio), ratio, row["p_Pa"])


SETS = [
    pytest.param(extract, 30, id="extract"),
    pytest.param(whole, 20_000, id="all runs", marks=pytest.mark.outside_data),
]


@pytest.mark.parametrize(("rows", "least"), SETS)
def test_mixed_air(rows: object, least: int) -> None:
    """Temperature and humidity of the mixed air from flows and states of outdoor and return air."""
    assert callable(rows)
    found = rows()
    assert len(found) >= least
    for row in found:
        outdoor, mixed = row["oa_flow_kgs"], row["ma_flow_kgs"]
        streams = made(row, "oa", outdoor), made(row, "ra", mixed - outdoor)
        ours = joined(streams, streams[1])
        assert ours.dry_air == pytest.approx(mixed)
        assert ours.dry_bulb == pytest.approx(row["ma_T_C"], abs=HUNDREDTHS)
        assert ours.humidity_ratio == pytest.approx(row["ma_w_kgkg"], abs=MILLIONTHS)


@pytest.mark.parametrize(("rows", "least"), SETS)
def test_from_mixed_to_supply_air(rows: object, least: int) -> None:
    """Supply temperature from mixed air, the fan's heat, the heater's and the coil's load, at the humidity it left."""
    assert callable(rows)
    found = rows()
    assert len(found) >= least
    for row in found:
        mixed = made(row, "ma", row["ma_flow_kgs"])
        heated = with_heat(mixed, row["fan_W"] + row["htg_W"] - row["clg_total_W"])
        dried = stream(heated.dry_air, heated.enthalpy, row["sa_w_kgkg"], row["p_Pa"])
        assert dried.dry_bulb == pytest.approx(row["sa_T_C"], abs=FAN_AND_COIL)
