"""One round says as much as can be said: form and plan together, no complaint that is due to another, and a word where more may follow.

The jobs are invented. What is refused is taken for not read, never for some other value.
"""

from __future__ import annotations

import json
import pickle
import random
from collections.abc import Iterator
from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest

from ventwright import cli
from ventwright.cli import main
from ventwright.document import read_document
from ventwright.errors import Refusal, Refused, Unread, refuse_every, refuse_those
from ventwright.job import read_job

DEMO = Path(cli.__file__).parent / "demo_job" / "larkspur-row-r-2.yaml"

BOTH = """\
id: t-3
facts:
  site: {name: Nowhere, climate_zone: 3Q, elevation: high}
  unit: {tag: T-1, cooling_capacity: 10, fan_speeds: [{name: high, supply_air: 4000 cfm}, {name: low, share_of_full: 0 %}]}
  ventilation: {tolerance: 0 %}
  spaces: [{name: Shop, use: Retail / Sails, floor_area: 4800 ft2}, {name: Back, use: Retail / Sales, floor_area: 900}]
  kit: two-speed-dry-bulbs
  instruments:
    - {id: probe, kind: temperature, accuracy: 0.5 F}
    - {id: probe2, kind: temperature, accuracy: 0.5}
  power:
    transformers: [{name: one, rating: 40 VA}, {name: one, rating: forty}]
    loads: [{name: actuator, apparent_power: 5 VA, when: always on, transformer: other}]
readings:
  visits: [{id: first, started: 2026-11-18T08:30-08:00, technician: Nobody}]
  entries:
    - {what: supply air, id: q1, at: 2026-11-18T09:40-08:00, visit: second, speed: hihg, airflow: 4010, method: traverse}
    - {what: supply air, id: q2, at: 2026-11-18T09:50-08:00, visit: first, speed: lwo, airflow: 2600 cfm, method: traverse}
    - {what: restored, id: q2, at: 2026-11-18T09:55-08:00, change: q1, read_back: as it was}
"""


def refused_with(data: object, lines: Any = None, beside: Path | None = None) -> Refused | None:
    """Return what a document is refused with."""
    try:
        read_job(data, lines=lines, beside=beside)
    except Refused as refused:
        return refused
    return None


def heads(text: str) -> list[str]:
    """Return the sentences a text is refused with, up to what would be accepted."""
    data, lines = read_document(text, "job.yaml")
    refused = refused_with(data, lines)
    assert refused is not None
    return [one.sentence.partition("; accepted")[0] for one in refused.refusals]


def test_form_plan_and_readings_in_one_round() -> None:
    """What is wrong in form hides nothing that does not hang on it."""
    assert [one.partition(" (did you mean")[0] for one in heads(BOTH)] == [
        'line 3, facts.site.elevation: "high" is not a length',
        'line 3, facts.site.climate_zone: "3Q" is no climate zone',
        'line 4, facts.unit.cooling_capacity: "10" has no unit, and a heat rate needs one',
        'line 4, facts.unit.fan_speeds[2].share_of_full: "0 %" moves no air',
        'line 5, facts.ventilation.tolerance: "0 %" is no tolerance that a reading could meet or miss',
        'line 6, facts.spaces[2].floor_area: "900" has no unit, and an area needs one',
        'line 6, facts.spaces[1].use: "Retail / Sails" is no category of 62.1-2019',
        'line 7, facts.kit: "two-speed-dry-bulbs" is not on the shelf of kits, nor the name of a .yaml file',
        (
            'line 10, facts.instruments[2].accuracy: "0.5" has no unit, and a temperature difference, a fraction, a pressure, '
            "a concentration or a voltage needs one"
        ),
        'line 12, facts.power.transformers[2].rating: "forty" is not an apparent power',
        'line 12, facts.power.transformers: "one" names two transformers',
        'line 13, facts.power.loads[1].transformer: "other" is not a transformer of this job',
        'line 17, readings.entries[1].airflow: "4010" has no unit, and an airflow needs one',
        'line 17, readings.entries[1].visit: "second" is not a visit of this job',
        'line 19, readings.entries[3].id: "q2" is the id of an earlier entry',
        'line 19, readings.entries[3].change: "q1" is no temporary change',
    ]  # fmt: skip


