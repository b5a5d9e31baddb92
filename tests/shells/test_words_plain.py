"""Results for programs name their SI unit in the key, and sentences are shown in either system of units."""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from enum import Enum, StrEnum
from types import MappingProxyType
from typing import Any

import pytest

from ventwright.quantity import (
    AIRFLOW,
    APPARENT_POWER,
    AREA,
    CONCENTRATION,
    CURRENT,
    DENSITY,
    DIMENSIONS,
    DURATION,
    ENERGY,
    ENTHALPY,
    FRACTION,
    HEAT_RATE,
    HUMIDITY_RATIO,
    LENGTH,
    PRESSURE,
    RESISTANCE,
    SPECIFIC_VOLUME,
    TEMPERATURE,
    TEMPERATURE_DIFFERENCE,
    VOLTAGE,
    Dimension,
    read,
)
from ventwright.words import Amount, Words, measured, plain, words

SUFFIXES = {
    # as documented for programs
    TEMPERATURE: "_C",
    TEMPERATURE_DIFFERENCE: "_K",
    AIRFLOW: "_m3_s",
    PRESSURE: "_Pa",
    VOLTAGE: "_V",
    CURRENT: "_A",
    RESISTANCE: "_ohm",
    HEAT_RATE: "_W",
    APPARENT_POWER: "_VA",
    LENGTH: "_m",
    AREA: "_m2",
    FRACTION: "",
    HUMIDITY_RATIO: "_kg_kg",
    ENTHALPY: "_J_kg",
    SPECIFIC_VOLUME: "_m3_kg",
    DENSITY: "_kg_m3",
    CONCENTRATION: "_ppm",
    DURATION: "_s",
    ENERGY: "_J",
}


class Colour(StrEnum):
    """A word of a list."""

    RED = "red"


class Level(Enum):
    """A number of a list."""

    LOW = 1


@dataclass(frozen=True, slots=True)
class State:
    """A result with a field of every kind."""

    dry_bulb: float = measured(TEMPERATURE)
    spread: float = measured(TEMPERATURE_DIFFERENCE)
    airflow: float | None = measured(AIRFLOW, default=None)
    speeds: tuple[float, ...] = measured(AIRFLOW, default=())
    share: float = measured(FRACTION, default=0.5)
    estimate: Amount | None = None
    colour: Colour = Colour.RED
    named: dict[str, float] = field(default_factory=dict)


def test_every_dimension_has_the_documented_suffix() -> None:
    """A program that knows the endings of keys knows the units of all numbers."""
    assert {dimension: dimension.key for dimension in SUFFIXES} == SUFFIXES
    assert {dimension.key for dimension in DIMENSIONS} == set(SUFFIXES.values())


@pytest.mark.parametrize(("dimension", "suffix"), SUFFIXES.items(), ids=str)
def test_an_amount_names_its_unit(dimension: Dimension, suffix: str) -> None:
    """In a field the amount's key and its uncertainty's end in the SI unit; without an uncertainty there is one key."""

    @dataclass(frozen=True, slots=True)
    class Result:
        """A result with one amount."""

        value: Amount

    assert plain(Result(Amount(1.5, dimension))) == {f"value{suffix}": 1.5}
    assert plain(Result(Amount(1.5, dimension, 0.2))) == {f"value{suffix}": 1.5, f"value_u{suffix}": 0.2}


def test_a_result_becomes_a_dictionary() -> None:
    """Declared fields name their unit, also where they hold nothing or several; words and numbers are plain."""
    assert plain(State(20.0, 2.0)) == {
        "dry_bulb_C": 20.0,
        "spread_K": 2.0,
        "airflow_m3_s": None,
        "speeds_m3_s": [],
        "share": 0.5,
        "estimate": None,
        "colour": "red",
        "named": {},
    }
    full = State(20.0, 2.0, 1.0, (1.0, 0.5), 0.3, Amount(5.0, PRESSURE, 0.1), Colour.RED, {"one": 1.0})
    assert plain(full) == {
        "dry_bulb_C": 20.0,
        "spread_K": 2.0,
        "airflow_m3_s": 1.0,
        "speeds_m3_s": [1.0, 0.5],
        "share": 0.3,
        "estimate_Pa": 5.0,
        "estimate_u_Pa": 0.1,
        "colour": "red",
        "named": {"one": 1.0},
    }


