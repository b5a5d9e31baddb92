"""Multiple-zone ventilation against reference results of a general-purpose simulation library.

Modelica Buildings Library (BSD-like licence), Buildings.Controls.OBC.ASHRAE.G36_PR1, reference results of
OutdoorAirFlow.Validation.OutdoorAirFlow (2020-03-15) and Validation.OutsideAirFlow (2019-07-18): outdoor air of
ASHRAE 62.1-2013, appendix A, single supply. Every space has 2.5e-3 m3/s per person and 3e-4 m3/s per m2.
"""

from __future__ import annotations

import pytest

from ventwright.tables import ventilation_efficiency as efficiency
from ventwright.tables import ventilation_procedure as procedure
from ventwright.tables.ventilation_procedure import Space

SINGLE_PRECISION = 1e-6
"""The reference results are stored in single precision."""


def _spaces(*people_and_area: tuple[float, float]) -> list[Space]:
    return [Space(people, area, 2.5e-3, 3e-4) for people, area in people_and_area]


def _intake(
    spaces: list[Space], least_primary: list[float], system_primary: float, people_at_once: float
) -> float:
    """Return the design intake by appendix A.

    Both models count more people at once than the zones hold together, so the diversity, above one, is
    worked out here and handed in.
    """
    diversity = people_at_once / sum(space.people for space in spaces)
    uncorrected = procedure.uncorrected_intake(diversity, spaces)
    average = efficiency.average_outdoor_air_fraction(uncorrected, system_primary)
    each = [
        efficiency.zone_efficiency_single_supply(
            average, efficiency.zone_primary_fraction(procedure.breathing_zone_airflow([space]), primary)
        )
        for space, primary in zip(spaces, least_primary, strict=True)
    ]
    return procedure.multiple_zone_intake(uncorrected, efficiency.system_efficiency(each))


def test_zone_terms() -> None:
    """Zone 1 (40 m2, 4 people, 0.08 m3/s) and zone 2 (35 m2, 4 people): terms and primary fractions."""
    first, second = _spaces((4, 40), (4, 35))
    assert first.people_term == pytest.approx(9.999999776482582e-3, rel=SINGLE_PRECISION)
    assert first.area_term == pytest.approx(1.200000010430813e-2, rel=SINGLE_PRECISION)
    assert second.area_term == pytest.approx(1.049999985843897e-2, rel=SINGLE_PRECISION)
    fractions = [
        efficiency.zone_primary_fraction(procedure.breathing_zone_airflow([space]), 0.08)
        for space in (first, second)
    ]
    assert fractions == pytest.approx([2.750000059604645e-1, 2.562499940395355e-1], rel=SINGLE_PRECISION)


def test_empty_zone_in_heating() -> None:
    """Zones 1 and 2 without people at effectiveness 0.8 (first points of the run): 0.015 and 0.013125 m3/s."""
    airflows = [
        procedure.zone_outdoor_airflow(procedure.breathing_zone_airflow([space]), 0.8)
        for space in _spaces((0, 40), (0, 35))
    ]
    assert airflows == pytest.approx([1.499999966472387e-2, 1.312499959021807e-2], rel=SINGLE_PRECISION)


def test_three_zones() -> None:
    """Design intake of the first model: its effective intake over its normalised one, first point of the run."""
    intake = _intake(_spaces((4, 40), (4, 35), (3, 30)), [0.08, 0.08, 0.06], 0.6, 12)
    assert intake == pytest.approx(2.989712730050087e-2 / 4.022743701934814e-1, rel=SINGLE_PRECISION)


def test_five_zones() -> None:
    """Uncorrected and design intake of the second model, five zones of 40 m2 with 0.05 people/m2."""
    spaces = _spaces(*[(2, 40)] * 5)
    assert procedure.uncorrected_intake(20 / 10, spaces) == pytest.approx(
        1.099999994039536e-1, rel=SINGLE_PRECISION
    )
    assert _intake(spaces, [0.08] * 5, 1.0, 20) == pytest.approx(1.225626766681671e-1, rel=SINGLE_PRECISION)
