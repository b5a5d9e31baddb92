"""What does not fit together: settings against the kit's ranges, against the code and against one another."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum

from ventwright.plan.basis import TON, Basis
from ventwright.plan.high_limit import HighLimitPlan
from ventwright.plan.settings import Setting, compressor_lockout
from ventwright.quantity import AIRFLOW, ENTHALPY, HEAT_RATE, TEMPERATURE, TEMPERATURE_DIFFERENCE
from ventwright.tables import prior
from ventwright.tables.kit import Fan, Kit, Term
from ventwright.words import Amount, Words, words


class Weight(StrEnum):
    """How serious a disagreement between facts and settings is."""

    CONFLICT = "conflict"
    ADVICE = "advice"


@dataclass(frozen=True, slots=True)
class Concern:
    """Something in the plan that does not fit: a stable name, how serious, and what to do."""

    name: str
    weight: Weight
    sentence: Words


BEYOND_CODE = {
    "settings.control_not_allowed", "settings.high_limit_above_code", "settings.enthalpy_limit_above_code",
    "settings.differential_below_code",
}  # fmt: skip
"""Concerns that the code's table of high limits does not allow."""


def concerns(
    planned: Sequence[Setting], kit: Kit, limit: HighLimitPlan, basis: Basis | None = None
) -> tuple[Concern, ...]:
    """Hold the settings against the kit's ranges, against the code and against one another, and the kit against the unit."""
    by = {(setting.means, setting.fan): setting for setting in planned}
    return (
        *_ranges(planned),
        *_temperatures(by),
        *_limits(by, limit),
        *_openings(by),
        *_differential(by, limit),
        *(_lockout(by, basis) if basis else ()),
        *_kit_fits(kit, limit),
        *(kit_for_unit(kit, basis) if basis else ()),
        *(_airflow_fits(basis) if basis else ()),
    )


Planned = dict[tuple[Term, Fan | None], Setting]


def _conflict(name: str, text: str, **amounts: Amount | Words) -> Concern:
    return Concern(name, Weight.CONFLICT, words(text, **amounts))


def _advice(name: str, text: str, **amounts: Amount | Words) -> Concern:
    return Concern(name, Weight.ADVICE, words(text, **amounts))


def _ranges(planned: Sequence[Setting]) -> Iterator[Concern]:
    for setting in planned:
        if not setting.in_range:
            yield _conflict(
                "settings.out_of_range", "{label} should be {value}, and the kit takes {least} to {most}: it cannot be set as planned",
                label=Words(setting.label), value=setting.value, least=setting.least, most=setting.most,
            )  # fmt: skip


def _temperatures(by: Planned) -> Iterator[Concern]:
    """Hold the temperatures against one another, and against what freeze protection and chattering ask."""
    lockout, high = by.get((Term.COMPRESSOR_LOCKOUT, None)), by.get((Term.DRY_BULB_HIGH_LIMIT, None))
    mixed, low = by.get((Term.MIXED_AIR_SET_POINT, None)), by.get((Term.MIXED_AIR_LOW_LIMIT, None))
    gap = by.get((Term.HIGH_LIMIT_DIFFERENTIAL, None))
    room = prior.usual("gap_below_set_point", TEMPERATURE_DIFFERENCE).value
    freeze = prior.usual("freeze_protection", TEMPERATURE).value
    least_gap = prior.usual("high_limit_differential", TEMPERATURE_DIFFERENCE).value
    if lockout and high and lockout.si >= high.si:
        yield _conflict(
            "settings.lockout_above_high_limit",
            "the compressor is locked out below {lockout} and free cooling ends above {high}: in between nothing cools",
            lockout=lockout.value, high=high.value,
        )  # fmt: skip
    if mixed and low and low.si > mixed.si - room:
        yield _conflict(
            "settings.low_limit_near_set_point",
            "mixed air is held at {mixed} and cut off below {low}: leave at least {gap} between them",
            mixed=mixed.value, low=low.value, gap=Amount(room, TEMPERATURE_DIFFERENCE),
        )  # fmt: skip
    if low and low.si < freeze - 1e-9:
        yield _conflict(
            "settings.low_limit_below_freeze_protection",
            "mixed air may fall to {low}, below the {freeze} at which freeze protection should act",
            low=low.value, freeze=Amount(freeze, TEMPERATURE),
        )  # fmt: skip
    if mixed and high and mixed.si >= high.si:
        yield _conflict(
            "settings.set_point_above_high_limit",
            "mixed air is held at {mixed}, not below the high limit of {high}: free cooling would never modulate",
            mixed=mixed.value, high=high.value,
        )  # fmt: skip
    if gap and gap.si < least_gap - 1e-9:
        yield _advice(
            "settings.differential_small",
            "a differential of {gap} lets the damper chatter at the limit",
            gap=gap.value,
        )


