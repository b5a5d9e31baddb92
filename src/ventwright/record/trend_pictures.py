"""The pictures of what a log shows of one unit, each with the words below it and the table of its numbers behind it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from ventwright.quantity import TEMPERATURE, System, show
from ventwright.record.trend_outdoor import by_mode, draw_outdoor
from ventwright.record.trend_share import draw_share, percent
from ventwright.record.trend_timeline import draw_timeline
from ventwright.record.trend_week import DAYS, FREE, HOURS, OFF, Shares, draw_week, shares_of
from ventwright.record.trend_words import day, hours_words
from ventwright.verdict.trend_compared import curve_at
from ventwright.verdict.trend_findings.shape import KnownUnit, Observed, UnitFindings
from ventwright.words import in_words

LEAST_SHOWN = 0.005
"""Share of an hour below which a map of the week is not worth drawing. [-]"""


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawing, what it shows in a line, and its numbers."""

    svg: str
    words: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


def pictures(found: UnitFindings, known: KnownUnit, zone: str | None, system: System) -> tuple[Picture, ...]:
    """Draw everything that a log shows of one unit.

    Parameters
    ----------
    found
        Of the unit.
    known
        The unit as it was left.
    zone
        Time zone of the place; None for UTC.
    system
        Units of the words.
    """
    return (
        _timeline(found, zone),
        *_share(found, known),
        *_outdoor(found, known, system),
        *_weeks(found, known),
    )


def _timeline(found: UnitFindings, zone: str | None) -> Picture:
    rows = [(mode, hours_words(hours), "", "") for mode, hours in found.observed.mode_hours if hours > 0.0]
    rows += [
        (f"{one.words} ({in_words(one.probability)})", hours_words(one.hours_judged), day(one.first, zone), day(one.last, zone))
        for one in found.findings
    ]  # fmt: skip
    return Picture(
        draw_timeline(found, zone),
        "What the unit did over the time of the log; below it when each fault was first and last seen.",
        ("Mode or fault", "Hours, of a fault judged", "First seen", "Last seen"),
        tuple(rows),
    )


def _share(found: UnitFindings, known: KnownUnit) -> Iterator[Picture]:
    line = found.observed.share_line
    if line is None:
        return
    rows = [
        (percent(signal), f"{percent(share)} ± {percent(2 * u)}", hours_words(hours), percent(curve_at(known.as_left, signal)) if known.as_left else "–")
        for signal, share, u, hours in line.points
    ]  # fmt: skip
    behind = " The dashed curve is that of the day it was left." if known.as_left else ""
    yield Picture(
        draw_share(found.unit, line, known.as_left),
        f"Outdoor air against damper signal, as the log shows it.{behind}",
        ("Damper signal", "Outdoor air in the log", "Hours", "As left"),
        tuple(rows),
    )


def _outdoor(found: UnitFindings, known: KnownUnit, system: System) -> Iterator[Picture]:
    observed = found.observed
    if not observed.mode_by_outdoor:
        return
    modes = by_mode(observed)
    classes = sorted({at for of in modes.values() for at in of})
    rows = [
        (show(at, TEMPERATURE, system), *(hours_words(of.get(at, 0.0)) for of in modes.values()))
        for at in classes
    ]
    yield Picture(
        draw_outdoor(found.unit, observed, marks(known, observed), system),
        "What the unit did at each outdoor temperature.",
        ("Outdoor air near", *modes),
        tuple(rows),
    )


def marks(known: KnownUnit, observed: Observed) -> list[tuple[str, float]]:
    """Return the outdoor temperatures that are drawn as lines, with their words. [°C]"""
    over, off = observed.change_over, observed.lockout
    found = [
        ("high limit as left", known.high_limit),
        ("gives up, in data", None if over is None else over.value),
        ("lockout as left", known.compressor_lockout),
        ("compressor from, in data", None if off is None else off.value),
    ]
    return [(words, at) for words, at in found if at is not None]


def _weeks(found: UnitFindings, known: KnownUnit) -> Iterator[Picture]:
    maps: Sequence[tuple[str, str, Shares]] = (
        ("week-runs", "the fan runs", shares_of(found.observed, OFF, other=True)),
        ("week-free", "outdoor air cools", shares_of(found.observed, FREE)),
    )
    for name, what, shares in maps:
        if any(share >= LEAST_SHOWN for share in shares.values()):
            rows = [
                (f"{hour} to {hour + 1} h", *(_cell(shares, each, hour) for each in range(len(DAYS))))
                for hour in range(HOURS)
            ]
            yield Picture(
                draw_week(found.unit, what, shares, known.occupied_hours, name),
                f"Hours of the week in which {what}.",
                ("Hour", *DAYS),
                tuple(rows),
            )


def _cell(shares: Shares, each: int, hour: int) -> str:
    share = shares.get((each, hour))
    return "–" if share is None else f"{100.0 * share:.0f} %"
