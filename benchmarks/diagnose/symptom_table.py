"""The fixed symptom table, applied in order: what a careful person with a good list on the wall would do.

Rows are symptoms of the as-found readings and of complaints, each with the measurements that tell its causes apart, the
likeliest cause first (common practice, no published source). It is scored twice: by the rule that holds for ours, and with
the benefit of every doubt, knowing a fault the moment it takes a measurement that shows it.
"""

from __future__ import annotations

import random

from benchmarks.diagnose.truth import Truth

from ventwright.verdict.diagnose.roof import Values

IN_ORDER: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("at minimum on a cool day", ("settings", "sensors", "calls.cool_1", "run.cool_2")),
    ("air does not follow the signal", ("stroke", "power.cool_2", "free_blades")),
    ("too little air when open", ("blades.forced_open", "pressure.forced_open", "outside")),
    ("too much air when shut", ("share.forced_shut", "seal_gap")),
    ("less air the more it is told to open", ("blades.forced_open", "stroke", "leads.outdoor")),
    ("share below none or above all", ("sensors",)),
    ("open on a hot day", ("leads.outdoor", "settings")),
    ("cold drafts", ("sensors", "leads.mixed", "settings")),
    ("stuffy", ("share.fan", "speed_input", "run.fan", "calls.fan")),
    ("doors blow open", ("pressure.fan", "pressure.forced_open", "outside")),
    ("humid", ("share.forced_shut", "seal_gap", "run.fan")),
    ("freeze trips", ("share.forced_shut", "run.heat_1", "calls.heat_1", "settings")),
    ("no heat", ("run.heat_1", "calls.heat_1", "settings")),
    ("high bill", ("run.unoccupied", "run.cool_2", "settings")),
    ("no cooling", ("power.cool_2", "run.cool_2", "calls.cool_2", "calls.cool_1", "settings")),
    ("everything seems in order, and no outdoor air", ("outside",)),
)  # fmt: skip
"""Symptoms in order, and what is measured for each."""


def symptoms(truth: Truth, found: dict[str, Values]) -> list[str]:
    """Name the rows that the as-found readings and the complaint point to, in the order of the table."""
    outdoor, limit = truth.situation.weather.dry_bulb, truth.situation.settings.high_limit.high_limit
    share = next((values[0] for name, values in found.items() if name.startswith("share")), "")
    signal = next((values[0] for name, values in found.items() if name.startswith("run")), "")
    cooling = any(name.endswith("cool_1") for name in found)
    least = truth.situation.settings.minimum.at_slowest
    shown = set()
    if isinstance(signal, float) and isinstance(share, float):
        if cooling and outdoor < limit - 1.0 and signal < least + 0.05:
            shown.add("at minimum on a cool day")
        if signal > 0.8 and share < 0.35:
            shown.add("air does not follow the signal")
        if signal > 0.8 and 0.35 <= share < 0.6:
            shown.add("too little air when open")
        if signal < least + 0.05 and share > 0.5:
            shown.add("too much air when shut")
        if not -0.1 <= share <= 1.1:
            shown.add("share below none or above all")
        if signal > least - 0.05 and share < 0.05:
            shown.add("everything seems in order, and no outdoor air")
        if cooling and outdoor > limit + 1.0 and signal > least + 0.05:
            shown.add("open on a hot day")
    shown.add("at minimum on a cool day" if truth.complaint == "compressor on cool days" else truth.complaint)
    return [name for name, _ in IN_ORDER if name in shown]


def by_table(truth: Truth, found: dict[str, Values], offered: list[str]) -> list[str]:
    """Order the measurements as the table has them: the rows that are shown, then all the others."""
    first = symptoms(truth, found)
    rows = dict(IN_ORDER)
    wanted = [one for name in first for one in rows[name]]
    wanted += [one for name, listed in IN_ORDER if name not in first for one in listed]
    able = set(offered)
    return [one for one in dict.fromkeys([*wanted, *sorted(able)]) if one in able and one not in found]


def at_random(truth: Truth, found: dict[str, Values], offered: list[str]) -> list[str]:
    """Order the measurements by chance."""
    left = [one for one in sorted(offered) if one not in found]
    random.Random(f"order {truth.faults} {truth.name}").shuffle(left)
    return left
