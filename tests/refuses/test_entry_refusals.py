"""What a document may not hold: every mistake at once, each with its place and line, what was given, what is accepted.

The sentences are our own wording, pinned here. Site, unit and readings are invented.
"""

from __future__ import annotations

import math
from datetime import UTC, date, datetime, timedelta, timezone
from enum import StrEnum
from typing import Annotated, Any, Literal

import pytest
from pydantic import BaseModel, Field

from ventwright.document import read_document
from ventwright.entry import (
    Accuracy,
    Area,
    Count,
    Day,
    Elevation,
    Entry,
    Moment,
    Number,
    RelativeHumidity,
    Signal,
    Temperature,
    Written,
    line_of,
    place_of,
    spelled,
    validated,
)
from ventwright.errors import Refused
from ventwright.facts import Facts
from ventwright.facts.instrument import Instrument
from ventwright.quantity import AIRFLOW, FRACTION, TEMPERATURE, Quantity, read
from ventwright.readings import Readings

A_TEMPERATURE = '"72 F" or "22 °C"'
A_MOMENT = 'a time with its offset from UTC, such as "2026-11-25T09:40-08:00"'
A_DAY = "a date such as 2026-11-25"
IN_QUOTES = "text, in quotes where it looks like a number"
A_PART = 'lines of the form "key: value"'


def sentences(model: type[BaseModel], text: str) -> list[str]:
    """Return every sentence with which a YAML text is refused as a model; none where it is taken."""
    data, lines = read_document(text, "file.yaml")
    try:
        validated(model, data, lines=lines)
    except Refused as refused:
        return [refusal.sentence for refusal in refused.refusals]
    return []


class Ambient(StrEnum):
    """Words of an enumeration."""

    OUTSIDE = "outside"
    INSIDE = "inside"


class Inner(Entry):
    """A part."""

    name: str = Field(min_length=1, description="what it is called")
    air: Temperature | None = None


class Warm(Entry):
    """One kind of a union."""

    what: Literal["warm"]
    air: Temperature


class Wide(Entry):
    """Another kind of it."""

    what: Literal["wide"]
    area: Area
    parts: tuple[Inner, ...] = ()
    needed: tuple[str, ...] = Field(("a", "b"), min_length=2, description="two names")


class Outer(Entry):
    """Every kind of value once, none of them needed."""

    area: Area | None = None
    height: Elevation | None = None
    humidity: RelativeHumidity | None = None
    signal: Signal | None = None
    accuracy: Accuracy | None = None
    written: Written | None = None
    text: str = ""
    code: str = Field("a", pattern="^[a-z]+$", description="small letters")
    truth: bool = False
    count: Count | None = Field(None, ge=1, le=8)
    number: Number | None = Field(None, gt=0)
    word: Literal["gas", "electric"] | None = None
    listed: Ambient | None = None
    day: Day | None = None
    moment: Moment | None = None
    part: Inner | None = None
    parts: tuple[Inner, ...] = Field((), max_length=3)
    named: dict[str, Inner] = Field(default_factory=dict)
    kinds: tuple[Annotated[Warm | Wide, Field(discriminator="what")], ...] = ()
    kind: Annotated[Warm | Wide, Field(discriminator="what")] | None = None
    renamed_inside: tuple[Inner, ...] = Field((), alias="renamed")


