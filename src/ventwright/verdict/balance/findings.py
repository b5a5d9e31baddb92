"""What the readings say besides airflow: a damper that does not follow, probes crossed, readings that contradict each other."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import timedelta

from ventwright.evidence import ACCEPTED_RISK
from ventwright.physics.inference import Follows, Posterior
from ventwright.physics.inference.belief import Part, ShareBelief, widened
from ventwright.readings import MixedAir
from ventwright.verdict.balance.contradiction import contradictions
from ventwright.verdict.balance.finding import BalanceFinding
from ventwright.verdict.balance.observed import Observed, instruments_used
from ventwright.verdict.supply import Supply
from ventwright.words import Words

APART = 0.2
"""Share of stroke that the readings have to span before anything is said of how a damper follows: our own choice. [-]"""

OF_DAMPER = ("balance.damper_does_not_follow", "balance.damper_reversed")
"""Names of what is amiss with the damper itself."""

MOST_OF_STROKE = 0.6
"""Share of stroke that one speed's readings have to span before equal shares alone tell of the damper: our own choice. [-]"""

UNMOVED = 0.03
"""Rise of the share over signal below which a damper does not follow: a sound one's is twenty times that: our own choice. [-]"""


def findings(
    posterior: Posterior, observed: Sequence[Observed], supplies: Mapping[str, Supply]
) -> tuple[BalanceFinding, ...]:
    """List what is amiss.

    Parameters
    ----------
    posterior
        What all readings have taught together.
    observed
        The readings themselves, those that say nothing included.
    supplies
        The supply airflow of each speed.
    """
    contradicting = contradictions(posterior, observed)
    of_damper = (
        () if contradicting else tuple(_of_damper(posterior))
    )  # one wrong reading would blame the damper
    return (*of_damper, *_crossed(observed), *contradicting, *of_supply(supplies))


def _of_damper(posterior: Posterior) -> Iterator[BalanceFinding]:
    ids = tuple(one.id for one in posterior.observations if one.speed is not None)
    signals = [one.signal for one in posterior.observations if one.speed is not None]
    if not signals or max(signals) - min(signals) < APART:
        return
    if max(posterior.chance(Follows.DEAD), _unmoved(posterior)) >= 1.0 - ACCEPTED_RISK:
        yield BalanceFinding(
            "balance.damper_does_not_follow",
            Words("the share of outdoor air stays the same whatever the signal: the damper does not follow it"),
            Words("power off, hands clear: look whether the blades move with the actuator (coupling, linkage, signal at its terminals)"),
            ids,
        )  # fmt: skip
    if posterior.chance(Follows.FALLS) >= 1.0 - ACCEPTED_RISK:
        yield BalanceFinding(
            "balance.damper_reversed",
            Words("the share of outdoor air falls as the signal rises: actuator or linkage works the wrong way round"),
            Words("see that the probes for outdoor and return air were not taken for each other; then set the actuator's direction, or turn the linkage, and read again"),
            ids,
        )  # fmt: skip


def _unmoved(posterior: Posterior) -> float:
    """Greatest chance, of any speed read over most of the stroke, that the share moved next to nothing over it. [-]"""
    read: dict[str, list[float]] = {}
    for one in posterior.observations:
        if one.speed is not None:
            read.setdefault(one.speed, []).append(one.signal)
    chances = [0.0]
    for speed, signals in read.items():
        low, high = min(signals), max(signals)
        if high - low >= MOST_OF_STROKE:
            ends = zip(posterior.at(speed, low).parts, posterior.at(speed, high).parts, strict=True)
            chances.append(sum(_alike(one, other, UNMOVED * (high - low)) for one, other in ends))
    return max(chances)


def _alike(one: Part, other: Part, within: float) -> float:
    """Weight of a course times the chance that two shares under it lie so close; their errors taken as independent. [-]"""
    moved = widened(ShareBelief((other._replace(mean=other.mean - one.mean),)), one.u)
    return moved.within(-within, within)


def _crossed(observed: Sequence[Observed]) -> Iterator[BalanceFinding]:
    """Mixed air outside its streams that would lie inside if two probes were taken for each other."""
    for one in observed:
        entry = one.entry
        if not isinstance(entry, MixedAir) or not one.outside_streams:
            continue
        cold, mixed, warm = entry.outdoor_air.value, entry.before_fan, entry.return_air.value
        nearer = "return" if abs(mixed - warm) < abs(mixed - cold) else "outdoor"
        if len(set(instruments_used(entry))) == 1:
            sentence = "mixed air lies beyond {nearer} air, as if what the probe showed in the two was written down the wrong way round"
            way = "see which of the two values is which, and repeat this reading"
        else:
            sentence = (
                "mixed air lies beyond {nearer} air, as if the probes for the two were taken for each other"
            )
            way = "hold the mixed and the {nearer} probe side by side, see which is which, and repeat this reading"
        named = {"nearer": Words(nearer)}
        yield BalanceFinding("balance.probes_crossed", Words(sentence, named), Words(way, named), (entry.id,))


def of_supply(supplies: Mapping[str, Supply]) -> Iterator[BalanceFinding]:
    """Supply airflows of another time than the readings at the damper, and those that no longer count.

    Parameters
    ----------
    supplies
        The supply airflow of each speed.
    """
    for speed, supply in supplies.items():
        named = {"speed": Words(speed)}
        if supply.before_repair:
            yield BalanceFinding(
                "balance.supply_before_repair",
                Words("the supply airflow at {speed} speed was measured before the fan was made to move another one: it no longer counts", named),
                Words("measure the supply airflow at {speed} speed again", named),
                supply.before_repair,
            )  # fmt: skip
        if supply.older_by is not None and supply.read_at is not None and supply.reading is not None:
            named |= {
                "method": supply.words,
                "date": Words(f"{supply.read_at:%Y-%m-%d}"),
                "age": old(supply.older_by),
            }
            yield BalanceFinding(
                "balance.supply_of_another_time",
                Words("the supply airflow at {speed} speed ({method}) is of {date}, {age} the readings at the damper", named),
                Words("measure it again, or see that fan, belt, filters and speeds are as they were then", named),
                (supply.reading,),
            )  # fmt: skip


def old(apart: timedelta) -> Words:
    """Say how long one thing was before another, or after it.

    Parameters
    ----------
    apart
        Below zero where it was after.
    """
    days = abs(apart).days
    count, unit = (
        (days, "days") if days < 60 else (days // 30, "months") if days < 730 else (days // 365, "years")
    )
    return Words(f"{count} {unit} {'before' if apart > timedelta(0) else 'after'}")
