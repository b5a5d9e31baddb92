"""What the owner is told: what was found, done and is still open; the air people breathe before the money; one range."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from ventwright.evidence import Verdict
from ventwright.facts import Facts
from ventwright.plan import Plan
from ventwright.quantity import AIRFLOW, ENERGY
from ventwright.readings import Readings, Repaired
from ventwright.verdict import Verdicts
from ventwright.verdict.deficiency import Deficiency
from ventwright.verdict.savings import Savings
from ventwright.verdict.savings.figures import Spread, StrategyOutcome
from ventwright.verdict.savings.published import Published
from ventwright.words import Amount, Words, words

HARDLY = 24.0
"""Hours a year that are not worth a word (our own choice). [h]"""


@dataclass(frozen=True, slots=True)
class OwnersPage:
    """The page in the order in which it is read. Its two photos are chosen where it is laid out."""

    found: tuple[Words, ...]
    done: tuple[Words, ...]
    still_open: tuple[Words, ...]
    ventilation: tuple[Words, ...]
    """Before any money."""
    before_repair: Words | None
    """Said before a repair that brings outdoor air back: the bill may rise."""
    money: Words
    """One range."""
    marks: tuple[Words, ...]
    """How far the figure can be relied on: invented, published only, flags."""


def owners_page(
    facts: Facts,
    plan: Plan,
    readings: Readings,
    verdicts: Verdicts,
    deficiencies: Sequence[Deficiency],
    figures: Savings | Published,
) -> OwnersPage:
    """Word what the owner has to know.

    Parameters
    ----------
    facts, plan, readings, verdicts, deficiencies
        Of the job.
    figures
        A year of its weather, or what is published where there is none.
    """
    open_now = [one for one in deficiencies if one.closed_on is None]
    return OwnersPage(
        found=tuple(_found(facts, readings, figures)),
        done=tuple(_done(plan, readings)),
        still_open=(*(Words(f"{one.what}: {one.who_acts}") for one in open_now), *_unproved(verdicts)),
        ventilation=tuple(_ventilation(plan, verdicts, figures)),
        before_repair=_before_repair(plan, verdicts, figures),
        money=_money(figures),
        marks=_marks(figures),
    )


def _found(facts: Facts, readings: Readings, figures: Savings | Published) -> Iterator[Words]:
    for entry in readings.standing(Repaired):
        yield Words(entry.of.replace("_", " "))
    met = facts.as_found
    if met is not None:
        yield from (Words(f"{label}: {value}") for label, value in met.settings.items())
        yield from (Words(one) for one in met.condition)
    if isinstance(figures, Savings) and figures.found is not None:
        over = figures.found.over
        if over.low > 0.0:
            yield words("as it was found it took {more} more in a year than as it is left", more=_range(over))


def _done(plan: Plan, readings: Readings) -> Iterator[Words]:
    for entry in readings.standing(Repaired):
        yield Words(f"put right: {entry.of.replace('_', ' ')}")
    left = readings.settings_left()
    for one in plan.settings:
        read = left.get(one.label.lower())
        if read is not None:
            yield Words(f"{one.label}: {read.value}")


def _unproved(verdicts: Verdicts) -> Iterator[Words]:
    """What failed, and what is not proved, each with its next move."""
    for check in verdicts.checks():
        if check.verdict is Verdict.FAILS:
            yield check.sentence
        elif check.verdict is Verdict.CANNOT_TELL and check.shortfall is not None:
            yield words("not proved: {what}; next: {move}", what=check.what, move=check.shortfall.settle_by)


def _ventilation(plan: Plan, verdicts: Verdicts, figures: Savings | Published) -> Iterator[Words]:
    yield words(
        "people here need {required} of outdoor air", required=Amount(plan.ventilation.required, AIRFLOW)
    )
    for speed in verdicts.speeds:
        if speed.outdoor_air is not None:
            brought = Amount(speed.outdoor_air, AIRFLOW, speed.outdoor_air_u)
            yield words(
                "at {name} speed the unit brings in {brought}", name=Words(speed.name), brought=brought
            )
    if not isinstance(figures, Savings):
        return
    for one in (figures.found, figures.left):
        if one is not None and one.short_of_air_h.middle > HARDLY:
            yield _short(one, figures.open_hours)


def _short(one: StrategyOutcome, hours: float) -> Words:
    many = f"{one.short_of_air_h.middle:.0f} of the {hours:.0f} hours"
    return Words(f"{one.name}, people get less outdoor air than they need in {many} in which the unit runs")


def _before_repair(plan: Plan, verdicts: Verdicts, figures: Savings | Published) -> Words | None:
    """Said where outdoor air is, or was, missing: bringing it back costs, and is due all the same."""
    if not isinstance(figures, Savings) or figures.found is None:
        return _still_short(plan, verdicts)
    found, left = figures.found, figures.left
    if found.short_of_air_h.middle <= left.short_of_air_h.middle + HARDLY:
        return _still_short(plan, verdicts)
    dearer = found.over.low < 0.0 or found.heating_over.low < 0.0
    if not dearer:
        return None
    return words(
        "before the repair: the unit lets in too little outdoor air now, and the air that people need has to be heated and cooled. "
        "Putting it right may raise the bill, by up to {electricity} of electricity and {heating} for heating in a year; it is due all the same",
        electricity=Amount(max(-found.over.low, 0.0), ENERGY), heating=Amount(max(-found.heating_over.low, 0.0), ENERGY),
    )  # fmt: skip


def _still_short(plan: Plan, verdicts: Verdicts) -> Words | None:
    """Said of a unit that the readings show short of outdoor air, such as by a damper stuck shut that nobody has repaired yet."""
    short = [
        one.outdoor_air
        for one in verdicts.speeds
        if one.verdict is Verdict.FAILS
        and one.outdoor_air is not None
        and one.outdoor_air < plan.ventilation.required
    ]
    if not short:
        return None
    return words(
        "before the repair: the unit brings in {brought} of the {required} that people need. That air has to be heated and cooled, so "
        "putting it right may raise the bill; it is due all the same",
        brought=Amount(min(short), AIRFLOW), required=Amount(plan.ventilation.required, AIRFLOW),
    )  # fmt: skip


def _money(figures: Savings | Published) -> Words:
    if isinstance(figures, Published):
        return figures.sentence
    left, saved = figures.left, figures.left.saved
    priced = left.cost_saved
    text = (
        "free cooling as it is left saves {range} of electricity in a year, 9 times in 10"
        if saved.low > 0.0
        else "free cooling as it is left changes the electricity by {range} in a year, 9 times in 10; a saving is not sure"
    )
    if priced is None:
        return words(text, range=_range(saved))
    money = f"{figures.currency}{priced.low:,.0f} to {figures.currency}{priced.high:,.0f}"
    return words(text + "; in money, heating counted in, {money}", range=_range(saved), money=Words(money))


def _range(spread: Spread) -> Words:
    return words("{low} to {high}", low=Amount(spread.low, ENERGY), high=Amount(spread.high, ENERGY))


def _marks(figures: Savings | Published) -> tuple[Words, ...]:
    if isinstance(figures, Published):
        return (Words(f"source: {figures.source} ({figures.confirmed}); no weather file was given"),)
    return (*(one.sentence for one in figures.flags), *figures.notes)
