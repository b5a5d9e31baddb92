"""What can be proved, for a person: cautions first, then every check, what each takes, and the year by month."""

from __future__ import annotations

from collections.abc import Sequence

from ventwright.cli import show
from ventwright.plan import Caution
from ventwright.plan.provable import WHEN_IS_NOT_KNOWN, Calendar, Provable, ProvableCheck, Way
from ventwright.plan.provable.hours import per_cent
from ventwright.quantity import TEMPERATURE, TEMPERATURE_DIFFERENCE, System
from ventwright.words import Amount, chance

BEFORE_CLIMBING = {"roof"}
"""Stages of the cautions that belong before the climb."""


def print_provable(found: Provable, cautions: Sequence[Caution], system: System) -> None:
    """Print everything, in the order in which a person decides."""
    for one in cautions:
        if one.stage in BEFORE_CLIMBING:
            show.line(f"! {one.text}")
    _today(found, system)
    show.heading("What can be settled")
    show.table(
        ("check", "settled", "by", "readings", "chance"), [_row(check, system) for check in found.checks]
    )
    show.line("Chance: that these readings pass where the damper is exactly right.")
    _takes(found, system)
    _ways(found, system)
    if found.calendar is not None:
        _year(found.calendar, system)
    show.guesses(found.guesses, system)


def _today(found: Provable, system: System) -> None:
    returned = Amount(found.return_air, TEMPERATURE).show(system)
    if found.difference_today is None:
        show.line(f"Return air {returned}; nobody said how warm it is outdoors today.")
        return
    apart = Amount(found.difference_today, TEMPERATURE_DIFFERENCE).show(system)
    show.line(f"Return air {returned}; outdoor and return air {apart} apart today, at their widest.")


def _row(check: ProvableCheck, system: System) -> tuple[str, ...]:
    readings = "-" if check.readings is None else str(check.readings)
    return (
        check.what.show(system), check.can_be_settled.value, check.shown_by.value, readings,
        "" if check.chance_of_passing is None or check.readings is None else chance(check.chance_of_passing),
    )  # fmt: skip


def _takes(found: Provable, system: System) -> None:
    """Say for every check what it takes, and when the weather brings it."""
    show.heading("What each takes, and when to come")
    unknown = WHEN_IS_NOT_KNOWN.show(system)
    times = [check.best_time.show(system) for check in found.checks]
    for check, time in zip(found.checks, times, strict=True):
        come = f" Come: {time}." if time not in {"", unknown} else ""
        show.line(f"- {check.what.show(system)}: {check.needs.show(system)}.{come}")
    if unknown in times:
        show.line(f"When to come is {unknown}.")


def _ways(found: Provable, system: System) -> None:
    """Show for every check of airflow what each way to read the temperatures would take."""
    rows = [(check, way) for check in found.checks for way in check.ways]
    if not rows:
        return
    show.heading("Ways to read the three temperatures")
    show.table(("check", "way", "at hand", "outdoor and return air apart", "readings today"), [
        (check.what.show(system) if way is check.ways[0] else "", way.name.show(system), "yes" if way.at_hand else "no", _apart(way, system), "-" if way.readings is None else str(way.readings))
        for check, way in rows
    ])  # fmt: skip


def _apart(way: Way, system: System) -> str:
    if way.difference_needed is None:
        return "no difference would do"
    return f"{Amount(way.difference_needed, TEMPERATURE_DIFFERENCE).show(system)} or more"


def _year(calendar: Calendar, system: System) -> None:
    apart = Amount(calendar.difference_needed, TEMPERATURE_DIFFERENCE).show(system)
    show.heading(f"When outdoor and return air are {apart} apart: {calendar.place}")
    show.table(("month", "07 to 18 h", "best of these", "all hours", "best of all"), [
        (month.name, per_cent(month.working_hours), _best(month.best_working_hours, month.best_working_share),
         per_cent(month.all_hours), _best(month.best_hours, month.best_share))
        for month in calendar.months
    ])  # fmt: skip
    show.line(
        "Share of hours, and the best hours with the share of days; standard time, in summer time one hour more."
    )


def _best(hours: str, share: float) -> str:
    return f"{hours}, {per_cent(share)} of days" if hours else "none"