def _limits(by: Planned, limit: HighLimitPlan) -> Iterator[Concern]:
    """Hold the high limits against the code's."""
    high, enthalpy = by.get((Term.DRY_BULB_HIGH_LIMIT, None)), by.get((Term.ENTHALPY_HIGH_LIMIT, None))
    if high and limit.dry_bulb is not None and high.si > limit.dry_bulb + 1e-6:
        yield _conflict(
            "settings.high_limit_above_code", "free cooling would run up to {high}; the code ends it at {code}",
            high=high.value, code=Amount(limit.dry_bulb, TEMPERATURE),
        )  # fmt: skip
    if high and limit.dry_bulb is not None and high.si < limit.dry_bulb - 1.0:
        yield _advice(
            "settings.high_limit_below_code",
            "free cooling ends at {high}, although the code lets it run to {code}: hours of it are given away",
            high=high.value, code=Amount(limit.dry_bulb, TEMPERATURE),
        )  # fmt: skip
    if enthalpy and limit.enthalpy is not None and enthalpy.si > limit.enthalpy + 1.0:
        yield _conflict(
            "settings.enthalpy_limit_above_code", "free cooling would run up to {set}; the code ends it at {code}",
            set=enthalpy.value, code=Amount(limit.enthalpy, ENTHALPY),
        )  # fmt: skip


def _differential(by: Planned, limit: HighLimitPlan) -> Iterator[Concern]:
    gap = by.get((Term.RETURN_DIFFERENTIAL, None))
    if gap is not None and gap.si < limit.below_return - 1e-6:
        yield _conflict(
            "settings.differential_below_code",
            "free cooling would run until outdoor air is {gap} cooler than return air; the code ends it at {code}",
            gap=gap.value, code=Amount(limit.below_return, TEMPERATURE_DIFFERENCE),
        )  # fmt: skip


def _lockout(by: Planned, basis: Basis) -> Iterator[Concern]:
    """A compressor that starts in colder air than it can bear is slugged with liquid."""
    lockout, own = by.get((Term.COMPRESSOR_LOCKOUT, None)), compressor_lockout(basis)
    if lockout is None or lockout.si >= own.value - 1e-6:
        return
    least = Amount(own.value, TEMPERATURE)
    if own.guess:
        yield _advice(
            "settings.lockout_below_usual",
            "the compressor may start in air of {lockout}, colder than the careful {least}: read the nameplate first, it can be wrecked",
            lockout=lockout.value, least=least,
        )  # fmt: skip
    else:
        yield _conflict(
            "settings.lockout_below_unit",
            "the compressor may start in air of {lockout}, and the unit cools mechanically down to {least} only: it can be wrecked",
            lockout=lockout.value, least=least,
        )  # fmt: skip


