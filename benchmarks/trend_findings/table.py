"""The confusion table: what was wrong, what was found, for every log."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from benchmarks.trend_findings.cases import Case, measured, measured_days, simulated_runs

from ventwright.tables.fault_rule import rule_set
from ventwright.verdict.trend_findings import KnownUnit, UnitFindings, findings_of_frame

RESEARCH_UNIT = KnownUnit(
    sensor_accuracy={"return_temperature": 0.05, "mixed_temperature": 0.05},
    as_left=((0.0, 0.012), (0.2, 0.25), (1.0, 0.9)),
)
"""What a job would know of the constant-volume unit: shares read when it was sound, and return and mixed sensors matched as well
as nine sound days of the source show them to be with the damper shut."""

RIGHT = {
    "cooling valve stuck, closed": {"cooling_without_effect"},
    "cooling valve stuck, 100% open": {"cooling_without_call"},
    "cooling valve leaking, 5%": {"cooling_without_call"},
    "outdoor-air damper leaking, 20% of max damper flow": {"outdoor_air_damper_leaking"},
    "outdoor-air damper leaking, 50% of max damper flow": {"outdoor_air_damper_leaking"},
    "limit too high 95F": {"high_limit_set_too_high"},
    "stuck minimum": {"not_economizing_when_it_should", "outdoor_air_damper_stuck"},
    "stuck open": {"outdoor_air_damper_stuck", "excess_outdoor_air"},
    "heating valve leaking, 0.4 gpm": {"heating_without_call"},
    "heating valve leaking, 1.0 gpm": {"heating_without_call"},
    "heating valve leaking, 2.0 gpm": {"heating_without_call"},
}
"""Names that fit what the sources say is wrong."""


@dataclass(frozen=True, slots=True)
class Row:
    """One log."""

    case: Case
    found: UnitFindings

    @property
    def names(self) -> tuple[str, ...]:
        """Faults that were found."""
        return tuple(one.fault for one in self.found.findings)

    @property
    def outcome(self) -> str:
        """Sound and nothing found, found, not found, or a wrong name."""
        wrong = set(self.names) - RIGHT.get(self.case.wrong, set())
        if wrong:
            return "false fault" if not self.case.wrong else "wrong name"
        if not self.case.wrong:
            return "nothing found"
        return "found" if self.names else "cannot tell"


def rows(data: Path, known: KnownUnit | None = None) -> list[Row]:
    """Judge every log; measured days each by itself."""
    cases = [*measured_days(data / "fault_days"), *simulated_runs(data / "simulated_trends")]
    return [Row(case, findings_of_frame(case.frame, rule_set(), known or KnownUnit())) for case in cases]


def page(data: Path) -> str:
    """Return the table as Markdown."""
    judged = rows(data)
    parts = [_summary(judged), "", _table(judged), "", _more(data)]
    return "\n".join(parts)


def _summary(judged: Iterable[Row]) -> str:
    counted = Counter((_kind(row.case), row.outcome) for row in judged)
    columns = ("nothing found", "false fault", "found", "cannot tell", "wrong name")
    lines = ["| what is wrong | logs | " + " | ".join(columns) + " |", "|---" * (len(columns) + 2) + "|"]
    for kind in ("nothing", "damper", "high limit", "coil or valve"):
        own = [counted[kind, column] for column in columns]
        lines.append(f"| {kind} | {sum(own)} | " + " | ".join(map(str, own)) + " |")
    return "\n".join(lines)


def _kind(case: Case) -> str:
    if not case.wrong:
        return "nothing"
    if case.damper:
        return "damper"
    return "high limit" if "limit" in case.wrong else "coil or valve"


def _table(judged: Iterable[Row]) -> str:
    lines = [
        "| log | | what is wrong | found | chance | ruled out | cannot tell |",
        "|---|---|---|---|---|---|---|",
    ]
    for row in judged:
        case, found = row.case, row.found
        names = "; ".join(one.words for one in found.findings) or "nothing"
        chances = "; ".join(f"{one.probability:.3f}" for one in found.findings)
        lines.append(
            f"| {case.source.replace('_', ' ')} | {case.name.replace('_', ' ')} | {case.wrong or 'nothing'} | {names} "
            f"| {chances} | {len(found.sound)} | {len(found.cannot_tell)} |"
        )
    return "\n".join(lines)


def _more(data: Path) -> str:
    """Say what the damper leaks show once more is known than one day."""
    path = data / "fault_days" / "measured_constant_volume.csv"
    whole = findings_of_frame(measured(path), rule_set(), KnownUnit())
    named = "; ".join(f"{one.words} ({one.probability:.3f})" for one in whole.findings)
    leaks = [
        f"{row.case.name}: {'; '.join(one.words for one in row.found.findings) or 'nothing'}"
        for row in rows_of_constant_volume(data)
    ]
    return (
        f"The five days of the constant-volume unit as one log: {named}.\n\n"
        "The same days one by one, with what a job would know of the unit (shares read when it was sound, return and mixed "
        "sensors matched to 0.05 K): " + "; ".join(leaks) + "."
    )


def rows_of_constant_volume(data: Path) -> list[Row]:
    """Judge the days of the unit with damper leaks with what a job would know of it."""
    cases = [one for one in measured_days(data / "fault_days") if "constant" in one.source]
    return [Row(case, findings_of_frame(case.frame, rule_set(), RESEARCH_UNIT)) for case in cases]
