"""What is wrong with a result, or has to be said beside it: beyond published yardsticks, short of air, below nothing."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from ventwright.plan.basis import TON
from ventwright.quantity import ENERGY, FRACTION
from ventwright.tables import savings_prior
from ventwright.verdict.savings.figures import StrategyOutcome
from ventwright.verdict.savings.outcomes import LEFT, NONE
from ventwright.verdict.savings.strategy import Kind
from ventwright.words import Amount, Words, words

SOME_COOLING = 0.02
"""Share of the hours from which it is said that the unit cannot meet its load (our own assumption). [-]"""

WARM = 40.0
"""Hours without enough cooling, over the unit as it is left, from which it is said (our own choice). [h]"""


@dataclass(frozen=True, slots=True)
class Flag:
    """Something that has to be looked at before anybody relies on a figure."""

    name: str
    strategy: str
    sentence: Words


def flags(
    found: Sequence[StrategyOutcome], climate_zone: str | None, capacity: float, hours: float
) -> tuple[Flag, ...]:
    """Hold results against yardsticks.

    Parameters
    ----------
    found
        The year without free cooling first, the unit as left second.
    climate_zone
        Where the unit stands.
    capacity
        Of the unit. [W]
    hours
        In which it runs. [h]
    """
    base = found[NONE]
    return tuple(
        flag
        for one in found[LEFT:]
        if one.kind in {Kind.AS_LEFT, Kind.AS_FOUND, Kind.ALLOWED}
        for flag in _of(one, base, climate_zone, capacity)
    ) + tuple(_cooling_short(base, hours))


def _of(
    one: StrategyOutcome, base: StrategyOutcome, climate_zone: str | None, capacity: float
) -> Iterator[Flag]:
    guard, share = savings_prior.guard(), saved_share(one, base)
    most = guard.share_on_the_coast if savings_prior.on_the_coast(climate_zone) else guard.share
    each = one.saved.middle * TON / capacity
    name = Words(one.name)
    if share > most:
        yield Flag("savings.above_yardstick", one.name, words(
            "{name} saves {share} of the cooling, and more than {most} is not published for such a place: look at balance point and load first",
            name=name, share=Amount(share, FRACTION), most=Amount(most, FRACTION)))  # fmt: skip
    if each > guard.per_ton:
        yield Flag("savings.above_yardstick_per_ton", one.name, words(
            "{name} saves {each} a ton in a year, and the highest published is {most}: look at balance point and open hours first",
            name=name, each=Amount(each, ENERGY), most=Amount(guard.per_ton, ENERGY)))  # fmt: skip
    if one.saved.middle < 0.0:
        yield Flag("savings.below_nothing", one.name, words(
            "{name} uses {more} more than no economizer at all: outdoor air is let in that costs more than it saves",
            name=name, more=Amount(-one.saved.middle, ENERGY)))  # fmt: skip


def saved_share(one: StrategyOutcome, base: StrategyOutcome) -> float:
    """What a strategy saves, as a share of what compressors take without free cooling. [-]"""
    return one.saved.middle / base.year.cooling if base.year.cooling > 0.0 else 0.0


def _cooling_short(base: StrategyOutcome, hours: float) -> Iterator[Flag]:
    short = base.year.short_of_cooling_h
    if short > SOME_COOLING * hours:
        yield Flag("savings.load_not_met", base.name, Words(
            f"in {short:.0f} hours of the year the load is more than the unit can take, or the compressor is locked out: the load may be set too high"
        ))  # fmt: skip


def looks_cheap(faults: Sequence[StrategyOutcome], left: StrategyOutcome) -> tuple[str, ...]:
    """Name faults that keep outdoor air from people and may take less energy for it: nothing to be glad of.

    Parameters
    ----------
    faults
        As they were reckoned.
    left
        The unit as it is left.
    """
    return tuple(
        one.name
        for one in faults
        if one.year.short_of_air_h > left.year.short_of_air_h
        and (one.over.low < 0.0 or one.heating_over.low < 0.0)
    )


def leaves_warm(faults: Sequence[StrategyOutcome], left: StrategyOutcome) -> tuple[str, ...]:
    """Name faults that leave the space warm for many hours, which is no saving.

    Parameters
    ----------
    faults
        As they were reckoned.
    left
        The unit as it is left.
    """
    most = left.year.short_of_cooling_h + WARM
    return tuple(one.name for one in faults if one.year.short_of_cooling_h > most)
