"""Trend rules as data: what each compares, when it can be judged and when it is silent, thresholds and sources."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from functools import cache
from typing import Any, TypeVar

from ventwright.errors import refuse_word
from ventwright.quantity import CURRENT, FRACTION, TEMPERATURE, TEMPERATURE_DIFFERENCE, read
from ventwright.tables.data_file import read_toml
from ventwright.tables.fault_prior import fault_prior

Figure = TypeVar("Figure")


@dataclass(frozen=True, slots=True)
class Holds:
    """How long a logged value stands for the times after it. [s]"""

    measured: int
    states: int


@dataclass(frozen=True, slots=True)
class Windows:
    """Half-open windows of clock time, and what must be in them."""

    steady: int
    """[s]"""
    hour: int
    """[s]"""
    least_readings: int
    least_covered: tuple[int, int]
    """Share of the window, as a fraction of whole numbers."""
    longest_step: int
    """[s]"""


@dataclass(frozen=True, slots=True)
class CountsAsOn:
    """From what on something counts as on, full or open. [-]"""

    signal: float
    full: float
    fan: float
    current: float
    """[A]"""
    above_minimum: float
    usual_minimum: float
    no_free_cooling: float
    """Outdoor air from which the damper is taken to stand at its minimum. [°C]"""


@dataclass(frozen=True, slots=True)
class ShareJudged:
    """When a share of outdoor air can be judged."""

    least_difference: float
    """[K]"""
    most_travel: float
    most_fan_change: float


@dataclass(frozen=True, slots=True)
class SignalClasses:
    """Upper ends of the classes of the damper signal, and what a switch stands for. [-]"""

    shut: float
    low: float
    middle: float
    flag_minimum: float
    flag_open: float


@dataclass(frozen=True, slots=True)
class SensorAccuracy:
    """Standard uncertainty of the lasting error of each temperature sensor. [K]"""

    outdoor_temperature: float
    return_temperature: float
    mixed_temperature: float
    supply_temperature: float
    of_day: float
    """Share of it that changes from day to day. [-]"""
    of_day_outdoor: float
    accepted: float
    """By how much a sensor may be off by the energy codes. [K]"""
    fan_heat: float
    fan_heat_u: float


@dataclass(frozen=True, slots=True)
class ShareScatter:
    """What moves a share from day to day, standard uncertainty: fixed, and in proportion to it. [-]"""

    fixed: float
    of_share: float


@dataclass(frozen=True, slots=True)
class SoundDamper:
    """What a sound damper does. [-, h]"""

    least_rise: float
    flat: float
    most_shut: float
    usual_shut: float
    least_open: float
    most_at_signal: tuple[float, float]
    changed: float
    of_left_rise: float
    """Least rise of the share, of the rise that was left."""
    least_left_rise: float
    least_low: float
    off_left: float
    off_design: float
    """Of the share that was designed."""
    least_change: float
    apart: float
    least_hours: float
    least_class_hours: float


@dataclass(frozen=True, slots=True)
class WhenNamed:
    """When a fault is named."""

    times_expanded: float
    probability: float
    sound_below: float
    least_hours: float
    """Of evidence. [h]"""
    suspected: float
    """Probability from which a fault takes back that it was ruled out."""
    most: float
    windows: tuple[int, ...]
    """[d]"""


@dataclass(frozen=True, slots=True)
class DayEvidence:
    """How flags weigh, day by day. [h, -]"""

    bad_hours: float
    short_hours: float
    bad_share: float
    least_hours: float
    shown: float
    days_alike: float
    most_worth: float
    most_silent: float
    most_evidence: float


@dataclass(frozen=True, slots=True)
class Figures:
    """Figures that rules share."""

    holds: Holds
    windows: Windows
    on: CountsAsOn
    share: ShareJudged
    classes: SignalClasses
    accuracy: SensorAccuracy
    scatter: ShareScatter
    damper: SoundDamper
    named: WhenNamed
    days: DayEvidence
    air_heat: float
    """Of outdoor air, by volume. [J/(m3 K)]"""


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule."""

    id: str
    fault: str
    check: str
    """Name of the comparison in ``verdict.trend_findings``."""
    equation: str
    when: str
    needs: tuple[str, ...]
    """Points, or kinds of points; a bar parts those of which any will do."""
    at: Mapping[str, float]
    """Thresholds. [SI]"""
    source: str
    confirmed: str