PLAIN: dict[str, tuple[Any, Any]] = {
    "a word of a list": (Colour.RED, "red"),
    "a number of a list": (Level.LOW, 1),
    "what a person typed": (read("72 F ± 0.5 F", TEMPERATURE), "72 F ± 0.5 F"),
    "a sentence": (words("it is {t}", t=Amount(20.0, TEMPERATURE)), "it is 20.0 °C"),
    "an amount on its own": (Amount(20.0, TEMPERATURE, 0.1), {"value_C": 20.0, "value_u_C": 0.1}),
    "a dimension": (TEMPERATURE, "temperature"),
    "several": (
        (Colour.RED, 1, None, "x", (Amount(0.5, FRACTION),)),
        ["red", 1, None, "x", [{"value": 0.5}]],
    ),
    "a list": ([Level.LOW, [2.0]], [1, [2.0]]),
    "a set": (frozenset({"b", "a", "c"}), ["a", "b", "c"]),
    "a mapping": (MappingProxyType({Colour.RED: Level.LOW, 2: None}), {"red": 1, "2": None}),
    "amounts by name": (
        {"supply": Amount(1.0, AIRFLOW, 0.1), "share": Amount(0.3, FRACTION)},
        {"supply_m3_s": 1.0, "supply_u_m3_s": 0.1, "share": 0.3},
    ),
    "results in a list": ([State(1.0, 2.0)], [plain(State(1.0, 2.0))]),
    "truth": (True, True),
    "nothing": (None, None),
}


@pytest.mark.parametrize(("thing", "expected"), PLAIN.values(), ids=PLAIN.keys())
def test_a_thing_becomes_plain(thing: Any, expected: Any) -> None:
    """Whatever stands in a result can be written as JSON, with nothing in it but words, numbers, lists and keys."""
    assert plain(thing) == expected
    assert json.loads(json.dumps(plain(thing), allow_nan=False)) == expected


def test_words_are_shown_in_both_systems() -> None:
    """One sentence, worded when it is known who reads it; its amounts bring their uncertainty along."""
    said = words(
        "{name} air is {t}, {flow} of it",
        name=Words("outdoor"),
        t=Amount(20.0, TEMPERATURE),
        flow=Amount(1.0, AIRFLOW, 0.05),
    )
    assert said.show("us") == "outdoor air is 68.0 °F, 2119 cfm ± 212 cfm of it"
    assert said.show("si") == "outdoor air is 20.0 °C, 1000 L/s ± 100 L/s of it"


def test_words_within_words_are_shown_too() -> None:
    """A sentence may stand within another; both are shown in the same system."""
    inner = words("below {t}", t=Amount(0.0, TEMPERATURE))
    assert words("no cooling {when}", when=inner).show("us") == "no cooling below 32.0 °F"
    assert words("no cooling {when}", when=inner).show("si") == "no cooling below 0.0 °C"


@pytest.mark.parametrize(
    "typed", ["shop {north}", "{", "}", "{0}", "{}", "{t.real}", "{t!r}", "100 % {", "{{x}}"]
)
def test_braces_that_a_person_typed_mean_nothing(typed: str) -> None:
    """A name from the job may hold braces; the sentence around it is shown all the same, and the name as it is."""
    assert Words(f"{typed} is cold").show("us") == f"{typed} is cold"
    assert words(f"{typed} is at {{t}}", t=Amount(20.0, TEMPERATURE)).show("us") == f"{typed} is at 68.0 °F"
    assert words("{name} is cold", name=Words(typed)).show("si") == f"{typed} is cold"


def test_an_amount_that_names_itself_in_braces_is_shown_once() -> None:
    """What an amount is replaced by is not read for braces again."""
    assert words("{a} {b}", a=Words("{b}"), b=Words("{a}")).show("us") == "{b} {a}"