def test_a_fan_speed_of_no_unit_does_not_wait_for_the_plan() -> None:
    """The names of the speeds are known, whatever else keeps the plan from being made."""
    text = BOTH.replace("share_of_full: 0 %", "share_of_full: 66 %").replace(
        "cooling_capacity: 10,", "cooling_capacity: 10 ton,"
    )
    found = [one for one in heads(text) if ".speed" in one]
    assert [one.partition(" is not")[0] for one in found] == [
        'line 17, readings.entries[1].speed: "hihg"', 'line 18, readings.entries[2].speed: "lwo"',
    ]  # fmt: skip


# no complaint that is due to another

ALONE = {
    "a capacity misspelt, from which the airflow would be guessed": (
        "unit: {tag: T-1, cooling_capcity: 10 ton}", "facts.unit.cooling_capcity"),
    "a key that could stand for anything": ("unit: {tag: T-1, tons: 10 ton}", "facts.unit.tons"),
    "a capacity that cannot be read": ("unit: {tag: T-1, cooling_capacity: 10}", "facts.unit.cooling_capacity"),
    "a whole part that is none": ("unit: T-1", "facts.unit"),
    "speeds that are no list": ("unit: {tag: T-1, cooling_capacity: 10 ton, fan_speeds: two}", "facts.unit.fan_speeds"),
    "a speed that is no part": ("unit: {tag: T-1, cooling_capacity: 10 ton, fan_speeds: [high, {name: low}]}", "facts.unit.fan_speeds[1]"),
    "a speed without a name": ("unit: {tag: T-1, cooling_capacity: 10 ton, fan_speeds: [{supply_air: 4000 cfm}, {name: low}]}", "facts.unit.fan_speeds[1].name"),
}  # fmt: skip

SHORT = """\
id: t-4
facts:
  site: {name: Nowhere, climate_zone: 3C}
  UNIT
  kit: two-speed-dry-bulb
readings:
  entries:
    - {what: supply air, id: q1, at: 2026-11-18T09:40-08:00, speed: low, airflow: 2600 cfm, method: traverse}
"""


@pytest.mark.parametrize(("unit", "where"), ALONE.values(), ids=ALONE.keys())
def test_what_is_due_to_a_mistake_is_not_told_beside_it(unit: str, where: str) -> None:
    """A part that is refused is not taken for one that is missing; and it is said that more may follow."""
    data, lines = read_document(SHORT.replace("UNIT", unit), "job.yaml")
    refused = refused_with(data, lines)
    assert refused is not None
    assert [one.where for one in refused.refusals] == [where]
    assert refused.more


UNKNOWN_KIND = """\
id: t-5
facts: {site: {name: Nowhere, climate_zone: 3C}, unit: {tag: T-1, cooling_capacity: 10 ton}, kit: two-speed-dry-bulb}
readings:
  entries:
    - {what: temprary change, id: c1, at: 2026-11-18T09:40-08:00, point: fan speed, was: automatic, changed_to: by hand}
    - {what: restored, id: r1, at: 2026-11-18T09:55-08:00, change: c1, read_back: as it was}
"""


def test_an_entry_of_unknown_kind_is_not_said_to_be_none() -> None:
    """What was put back may be the entry above whose kind is misspelt."""
    assert [one.partition(":")[0] for one in heads(UNKNOWN_KIND)] == ["line 5, readings.entries[1]"]


def test_a_name_given_twice_is_not_judged_by() -> None:
    """Of two instruments of one name nobody knows which took a reading, and of two speeds which moved the air."""
    text = SHORT.replace(
        "UNIT",
        "unit: {tag: T-1, cooling_capacity: 10 ton, fan_speeds: [{name: low}, {name: low, supply_air: 9}]}",
    )
    probes = "[{id: probe, kind: pressure, accuracy: 2 Pa}, {id: probe, kind: temperature, accuracy: 0.5 F}]"
    text = text.replace("readings:\n", f"  instruments: {probes}\nreadings:\n").replace(
        "method: traverse", "method: traverse, instrument: probe"
    )
    assert [one.partition(" (did you mean")[0] for one in heads(text)] == [
        'line 4, facts.unit.fan_speeds[2].supply_air: "9" has no unit, and an airflow needs one',
        'line 4, facts.unit.fan_speeds: "low" names two fan speeds',
        'line 6, facts.instruments: "probe" names two instruments',
    ]  # fmt: skip


# every leaf of a whole job

Place = tuple[str | int, ...]


