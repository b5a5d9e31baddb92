"""What a log is judged with, and what is found in it: faults with their probability, what cannot be told, states."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from ventwright.quantity import AIRFLOW, TEMPERATURE
from ventwright.words import OR_NO_KEY, Amount, Words, measured

COVERAGE = 2.0
"""Expanded uncertainty over standard uncertainty. [-]"""
TEMPERATURES = ("outdoor_temperature", "return_temperature", "mixed_temperature", "supply_temperature")
"""Points whose accuracy may be known."""


@dataclass(frozen=True, slots=True)
class KnownUnit:
    """What a job knows of a unit; nothing of it is needed, and what is not known is taken from data and said to be so."""

    minimum_share: Mapping[float, float] = field(default_factory=dict)
    """Least share of outdoor air that was designed, by fan speed (1 is full). [-]"""
    minimum_signal: Mapping[float, float] = field(default_factory=dict)
    """Minimum position on the settings card, by fan speed. [-]"""
    high_limit: float | None = measured(TEMPERATURE, default=None)
    """Outdoor temperature above which free cooling is given up. [°C]"""
    high_limit_control: str | None = None
    """Such as "fixed dry bulb" or "differential dry bulb"."""
    compressor_lockout: float | None = measured(TEMPERATURE, default=None)
    """Below it no compressor is allowed. [°C]"""
    occupied_hours: tuple[tuple[int, int, int], ...] = ()
    """Weekday (0 is Monday), start and end in minutes after midnight, of the place."""
    sensor_accuracy: Mapping[str, float] = field(default_factory=dict)
    """Standard uncertainty of a temperature point's lasting error, by the id of the point. [K]"""
    as_left: tuple[tuple[float, float], ...] = ()
    """Damper signal and share of outdoor air as they were left, at full fan speed. [-]"""
    supply_airflow: float | None = measured(AIRFLOW, default=None)
    """At full fan speed. [m3/s]"""
    zone: str | None = None
    """Time zone of the place, such as America/Chicago; None to take the log's own."""


@dataclass(frozen=True, slots=True)
class NextMeasurement:
    """What to do on the roof next about a fault."""

    measurement: str
    """Id in ``tables.measurement``."""
    sentence: str
    minutes: float
    """With the wait for its state, and the way to it. [min]"""
    why: str
    caution: str
    """Stage of the work whose caution belongs to it."""


@dataclass(frozen=True, slots=True)
class Consequence:
    """What a fault did while it was judged: outdoor air too much or too little, and heat for nothing."""

    sentence: Words
    share: Amount | None = field(default=None, metadata=OR_NO_KEY)
    """Share of outdoor air more (+) or less (-) than without the fault, mean of the hours judged. [-]"""
    energy: Amount | None = field(default=None, metadata=OR_NO_KEY)
    """Heating and cooling for nothing in those hours; None where no supply airflow is known. [J]"""


@dataclass(frozen=True, slots=True)
class RuleEvidence:
    """What one rule saw."""

    rule: str
    """Id in ``tables.fault_rule``."""
    sentence: Words
    hours_judged: float
    """In which the rule could be judged. [h]"""
    hours_shown: float
    """In which it showed the fault. [h]"""
    days: int
    """Days on which it was judged."""
    source: str


@dataclass(frozen=True, slots=True)
class TrendFinding:
    """One fault that the log shows."""

    fault: str
    """Id of the fault finder's list where it is one of those."""
    words: str
    probability: float
    first: int
    """Seconds since 1970, UTC: first seen."""
    last: int
    """Last seen."""
    hours_judged: float
    """In which it could be judged. [h]"""
    hours_logged: float
    """Of the log. [h]"""
    consequence: Consequence
    next_measurement: NextMeasurement
    evidence: tuple[RuleEvidence, ...]


@dataclass(frozen=True, slots=True)
class CannotTell:
    """One fault that the log can neither show nor rule out, and what would."""

    fault: str
    words: str
    reason: Words
    settle_by: Words
    hours_judged: float
    hours_logged: float


@dataclass(frozen=True, slots=True)
class Spell:
    """A time without a change of mode, ends half open. Seconds since 1970, UTC."""

    mode: str
    """One of ``MODES``."""
    start: int
    end: int


MODES = (
    "off",
    "heating",
    "free cooling",
    "free and mechanical cooling",
    "mechanical cooling",
    "ventilating",
    "unknown",
)
"""What a unit may be doing."""


@dataclass(frozen=True, slots=True)
class ShareLine:
    """Share of outdoor air against damper signal, as found in the data: a straight line, and each end."""

    slope: Amount
    """Of share on signal. [-]"""
    intercept: Amount
    """Share at no signal. [-]"""
    low_signal: float
    """Mean of the lowest signals that were judged. [-]"""
    low_share: Amount
    high_signal: float
    """Mean of the highest. [-]"""
    high_share: Amount
    points: tuple[tuple[float, float, float, float], ...]
    """Signal, share, its standard uncertainty, hours: for the scatter, by class of signal. [-, -, -, h]"""


@dataclass(frozen=True, slots=True)
class Observed:
    """Settings and behaviour as the data show them; nothing where they do not."""

    change_over: Amount | None = field(default=None, metadata=OR_NO_KEY)
    """Outdoor temperature at which free cooling is given up. [°C]"""
    lockout: Amount | None = field(default=None, metadata=OR_NO_KEY)
    """Lowest outdoor temperature at which a compressor ran, where it was colder with a call. [°C]"""
    minimum_signal: tuple[tuple[float, Amount], ...] = ()
    """Damper signal at minimum, by fan speed. [-]"""
    share_line: ShareLine | None = None
    mode_hours: tuple[tuple[str, float], ...] = ()
    """Hours in each mode. [h]"""
    mode_by_outdoor: tuple[tuple[float, str, float], ...] = ()
    """Outdoor temperature (middle of a class of 2 K) [°C], mode, hours: for the plot of one against the other. [h]"""
    mode_by_hour: tuple[tuple[int, int, str, float], ...] = ()
    """Weekday (0 is Monday), hour of the place's day, mode, hours: for the heat map. [h]"""
    clearance: Amount | None = field(default=None, metadata=OR_NO_KEY)
    """Mean of mixed less return air with the damper shut: what the sensors disagree by. [K]"""


@dataclass(frozen=True, slots=True)
class UnitFindings:
    """All that is said of one unit."""

    unit: str
    findings: tuple[TrendFinding, ...]
    """The most certain first."""
    cannot_tell: tuple[CannotTell, ...]
    sound: tuple[str, ...]
    """Ids of the faults that were judged and not found."""
    observed: Observed
    states: tuple[Spell, ...]
    hours_logged: float
    rows: int
    assumed: tuple[str, ...] = ()
    """What was not known of the unit and what was taken in its place, a sentence each."""


@dataclass(frozen=True, slots=True)
class RuleFlags:
    """What one rule did with the rows of a log."""

    rule: str
    judged: int
    """Rows on which it could be judged."""
    flagged: int
    """Rows on which it showed its fault."""
    why_silent: str = ""
    """Points it needs that were not logged; empty where it could speak."""


__all__ = [
    "COVERAGE", "MODES", "TEMPERATURES", "CannotTell", "Consequence", "KnownUnit", "NextMeasurement", "Observed",
    "RuleEvidence", "RuleFlags", "ShareLine", "Spell", "TrendFinding", "UnitFindings",
]  # fmt: skip
