"""A year for a person: air before money, what each way saves, what faults cost, which high limit, when to come back."""

from __future__ import annotations

from collections.abc import Sequence

from ventwright.cli import show
from ventwright.quantity import ENERGY, System
from ventwright.quantity import show as shown
from ventwright.verdict.savings import Kind, Savings, Spread, StrategyOutcome
from ventwright.verdict.savings.guard import leaves_warm, looks_cheap
from ventwright.verdict.savings.owner import OwnersPage
from ventwright.verdict.savings.report import SavingsReport
from ventwright.words import Words

MOST_FAULTS, MOST_DRIVERS = 12, 5
"""Lines that are enough for a screen; the rest stands in the JSON."""


def print_savings(found: SavingsReport, system: System) -> None:
    """Print everything, in the order in which it matters."""
    _air(found.owner, system)
    if found.savings is None:
        show.heading("Money")
        show.line(found.published.sentence.show(system) + ".")
        show.line(f"Source: {found.published.source} ({found.published.confirmed}).")
        show.line("With a year of weather (--weather FILE) this unit itself is reckoned.")
    else:
        _year(found.savings, system)
        _faults(found.savings, system)
        _choice(found, system)
        _ranges(found.savings, system)
    _come_back(found, system)
    _open(found.owner, system)


def _listed(sentences: Sequence[Words], system: System) -> None:
    for one in sentences:
        show.line(f"- {one.show(system)}")


def _air(owner: OwnersPage, system: System) -> None:
    show.heading("The air people breathe")
    _listed(owner.ventilation, system)
    if owner.before_repair is not None:
        show.line(f"! {owner.before_repair.show(system)}.")


def _year(savings: Savings, system: System) -> None:
    show.heading(f"A year: {savings.place} ({savings.weather})")
    if savings.invented:
        show.line("! Invented weather: it shows how this works, and no figure holds for any place.")
    kinds = {Kind.NONE, Kind.AS_FOUND, Kind.AS_LEFT, Kind.ALLOWED}
    rows = [one for one in savings.outcomes if one.kind in kinds]
    show.table(
        ("way to run it", "compressors", "fans", "saved", "9 times in 10", "free cooling", "short of air"),
        [_row(one, system) for one in rows],
    )
    show.line(
        f"The unit runs {savings.open_hours:.0f} hours of the year. Saved: electricity against no economizer."
    )
    left = savings.left
    if left.cost_saved is not None:
        show.line(f"As left, money saved: {_money(left.cost_saved, savings.currency)}, heating counted in.")
    if left.emissions_saved_kg is not None:
        kept = left.emissions_saved_kg
        show.line(f"As left, carbon dioxide saved: {kept.low:.0f} to {kept.high:.0f} kg.")
    show.line(f"Peak of compressors and fans, as left: {left.year.peak / 1e3:.1f} kW.")
    for flag in savings.flags:
        show.line(f"! {flag.sentence.show(system)}.")


def _row(one: StrategyOutcome, system: System) -> tuple[str, ...]:
    year = one.year
    return (
        one.name,
        shown(year.cooling, ENERGY, system),
        shown(year.fans, ENERGY, system),
        "-" if one.kind is Kind.NONE else shown(one.saved.middle, ENERGY, system),
        "-" if one.kind is Kind.NONE else _range(one.saved, system),
        f"{year.free_cooling_h:.0f} h",
        f"{year.short_of_air_h:.0f} h",
    )


def _range(spread: Spread, system: System) -> str:
    return f"{shown(spread.low, ENERGY, system)} to {shown(spread.high, ENERGY, system)}"


def _money(spread: Spread, currency: str) -> str:
    return f"{currency}{spread.low:,.0f} to {currency}{spread.high:,.0f}"


def _faults(savings: Savings, system: System) -> None:
    show.heading("What a fault costs in a year, over the unit as it is left")
    show.table(("fault", "electricity", "9 times in 10", "heating", "short of air"), [
        (one.name, shown(one.over.middle, ENERGY, system), _range(one.over, system),
         shown(one.heating_over.middle, ENERGY, system), f"{one.year.short_of_air_h:.0f} h")
        for one in savings.faults[:MOST_FAULTS]
    ])  # fmt: skip
    cheap, warm = looks_cheap(savings.faults, savings.left), leaves_warm(savings.faults, savings.left)
    if warm:
        show.line(f"! These leave the space warm for many hours, which is no saving: {'; '.join(warm)}.")
    if cheap:
        show.line(
            f"! These take outdoor air from people, and may look cheap for it: {'; '.join(cheap)}. Putting one right may raise the bill, and is due all the same."
        )


def _choice(found: SavingsReport, system: System) -> None:
    if found.choice is None:
        return
    show.heading("Which high limit")
    show.line(f"{found.choice.sentence.show(system)}.")
    show.table(("control", "limit", "saves, true sensors", "lost to errors", "worst of 20"), [
        (one.name, one.limit.show(system), shown(one.saved, ENERGY, system), shown(one.lost_to_errors, ENERGY, system),
         shown(one.lost_at_worst, ENERGY, system))
        for one in found.choice.controls
    ])  # fmt: skip


def _ranges(savings: Savings, system: System) -> None:
    show.heading("What the range comes from, one input at a time")
    show.table(("input", "given", "saved at its low end", "at its high end"), [
        (one.words, "yes" if one.given else "assumed", shown(one.low_end, ENERGY, system), shown(one.high_end, ENERGY, system))
        for one in savings.drivers[:MOST_DRIVERS]
    ])  # fmt: skip
    check = savings.check
    show.line(
        f"Beside the hours ({shown(check.by_hours, ENERGY, system)}), bins of 5 °F give {shown(check.by_bins, ENERGY, system)}."
    )
    if check.sentence is not None:
        show.line(f"{check.sentence.show(system)}.")
    _listed((*savings.notes, savings.not_told), system)


def _come_back(found: SavingsReport, system: System) -> None:
    show.heading("When to come back")
    show.line(f"{found.come_back.sentence.show(system)}.")
    for one in found.come_back.checks:
        when = f" Come: {one.best_time.show(system)}." if one.weather_settles else ""
        hours = f" {one.hours_a_year:.0f} working hours of the year." if one.calendar is not None else ""
        show.line(f"- {one.what.show(system)}: {one.needs.show(system)}.{when}{hours}")


def _open(owner: OwnersPage, system: System) -> None:
    for title, sentences in (
        ("Found", owner.found),
        ("Done", owner.done),
        ("Still open", owner.still_open),
    ):
        if sentences:
            show.heading(title)
            _listed(sentences, system)
    show.heading("For the owner")
    show.line(f"{owner.money.show(system)}.")