ONE: dict[str, tuple[str, str]] = {
    "a bare number": (
        "area: 4800",
        'line 1, area: "4800" has no unit, and an area needs one; accepted: "4800 ft2" or "446 m2".',
    ),
    "a bare number with a point": (
        "area: 4800.5",
        'line 1, area: "4800.5" has no unit, and an area needs one; accepted: "4800 ft2" or "446 m2".',
    ),
    "a blank quantity": (
        "kind: {what: wide, area: }",
        'line 1, kind.area: nothing was given; accepted: "4800 ft2" or "446 m2".',
    ),
    "a truth value for a quantity": (
        "area: true",
        'line 1, area: "true" is not an area; accepted: "4800 ft2" or "446 m2".',
    ),
    "a list for a quantity": (
        "area: [1 ft2]",
        'line 1, area: is a list, and an area is wanted; accepted: "4800 ft2" or "446 m2".',
    ),
    "a part for a quantity": (
        "area: {value: 1 ft2}",
        'line 1, area: is several keys, and an area is wanted; accepted: "4800 ft2" or "446 m2".',
    ),
    "a decimal comma": (
        'humidity: "45,5 %"',
        (
            'line 1, humidity: "45,5 %" holds a number that is not written as it is read here; accepted: digits with a '
            'decimal point, a comma only between thousands, such as "1.5" or "12,000".'
        ),
    ),
    "more than all the humidity there is": (
        "humidity: 130 %",
        'line 1, humidity: "130 %" is not possible for a fraction here; accepted: at least 0 % and at most 100 %.',
    ),
    "higher than any building": (
        "height: 9000 m",
        (
            'line 1, height: "9000 m" is not possible for a length here; accepted: at least -1640.42 ft (-500 m) and at '
            "most 19685.04 ft (6000 m)."
        ),
    ),
    "a signal beyond full stroke": (
        "signal: 130 %",
        'line 1, signal: "130 %" is more than full stroke; accepted: at most 100 %.',
    ),
    "a signal below nothing": (
        "signal: -1 V",
        'line 1, signal: "-1 V" is not possible for a voltage here; accepted: at least 0 V.',
    ),
    "a signal without a unit": (
        "signal: 21",
        'line 1, signal: "21" has no unit, and a fraction, a voltage or a current needs one; accepted: "28 %" or "2.6 V" or "12 mA".',
    ),
    "a signal in an unknown unit": (
        "signal: 21 steps",
        (
            'line 1, signal: "21 steps" has a unit that is not known for a fraction, a voltage or a current: "steps"; accepted: '
            '"28 %" or "2.6 V" or "12 mA".'
        ),
    ),
    "a signal of another dimension": (
        "signal: 72 F",
        'line 1, signal: "72 F" is a temperature, and a fraction, a voltage or a current is wanted; accepted: "28 %" or "2.6 V" or "12 mA".',
    ),
    "no signal": (
        "signal: open",
        'line 1, signal: "open" is not a fraction, a voltage or a current; accepted: "28 %" or "2.6 V" or "12 mA".',
    ),
    "an accuracy without a unit": (
        "accuracy: ± 0.5",
        (
            'line 1, accuracy: "± 0.5" has no unit, and a temperature difference, a fraction, a pressure, a concentration '
            'or a voltage needs one; accepted: "2 F" or "1 K" (a difference, not a temperature) or "28 %" or '
            '"0.5 in.w.g." or "125 Pa" or "850 ppm" or "2.6 V".'
        ),
    ),
    "an accuracy that nothing has": (
        "accuracy: ± 0 F",
        'line 1, accuracy: "± 0 F" is the accuracy of no instrument; accepted: what its maker prints, above zero.',
    ),
    "an accuracy below zero": (
        "accuracy: -0.5 F",
        'line 1, accuracy: "-0.5 F" is not possible for a temperature difference here; accepted: at least 0 °F (0 K).',
    ),
    "a number for text": ("text: 12", f'line 1, text: "12" does not fit; accepted: {IN_QUOTES}.'),
    "a blank text": ("text:", "line 1, text: is left blank; accepted: a value."),
    "a pattern": ("code: A1", 'line 1, code: "A1" does not fit; accepted: small letters.'),
    "no truth value": ("truth: perhaps", 'line 1, truth: "perhaps" does not fit; accepted: true or false.'),
    "a word for a count": ("count: two", 'line 1, count: "two" does not fit; accepted: a whole number.'),
    "half for a count": ("count: 1.5", 'line 1, count: "1.5" does not fit; accepted: a whole number.'),
    "too small a count": ("count: 0", 'line 1, count: "0" does not fit; accepted: at least 1.'),
    "too large a count": ("count: 9", 'line 1, count: "9" does not fit; accepted: at most 8.'),
    "truth for a count": ("count: true", 'line 1, count: "true" is no number; accepted: a number.'),
    "a word for a number": ("number: many", 'line 1, number: "many" does not fit; accepted: a number.'),
    "no number": ("number: nan", 'line 1, number: "nan" does not fit; accepted: a number.'),
    "an endless number": ("number: inf", 'line 1, number: "inf" does not fit; accepted: a number.'),
    "a number too large for a machine": (
        "number: 1e400",
        'line 1, number: "1e400" does not fit; accepted: a number.',
    ),
    "nothing for a number": ("number: 0", 'line 1, number: "0" does not fit; accepted: above 0.'),
    "a word that is near": (
        "word: gass",
        'line 1, word: "gass" is not one of the words for this (did you mean gas?); accepted: gas, electric.',
    ),
    "a word that is not": (
        "word: steam",
        'line 1, word: "steam" is not one of the words for this; accepted: gas, electric.',
    ),
    "a word of an enumeration": (
        "listed: outsid",
        'line 1, listed: "outsid" is not one of the words for this (did you mean outside?); accepted: outside, inside.',
    ),
    "a number for a part": ("part: 5", f'line 1, part: "5" does not fit; accepted: {A_PART}.'),
    "a part for a list": ("parts: {name: a}", "line 1, parts: does not fit; accepted: a list."),
    "a word for a list": ("parts: a", 'line 1, parts: "a" does not fit; accepted: a list.'),
    "too many": (
        "parts: [{name: a}, {name: b}, {name: c}, {name: d}]",
        "line 1, parts: does not fit; accepted: at most 3.",
    ),
    "too few": (
        "kind: {what: wide, area: 5 m2, needed: []}",
        "line 1, kind.needed: is left blank; accepted: two names.",
    ),
    "fewer than needed": (
        "kind: {what: wide, area: 5 m2, needed: [a]}",
        "line 1, kind.needed: does not fit; accepted: at least 2.",
    ),
    "enough, but for a mistake in them": (
        "kind: {what: wide, area: 5 m2, needed: [a, 5]}",
        f'line 1, kind.needed[2]: "5" does not fit; accepted: {IN_QUOTES}.',
    ),
    "a blank name": ('part: {name: " "}', "line 1, part.name: is left blank; accepted: what it is called."),
    "a name that is not there": ("part: {}", "line 1, part.name: is missing; accepted: what it is called."),
    "a mistake in a mapping": (
        "named:\n  shop: {name: a, air: 5 cfm}",
        f'line 2, named.shop.air: "5 cfm" is an airflow, and a temperature is wanted; accepted: {A_TEMPERATURE}.',
    ),
    "an unknown key in a mapping": (
        "named:\n  shop: {name: a, are: 5 F}",
        "line 2, named.shop.are: is not known here (did you mean air?); accepted: name, air.",
    ),
    "an unknown key": (
        "part: {name: a, colour: red}",
        "line 1, part.colour: is not known here; accepted: name, air.",
    ),
    "an unknown key that is near": (
        "part: {nam: a, name: b}",
        "line 1, part.nam: is not known here (did you mean name?); accepted: name, air.",
    ),
    "the inner name of a key": (
        "renamed_inside: []",
        (
            "line 1, renamed_inside: is not known here (did you mean renamed?); accepted: area, height, humidity, signal, "
            "accuracy, written, text, code, truth, count, number, word, listed, day, moment, part, parts, named, kinds, "
            "kind, renamed."
        ),
    ),
    "an unknown key below a renamed one": (
        "renamed: [{name: a, nmae: b}]",
        "line 1, renamed[1].nmae: is not known here (did you mean name?); accepted: name, air.",
    ),
    "a missing key below a renamed one": (
        "renamed: [{name: a}, {air: 5 F}]",
        "line 1, renamed[2].name: is missing; accepted: what it is called.",
    ),
    "a mistake in one of several kinds": (
        "kinds:\n  - {what: warm, air: 5 F}\n  - {what: wide, area: 5}",
        'line 3, kinds[2].area: "5" has no unit, and an area needs one; accepted: "4800 ft2" or "446 m2".',
    ),
    "an unknown key in one of several kinds": (
        "kinds:\n  - {what: wide, area: 5 m2, aera: 5 m2}",
        "line 2, kinds[1].aera: is not known here (did you mean area?); accepted: what, area, parts, needed.",
    ),
    "a missing key in one of several kinds": (
        "kinds:\n  - what: wide\n",
        'line 2, kinds[1].area: is missing; accepted: "4800 ft2" or "446 m2".',
    ),
    "a mistake in a list of one of several kinds": (
        "kinds:\n  - what: wide\n    area: 5 m2\n    parts:\n      - name: a\n      - name: b\n        air: warm",
        f'line 7, kinds[1].parts[2].air: "warm" is not a temperature; accepted: {A_TEMPERATURE}.',
    ),
    "a mistake in a kind that stands alone": (
        "kind: {what: wide, area: 5}",
        'line 1, kind.area: "5" has no unit, and an area needs one; accepted: "4800 ft2" or "446 m2".',
    ),
    "a kind that is near": (
        "kinds: [{what: warn}]",
        'line 1, kinds[1]: "warn" is not one of the words for this (did you mean warm?); accepted: warm, wide.',
    ),
    "no kind": (
        "kinds: [{air: 5 F}]",
        "line 1, kinds[1]: does not say what it is; accepted: a line what with one of its words.",
    ),
    "a number for one of several kinds": (
        "kinds: [5]",
        f'line 1, kinds[1]: "5" does not fit; accepted: {A_PART}.',
    ),
    "a day that is not": ("day: 2026-02-30", f'line 1, day: "2026-02-30" does not fit; accepted: {A_DAY}.'),
    "a day in words": ("day: yesterday", f'line 1, day: "yesterday" is not a date; accepted: {A_DAY}.'),
    "a day in another order": (
        "day: 25.11.2026",
        f'line 1, day: "25.11.2026" is not a date; accepted: {A_DAY}.',
    ),
    "a day with strokes": ("day: 11/25/2026", f'line 1, day: "11/25/2026" is not a date; accepted: {A_DAY}.'),
    "a day with a time": (
        "day: 2026-11-25T00:00",
        f'line 1, day: "2026-11-25T00:00" is not a date; accepted: {A_DAY}.',
    ),
    "a year": ("day: 2026", f'line 1, day: "2026" is not a date; accepted: {A_DAY}.'),
    "a day without lines": ("day: 20261125", f'line 1, day: "20261125" is not a date; accepted: {A_DAY}.'),
    "seconds since some day": ("day: 0", f'line 1, day: "0" is not a date; accepted: {A_DAY}.'),
    "a time without its offset": (
        "moment: 2026-11-25T09:40",
        f'line 1, moment: "2026-11-25T09:40" has no offset from UTC; accepted: {A_MOMENT}.',
    ),
    "a time of no day": (
        "moment: 2026-13-25T09:40-08:00",
        f'line 1, moment: "2026-13-25T09:40-08:00" does not fit; accepted: {A_MOMENT}.',
    ),
    "a day for a time": (
        "moment: 2026-11-25",
        f'line 1, moment: "2026-11-25" is not a time with its offset; accepted: {A_MOMENT}.',
    ),
    "a year for a time": (
        "moment: 2026",
        f'line 1, moment: "2026" is not a time with its offset; accepted: {A_MOMENT}.',
    ),
    "an hour for a time": (
        "moment: 12:30",
        f'line 1, moment: "12:30" is not a time with its offset; accepted: {A_MOMENT}.',
    ),
    "seconds for a time": (
        "moment: 1764063600",
        f'line 1, moment: "1764063600" is not a time with its offset; accepted: {A_MOMENT}.',
    ),
}


