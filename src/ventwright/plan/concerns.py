"""What does not fit together: settings against the kit's ranges, against the code and against one another."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from ventwright.plan.high_limit import HighLimitPlan
from ventwright.plan.settings import Setting
from ventwright.quantity import TEMPERATURE, TEMPERATURE_DIFFERENCE
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


def concerns(planned: Sequence[Setting], kit: Kit, limit: HighLimitPlan) -> tuple[Concern, ...]:
    """Hold the settings against the kit's ranges, against the code and against one another."""
    by = {(setting.means, setting.fan): setting for setting in planned}
    return (*_ranges(planned), *_temperatures(by, limit), *_openings(by), *_kit_fits(kit, limit))


Planned = dict[tuple[Term, Fan | None], Setting]


def _ranges(planned: Sequence[Setting]) -> list[Concern]:
    return [
        Concern("settings.out_of_range", Weight.CONFLICT, words(
            "{label} should be {value}, and the kit takes {least} to {most}: it cannot be set as planned",
            label=Words(setting.label), value=setting.value, least=setting.least, most=setting.most))
        for setting in planned if not setting.in_range
    ]  # fmt: skip


def _temperatures(by: Planned, limit: HighLimitPlan) -> list[Concern]:
    found = []
    lockout, high = by.get((Term.COMPRESSOR_LOCKOUT, None)), by.get((Term.DRY_BULB_HIGH_LIMIT, None))
    mixed, low = by.get((Term.MIXED_AIR_SET_POINT, None)), by.get((Term.MIXED_AIR_LOW_LIMIT, None))
    gap = by.get((Term.HIGH_LIMIT_DIFFERENTIAL, None))
    room = prior.usual("gap_below_set_point", TEMPERATURE_DIFFERENCE).value
    freeze = prior.usual("freeze_protection", TEMPERATURE).value
    least_gap = prior.usual("high_limit_differential", TEMPERATURE_DIFFERENCE).value
    if lockout and high and lockout.si >= high.si:
        found.append(
            Concern(
                "settings.lockout_above_high_limit",
                Weight.CONFLICT,
                words(
                    "the compressor is locked out below {lockout} and free cooling ends above {high}: in between nothing cools",
                    lockout=lockout.value,
                    high=high.value,
                ),
            )
        )
    if mixed and low and low.si > mixed.si - room:
        found.append(
            Concern(
                "settings.low_limit_near_set_point",
                Weight.CONFLICT,
                words(
                    "mixed air is held at {mixed} and cut off below {low}: leave at least {gap} between them",
                    mixed=mixed.value,
                    low=low.value,
                    gap=Amount(room, TEMPERATURE_DIFFERENCE),
                ),
            )
        )
    if low and low.si < freeze - 1e-9:
        found.append(
            Concern(
                "settings.low_limit_below_freeze_protection",
                Weight.CONFLICT,
                words(
                    "mixed air may fall to {low}, below the {freeze} at which freeze protection should act",
                    low=low.value,
                    freeze=Amount(freeze, TEMPERATURE),
                ),
            )
        )
    if mixed and high and mixed.si >= high.si:
        found.append(
            Concern(
                "settings.set_point_above_high_limit",
                Weight.CONFLICT,
                words(
                    "mixed air is held at {mixed}, not below the high limit of {high}: free cooling would never modulate",
                    mixed=mixed.value,
                    high=high.value,
                ),
            )
        )
    if gap and gap.si < least_gap - 1e-9:
        found.append(
            Concern(
                "settings.differential_small",
                Weight.ADVICE,
                words("a differential of {gap} lets the damper chatter at the limit", gap=gap.value),
            )
        )
    if high and limit.dry_bulb is not None and high.si > limit.dry_bulb + 1e-6:
        found.append(
            Concern(
                "settings.high_limit_above_code",
                Weight.CONFLICT,
                words(
                    "free cooling would run up to {high}; the code ends it at {code}",
                    high=high.value,
                    code=Amount(limit.dry_bulb, TEMPERATURE),
                ),
            )
        )
    if high and limit.dry_bulb is not None and high.si < limit.dry_bulb - 0.6:
        found.append(
            Concern(
                "settings.high_limit_below_code",
                Weight.ADVICE,
                words(
                    "free cooling ends at {high}, although the code lets it run to {code}: hours of it are given away",
                    high=high.value,
                    code=Amount(limit.dry_bulb, TEMPERATURE),
                ),
            )
        )
    return found  # fmt: skip


def _openings(by: Planned) -> list[Concern]:
    found = []
    fast, slow = (
        by.get((Term.MINIMUM_DAMPER_SIGNAL, "fastest")),
        by.get((Term.MINIMUM_DAMPER_SIGNAL, "slowest")),
    )
    relief = by.get((Term.RELIEF_START, None))
    if fast and slow and slow.si < fast.si:
        found.append(
            Concern(
                "settings.low_speed_smaller_opening",
                Weight.CONFLICT,
                words(
                    "the slow fan has {slow} and the fast fan {fast}: the slow fan needs the larger opening, or the spaces starve",
                    slow=slow.value,
                    fast=fast.value,
                ),
            )
        )
    largest = max(
        (setting for setting in (fast, slow) if setting), key=lambda setting: setting.si, default=None
    )
    if relief and largest and relief.si <= largest.si:
        found.append(
            Concern(
                "settings.relief_below_minimum",
                Weight.ADVICE,
                words(
                    "relief starts at {relief}, and the damper stands at {minimum} at its minimum: relief would run all day",
                    relief=relief.value,
                    minimum=largest.value,
                ),
            )
        )
    return found  # fmt: skip


def _kit_fits(kit: Kit, limit: HighLimitPlan) -> list[Concern]:
    if limit.allowed is not False:
        return []
    return [Concern("settings.control_not_allowed", Weight.CONFLICT, words(
        "the kit decides by {control}, which {source} does not allow in this climate zone",
        control=Words(kit.high_limit_control), source=Words(limit.source_text)))]  # fmt: skip
