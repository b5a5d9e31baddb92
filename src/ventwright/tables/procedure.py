"""The functional tests as data: what each step does, reads and expects, its cautions, its source, and what masks it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any, Literal

from ventwright.errors import refuse_word
from ventwright.quantity import (
    DURATION,
    FRACTION,
    PRESSURE,
    RESISTANCE,
    TEMPERATURE,
    VOLTAGE,
    Dimension,
    read,
)
from ventwright.quantity.dimension import SIGNAL_CURRENT
from ventwright.tables.data_file import read_toml
from ventwright.tables.fault_prior import fault_prior
from ventwright.tables.kit import Term

Answer = Literal[
    "yes", "damper signal", "mixed air", "supply air", "pressure", "resistance", "duration", "check"
]
Named = Literal["minimum", "open", "shut", "free cooling", "relief start", "warmer than mixed"]
Simulation = Literal["proves logic", "does not count", "is the test"]

ANSWERED_IN: Mapping[Answer, tuple[Dimension, ...]] = {
    "yes": (),
    "check": (),
    "damper signal": (FRACTION, VOLTAGE, SIGNAL_CURRENT),
    "mixed air": (TEMPERATURE,),
    "supply air": (TEMPERATURE,),
    "pressure": (PRESSURE,),
    "resistance": (RESISTANCE,),
    "duration": (DURATION,),
}
"""In what a step is answered: yes or no where there is no dimension; by readings of other kinds for a check."""

FILES = ("at_rest", "cooling", "protection", "air")
"""The files of tests, in the order of the work."""


@dataclass(frozen=True, slots=True)
class StepCaution:
    """A reminder that a step names."""

    id: str
    text: str
    source: str
    confirmed: str


@dataclass(frozen=True, slots=True)
class Condition:
    """What a step needs of air or damper, and by which sensor or setting it may be simulated."""

    id: str
    needs: str
    sensor: str
    setting: Term
    source: str
    confirmed: str


@dataclass(frozen=True, slots=True)
class Applies:
    """To which units and kits a step applies; what is None or empty makes no difference."""

    demand_control: bool | None = None
    integrated: bool | None = None
    heat_pump: bool | None = None
    heats: bool | None = None
    resistive: bool | None = None
    relief: tuple[str, ...] = ()
    term: Term | None = None


@dataclass(frozen=True, slots=True)
class Called:
    """What is called for while a step runs."""

    cooling: int = 0
    heating: int = 0
    fan: bool = False
    occupied: bool = True


@dataclass(frozen=True, slots=True)
class Step:
    """One step of a functional test. ``wait`` is how long before anything is read. [s]"""

    id: str
    test: str
    do: str
    expects: str
    disconnect: Literal["on", "off"]
    fan: Literal["on", "off", "any"]
    cautions: tuple[str, ...]
    restore: str
    source: str
    confirmed: str
    answer: Answer = "yes"
    check: str | None = None
    named: Named | None = None
    limits: tuple[float | None, float | None] = (None, None)
    each_speed: bool = False
    panel: str = ""
    people: int = 1
    alone: str = ""
    condition: str | None = None
    simulation: Simulation = "proves logic"
    calls: Called | None = None
    runs_compressor: bool = False
    wait: float = 0.0
    after: tuple[str, ...] = ()
    last: bool = False
    while_waiting: bool = False
    may_be_missing: bool = False
    to_any_signal: bool = False
    """Whether the damper has to stand anywhere on its way, not only shut and open."""
    changes_something: bool = False
    """Whether a lead, a setting or the like is changed for it, whatever the weather."""
    applies: tuple[Applies, ...] = ()


@dataclass(frozen=True, slots=True)
class FunctionalTest:
    """Some steps that prove one function."""

    id: str
    title: str
    steps: tuple[Step, ...]


@dataclass(frozen=True, slots=True)
class MaskingFault:
    """A fault, the steps that say little while it is there, and why."""

    id: str
    name: str
    includes: tuple[str, ...]
    """Ids of the same fault in the diagnosis."""
    masks: tuple[str, ...]
    why: str
    moves_supply: bool = False
    """Whether its repair makes another supply airflow."""

    def hides(self, step: Step) -> bool:
        """Whether it may have masked a step."""
        return step.id in self.masks or step.test in self.masks


def _file(name: str) -> Mapping[str, Any]:
    return read_toml("procedures", "functional", f"{name}.toml")


@cache
def step_cautions() -> Mapping[str, StepCaution]:
    """Return the cautions that steps name, by id."""
    return {row["id"]: StepCaution(**row) for row in _file("cautions")["caution"]}


@cache
def conditions() -> Mapping[str, Condition]:
    """Return what steps may need, by id."""
    rows = _file("conditions")["condition"]
    return {row["id"]: Condition(**row | {"setting": Term(row["setting"])}) for row in rows}


@cache
def masking_faults() -> Mapping[str, MaskingFault]:
    """Return every fault that masks steps, by id."""
    rows = _file("masks")["fault"]
    return {
        row["id"]: MaskingFault(**row | {"masks": tuple(row["masks"]), "includes": tuple(row["includes"])})
        for row in rows
    }


@cache
def functional_tests() -> tuple[FunctionalTest, ...]:
    """Return every functional test, in the order of the work."""
    waits = {row["id"]: read(row["time"], DURATION).value for row in _file("waits")["wait"]}
    return tuple(
        FunctionalTest(row["id"], row["title"], tuple(_step(one, row, waits) for one in row["step"]))
        for name in FILES
        for row in _file(name)["test"]
    )


def _step(row: dict[str, Any], test: dict[str, Any], waits: Mapping[str, float]) -> Step:
    """Make a step of its row; what applies to the whole test applies to it."""
    given = dict(row)
    applies = tuple(_applies(one) for one in (test.get("applies"), given.pop("applies", None)) if one)
    ends = (given.pop("at_least", None), given.pop("at_most", None))
    answer: Answer = "check" if "check" in given else given.pop("answer", "yes")
    low, high = (read(end, ANSWERED_IN[answer][0]).value if end else None for end in ends)
    calls = given.pop("calls", None)
    return Step(
        test=test["id"],
        answer=answer,
        limits=(low, high),
        applies=applies,
        calls=None if calls is None else Called(**calls),
        wait=waits[given.pop("wait", "none")],
        cautions=tuple(given.pop("cautions")),
        after=tuple(given.pop("after", ())),
        **given,
    )


def _applies(row: dict[str, Any]) -> Applies:
    given = dict(row)
    term, relief = given.pop("term", None), given.pop("relief", ())
    return Applies(**given, relief=tuple(relief), term=None if term is None else Term(term))


@cache
def steps() -> Mapping[str, Step]:
    """Return every step of every test, by id."""
    return {step.id: step for test in functional_tests() for step in test.steps}


def relied_on(step: Step) -> frozenset[str]:
    """Return every step that one relies on, at whatever remove."""
    known, found, open_ = steps(), set[str](), list(step.after)
    while open_:
        following = open_.pop()
        if following not in found:
            found.add(following)
            open_ += known[following].after
    return frozenset(found)


@cache
def touches_airflow(given: str) -> bool:
    """Whether a repair, by its fault or step, may have changed what the damper brings in at a signal."""
    what = fault_or_step(given)
    of_airflow = [one for one in steps().values() if one.check == "outdoor_air"]
    if isinstance(what, MaskingFault):
        return any(map(what.hides, of_airflow))
    return any(what.id == one.id or what.id in relied_on(one) for one in of_airflow)


@cache
def touches_supply(given: str) -> bool:
    """Whether a repair, by its fault or step, may have changed the supply airflow: those of the damper do not."""
    what = fault_or_step(given)
    return isinstance(what, MaskingFault) and what.moves_supply


def step_named(given: str, where: str = "") -> Step:
    """Return the step with an id.

    Raises
    ------
    Refused
        There is no such step.
    """
    known = steps()
    if given not in known:
        said = {id_: step_words(id_) for id_ in known}
        raise refuse_word(given, said, "a step of the functional tests", where)
    return known[given]


def step_words(id_: str) -> str:
    """Say the id of a step as words: "high limit, damper"."""
    return id_.replace(".", ", ").replace("_", " ")


def fault_or_step(given: str, where: str = "") -> MaskingFault | Step:
    """Return what was repaired: a fault by id or name, or the step that failed.

    Raises
    ------
    Refused
        It is neither.
    """
    faults = {name: one for one in masking_faults().values() for name in (one.id, one.name, *one.includes)}
    found = faults.get(given) or steps().get(given)
    if found is None:
        rows = {row.id: row.words for row in fault_prior().faults}
        known = dict.fromkeys([*(rows.get(name, name) for name in faults if name not in masking_faults()), *map(step_words, steps())])  # fmt: skip
        raise refuse_word(given, list(known), "a fault or a step of the functional tests", where)
    return found