@pytest.mark.parametrize(("text", "expected"), ONE.values(), ids=ONE.keys())
def test_one_mistake_one_sentence(text: str, expected: str) -> None:
    """Place and line, what was given, what is wrong with it, and what is accepted; nothing else is complained of."""
    assert sentences(Outer, text) == [expected]


TAKEN: dict[str, tuple[str, Any]] = {
    "accuracy": ("± 0.5 F", Accuracy),
    "accuracy in letters": ("+/- 0.5 F", Accuracy),
    "accuracy in two signs": ("+-0.5 F", Accuracy),
    "accuracy without a sign": ("0.5 F", Accuracy),
    "accuracy in per cent": ("± 2 %", Accuracy),
    "accuracy in per cent, close": ("±2%", Accuracy),
    "accuracy in parts per million": ("± 50 ppm", Accuracy),
    "signal in per cent": ("21 %", Signal),
    "signal at full stroke": ("100 %", Signal),
    "signal in volts": ("3.7 V", Signal),
    "dry air": ("0 %", RelativeHumidity),
    "saturated air": ("100 %", RelativeHumidity),
}


@pytest.mark.parametrize(("text", "annotation"), TAKEN.values(), ids=TAKEN.keys())
def test_what_is_taken_is_kept_as_typed(text: str, annotation: Any) -> None:
    """A quantity is read in each of its dimensions, and goes back into the document as it was typed."""

    class One(Entry):
        """A document of one value."""

        value: annotation

    one = validated(One, {"value": f" {text} "})
    assert one.model_dump(mode="json") == {"value": text}
    assert validated(One, one.model_dump(mode="json")) == one


