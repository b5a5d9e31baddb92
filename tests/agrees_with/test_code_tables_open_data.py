"""The code tables, edition by edition, against Building Energy Standards Data.

An open data set of a US national laboratory (BSD-2-Clause; notice beside the rows in tests/data/code_tables). A
few rows of every edition stand there and are always compared; the whole set is compared where it lies beside
the repository.
"""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path
from typing import Any, Final

import pytest

from ventwright.quantity import AIRFLOW, AREA, BTU
from ventwright.tables import energy_code, ventilation
from ventwright.tables.energy_code import HighLimit

EXTRACT: Final = Path(__file__).parents[1] / "data" / "code_tables"
WHOLE: Final = Path(__file__).parents[3] / "shared" / "data" / "code_tables"

FOLDERS = [
    pytest.param(EXTRACT, id="extract"),
    pytest.param(WHOLE, id="whole set", marks=pytest.mark.outside_data),
]

CONTROLS: Final = {
    "fixed dry bulb": "fixed_dry_bulb",
    "differential dry bulb": "differential_dry_bulb",
    "fixed enthalpy and dry bulb": "fixed_enthalpy_fixed_dry_bulb",
    "differential enthalpy and dry bulb": "differential_enthalpy_fixed_dry_bulb",
    "fixed enthalpy": "fixed_enthalpy",
    "differential enthalpy": "differential_enthalpy",
    "electronic enthalpy": "electronic_enthalpy",
    "dew point and dry bulb": "dew_point_dry_bulb",
}
"""Our name of a control, and how the columns of the data set begin."""

NO_HIGH_LIMITS: Final = {"IECC-2006", "IECC-2009"}
"""Editions whose rows give no control at all."""


def _rows(folder: Path, name: str) -> list[dict[str, Any]]:
    rows: list[dict[str, Any]] = json.loads((folder / name).read_text(encoding="utf-8"))
    return rows


@pytest.mark.parametrize("folder", FOLDERS)
@pytest.mark.parametrize("year", ["2016", "2019", "2022"])
def test_ventilation_rates(folder: Path, year: str) -> None:
    """People rate, area rate, density, air class and occupied standby of every row."""
    ours = {row.printed_name: row for row in ventilation.rates(f"62.1-{year}")}
    theirs = [
        row
        for row in _rows(folder, f"level_3_ventilation_62_1_{year}.json")
        if row["ventilation_primary_space_type"] != "None"  # a placeholder without rates
    ]
    for row in theirs:
        mine = ours.pop(row["ventilation_secondary_space_type"])
        density = mine.default_density
        assert mine.people_rate / AIRFLOW.us.factor == pytest.approx(row["ventilation_rate_occupant"])
        assert mine.area_rate / AIRFLOW.us.factor * AREA.us.factor == pytest.approx(
            row["ventilation_rate_area"]
        )
        assert (density or 0.0) * 1000 * AREA.us.factor == pytest.approx(row["occupancy_per_area"])
        assert mine.air_class == row["air_class"]
        assert bool(mine.occupied_standby) == (row["os"] == "yes")
    if folder == WHOLE:
        assert not ours


@pytest.mark.parametrize("folder", FOLDERS)
@pytest.mark.parametrize("code", ["90_1", "IECC"])
def test_economizer_requirements(folder: Path, code: str) -> None:
    """Capacity from which one is required, and the trade-off, by zone, place of the unit and kind of room."""
    for row in _rows(folder, f"system_requirements_air_economizer_{code}.json"):
        places = {"All": (True, False), "Fan-cooling units located outside the building": (True,)}.get(
            row.get("fan_cooling_application", "All"), (False,)
        )
        for outside in places:
            rule = energy_code.economizer_rule(
                row["template"],
                row["climate_zone"],
                outside=outside,
                data_center=row["data_center"] == "TRUE",
            )
            capacity, share = rule.minimum_capacity, rule.efficiency_trade_off
            assert (capacity and capacity / BTU * 3600) == pytest.approx(row["minimum_capacity"]), row
            assert (share and share * 100) == pytest.approx(
                row["percent_increase_cooling_efficiency_eliminate_requirement"]
            ), row


