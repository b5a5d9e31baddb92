"""An invented record and an invented card, in either unit system, for the tests of what is printed.

Nobody, no site and no unit in it exists. The texts are awkward on purpose: signs of the trade, quotation marks,
an apostrophe, angle brackets, ampersands, long cells, words wider than a column, and text that page counters and
templates might take for their own.
"""

from __future__ import annotations

from datetime import datetime, timedelta, timezone
from typing import Literal

from ventwright.record.content import (
    Blanks,
    Card,
    CardLine,
    Notice,
    Pairs,
    Paragraph,
    Report,
    Section,
    Table,
    Tone,
)

System = Literal["us", "si"]

MADE = datetime(2025, 5, 14, 15, 20, tzinfo=timezone(timedelta(hours=-7)))
PRODUCER = "Ventwright 0.1.0"
JOB = '{"ventwright": 1, "facts": {"site": {"name": "Larkspur Row", "note": "“quoted” ≤ 5 Ω"}}}'.encode() * 40

# One line a value: what it is, as US customary text, as SI text.
UNITS = {
    "supply": ("4,000 cfm", "1,890 L/s"),
    "supply low": ("2,640 cfm", "1,246 L/s"),
    "target": ("1,116 cfm", "527 L/s"),
    "found": ("1,120 cfm ± 95 cfm", "529 L/s ± 45 L/s"),
    "limit": ("75.0 °F", "23.9 °C"),
    "mixed": ("55.0 °F", "12.8 °C"),
    "lockout": ("50.0 °F", "10.0 °C"),
    "outdoor": ("58.0 °F", "14.4 °C"),
    "return": ("74.0 °F", "23.3 °C"),
    "difference": ("Δ 16.0 °F", "Δ 8.9 K"),
    "probe": ("± 0.5 °F", "± 0.3 K"),
    "area": ("4,800 ft²", "446 m²"),
    "pressure": ("+0.13 in.w.c.", "+32 Pa"),
    "wanted": ("≥ 23 °F", "≥ 12.8 K"),
}


def say(key: str, system: System) -> str:
    """Return a value of the sample in one unit system."""
    return UNITS[key][0 if system == "us" else 1]


def sample_report(system: System = "us", trend_rows: int = 100) -> Report:
    """Return a record with every kind of block, and a table of ``trend_rows`` rows."""

    def v(key: str) -> str:
        return say(key, system)

    return Report(
        title="Outdoor-air economizer record: Larkspur Row, unit R-2",
        subtitle="Invented example. First fit, 14 May 2025, 58 °F and clear."
        if system == "us"
        else "Invented example. First fit, 14 May 2025, 14 °C and clear.",
        footer="Larkspur Row, unit R-2. Invented example. Job 7f3a-21. Computed by Ventwright 0.1.0; the authority having "
        "jurisdiction decides.",
        sections=(
            Section(
                "Verdict at a glance",
                (
                    Notice(
                        Tone.CAUTION,
                        "Cut the power at the disconnect & lock it before a hand goes into the economizer section: "
                        "the damper closes by spring, the fan may start at any time.",
                    ),
                    Paragraph(
                        f"The minimum position gives {v('found')} against {v('target')} required. Four checks pass, one "
                        "fails, one cannot be told with today’s weather."
                    ),
                    Table(
                        ("Check", "Found", "Limit", "Verdict"),
                        (
                            (
                                "Minimum outdoor air, high speed",
                                v("found"),
                                f"{v('target')} − 10 %",
                                "likely, not proved",
                            ),
                            (
                                "High limit, fixed dry bulb, zone 3C",
                                v("limit"),
                                f"≤ {v('limit')}",
                                "passes",
                            ),
                            (
                                "Mixed-air sensor against an 8-point traverse",
                                "2.8 too low",
                                v("probe"),
                                "fails",
                            ),
                            ("Return-air sensor", "0.9 too high", v("probe"), "fails"),
                            ("Building pressure, exhaust off", v("pressure"), "≤ +0.05", "fails"),
                            ("Transformer", "32 VA of 40 VA (80 %)", "≤ 80 %", "passes"),
                        ),
                        (3, 2.2, 2, 1.6),
                        "Every check",
                    ),
                    Notice(
                        Tone.NOT_PROVED,
                        f"Airflow within ±10 % is likely but not proved: with {v('difference')} between return and outdoor "
                        f"air and probes of {v('probe')} the uncertainty is 4.0 points. Needs {v('wanted')}; "
                        "the first morning near 50 °F will do.",
                    ),
                    Notice(
                        Tone.FAILS,
                        "The mixed-air sensor sits in stratified air. Move it, or put an averaging element across the "
                        "whole coil.",
                    ),
                    Notice(
                        Tone.INFO, "“Proved by simulation” and “proved by measurement” are different words."
                    ),
                ),
            ),
            Section(
                "The unit and its place",
                (
                    Pairs(
                        (
                            ("Site", "Larkspur Row (invented)"),
                            (
                                "Unit",
                                "R-2, rooftop unit, gas heat, two cooling stages, two fan speeds <not a make>",
                            ),
                            ("Space served", f"Sales floor & fitting rooms, {v('area')}, 72 people"),
                            ("Supply air", f"{v('supply')} high, {v('supply low')} low, measured"),
                            (
                                "Code",
                                "62.1 ventilation rate, retail; the edition in force was named by the owner's agent",
                            ),
                            ("Worded by hand", "page {nb} of {{ pages }} <script>alert('x')</script> ${x}"),
                        )
                    ),
                ),
            ),
            Section(
                "Wiring",
                (
                    Table(
                        ("From", "To", "Wire", "What it carries", "Checked how"),
                        (
                            (
                                "Board, terminal Y1 (first-stage call)",
                                "Controller, input “call 1”",
                                "yellow, 18 AWG, 0.8 mm²",
                                "24 V ac when the thermostat asks for cooling",
                                "26.3 V idle, 24.9 V driving",
                            ),
                            (
                                "Outdoor-air sensor",
                                "Controller, pair “outdoor”",
                                "twisted pair",
                                "10 kΩ at 25 °C",
                                "11.9 kΩ read at the plug",
                            ),
                            (
                                "Supply-fan-relay/proving-switch/auxiliary-contact",
                                "Terminal_block_without_any_space_in_its_name_at_all",
                                "2 × red",
                                "closed when the fan runs",
                                "continuity < 1 Ω",
                            ),
                        ),
                        (2, 2, 1.4, 2, 2),
                        "Terminal list",
                    ),
                    Paragraph("First line of a note.\nSecond line of the same note, after a line break."),
                ),
                new_page=True,
            ),
            Section(
                "Trend",
                (
                    Paragraph(
                        "Logged points of the first day, every five minutes. "
                        + "The day was mild and dry. " * 30
                    ),
                    Table(
                        ("Time", "Outdoor", "Return", "Mixed", "Command", "What was seen"),
                        tuple(
                            (
                                f"{7 + minute // 60:02d}:{minute % 60:02d}",
                                v("outdoor"),
                                v("return"),
                                f"{60 + number % 10}.{number % 7}",
                                f"{20 + number % 80} %",
                                "damper follows; the fan went to low speed and the command rose with it"
                                if number % 9 == 4
                                else "steady",
                            )
                            for number, minute in enumerate(range(0, 5 * trend_rows, 5))
                        ),
                        (1, 1.2, 1.2, 1, 1.2, 3),
                        "Five-minute points",
                    ),
                ),
            ),
            Section(
                "Restored and signed",
                (
                    Table(
                        ("Changed for the test", "Was", "Restored"),
                        (("Outdoor thermistor off, decade box on", "wired", "read back: live O = 84.1"),),
                        (3, 1, 2),
                    ),
                    Blanks(("Name", "Role", "Date", "Signature"), 3),
                ),
            ),
        ),
    )