@dataclass(frozen=True, slots=True)
class LoggedFault:
    """One fault that a log can show."""

    id: str
    words: str
    prior: float
    """Chance before the log is read. [-]"""
    measure: str
    """Id of the next measurement."""
    settle: str
    """What would settle it where the log does not."""
    false: float
    """Chance that a day of a sound unit shows it all the same. [-]"""
    consequence: str
    """What it costs, in words."""
    share: float
    """Of outdoor air that it moves, where none is read; 0 where it moves none. [-]"""


@dataclass(frozen=True, slots=True)
class RuleSet:
    """Rules, what they show, and the figures they share: plain data that travels to another process."""

    rules: tuple[Rule, ...]
    faults: tuple[LoggedFault, ...]
    figures: Figures

    def fault(self, named: str) -> LoggedFault:
        """Return the fault with an id; refuse an unknown one."""
        known = {one.id: one for one in self.faults}
        if named not in known:
            raise refuse_word(
                named, {one.id: one.words for one in self.faults}, "a fault that a log can show"
            )
        return known[named]

    def of_fault(self, named: str) -> tuple[Rule, ...]:
        """Return the rules that show a fault."""
        return tuple(rule for rule in self.rules if rule.fault == named)


@cache
def rule_set() -> RuleSet:
    """Return the rules that come with the package."""
    figures = _file("figures")
    return RuleSet(
        tuple(_rule(row) for row in _file("rules")["rule"]),
        tuple(map(_fault, _file("faults")["fault"])),
        Figures(
            _made(Holds, figures["holds"]),
            _made(Windows, figures["windows"]),
            _made(CountsAsOn, figures["on"]),
            _made(ShareJudged, figures["share"]),
            _made(SignalClasses, figures["classes"]),
            _made(SensorAccuracy, figures["accuracy"]),
            _made(ShareScatter, figures["accuracy_of_share"]),
            _made(SoundDamper, figures["damper"]),
            _made(WhenNamed, figures["named"]),
            _made(DayEvidence, figures["days"]),
            figures["flow"]["air_heat"],
        ),
    )


def _rule(row: Mapping[str, Any]) -> Rule:
    given = dict(row)
    at = {name: _si(value) for name, value in given.pop("at", {}).items()}
    return Rule(needs=tuple(given.pop("needs")), at=at, **given)


def _fault(row: Mapping[str, Any]) -> LoggedFault:
    """Make a fault of its row; its chance is that of the fault finder's list where that has it."""
    prior = fault_prior()
    shares = {one.id: share for one, share in zip(prior.faults, prior.shares, strict=True)}
    given = {name: _si(value) if name == "share" else value for name, value in row.items()}
    if row["id"] in shares:
        given["prior"] = shares[row["id"]] * (prior.one + 2.0 * prior.two)
    return LoggedFault(**{"share": 0.0, "false": 0.01} | given)


def _made(kind: type[Figure], row: Mapping[str, Any]) -> Figure:
    """Make figures of their table: the names are the same, texts are read as quantities."""
    return kind(**{one.name: _si(row[one.name]) for one in fields(kind)})  # type: ignore[arg-type]


def _si(value: Any) -> Any:
    if isinstance(value, list):
        return tuple(_si(one) for one in value)
    if isinstance(value, str):
        unit = value.rpartition(" ")[2]
        return read(value, _DIMENSIONS[unit]).value
    return value


_DIMENSIONS = {"%": FRACTION, "K": TEMPERATURE_DIFFERENCE, "°C": TEMPERATURE, "A": CURRENT}


def _file(name: str) -> Mapping[str, Any]:
    return read_toml("fault_rules", f"{name}.toml")
