"""Where a code asks for outdoor air that follows the people (demand-controlled ventilation)."""

from __future__ import annotations

from dataclasses import dataclass

from ventwright.quantity import AIRFLOW, AREA, read
from ventwright.tables.data_file import ROUNDING, read_facts
from ventwright.tables.energy_code import edition_named
from ventwright.tables.lookup import key, not_held
from ventwright.tables.rates import PEOPLE_PER_AREA
from ventwright.tables.source import Source, editions_of, source_for
from ventwright.words import measured

FILE = "demand_control.toml"


@dataclass(frozen=True, slots=True, kw_only=True)
class DemandControlRule:
    """When one edition asks for it.

    A space larger than ``minimum_area`` and at least as dense as ``minimum_density``, on a system with an
    air economizer, a modulating outdoor damper, or more design outdoor air than ``outdoor_airflow``.
    """

    code_edition: str
    minimum_area: float = measured(AREA)
    minimum_density: float = measured(PEOPLE_PER_AREA)
    outdoor_airflow: float = measured(AIRFLOW)
    exempt_below: float | None = measured(AIRFLOW)
    """Design outdoor airflow of the system below which the rule does not hold."""
    exempt_categories: tuple[str, ...]
    """Categories of the ventilation table, as ``ventilation.rate`` names them."""
    other_exceptions: tuple[str, ...]
    egress_density_counts: bool = False
    """A space is as dense as the building code makes it for the way out, where that is denser than its design."""
    source: Source

    def holds_for(
        self,
        *,
        floor_area: float,
        density: float,
        system_outdoor_airflow: float,
        air_economizer: bool,
        modulating_damper: bool,
        category: str = "",
    ) -> bool:
        """Say whether the rule holds for a space, ``other_exceptions`` set aside.

        Parameters
        ----------
        floor_area
            Of the space [m2].
        density
            Design people per floor area of the space [people/m2].
        system_outdoor_airflow
            Design outdoor airflow of the system [m3/s].
        category
            Category of the space, as ``ventilation.rate`` names it.
        """
        touched = air_economizer or modulating_damper or system_outdoor_airflow > self.outdoor_airflow
        small = self.exempts(system_outdoor_airflow)
        dense = density >= self.minimum_density * (1 - ROUNDING)
        return (
            touched
            and dense
            and floor_area > self.minimum_area * (1 + ROUNDING)
            and not small
            and not self.excepts(category)
        )

    def exempts(self, system_outdoor_airflow: float) -> bool:
        """Say whether a design outdoor airflow [m3/s] is too little for the rule to hold."""
        return self.exempt_below is not None and system_outdoor_airflow < self.exempt_below * (1 - ROUNDING)

    def excepts(self, category: str) -> bool:
        """Say whether a category of space is excepted by name."""
        return key(category) in {key(name) for name in self.exempt_categories}


def demand_control_rule(code_edition: str) -> DemandControlRule:
    """Return the rule of an edition such as "90.1-2019".

    Raises
    ------
    Refused
        No such edition, or none of its rules is held here.
    """
    edition = edition_named(code_edition)
    rules = read_facts(FILE)["rule"]
    for rule in rules:
        if placed := source_for(edition, rule["sources"]):
            return DemandControlRule(
                code_edition=edition,
                minimum_area=read(rule["minimum_area"], AREA).value,
                minimum_density=read(rule["minimum_density"], PEOPLE_PER_AREA).value,
                outdoor_airflow=read(rule["outdoor_airflow"], AIRFLOW).value,
                exempt_below=read(rule["exempt_below"], AIRFLOW).value if "exempt_below" in rule else None,
                exempt_categories=tuple(rule["exempt_categories"]),
                other_exceptions=tuple(rule["other_exceptions"]),
                egress_density_counts=rule.get("egress_density_counts", False),
                source=placed[0],
            )
    held = [held for rule in rules for row in rule["sources"] for held in editions_of(row)]
    raise not_held(edition, held, "rule for demand-controlled ventilation")
