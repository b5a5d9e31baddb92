"""High-limit settings against ASHRAE Guideline 36, 5.1.17, as an open simulation library restates it.

The table there (fixed dry bulb by zone, where differential dry bulb is allowed, enthalpy with dry bulb) repeats
ASHRAE 90.1-2013 Table 6.5.1.1.3; zones 4C and 5B also stand in Washington State Administrative Code
51-11C-40333 (IECC-based). This is another source than the open data set that the tables come from.
"""

from __future__ import annotations

import json
from typing import Any, Final

import pytest

from ventwright.quantity import ENTHALPY, TEMPERATURE_DIFFERENCE, read
from ventwright.tables import energy_code
from ventwright.tables.energy_code import HighLimit
from ventwright.tables.prior import usual

PUBLISHED: Final[dict[str, Any]] = json.loads("""
{"fixed_dry_bulb_F": {"0A": 65, "1A": 65, "2A": 65, "3A": 65, "4A": 65, "5A": 70, "6A": 70,
  "0B": 75, "1B": 75, "2B": 75, "3B": 75, "3C": 75, "4B": 75, "4C": 75, "5B": 75, "5C": 75, "6B": 75, "7": 75, "8": 75},
 "differential_dry_bulb": ["0B", "1B", "2B", "3B", "3C", "4B", "4C", "5A", "5B", "5C", "6A", "6B", "7", "8"],
 "fixed_enthalpy_and_dry_bulb": {"Btu_lb": 28, "F": 75},
 "differential_enthalpy_and_dry_bulb": {"F": 75}}
""")

EDITIONS: Final = [
    *("90.1-2013", "90.1-2016", "90.1-2019", "90.1-2022", "IECC-2015", "IECC-2018", "IECC-2021"),
]
ZONES: Final = list(PUBLISHED["fixed_dry_bulb_F"])


def _limits(edition: str, zone: str) -> dict[str, HighLimit]:
    return {limit.control: limit for limit in energy_code.high_limits(edition, zone)}


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("zone", ZONES)
def test_fixed_and_differential_dry_bulb(edition: str, zone: str) -> None:
    """Setting of the fixed dry bulb; differential dry bulb only where it is listed, disputed rows included."""
    limits = _limits(edition, zone)
    fixed, differential = limits["fixed dry bulb"], limits["differential dry bulb"]
    assert fixed.allowed
    assert fixed.dry_bulb is not None
    assert fixed.dry_bulb * 1.8 + 32 == pytest.approx(PUBLISHED["fixed_dry_bulb_F"][zone])
    assert differential.allowed == (zone in PUBLISHED["differential_dry_bulb"])
    assert differential.compared_with_return == "dry bulb"


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("zone", ZONES)
def test_enthalpy_with_dry_bulb(edition: str, zone: str) -> None:
    """Both kinds are allowed in every zone, 28 Btu/lb or return enthalpy, and 75 °F with either."""
    limits = _limits(edition, zone)
    fixed, differential = limits["fixed enthalpy and dry bulb"], limits["differential enthalpy and dry bulb"]
    printed = PUBLISHED["fixed_enthalpy_and_dry_bulb"]
    assert fixed.allowed
    assert differential.allowed
    assert fixed.enthalpy == read(f"{printed['Btu_lb']} Btu/lb", ENTHALPY).value
    for limit in (fixed, differential):
        assert limit.dry_bulb is not None
        assert limit.dry_bulb * 1.8 + 32 == pytest.approx(printed["F"])
    assert fixed.compared_with_return == ""
    assert differential.compared_with_return == "enthalpy"


def test_the_default_hysteresis() -> None:
    """1 K between on and off of the dry-bulb limit: default of the economizer's enable block in the same library."""
    assert usual("high_limit_differential", TEMPERATURE_DIFFERENCE).value == pytest.approx(1.0)


def test_28_btu_per_pound_in_si() -> None:
    """28 Btu/lb is 47.3 kJ/kg on the datum 0 °C (the SI edition prints 47, from memory), not 65 or 66."""
    limit = _limits("90.1-2019", "5A")["fixed enthalpy and dry bulb"].enthalpy
    assert limit is not None
    assert limit / 1e3 == pytest.approx(47.3, abs=0.1)


def test_the_state_behind_the_enthalpy_limit() -> None:
    """75 °F and 50 % relative humidity (note to the table, from memory), so that a high site can work out its own."""
    state = _limits("IECC-2021", "5B")["fixed enthalpy and dry bulb"].enthalpy_state
    assert state is not None
    assert state.dry_bulb * 1.8 + 32 == pytest.approx(75)
    assert state.relative_humidity == pytest.approx(0.50)
    assert state.source.doubt.startswith("from memory, check before relying on it")


@pytest.mark.parametrize("edition", ["90.1-2019", "90.1-2022", "90.1-2025"])
def test_a_disputed_row_says_so(edition: str) -> None:
    """Differential dry bulb in humid zones: two national laboratories disagree, so it is not allowed, and why is told."""
    limit = _limits(edition, "3A")["differential dry bulb"]
    assert not limit.allowed
    assert limit.source.doubt.startswith("disputed: the open data set allows it here")


def test_2010_allows_no_dry_bulb_in_humid_zones() -> None:
    """90.1-2010 forbids fixed and differential dry bulb in 2A and lists 28 Btu/lb, 55 °F dew point with 75 °F.

    Source: Tables 6.5.1.1.3A and B, as restated in the documentation of a national laboratory's stock model.
    """
    limits = _limits("90.1-2010", "2A")
    assert not limits["fixed dry bulb"].allowed
    assert not limits["differential dry bulb"].allowed
    assert limits["fixed enthalpy"].enthalpy == read("28 Btu/lb", ENTHALPY).value
    dew_point = limits["dew point and dry bulb"]
    assert (dew_point.dew_point, dew_point.dry_bulb) == pytest.approx(((55 - 32) / 1.8, (75 - 32) / 1.8))