def test_an_accuracy_means_the_same_with_and_without_its_sign() -> None:
    """The sign in front is how makers print it; the number is the half width."""
    with_sign = validated(Outer, {"accuracy": "± 0.5 F"}).accuracy
    without = validated(Outer, {"accuracy": "0.5 F"}).accuracy
    assert with_sign is not None
    assert without is not None
    assert with_sign.value == without.value == pytest.approx(0.5 / 1.8)


def test_days_and_times_are_taken() -> None:
    """As written, as read before, with seconds or without, and in any offset."""
    minus_eight = timezone(timedelta(hours=-8))
    for written, moment in {
        "2026-11-25T09:40-08:00": datetime(2026, 11, 25, 9, 40, tzinfo=minus_eight),
        "2026-11-25 09:40:30-0800": datetime(2026, 11, 25, 9, 40, 30, tzinfo=minus_eight),
        "2026-11-25T17:40:00.5Z": datetime(2026, 11, 25, 17, 40, 0, 500_000, tzinfo=UTC),
    }.items():
        assert validated(Outer, {"moment": written}).moment == moment
        assert validated(Outer, {"moment": moment}).moment == moment
    assert validated(Outer, {"day": "2026-11-25"}).day == date(2026, 11, 25)
    assert validated(Outer, {"day": date(2026, 11, 25)}).day == date(2026, 11, 25)


