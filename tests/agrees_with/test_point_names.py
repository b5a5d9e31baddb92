"""Guesses of points against names that others labelled.

Sources: Brick 1.4 (the label of every air-side class, BSD-3-Clause), and names that building staff wrote, with the class
that an open project gave each (BSD-3-Clause; tests/data/point_names/NOTICE.md). Which class is which point of a rooftop
unit is said in src/ventwright/tables/points/rooftop.toml; a class that is none of them has to be guessed as none.
"""

from __future__ import annotations

import csv
from pathlib import Path
from time import process_time

from ventwright.readings.trend import NOT_USED, guess
from ventwright.tables.point import points

DATA = Path(__file__).parents[1] / "data" / "point_names"
OF_CLASS = {name: one.id for one in points().values() for name in one.brick}

NOT_BY_TAGS = {"outdoor_damper_position", "outdoor_damper_minimum"}
"""Points whose tags, read as words, say less than a name does: a damper "sensor" is only a damper, a "cmd min" a limit."""


def rows(name: str) -> list[dict[str, str]]:
    """Return the rows of a file of labelled names."""
    with (DATA / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_every_class_of_brick_is_told_from_its_label() -> None:
    """282 labels: 60 are points of a unit and are named, 222 are alarms, limits, tuning and the like and are left alone."""
    labelled = rows("brick_air_points.csv")
    wrong = {
        row["label"]: guess(row["label"]).point
        for row in labelled
        if guess(row["label"]).point != OF_CLASS.get(row["brick_class"], NOT_USED)
    }
    assert len(labelled) == 282
    assert sum(row["brick_class"] in OF_CLASS for row in labelled) == 60
    assert wrong == {}


def test_the_classes_of_the_table_are_classes_of_brick() -> None:
    """But for four that are no air-side classes of the list."""
    known = {row["brick_class"] for row in rows("brick_air_points.csv")}
    assert OF_CLASS.keys() - known == {
        "Heating_Command",
        "Zone_Air_Humidity_Sensor",
        "Zone_Air_Temperature_Sensor",
        "Zone_Air_Temperature_Setpoint",
    }


def test_names_as_people_write_them_are_told() -> None:
    """At least nine in ten are right, and nothing is named that is no point of the unit."""
    written = rows("written_names.csv")
    found = {row["name"]: (guess(row["name"]), OF_CLASS.get(row["brick_class"], NOT_USED)) for row in written}
    right = sum(made.point == wanted for made, wanted in found.values())
    assert len(written) == 42
    assert right >= 0.9 * len(written)
    assert [
        name for name, (made, wanted) in found.items() if wanted == NOT_USED and made.point != NOT_USED
    ] == []


def test_a_sure_guess_is_right() -> None:
    """What is used before anybody looked at it is never another point."""
    for row in (*rows("brick_air_points.csv"), *rows("written_names.csv")):
        made = guess(row.get("label") or row["name"])
        if made.is_sure and made.point != NOT_USED:
            assert made.point == OF_CLASS.get(row["brick_class"], NOT_USED), row


def test_tags_of_haystack_lead_to_their_point() -> None:
    """The tags that stand with a temperature, humidity, pressure or airflow name it when they are read as words."""
    said = {
        one.id: one.haystack
        for one in points().values()
        if one.haystack and one.kind.name != "switch" and "effective" not in one.haystack
    }
    wrong = {
        name: guess(" ".join(tags)).point
        for name, tags in said.items()
        if guess(" ".join(tags)).point != name
    }
    assert len(said) > 40
    assert wrong.keys() == NOT_BY_TAGS


def test_a_heading_of_thousands_of_letters_takes_no_time() -> None:
    """Whoever sends a log names its columns: the work on one long word stays small, and so does what is remembered."""
    begun = process_time()
    assert not guess("damper" * 400).is_sure
    assert process_time() - begun < 2.0
    for number in range(5000):
        guess(f"column {number}")
    assert guess.cache_info().currsize < 5000