def _openings(by: Planned) -> Iterator[Concern]:
    fast = by.get((Term.MINIMUM_DAMPER_SIGNAL, "fastest"))
    slow = by.get((Term.MINIMUM_DAMPER_SIGNAL, "slowest"))
    relief = by.get((Term.RELIEF_START, None))
    if fast and slow and slow.si < fast.si:
        yield _conflict(
            "settings.low_speed_smaller_opening",
            "the slow fan has {slow} and the fast fan {fast}: the slow fan needs the larger opening, or the spaces starve",
            slow=slow.value, fast=fast.value,
        )  # fmt: skip
    largest = max(
        (setting for setting in (fast, slow) if setting), key=lambda setting: setting.si, default=None
    )
    if relief and largest and relief.si <= largest.si:
        yield _advice(
            "settings.relief_below_minimum",
            "relief starts at {relief}, and the damper stands at {minimum} at its minimum: relief would run all day",
            relief=relief.value, minimum=largest.value,
        )  # fmt: skip
    fans: tuple[Fan | None, ...] = ("fastest", "slowest", None)
    for fan in fans:
        low = by.get((Term.LOW_OCCUPANCY_DAMPER_SIGNAL, fan))
        design = by.get((Term.MINIMUM_DAMPER_SIGNAL, fan))
        if low and design and low.si > design.si + 1e-9:
            yield _conflict(
                "settings.low_occupancy_above_design",
                "the damper would open wider for an empty house ({low}) than for a full one ({design})",
                low=low.value, design=design.value,
            )  # fmt: skip


def airflow_met(basis: Basis) -> tuple[float, float] | None:
    """Return the supply airflows that units of this cooling capacity are met with; None where it is not known. [m3/s]"""
    if basis.cooling_capacity is None:
        return None
    met, tons = prior.usual("air_per_ton_met", AIRFLOW), basis.cooling_capacity / TON
    return met.low * tons, met.high * tons


def _airflow_fits(basis: Basis) -> Iterator[Concern]:
    """Ask again where a unit is given far more air, or far less, than its cooling goes with; it may still be right."""
    met, fastest = airflow_met(basis), next(iter(basis.speeds), None)
    if met is None or fastest is None or fastest.guess or met[0] <= fastest.supply_air <= met[1]:
        return
    yield _advice(
        "unit.supply_air_for_capacity",
        "{speed} speed is given as {flow}, and units of {capacity} are met with {low} to {high}: is a digit or a unit wrong, "
        "or the capacity? Every share of outdoor air hangs on it",
        speed=Words(fastest.name), flow=Amount(fastest.supply_air, AIRFLOW), capacity=Amount(basis.cooling_capacity or 0.0, HEAT_RATE),
        low=Amount(met[0], AIRFLOW), high=Amount(met[1], AIRFLOW),
    )  # fmt: skip


def _kit_fits(kit: Kit, limit: HighLimitPlan) -> Iterator[Concern]:
    if limit.allowed is False:
        yield _conflict(
            "settings.control_not_allowed", "the kit decides by {control}, which {source} does not allow in this climate zone",
            control=Words(kit.high_limit_control), source=Words(limit.source_text),
        )  # fmt: skip


def kit_for_unit(kit: Kit, basis: Basis) -> list[Concern]:
    """Hold the kit against the kind of unit it is for, and the unit's fan against the speeds the kit can tell apart."""
    found = []
    if kit.heating and basis.heating is not None and basis.heating not in kit.heating:
        found.append(Concern("kit.not_for_this_heating", Weight.CONFLICT, Words(
            f"the kit is for units with {' or '.join(kit.heating)}, and this one has {basis.heating}: "
            "it would not see what the unit is doing")))  # fmt: skip
    if kit.fan_speeds < len(basis.speeds) and not kit.variable_fan:
        found.append(Concern("kit.too_few_fan_speeds", Weight.ADVICE, Words(
            f"the unit has {len(basis.speeds)} fan speeds, and the kit tells {kit.fan_speeds} apart: one opening has to do "
            "for several, so the fast fan brings in more outdoor air than is needed")))  # fmt: skip
    return found