def test_a_time_without_offset_is_refused_from_a_script_too() -> None:
    """A script may hand in a time that was read before, and not one without its offset."""
    with pytest.raises(
        Refused, match=r"^moment: \"2026-11-25 09:40:00\" does not fit; accepted: a time with its offset"
    ):
        validated(Outer, {"moment": datetime(2026, 11, 25, 9, 40)})  # noqa: DTZ001 - that is what is refused


def test_a_quantity_from_a_script_is_held_against_the_field() -> None:
    """What was read before is kept where it fits, and refused where it is another quantity or out of bounds."""
    warm = read("72 F", TEMPERATURE)
    assert validated(Inner, {"name": "a", "air": warm}).air is warm
    computed = Quantity("", TEMPERATURE, 22.0)
    assert validated(Inner, {"name": "a", "air": computed}).air is computed
    with pytest.raises(Refused) as refused:
        validated(Inner, {"name": "a", "air": read("350 cfm", AIRFLOW)})
    assert str(refused.value) == (
        f'air: "350 cfm" is an airflow, and a temperature is wanted; accepted: {A_TEMPERATURE}.'
    )
    with pytest.raises(Refused) as refused:
        validated(Outer, {"humidity": read("130 %", FRACTION)})
    assert str(refused.value) == (
        'humidity: "130 %" is not possible for a fraction here; accepted: at least 0 % and at most 100 %.'
    )


