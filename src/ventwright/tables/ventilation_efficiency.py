"""System ventilation efficiency of ASHRAE 62.1: how much of its outdoor air a multiple-zone system puts to use.

Three ways: simplified from occupant diversity (2019 and later), the older table, and appendix A. The
coefficients an edition prints are looked up in ``tables.ventilation`` and handed in.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ventwright.errors import Refusal, Refused
from ventwright.tables.ventilation_procedure import above_zero, impossible

if TYPE_CHECKING:
    from collections.abc import Sequence

    from ventwright.tables.ventilation import SimplifiedEfficiency, ZoneTable


def efficiency_from_diversity(diversity: float, printed: SimplifiedEfficiency) -> float:
    """Return the simplified system ventilation efficiency.

    Holds only where every zone's least primary airflow is at least ``least_primary_airflow``.

    Parameters
    ----------
    diversity
        Occupant diversity D [fraction].
    printed
        Coefficients of the edition, from ``ventilation.simplified_efficiency``.

    References
    ----------
    ASHRAE 62.1-2022, 6.2.4.3 (secondary).
    """
    if diversity < printed.below:
        return printed.slope * diversity + printed.constant
    return printed.otherwise


def least_primary_airflow(zone_outdoor: float, printed: SimplifiedEfficiency) -> float:
    """Return the least primary airflow [m3/s] a zone needs for the simplified efficiency to hold.

    References
    ----------
    ASHRAE 62.1-2022, 6.2.4.3 (secondary).
    """
    return printed.least_primary_to_zone_outdoor_air * zone_outdoor


def efficiency_from_zone_table(largest_fraction: float, printed: ZoneTable) -> float:
    """Return the system ventilation efficiency from the older table.

    Parameters
    ----------
    largest_fraction
        Largest zone primary outdoor-air fraction Zp = Voz / Vpz of the system.
    printed
        Table of the edition, from ``ventilation.zone_table``.

    Raises
    ------
    Refused
        The fraction is beyond the table, where appendix A has to be used.

    References
    ----------
    ASHRAE 62.1-2016, Table 6.2.5.2 (from memory).
    """
    for at_most, efficiency in printed.rows:
        if largest_fraction <= at_most + 1e-12:
            return efficiency
    most = printed.rows[-1][0]
    raise Refused(
        impossible(
            "largest zone primary outdoor-air fraction",
            largest_fraction,
            f"at most {most:g}; beyond it use appendix A",
        )
    )


def zone_primary_fraction(zone_outdoor: float, zone_primary: float) -> float:
    """Return the zone primary outdoor-air fraction Zpz = Voz / Vpz.

    Parameters
    ----------
    zone_outdoor
        Voz [m3/s].
    zone_primary
        Vpz [m3/s]; with variable airflow the least expected.

    References
    ----------
    ASHRAE 62.1-2022, appendix A.
    """
    return zone_outdoor / above_zero("zone primary airflow", zone_primary)


def average_outdoor_air_fraction(uncorrected: float, system_primary: float) -> float:
    """Return the average outdoor-air fraction of the system, Xs = Vou / Vps.

    Parameters
    ----------
    uncorrected
        Vou [m3/s].
    system_primary
        Vps, primary airflow of the system [m3/s].

    References
    ----------
    ASHRAE 62.1-2022, appendix A, eq. A-1.
    """
    return uncorrected / above_zero("system primary airflow", system_primary)


def zone_efficiency_single_supply(average_fraction: float, primary_fraction: float) -> float:
    """Return the zone ventilation efficiency where all supply air comes from the unit: 1 + Xs - Zpz.

    References
    ----------
    ASHRAE 62.1-2022, appendix A, eq. A-2.
    """
    return 1 + average_fraction - primary_fraction


def system_efficiency(zone_efficiencies: Sequence[float]) -> float:
    """Return the system ventilation efficiency: that of the worst zone.

    Raises
    ------
    Refused
        No zones, or one that cannot be ventilated with the airflow it gets.

    References
    ----------
    ASHRAE 62.1-2022, appendix A.
    """
    if not zone_efficiencies:
        raise Refused(Refusal("needs at least one zone", "the efficiency of every zone", "zones"))
    return above_zero("system ventilation efficiency", min(zone_efficiencies))
