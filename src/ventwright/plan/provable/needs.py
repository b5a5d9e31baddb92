"""What a check of airflow needs, in words: what to take care of today, or what would make it possible, cheapest first."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from ventwright.facts import Instrument
from ventwright.plan import least_difference
from ventwright.plan.provable.check import CanBeSettled
from ventwright.quantity import FRACTION, TEMPERATURE_DIFFERENCE
from ventwright.words import Amount, Words, words


@dataclass(frozen=True, slots=True)
class What:
    """What is known of a check before its words are chosen. Differences in K, uncertainties relative and standard."""

    settled: CanBeSettled
    probe: Instrument
    best: Words
    today: float | None
    needed: float | None
    of_airflow: bool
    supply_u: float | None
    supply_u_allowed: float | None
    points_within: float | None
    direct_u_allowed: float


def needs_of(what: What) -> Words:
    """Say what a check needs, one thing after another, each of which does."""
    if what.settled is CanBeSettled.TODAY:
        return _joined("; ", [words("{way}", way=what.best), *_care(what)])
    if what.settled is CanBeSettled.NOT_KNOWN:
        return words(
            "outdoor and return air {needed} apart or more; {way}",
            needed=_kelvins(what.needed),
            way=what.best,
        )
    return _joined("; or ", [*_ways_out(what)])


def _care(what: What) -> Iterator[Words]:
    """What has to hold for a check that can be settled today."""
    if what.points_within is not None:
        yield words("mixed-air points no more than {range} apart", range=_kelvins(what.points_within))
    if what.of_airflow and what.supply_u_allowed is not None:
        yield words(
            "supply airflow read to ± {u} or closer, and entered with its ±", u=_band(what.supply_u_allowed)
        )


def _ways_out(what: What) -> Iterator[Words]:
    """What would make a check possible that is not."""
    if what.supply_u is None and what.supply_u_allowed is not None:
        yield words(
            "an instrument that reads the supply airflow to ± {u} or closer, since a design value carries no verdict",
            u=_band(what.supply_u_allowed),
        )
    if what.supply_u is not None and what.needed is not None and what.today is not None:
        yield words(
            "outdoor and return air {needed} apart or more, and not {today} as today",
            needed=_kelvins(what.needed), today=_kelvins(what.today),
        )  # fmt: skip
    if what.supply_u is not None and what.needed is not None and what.today is not None:
        yield from _better_probe(what, what.needed, what.today)
    if what.supply_u and what.supply_u_allowed is not None and what.supply_u > what.supply_u_allowed:
        yield words(
            "supply airflow read to ± {u} or closer, and not ± {now}",
            u=_band(what.supply_u_allowed), now=_band(what.supply_u),
        )  # fmt: skip
    if what.of_airflow:
        yield words(
            "another method: the outdoor airflow itself read to ± {u} or closer",
            u=_band(what.direct_u_allowed),
        )
    elif what.needed is None:
        yield Words(
            "mixed air read where it has mixed better: behind the fan with coil and heat off, less what the fan adds"
        )


def _better_probe(what: What, needed: float, today: float) -> Iterator[Words]:
    """Today's difference would do for a probe that is better in proportion, but never below the least difference."""
    if least_difference() <= today < needed:
        yield words(
            "a probe of ± {better} for all three, and not ± {now}",
            better=_kelvins(what.probe.accuracy.value * today / needed), now=_kelvins(what.probe.accuracy.value),
        )  # fmt: skip


def _kelvins(value: float | None) -> Amount:
    return Amount(value or 0.0, TEMPERATURE_DIFFERENCE)


def _band(relative_u: float) -> Amount:
    """A relative standard uncertainty as people write it, with twice its width."""
    return Amount(2.0 * relative_u, FRACTION)


def _joined(between: str, parts: list[Words]) -> Words:
    """Join sentences that each have amounts of their own."""
    names = [f"part{number}" for number in range(len(parts))]
    return Words(between.join(f"{{{name}}}" for name in names), dict(zip(names, parts, strict=True)))
