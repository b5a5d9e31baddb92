"""Twenty states as three general-purpose libraries gave them; the table and its provenance lie in tests/data.

PsychroLib's inch-pound formulas have constants of their own, so they check ours through other numbers and both
data. CoolProp is a real gas. MetPy rounds its constants for meteorology.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from ventwright.physics import air
from ventwright.quantity import ENTHALPY_OF_DRY_AIR_AT_0_F

TABLE = Path(__file__).parents[1] / "data" / "psychrometrics" / "states_by_library.csv"

with TABLE.open(encoding="utf-8") as lines:
    ROWS = [
        {name: float(value) for name, value in row.items()}
        for row in csv.DictReader(line for line in lines if not line.startswith("#"))
    ]


@pytest.fixture(params=ROWS, ids=lambda row: f"{row['dry_bulb_F']:g} F, {row['relative_humidity_pct']:g} %")
def row(request: pytest.FixtureRequest) -> dict[str, float]:
    """One state of the table."""
    found: dict[str, float] = request.param
    return found


@pytest.fixture
def ours(row: dict[str, float]) -> air.AirState:
    """Our answer for it."""
    return air.state(
        (row["dry_bulb_F"] - 32.0) / 1.8,
        relative_humidity=row["relative_humidity_pct"] / 100.0,
        pressure=row["pressure_Pa"],
    )


def test_psychrolib_in_inch_pound_units(row: dict[str, float], ours: air.AirState) -> None:
    """Its constants are rounded in other units (0.240 Btu/(lb °F) is 0.1 % short of 1.006 kJ/(kg K)): hence the tolerances."""
    assert ours.humidity_ratio == pytest.approx(row["psychrolib_ip_humidity_ratio"], rel=2e-5)
    assert ours.wet_bulb * 1.8 + 32.0 == pytest.approx(row["psychrolib_ip_wet_bulb_F"], abs=0.02)
    heat = (ours.enthalpy - ENTHALPY_OF_DRY_AIR_AT_0_F) / 2326.0
    assert heat == pytest.approx(row["psychrolib_ip_enthalpy_Btu_lb"], abs=0.03)
    assert ours.specific_volume / 0.0624280 == pytest.approx(row["psychrolib_ip_volume_ft3_lb"], rel=1e-3)


def test_coolprop(row: dict[str, float], ours: air.AirState) -> None:
    """A real gas: bounds as in the larger comparison with CoolProp."""
    assert ours.humidity_ratio == pytest.approx(row["coolprop_humidity_ratio"], rel=6e-3)
    assert ours.enthalpy == pytest.approx(row["coolprop_enthalpy_J_kg"], abs=300.0)
    assert ours.specific_volume == pytest.approx(row["coolprop_volume_m3_kg"], rel=1e-3)
    assert ours.wet_bulb == pytest.approx(row["coolprop_wet_bulb_C"], abs=0.05)
    assert ours.dew_point == pytest.approx(row["coolprop_dew_point_C"], abs=0.05)


def test_metpy(row: dict[str, float], ours: air.AirState) -> None:
    """Another saturation formula, over liquid water only: above 0 °C 0.5 % on water and 0.07 K on the dew point."""
    if ours.dew_point < 0.0:
        assert (
            row["metpy_dew_point_C"] < ours.dew_point + 0.05
        )  # over supercooled water the dew point lies lower
        return
    assert ours.humidity_ratio == pytest.approx(row["metpy_humidity_ratio"], rel=5e-3)
    assert ours.dew_point == pytest.approx(row["metpy_dew_point_C"], abs=0.07)
