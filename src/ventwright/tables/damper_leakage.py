"""How much an outdoor, exhaust or relief damper may leak, by climate zone and height of the building."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from ventwright.quantity import PRESSURE, read
from ventwright.tables.data_file import Sheet, read_sheet
from ventwright.tables.energy_code import edition_named
from ventwright.tables.lookup import not_held, unknown
from ventwright.tables.rates import AIRFLOW_PER_AREA
from ventwright.tables.source import Source, source_of
from ventwright.words import measured


@dataclass(frozen=True, slots=True, kw_only=True)
class DamperLeakage:
    """Most a damper may leak for its area at the test pressure; None where no gravity damper is allowed."""

    intake_gravity: float | None = measured(AIRFLOW_PER_AREA)
    intake_motorized: float = measured(AIRFLOW_PER_AREA)
    relief_gravity: float | None = measured(AIRFLOW_PER_AREA)
    relief_motorized: float = measured(AIRFLOW_PER_AREA)
    test_pressure: float = measured(PRESSURE)
    source: Source


def damper_leakage(code_edition: str, climate_zone: str, storeys: int) -> DamperLeakage:
    """Return the leakage limits of an edition of ASHRAE 90.1 (the IECC's single limit is a clause).

    Parameters
    ----------
    code_edition
        Such as "90.1-2019".
    climate_zone
        Such as "5A".
    storeys
        Of the building, above grade.

    Raises
    ------
    Refused
        Unknown edition or climate zone, or an edition whose table is not held here.
    """
    sheet = _sheet()
    edition = edition_named(code_edition)
    held = [f"90.1-{year}" for year in sheet.head["edition"].split()]
    if edition not in held:
        raise not_held(edition, held, "table of damper leakage")
    height = "below 3" if storeys < 3 else "3 or more"
    wanted = climate_zone.strip().upper()
    for row in sheet.rows:
        if wanted in row["zones"].split() and row["storeys"] in {"any", height}:
            factor = sheet.unit("intake motorized", AIRFLOW_PER_AREA).factor
            gravity = {
                column: None if row[column] == "not allowed" else float(row[column]) * factor
                for column in ("intake gravity", "relief gravity")
            }
            return DamperLeakage(
                intake_gravity=gravity["intake gravity"],
                intake_motorized=float(row["intake motorized"]) * factor,
                relief_gravity=gravity["relief gravity"],
                relief_motorized=float(row["relief motorized"]) * factor,
                test_pressure=read(sheet.head["test_pressure"], PRESSURE).value,
                source=source_of({"edition": edition.rpartition("-")[2]}, sheet.head),
            )
    zones = sorted({zone for row in sheet.rows for zone in row["zones"].split()})
    raise unknown(climate_zone, zones, "climate zone of this table")


@cache
def _sheet() -> Sheet:
    return read_sheet("damper_leakage.csv")