def test_a_written_number_waits_for_its_reader() -> None:
    """A value that is read later comes through as text, so that the reader can say which unit is missing."""
    assert validated(Outer, {"written": 55}).written == "55"
    assert validated(Outer, {"written": 55.5}).written == "55.5"
    assert validated(Outer, {"written": "55 F"}).written == "55 F"
    assert sentences(Outer, "written: true") == [
        f'line 1, written: "true" does not fit; accepted: {IN_QUOTES}.'
    ]


def test_every_mistake_at_once_in_the_order_of_the_file() -> None:
    """Six mistakes in five lines are six sentences, not six runs."""
    text = "number: many\npart: {nam: a}\nmoment: 2026\nkinds:\n  - {what: wide, area: 5}\n"
    found = sentences(Outer, text)
    assert [one.partition(":")[0] for one in found] == [
        "line 1, number",
        "line 2, part.name",
        "line 2, part.nam",
        "line 3, moment",
        "line 5, kinds[1].area",
    ]


def test_without_lines_the_place_is_told() -> None:
    """Plain data from elsewhere has no lines; the name of what it stands in can be given instead."""
    with pytest.raises(Refused) as refused:
        validated(Outer, {"area": 5, "part": {}}, inside="mine.yaml")
    assert [refusal.sentence for refusal in refused.value.refusals] == [
        'mine.yaml.area: "5" has no unit, and an area needs one; accepted: "4800 ft2" or "446 m2".',
        "mine.yaml.part.name: is missing; accepted: what it is called.",
    ]


@pytest.mark.parametrize("given", [[], "text", 5, None])
def test_what_is_no_document_at_all(given: object) -> None:
    """A list, a word, a number or nothing in the place of a document."""
    with pytest.raises(Refused) as refused:
        validated(Outer, given, inside="mine.yaml")
    assert str(refused.value).startswith("mine.yaml: ")


def test_a_key_cannot_steer_the_terminal() -> None:
    """A key from a strange file is told without the signs that clear a screen."""
    assert sentences(Inner, 'name: a\n"\\e[2Jb": 1\n') == [
        "line 2, \N{REPLACEMENT CHARACTER}[2Jb: is not known here; accepted: name, air."
    ]


READINGS = """\
visits: 3
entries:
  - what: mixed air
    id: a
    at: 2026
    speed: high
    damper_signal: 130 %
    outdoor_air: 58
    return_air: 74 cfm
    mixed_air: [62 F, 61, ab]
    colour: red
  - what: mixd air
    id: b
  - id: c
  - what: sensor check
    id: e
    at: 2026-11-25T09:40
    sensor: outdor air
    shown:
    probe: 1,5 F
  - 5
"""


