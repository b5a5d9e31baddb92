"""The high limit: what this edition allows in this climate zone, and the setting for this kit's control."""

from __future__ import annotations

from dataclasses import dataclass, field

from ventwright.errors import Refused
from ventwright.physics import air
from ventwright.physics.moist_air import STANDARD_PRESSURE
from ventwright.plan.basis import Basis
from ventwright.quantity import ENTHALPY, TEMPERATURE, TEMPERATURE_DIFFERENCE
from ventwright.tables import energy_code
from ventwright.tables.energy_code import HighLimit
from ventwright.tables.kit import Kit
from ventwright.words import Amount, Words, measured, words


@dataclass(frozen=True, slots=True)
class Allowed:
    """One control, whether it may be used here, and its limits."""

    control: str
    allowed: bool
    dry_bulb: float | None = measured(TEMPERATURE)
    enthalpy: float | None = measured(ENTHALPY)
    dew_point: float | None = measured(TEMPERATURE)
    source: str = ""
    doubt: str = ""
    below_return: float = measured(TEMPERATURE_DIFFERENCE, default=0.0)
    """By how much outdoor air has to be cooler than return air."""


@dataclass(frozen=True, slots=True)
class HighLimitPlan:
    """The limit for this kit. ``allowed`` is None where the climate zone or the edition is not known."""

    control: str
    allowed: bool | None
    dry_bulb: float | None = measured(TEMPERATURE)
    enthalpy: float | None = measured(ENTHALPY)
    reason: Words = field(default_factory=lambda: Words(""))
    source_text: str = ""
    confirmed: str = ""
    doubt: str = ""
    alternatives: tuple[Allowed, ...] = ()
    below_return: float = measured(TEMPERATURE_DIFFERENCE, default=0.0)


def plan_high_limit(basis: Basis, kit: Kit) -> HighLimitPlan:
    """Look up the limit for the kit's control.

    Raises
    ------
    Refused
        The edition is not known.
    """
    edition = energy_code.edition_named(basis.energy_code, "facts.site.energy_code")
    if basis.climate_zone is None:
        reason = Words("no climate zone is known, so the kit's own default stands until it is")
        return HighLimitPlan(kit.high_limit_control, None, None, None, reason, edition)
    try:
        rows = energy_code.high_limits(edition, basis.climate_zone)
    except Refused:
        reason = Words(
            f"no high limits of {edition} are held here, so the kit's own default stands; read the code"
        )
        return HighLimitPlan(kit.high_limit_control, None, None, None, reason, edition)
    others = tuple(_allowed(row, basis) for row in rows)
    row = next(row for row in rows if row.control == kit.high_limit_control)
    return HighLimitPlan(
        control=row.control,
        allowed=row.allowed,
        dry_bulb=row.dry_bulb,
        enthalpy=_enthalpy(row, basis),
        reason=_reason(row, basis),
        source_text=str(row.source),
        confirmed=row.source.confirmed,
        doubt=row.source.doubt,
        alternatives=others,
        below_return=row.below_return,
    )


def _allowed(row: HighLimit, basis: Basis) -> Allowed:
    return Allowed(
        row.control,
        row.allowed,
        row.dry_bulb,
        _enthalpy(row, basis),
        row.dew_point,
        str(row.source),
        row.source.doubt,
        row.below_return,
    )


def _enthalpy(row: HighLimit, basis: Basis) -> float | None:
    """The enthalpy limit at the site: away from sea level, that of the state behind it at site pressure."""
    if row.enthalpy is None or row.enthalpy_state is None or abs(basis.pressure - STANDARD_PRESSURE) < 1.0:
        return row.enthalpy
    behind = row.enthalpy_state
    return air.state(
        behind.dry_bulb, relative_humidity=behind.relative_humidity, pressure=basis.pressure
    ).enthalpy


def _reason(row: HighLimit, basis: Basis) -> Words:
    zone = Words(basis.climate_zone or "")
    if not row.allowed:
        return words(
            "{control} control is not allowed in climate zone {zone}", control=Words(row.control), zone=zone
        )
    if row.below_return > 0.0:
        return words(
            "outdoor air has to be {margin} cooler than return air in climate zone {zone}",
            margin=Amount(row.below_return, TEMPERATURE_DIFFERENCE),
            zone=zone,
        )
    if row.dry_bulb is None:
        return words("outdoor air is compared with return air in climate zone {zone}", zone=zone)
    return words(
        "warmer outdoor air no longer helps: {limit} in climate zone {zone}",
        limit=Amount(row.dry_bulb, TEMPERATURE),
        zone=zone,
    )