def sample_card(system: System = "us") -> Card:
    """Return a full card: ten settings, four lines of airflow, four of sensors, three notices."""

    def v(key: str) -> str:
        return say(key, system)

    return Card(
        title="R-2 · Larkspur Row",
        subtitle="Invented example. Set on 14 May 2025; look again by 14 May 2026",
        purpose=(
            f"When it is cool and dry outside (below {v('limit')}), cool with outdoor air before the compressor.",
            f"Hold the mixed air at {v('mixed')} and never close below the minimum while people are in.",
            "When the space asks for heat, stay at the minimum.",
        ),
        settings=(
            CardLine("High limit, dry bulb", v("limit"), "zone 3C"),
            CardLine("Mixed air", v("mixed"), "do not go lower"),
            CardLine("Compressor lockout", v("lockout"), "both stages"),
            CardLine("Minimum, high speed", "21 %", v("target")),
            CardLine("Minimum, low speed", "37 %", "fan at 66 %"),
            CardLine("Exhaust fan on", "60 %", "off at 50 %"),
            CardLine("CO₂ control", "off", "no sensor fitted"),
            CardLine("Heat pump valve", "O, energized in cooling", "read, not guessed"),
            CardLine("Purge", "off"),
            CardLine("Stage-up delay", "2 min"),
        ),
        airflow=(
            CardLine("0 %", "7 % outdoor air", "leakage"),
            CardLine("21 %", "28 % outdoor air", v("found")),
            CardLine("60 %", "64 % outdoor air"),
            CardLine("100 %", "81 % outdoor air", "M 61.0 °F" if system == "us" else "M 16.1 °C"),
        ),
        sensors=(
            CardLine("Outdoor", "10 kΩ type B", "11.9 kΩ at 64 °F" if system == "us" else "11.9 kΩ at 18 °C"),
            CardLine("Return", "10 kΩ type B", "reads 0.9 °F high" if system == "us" else "reads 0.5 K high"),
            CardLine("Mixed", "averaging, 10 kΩ", "across the coil"),
            CardLine("Supply", "none"),
        ),
        notices=(
            Notice(Tone.CAUTION, "Cut the power before a hand goes in: the damper closes by spring."),
            Notice(Tone.NOT_PROVED, f"Airflow within ±10 %. Needs R − O {v('wanted')}."),
            Notice(Tone.INFO, "No resistor, jumper or override was left in on 14 May 2025."),
        ),
        footer="Full record: with the owner, and inside this file as job.json. Ventwright 0.1.0",
    )
