"""What somebody can measure to find a fault: state of the unit, what is read, minutes, risk. Data, with marks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from ventwright.entry import Typed
from ventwright.entry.typed import OF_A_SIGNAL
from ventwright.errors import refuse_word
from ventwright.quantity import FRACTION, PRESSURE, TEMPERATURE_DIFFERENCE, VOLTAGE, Dimension, read
from ventwright.tables.damper_signal import DamperSignal, is_sent
from ventwright.tables.data_file import read_toml


@dataclass(frozen=True, slots=True)
class UnitState:
    """A state that the unit is put in before it is read."""

    id: str
    words: str
    settle: float
    """Until air and damper are at rest. [min]"""
    fan: bool = False
    cooling: int = 0
    heating: int = 0
    occupied: bool = True
    forced: float | None = None
    """Damper signal by the controls' own manual mode. [-]"""
    outdoor_shows: float | None = None
    """Of a substitute at the outdoor sensor's input. [°C]"""
    least_outdoor: float | None = None
    """Colder than this the state is not offered. [°C]"""
    ledger: str = ""
    """Temporary change that the state leaves until it is put back."""


@dataclass(frozen=True, slots=True)
class Part:
    """One number or word of a measurement."""

    reads: str
    u: float | None = None
    """Standard uncertainty of a number, in what is read; None for a word."""
    probe_u: float = 0.0
    """Of each temperature that a share is worked out from. [K]"""
    right: float = 1.0
    """How often a word is seen as it is. [-]"""


@dataclass(frozen=True, slots=True)
class Measurement:
    """One stop: what is read in one state; of no state where it is looked at with the unit as it stands."""

    id: str
    what: str
    parts: tuple[Part, ...]
    minutes: float
    """Without the wait for the state. [min]"""
    risk: float
    """How much dearer its minutes count for what can happen. [-]"""
    caution: str
    """Stage of the work whose caution belongs to it."""
    state: UnitState | None
    part_of: str = ""
    """Stop that reads the same among other things: this one is for a fault that the readings point to."""

    @property
    def sentence(self) -> str:
        """What to do, in one line."""
        return f"{self.what}; {self.state.words}" if self.state else self.what


@dataclass(frozen=True, slots=True)
class Complaint:
    """What somebody inside says."""

    id: str
    words: str


DIMENSIONS = {one.name: one for one in (FRACTION, TEMPERATURE_DIFFERENCE, VOLTAGE, PRESSURE)}
"""What numbers are read in, by the word of the data file."""


@dataclass(frozen=True, slots=True)
class HowEntered:
    """How one part of a measurement is entered: as a quantity, as a word, or as several words."""

    name: str
    dimension: Dimension | None
    words: tuple[str, ...]
    joined: bool
    span: tuple[float, float] | None = None
    """Ends between which a number that is simply wrong lies anywhere; None for words. [SI]"""
    signal: bool = False
    """Whether it is a damper signal, which may be typed in what the kit sends."""

    def read(self, typed: str, sent: DamperSignal | None = None) -> float | str:
        """Read what a person entered: a number in SI, or words as the data file spells them.

        Parameters
        ----------
        sent
            What the kit sends, where that is known: volts become a share of the stroke.
        """
        given = " ".join(typed.split())
        known = {word.lower(): word for word in self.words}
        if given.lower() in known:
            return known[given.lower()]
        if self.signal and is_sent(given):
            metered = Typed(OF_A_SIGNAL, 0.0)(given)
            return (metered if sent is None else sent.share(metered)).value
        if self.dimension is not None:
            return read(given, self.dimension).value
        parts = [part.strip().lower() for part in given.split("+")] if self.joined else [given.lower()]
        for part in parts:
            if part not in known:
                raise refuse_word(part, self.words, f'a word for "{self.name}"')
        order = {word: place for place, word in enumerate(known)}
        return " + ".join(known[part] for part in sorted(set(parts), key=order.__getitem__))


@dataclass(frozen=True, slots=True)
class StepAsMeasured:
    """A step of the functional tests that is a measurement of this list."""

    id: str
    measurement: str
    reads: str
    simulated: str = ""
    """Measurement where the condition was simulated; empty for the same one."""
    yes: str = ""
    no: str = ""
    """What an answer stands for; empty where the step is answered by a number."""


@dataclass(frozen=True, slots=True)
class Measurements:
    """Everything that is offered, and what it costs."""

    offered: tuple[Measurement, ...]
    complaints: tuple[Complaint, ...]
    entered: Mapping[str, HowEntered]
    """By what is read."""
    steps: Mapping[str, StepAsMeasured]
    """Steps of the functional tests, by id."""
    between: float
    """From one measurement to the next. [min]"""
    outlier: float
    """Share of readings that are simply wrong. [-]"""
    unexplained: float
    """How much less likely than usual readings are from which on nothing explains them. [-]"""


@cache
def measurements() -> Measurements:
    """Return what can be measured."""
    data = read_toml("procedures", "measurements.toml")
    states = {row["id"]: UnitState(**row) for row in data["state"]}
    offered = []
    for row in data["measurement"]:
        for name in row.get("states", [None]):
            state = None if name is None else states[name]
            several = len(row.get("states", ())) > 1
            offered.append(
                Measurement(
                    f"{row['id']}.{name}" if several else row["id"],
                    row["what"],
                    tuple(Part(**part) for part in row["parts"]),
                    row["minutes"],
                    row["risk"],
                    row["caution"],
                    state,
                    row.get("part_of", ""),
                )
            )
    cost = data["cost"]
    complaints = tuple(Complaint(**row) for row in data["complaint"])
    entered = {
        row["name"]: HowEntered(
            row["name"],
            DIMENSIONS[row["dimension"]] if "dimension" in row else None,
            tuple(row.get("words", ())),
            row.get("joined", False),
            tuple(row["span"]) if "span" in row else None,
            row.get("signal", False),
        )
        for row in data["read"]
    }
    steps = {row["id"]: StepAsMeasured(**row) for row in data["step"]}
    return Measurements(
        tuple(offered), complaints, entered, steps, cost["between"], cost["outlier"], cost["unexplained"]
    )