@pytest.mark.parametrize("folder", FOLDERS)
@pytest.mark.parametrize("code", ["90_1", "IECC"])
def test_high_limits(folder: Path, code: str) -> None:
    """Which controls are allowed and at which setting; the disputed rows stay out, whatever the data set says."""
    disputed = set()
    for row in _rows(folder, f"system_requirements_air_economizer_{code}.json"):
        if row["template"] in NO_HIGH_LIMITS:
            assert all(row[f"{column}_is_allowed"] is None for column in CONTROLS.values())
            continue
        for limit in energy_code.high_limits(row["template"], row["climate_zone"]):
            if limit.source.confirmed == "disputed":
                assert row["differential_dry_bulb_is_allowed"] == "TRUE"
                disputed.add((row["template"], row["climate_zone"]))
            else:
                assert limit.allowed == (row[f"{CONTROLS[limit.control]}_is_allowed"] == "TRUE"), row
            assert _settings(limit) == pytest.approx(
                _printed(row, CONTROLS[limit.control]) if limit.allowed else {}
            ), row
    zones = {"1A", "2A"} if folder == EXTRACT else {"0A", "1A", "2A", "3A", "4A"}
    editions = {"90.1-2019", "90.1-2022", "90.1-2025"} if code == "90_1" else set()
    assert disputed == {(edition, zone) for edition in editions for zone in zones}


def _settings(limit: HighLimit) -> dict[str, float]:
    """Return the settings of a high limit in °F and Btu/lb."""
    # 0 Btu/lb is dry air at 0 °F, 0 J/kg dry air at 0 °C: 1.006 kJ/(kg K) over 32/1.8 K lie between
    # 0 Btu/lb is dry air at 0 °F: 0.240 x 32 Btu/lb below dry air at 0 °C (ASHRAE Fundamentals 2017, ch. 1, eq. 30)
    enthalpy = limit.enthalpy and limit.enthalpy / 2326 + 0.240 * 32
    settings = {
        "dry bulb": limit.dry_bulb and limit.dry_bulb * 1.8 + 32,
        "enthalpy": enthalpy,
        "dew point": limit.dew_point and limit.dew_point * 1.8 + 32,
    }
    return {name: value for name, value in settings.items() if value is not None}


def _printed(row: dict[str, Any], control: str) -> dict[str, float]:
    """Return the settings that the data set gives one control."""
    columns = {
        "dry bulb": "temp" if control == "fixed_dry_bulb" else "dry_bulb_temp",
        "enthalpy": "enthalpy",
        "dew point": "dew_point_temp",
    }
    found = {name: row.get(f"{control}_high_limit_shutoff_{column}") for name, column in columns.items()}
    return {name: value for name, value in found.items() if value is not None}


@pytest.mark.parametrize("folder", FOLDERS)
@pytest.mark.parametrize("code", ["90_1", "IECC"])
def test_fan_speed_thresholds(folder: Path, code: str) -> None:
    """Cooling capacity from which on a single-zone unit needs more than one fan speed, by date."""
    ours = {
        (edition, threshold.since, threshold.until, round(threshold.minimum_capacity / BTU * 3600, 3))
        for edition in energy_code.editions()
        if edition.startswith(code.replace("_", "."))
        for threshold in energy_code.fan_speed_thresholds(edition)
    }
    theirs = set()
    for row in _rows(folder, f"system_requirements_fan_control_{code}.json"):
        capacity = row["cooling_capacity_threshold_for_single_zone_dx_vav"]
        if capacity is None:
            continue
        start, end = (_date(row[f"{which}_date"]) for which in ("start", "end"))
        since = None if start.year == 1919 else start  # the data set writes 1919 and 2999 for "always"
        until = None if end.year == 2999 else end
        theirs.add((row["template"], since, until, float(capacity)))
    assert ours == theirs


def _date(text: str) -> date:
    """Read a date as the data set writes it: month/day/year."""
    month, day, year = text.split("/")
    return date(int(year), int(month), int(day))


@pytest.mark.parametrize("year", ["2021", "2024"])
def test_latest_iecc_keeps_the_capacity_of_2015(year: str) -> None:
    """The rows of IECC-2021 and 2024 hold 54 000 Btu/h and no split by place (open data)."""
    inside, outside = (
        energy_code.economizer_rule(f"IECC-{year}", "5A", outside=place) for place in (False, True)
    )
    assert inside.minimum_capacity == outside.minimum_capacity == pytest.approx(54000 * BTU / 3600)
    assert inside.source.confirmed == "open data"