def leaves(data: Any, place: Place = ()) -> Iterator[Place]:
    """Every single value of a document."""
    if isinstance(data, dict | list):
        steps = data.items() if isinstance(data, dict) else enumerate(data)
        for step, value in steps:
            yield from leaves(value, (*place, step))
    else:
        yield place


def held(data: Any, place: Place) -> Any:
    """Return the part of a document that holds a value."""
    for step in place[:-1]:
        data = data[step]
    return data


DATA = read_document(DEMO.read_text(encoding="utf-8"), DEMO.name)[0]
LEAVES = [place for place in leaves(DATA) if place not in {("schema_version",), ("made_with",)}]


def spoilt(*places: Place) -> Any:
    """Return the demo job with values that nothing can read."""
    data = deepcopy(DATA)
    for place in places:
        held(data, place)[place[-1]] = {"odd": "thing"}
    return data


def told_of(data: Any) -> tuple[set[str], bool]:
    """Return the places that are complained of, and whether more may follow."""
    refused = refused_with(data, beside=DEMO.parent)
    return (set(), False) if refused is None else ({one.where for one in refused.refusals}, refused.more)


def spelled(place: Place) -> str:
    """Write a place as people read it."""
    return "".join(f"[{step + 1}]" if isinstance(step, int) else f".{step}" for step in place)[1:]


def told_at(place: Place) -> str:
    """Return where a value is complained of: an entry of unknown kind as a whole."""
    return spelled(place[:-1] if place[-1] == "what" and "entries" in place else place)


@pytest.mark.parametrize("place", LEAVES, ids=spelled)
def test_one_mistake_anywhere_is_one_place(place: Place) -> None:
    """Whichever value of a whole job cannot be read, nothing else is complained of."""
    told, _ = told_of(spoilt(place))
    at = told_at(place)
    assert told
    assert {where for where in told if not where.startswith(at)} == set()


KEYS = [
    place for place in LEAVES if isinstance(place[-1], str) and "settings" not in place
]  # whose keys are free


@pytest.mark.parametrize("place", KEYS, ids=spelled)
def test_one_key_misspelt_anywhere_is_one_place(place: Place) -> None:
    """Whichever key is misspelt, only the part that holds it is complained of: the strange key, and one that is missing."""
    data = deepcopy(DATA)
    part = held(data, place)
    part[f"{place[-1]}x"] = part.pop(place[-1])
    told, _ = told_of(data)
    allowed = {told_at(place), f"{spelled(place)}x", spelled(place[:-1])}
    assert told
    assert told <= allowed


def test_two_mistakes_are_told_together_or_more_is_announced() -> None:
    """Of any two values neither complaint is lost in silence, and no third one comes up."""
    chance = random.Random(5)  # noqa: S311 - no secret
    for _ in range(60):
        first, second = chance.sample(LEAVES, 2)
        (one, _), (other, _) = told_of(spoilt(first)), told_of(spoilt(second))
        both, more = told_of(spoilt(first, second))
        assert both <= one | other, (first, second)
        assert more or both == one | other, (first, second)


def test_a_mistake_of_the_plan_beside_one_of_the_form() -> None:
    """A zone, a kit, an edition that do not exist are told beside any value that cannot be read, unless they hang on it."""
    wrong = {("facts", "site", "climate_zone"): "9Z", ("facts", "site", "energy_code"): "90.1-1066"}
    for place in LEAVES[::5]:
        data = spoilt(place)
        for at, value in wrong.items():
            if at != place:
                held(data, at)[at[-1]] = value
        told, _ = told_of(data)
        assert {spelled(at) for at in wrong} <= {where.removesuffix(".odd") for where in told}, place


ODD: list[Any] = [
    None,
    [],
    {},
    "x",
    "",
    0,
    -1,
    1e30,
    True,
    [None],
    [{}],
    {"a": 1},
    "5 F",
    "100 %",
    ["a", "b"],
    "0 cfm",
    [[1, 2]],
]


def places(data: Any, place: Place = ()) -> Iterator[Place]:
    """Every value and every part of a document, but for the whole."""
    if place:
        yield place
    if isinstance(data, dict | list):
        for step, value in data.items() if isinstance(data, dict) else enumerate(data):
            yield from places(value, (*place, step))