def test_readings_are_told_by_their_own_kind() -> None:
    """Each mistake has the line and place it has in the file, and the keys that are accepted are those of its kind."""
    of_mixed_air = (
        "id, at, visit, by, conditions, corrects, note, what, speed, damper_signal, outdoor_air, return_air, mixed_air, "
        "instrument, outdoor_instrument, return_instrument, mixed_instrument, behind_fan, fan_heat, sensor_shows"
    )
    kinds = (
        "supply air, mixed air, outdoor airflow, carbon dioxide, humidity, probes side by side, sensor check, setting, "
        "temporary change, restored, tick, test step, repaired, fault finding, left safe, withdrawn"
    )
    assert sentences(Readings, READINGS) == [
        'line 1, visits: "3" does not fit; accepted: a list.',
        f'line 5, entries[1].at: "2026" is not a time with its offset; accepted: {A_MOMENT}.',
        'line 7, entries[1].damper_signal: "130 %" is more than full stroke; accepted: at most 100 %.',
        f'line 8, entries[1].outdoor_air: "58" has no unit, and a temperature needs one; accepted: {A_TEMPERATURE}.',
        f'line 9, entries[1].return_air: "74 cfm" is an airflow, and a temperature is wanted; accepted: {A_TEMPERATURE}.',
        f'line 10, entries[1].mixed_air[2]: "61" has no unit, and a temperature needs one; accepted: {A_TEMPERATURE}.',
        f'line 10, entries[1].mixed_air[3]: "ab" is not a temperature; accepted: {A_TEMPERATURE}.',
        f"line 11, entries[1].colour: is not known here; accepted: {of_mixed_air}.",
        (
            f'line 12, entries[2]: "mixd air" is not one of the words for this (did you mean mixed air?); accepted: {kinds}.'
        ),
        "line 14, entries[3]: does not say what it is; accepted: a line what with one of its words.",
        f'line 17, entries[4].at: "2026-11-25T09:40" has no offset from UTC; accepted: {A_MOMENT}.',
        (
            'line 18, entries[4].sensor: "outdor air" is not one of the words for this (did you mean outdoor air?); '
            "accepted: outdoor air, return air, mixed air, supply air."
        ),
        f"line 19, entries[4].shown: nothing was given; accepted: {A_TEMPERATURE}.",
        (
            'line 20, entries[4].probe: "1,5 F" holds a number that is not written as it is read here; accepted: digits '
            'with a decimal point, a comma only between thousands, such as "1.5" or "12,000".'
        ),
        f'line 21, entries[5]: "5" does not fit; accepted: {A_PART}.',
    ]


def test_facts_that_are_not_there() -> None:
    """An empty document is told what belongs in it: keys of its parts where there is nothing better to say."""
    found = sentences(Facts, "{}")
    assert [one.partition(";")[0] for one in found] == [
        "site: is missing",
        "unit: is missing",
        "kit: is missing",
    ]
    assert "accepted: a part with name, address, climate_zone," in found[0]


def test_an_instrument_is_accurate_in_its_own_kind() -> None:
    """A thermometer has no per cent, and its sentence says where and what was typed."""
    text = "id: p\nkind: temperature\naccuracy: ± 2 %\n"
    assert sentences(Instrument, text) == [
        (
            'line 3, accuracy: "± 2 %" is a fraction, and the instrument is for temperature; accepted: "2 F" or "1 K" (a '
            "difference, not a temperature)."
        )
    ]


def test_places_are_spelled_and_found_again() -> None:
    """Counting from 1 for people, from 0 inside; a place without a line has that of the part around it."""
    place = ("facts", "unit", "fan_speeds", 1, "supply_air")
    assert spelled(place) == "facts.unit.fan_speeds[2].supply_air"
    assert place_of(spelled(place)) == place
    assert spelled(()) == ""
    assert line_of(place, {("facts",): 2, ("facts", "unit"): 5}) == 5
    assert line_of(place, {}) is None
    assert line_of((), {(): 1}) is None


def test_nothing_that_is_no_number_gets_in() -> None:
    """What Python would take for a number and no unit of measure knows is refused from a script too."""
    for number in (math.nan, math.inf, True):
        with pytest.raises(Refused):
            validated(Outer, {"number": number})


def test_what_is_accepted_names_the_words_and_not_the_field() -> None:
    """How it was measured: the ways stand in the sentence, since the field's own name says nothing."""
    text = """
entries:
  - {what: supply air, id: a, at: "2026-11-25T09:40-08:00", speed: high, airflow: 4000 cfm}
  - {what: outdoor airflow, id: b, at: "2026-11-25T09:41-08:00", speed: high, damper_signal: 21 %, airflow: 400 cfm}
  - {what: sensor check, id: c, at: "2026-11-25T09:42-08:00", shown: 58 F, probe: 58 F}
"""
    assert [one.partition(": ")[2] for one in sentences(Readings, text)] == [
        "is missing; accepted: traverse, flow plate, static pressure and fan table, temperature rise, balancing report, design value.",
        "is missing; accepted: traverse of the hood, flow station, flow hood.",
        "is missing; accepted: outdoor air, return air, mixed air, supply air.",
    ]
