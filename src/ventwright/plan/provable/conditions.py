"""Whether today's outdoor air brings the condition of a functional test by itself, or the test needs a simulated one.

Simulation shows that the control does the right thing, never how much air moves.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from ventwright.plan import Plan, Setting
from ventwright.plan.provable.air_today import AirToday
from ventwright.plan.provable.check import CanBeSettled, ProvableCheck, ShownBy
from ventwright.quantity import TEMPERATURE
from ventwright.tables.balance_prior import balance_prior
from ventwright.tables.kit import Term
from ventwright.words import Amount, Words, words

PUT_BACK = "put the sensor back and read it beside a probe"

SHOWS_COOL = Words(f"a substitute for the outdoor sensor that shows cool air; {PUT_BACK}")
SHOWS_WARM = Words(
    f"a substitute for the outdoor sensor that shows warm air, the compressor held off where it is too cold for it; {PUT_BACK}"
)
SHOWS_COLD = Words(f"a substitute for the outdoor sensor that shows colder air than the lockout; {PUT_BACK}")
MIXED_SHOWS_COLD = Words(
    f"a substitute for the mixed-air sensor that shows colder air than the limit; {PUT_BACK}"
)


@dataclass(frozen=True, slots=True)
class AirNeeded:
    """What a functional test needs of the outdoor air. ``does`` is None where the temperature alone does not tell."""

    id: str
    what: Words
    needs: Words
    simulate: Words
    does: Callable[[float], bool] | None


def conditions(plan: Plan, return_air: float) -> Iterator[AirNeeded]:
    """List what the tests of the planned settings need.

    Parameters
    ----------
    plan
        With the kit's settings as they are to be left, and the outdoor air that each speed is to bring in.
    return_air
        Return-air temperature that is reckoned with. [°C]
    """
    planned = plan.settings
    yield from _high_limit(planned, return_air)
    lockout, low_limit = (
        _value(planned, Term.COMPRESSOR_LOCKOUT),
        _value(planned, Term.MIXED_AIR_LOW_LIMIT),
    )
    if lockout is not None:
        yield AirNeeded(
            "test.compressor_lockout", Words("the compressor stays off below its lockout"), _below(lockout), SHOWS_COLD,
            lambda outdoor: outdoor < lockout,
        )  # fmt: skip
    if low_limit is not None:
        share = min(one.target_outdoor_air_fraction for one in plan.speeds)
        yield _low_limit(low_limit, share, return_air)


def _low_limit(limit: float, share: float, return_air: float) -> AirNeeded:
    """Mixed air colder than its limit: by the heat balance of mixing, ``outdoor = return - (return - mixed) / share``.

    The least share of outdoor air counts, since the damper is at its minimum before the limit may let it go; at a larger
    one the control holds its mixed-air set point and the limit has nothing to do.
    """
    what = Words("the mixed-air low limit closes the damper to its minimum")
    mixed = words("mixed air below {limit} with the damper at its minimum", limit=Amount(limit, TEMPERATURE))
    if share <= 0.0:
        return AirNeeded("test.low_limit", what, mixed, MIXED_SHOWS_COLD, None)
    cold = return_air - (return_air - limit) / min(share, 1.0)
    never = Words("no outdoor air gets cold enough for that")
    reached = cold > balance_prior().density.coldest_air(None)
    needs = words("{mixed}: {outdoor}", mixed=mixed, outdoor=_below(cold) if reached else never)
    return AirNeeded("test.low_limit", what, needs, MIXED_SHOWS_COLD, lambda outdoor: outdoor < cold)


def _high_limit(planned: Sequence[Setting], return_air: float) -> Iterator[AirNeeded]:
    """Free cooling below the limit, and none above it, by whatever the kit decides."""
    free, closed = (
        Words("free cooling opens the damper, and it stays open when the compressor joins"),
        Words("outdoor air beyond the high limit closes the damper to its minimum"),
    )
    limit, below_return = (
        _value(planned, Term.DRY_BULB_HIGH_LIMIT),
        _value(planned, Term.RETURN_DIFFERENTIAL),
    )
    if limit is None and below_return is not None:
        limit, gap = return_air, below_return
    else:
        gap = _value(planned, Term.HIGH_LIMIT_DIFFERENTIAL) or 0.0
    by_heat = any(one.means is Term.ENTHALPY_HIGH_LIMIT for one in planned)
    if limit is None:
        if by_heat:
            why = Words(
                "the humidity of the outdoor air as well: its temperature alone does not say on which side of the limit it is"
            )
            yield AirNeeded("test.free_cooling", free, why, SHOWS_COOL, None)
            yield AirNeeded("test.high_limit", closed, why, SHOWS_WARM, None)
        return
    cool = limit - gap
    sure = None if by_heat else lambda outdoor: outdoor < cool
    yield AirNeeded("test.free_cooling", free, _below(cool), SHOWS_COOL, sure)
    yield AirNeeded("test.high_limit", closed, _above(limit), SHOWS_WARM, lambda outdoor: outdoor > limit)


def _value(planned: Sequence[Setting], means: Term) -> float | None:
    """Value of a setting by its meaning; None where the kit has none."""
    return next((one.si for one in planned if one.means is means), None)


def _below(limit: float) -> Words:
    return words("outdoor air below {limit}", limit=Amount(limit, TEMPERATURE))


def _above(limit: float) -> Words:
    return words("outdoor air above {limit}", limit=Amount(limit, TEMPERATURE))


def condition_check(one: AirNeeded, air: AirToday, best_time: Words) -> ProvableCheck:
    """Say of one functional test whether today's air brings its condition, or how it is simulated."""
    does = one.does
    natural = does is not None and any(does(hour.outdoor_air) for hour in air.today)
    settled = CanBeSettled.TODAY if air.today or does is None else CanBeSettled.NOT_KNOWN
    if natural:
        needs = words("{condition}, as today", condition=one.needs)
    elif does is None or not air.today:
        needs = words("{condition}; else {simulate}", condition=one.needs, simulate=one.simulate)
    else:
        needs = words(
            "{condition}, and today has none; so {simulate}", condition=one.needs, simulate=one.simulate
        )
    by = ShownBy.MEASUREMENT if natural else ShownBy.SIMULATION
    return ProvableCheck(
        one.id, one.what, settled, by, 1 if settled is CanBeSettled.TODAY else None, needs, best_time
    )
