"""Run the study and say what came of it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from benchmarks.trend_study.roof import places
from benchmarks.trend_study.study import (
    LOOKED_AT,
    MONTHS,
    SoundYear,
    StuckUnit,
    sound_year,
    stuck_log,
    stuck_unit,
)

MOST_FALSE = 0.01
"""False findings for each month of a sound unit, at the most."""
SOON = 3
"""Days on which a stuck damper shows itself, within which it is to be found."""


@dataclass(frozen=True, slots=True)
class Study:
    """What came of a study."""

    seed: int
    sound: tuple[SoundYear, ...]
    stuck: tuple[StuckUnit, ...]
    with_job: tuple[StuckUnit, ...]
    """The same units, with the shares known as they were left."""

    @property
    def false_monthly(self) -> float:
        """False findings for each month, every month judged by itself."""
        return sum(len(one.monthly) for one in self.sound) / max(1, MONTHS * len(self.sound))

    @property
    def false_yearly(self) -> float:
        """False findings for each month, the whole year judged at once."""
        return sum(len(one.whole) for one in self.sound) / max(1, MONTHS * len(self.sound))


def run(sound: int, stuck: int, seed: int, weather: Path | None, first: int = 0) -> Iterator[Study]:
    """Run it roof by roof from one number on, and hand on what has come of it so far."""
    years = places(weather)
    study = Study(seed, (), (), ())
    for number in range(first, first + max(sound, stuck)):
        if number < first + sound:
            study = replace(study, sound=(*study.sound, sound_year(seed, number, years)))
        if number < first + stuck:
            case = stuck_log(seed, number, years)
            study = replace(
                study,
                stuck=(*study.stuck, stuck_unit(case)),
                with_job=(*study.with_job, stuck_unit(case, job=True)),
            )
        yield study


def page(study: Study) -> str:
    """Return what came of it as Markdown."""
    false = Counter(fault for one in study.sound for fault in (*one.monthly, *one.whole))
    months = MONTHS * len(study.sound)
    return "\n".join(
        (
            f"Sound units: {len(study.sound)} years of 15-minute steps, seed {study.seed}.",
            "",
            "| judged | unit-months | false findings | for each unit-month |",
            "|---|---|---|---|",
            (
                f"| every month by itself | {months} | {sum(len(one.monthly) for one in study.sound)} "
                f"| {study.false_monthly:.4f} |"
            ),
            (
                f"| the whole year at once | {months} | {sum(len(one.whole) for one in study.sound)} "
                f"| {study.false_yearly:.4f} |"
            ),
            "",
            f"False findings by name: {', '.join(f'{name} {count}' for name, count in sorted(false.items())) or 'none'}.",
            "",
            (
                f"Stuck dampers: {len(study.stuck)} units, 14 sound days, then up to 28 days stuck at 0, 25, 60 or 100 % of the "
                "stroke."
            ),
            "",
            (
                "| | found | of those that showed themselves | found within 3 such days | within 3 operating days | a wrong name "
                "beside |"
            ),
            "|---|---|---|---|---|---|",
            _line("by the log alone", study.stuck),
            _line("with the shares known as they were left", study.with_job),
            "",
            *_late(study),
        )
    )


def _late(study: Study) -> Iterator[str]:
    """Yield a row for each stuck damper that was not found soon: how far it showed on its first operating days."""
    heads = "".join(f" day {day + 1}: K | asked | minutes |" for day in range(LOOKED_AT))
    yield f"| unit | place | stands at | found on day: log alone | with the shares |{heads}"
    yield f"|---|---|---|---|---|{'---|---|---|' * LOOKED_AT}"
    for one, with_job in zip(study.stuck, study.with_job, strict=True):
        if one.days is None or one.days > SOON:
            named = " | ".join("never" if days is None else f"{days}" for days in (one.days, with_job.days))
            shown = "".join(
                f" {bound.effect:.1f} | {bound.asked:.1f}, {bound.asked_of_day:.1f} "
                f"| {bound.beyond // 60}, {bound.beyond_of_day // 60} of {bound.valid // 60} |"
                for bound in one.bounds
            )
            yield f"| {one.name} | {one.place} | {one.at:.0%} | {named} |{shown}"


def _line(name: str, units: Sequence[StuckUnit]) -> str:
    found = [one for one in units if one.days is not None]
    showed = [one for one in units if one.telling_days or one.days is not None]
    soon = [one for one in found if one.telling_days <= SOON]
    at_once = [one for one in found if one.days is not None and one.days <= SOON]
    wrong = sum(bool(one.wrong) for one in units)
    return (
        f"| {name} | {len(found)} of {len(units)} | {len(found)} of {len(showed)} | {len(soon)} of {len(showed)} "
        f"| {len(at_once)} of {len(showed)} | {wrong} |"
    )