def test_whatever_stands_anywhere_is_refused_in_sentences() -> None:
    """Odd values and missing parts, several at once: what was read in part breaks nothing that looks at it."""
    chance = random.Random(11)  # noqa: S311 - no secret
    refused = 0
    for _ in range(80):
        data = deepcopy(DATA)
        for _ in range(chance.randint(1, 4)):
            place = chance.choice(list(places(data)))
            held(data, place)[place[-1]] = deepcopy(chance.choice(ODD))
        refused += refused_with(data, beside=DEMO.parent) is not None
    assert refused > 70


# a word where more may follow


def test_check_says_where_more_may_follow(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Who mends a capacity that could not be read is told beforehand that it was needed for something else."""
    path = tmp_path / "job.yaml"
    path.write_text(SHORT.replace("UNIT", "unit: {tag: T-1, cooling_capacity: 10}"), encoding="utf-8")
    assert main(["check", str(path)]) == 2
    lines = capsys.readouterr().err.splitlines()
    assert len(lines) == 2
    assert lines[1] == (
        "ventwright: More may follow once this is mended: some of the file hangs on it and could not be looked at."
    )


def test_check_says_nothing_where_nothing_can_follow(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A note that is no text hides nothing: one sentence, and that is all."""
    path = tmp_path / "job.yaml"
    text = SHORT.replace("UNIT", "unit: {tag: T-1, cooling_capacity: 10 ton, fan_speeds: [{name: low}]}")
    path.write_text(text.replace("climate_zone: 3C", "climate_zone: 3C, note: []"), encoding="utf-8")
    assert main(["check", str(path)]) == 2
    assert len(capsys.readouterr().err.splitlines()) == 1


def test_a_kit_file_is_told_in_one_round(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A setting that starts outside its range is told beside a key that is misspelt somewhere else."""
    path = tmp_path / "kit.yaml"
    path.write_text(
        "kind: kit\nid: mine\nname: Invented kit\nfan_speeds: two\nhigh_limit_control: fixed dry bulb\n"
        "damper_signal: {closed: 2 V, open: 10 V}\nintegrated: true\nsettings:\n"
        "  - {label: Opening, means: minimum damper signal, least: 0 %, most: 100 %, default: 120 %, step: 1 %}\n",
        encoding="utf-8",
    )
    assert main(["check", str(path)]) == 2
    told = [line.split(":")[1].strip() for line in capsys.readouterr().err.splitlines()]
    assert told == ["line 4, kit.yaml.fan_speeds", "line 9, kit.yaml.settings[1].default"]


# the pieces


def one(text: str) -> Refusal:
    """Return a refusal."""
    return Refusal(text, "another")


def attempts() -> Iterator[Any]:
    """Three attempts, of which one asks for what was not read; then the list itself does."""

    def refuse() -> None:
        raise Refused(one("a"))

    def ask() -> None:
        raise Unread

    yield refuse
    yield ask
    yield refuse
    raise Unread


def test_attempts_that_hang_on_what_was_not_read_are_left_out() -> None:
    """They count for nothing but the word that more may follow, which travels along."""
    with pytest.raises(Refused) as caught:
        refuse_every(attempts())
    assert (caught.value.refusals, caught.value.more) == ((one("a"),), True)
    again = pickle.loads(pickle.dumps(caught.value))  # noqa: S301 - our own
    assert (again.refusals, again.more) == (caught.value.refusals, True)
    with pytest.raises(Unread):
        refuse_every(list(attempts_of(1)))
    refuse_every([])


def test_what_a_check_yields_is_refused_as_far_as_it_comes() -> None:
    """What it found before it asked for a refused part counts."""

    def found(count: int) -> Iterator[Refusal]:
        yield from [one("a"), one("b")][:count]
        raise Unread

    with pytest.raises(Refused) as caught:
        refuse_those(found(2))
    assert (caught.value.refusals, caught.value.more) == ((one("a"), one("b")), True)
    with pytest.raises(Unread):
        refuse_those(found(0))
    refuse_those([])


def attempts_of(count: int) -> Iterator[Any]:
    """Attempts that ask for what was not read."""

    def ask() -> None:
        raise Unread

    yield from [ask] * count


def test_a_whole_job_stays_in_order() -> None:
    """What is spoilt above is taken as it stands, as YAML and as JSON."""
    assert refused_with(DATA, beside=DEMO.parent) is None
    assert refused_with(json.loads(json.dumps(DATA)), beside=DEMO.parent) is None
