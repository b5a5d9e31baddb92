"""What a job file is refused for, in the exact sentences a person reads; the job in it is invented.

The sentences are our own wording, pinned here: whoever changes one changes it for everybody who reads it.
"""

from __future__ import annotations

import errno
import os
from pathlib import Path

import pytest

from ventwright.document import LARGEST
from ventwright.errors import Refused
from ventwright.store import load
from ventwright.tables.kit import Kit
from ventwright.tables.shelf import find, names
from ventwright.tables.unit_sheet import UnitSheet

JOB = """\
schema_version: 1
id: t-1
invented: true
facts:
  site: {name: Nowhere, climate_zone: 3C, elevation: 0 ft, energy_code: 90.1-2019}
  unit:
    tag: T-1
    cooling_capacity: 10 ton
    fan_speeds: [{name: high, supply_air: 4000 cfm}, {name: low, supply_air: 2640 cfm}]
  ventilation: {standard: 62.1-2019, drawn: {cooling: 1116 cfm, source: invented sheet}}
  kit: mine.yaml
  instruments:
    - {id: probe, kind: temperature, accuracy: 0.5 F}
plan:
  choices:
    - {label: Mixed-air target, value: 55 F, reason: asked for}
readings:
  visits:
    - {id: first, started: 2026-11-18T08:30-08:00, technician: Nobody}
  entries:
    - {what: temporary change, id: c1, at: 2026-11-18T09:00-08:00, visit: first, point: fan speed, was: automatic, changed_to: by hand}
    - {what: supply air, id: q1, at: 2026-11-18T09:40-08:00, visit: first, speed: high, airflow: 4010 cfm, method: traverse}
    - what: mixed air
      id: m1
      at: 2026-11-18T10:20-08:00
      speed: low
      damper_signal: 37 %
      outdoor_air: 58 F
      return_air: 74 F
      mixed_air: [67.3 F, 66.9 F]
      instrument: probe
    - {what: restored, id: r1, at: 2026-11-18T11:30-08:00, change: c1, read_back: shows automatic}
    - {what: setting, id: l1, at: 2026-11-18T11:35-08:00, label: Mixed-air target, value: 55 F}
"""

KIT = """\
kind: kit
id: mine
name: Invented kit
fan_speeds: 2
high_limit_control: fixed dry bulb
damper_signal: {closed: 2 V, open: 10 V}
integrated: true
settings:
  - {label: Opening, means: minimum damper signal, least: 0 %, most: 100 %, default: 20 %, step: 1 %}
  - {label: Mixed-air target, means: mixed-air set point, least: 45 F, most: 65 F, default: 53 F, step: 1 F}
"""

KITS, SHEETS = names("kits"), names("units")
SAID_KITS = "; ".join(f"{one}: {find('kits', one, Kit).name}" for one in KITS)
SAID_SHEETS = "; ".join(f"{one}: {find('units', one, UnitSheet).name}" for one in SHEETS)
Changes = tuple[tuple[str, str], ...]


def sentences(path: Path) -> list[str]:
    """Return the sentences a file is refused with; none where it is taken."""
    try:
        load(path)
    except Refused as refused:
        return [refusal.sentence for refusal in refused.refusals]
    return []


def changed(*changes: tuple[str, str]) -> str:
    """Return the job with every change made exactly once."""
    text = JOB
    for old, new in changes:
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in the job"
        text = text.replace(old, new)
    return text


def refused(tmp_path: Path, *changes: tuple[str, str], kit: str = KIT) -> list[str]:
    """Return what the changed job is refused with, its kit standing beside it."""
    (tmp_path / "mine.yaml").write_text(kit, encoding="utf-8")
    path = tmp_path / "job.yaml"
    path.write_text(changed(*changes), encoding="utf-8")
    return sentences(path)


def test_the_job_itself_is_in_order(tmp_path: Path) -> None:
    """What the tests below change is taken as it stands, so that each refusal comes from its change."""
    assert refused(tmp_path) == []


ONE: dict[str, tuple[Changes, str]] = {
    "a section misspelt": (
        (("plan:\n", "plann:\n"),),
        (
            "line 14, plann: is not known here (did you mean plan?); accepted: schema_version, id, invented, practice, units, made_with, "
            "facts, plan, readings, verdict, record."
        ),
    ),
    "a key misspelt": (
        (("choices:", "choises:"),),
        "line 15, plan.choises: is not known here (did you mean choices?); accepted: choices.",
    ),
    "an instrument nobody listed": (
        (("instrument: probe", "instrument: prob"),),
        (
            'line 31, readings.entries[3].instrument: "prob" is not an instrument of this job (facts.instruments) (did you '
            "mean probe?); accepted: probe."
        ),
    ),
    "a second instrument nobody listed": (
        (("instrument: probe", "instrument: probe\n      mixed_instrument: other"),),
        (
            'line 32, readings.entries[3].mixed_instrument: "other" is not an instrument of this job (facts.instruments); '
            "accepted: probe."
        ),
    ),
    "a fan speed the unit has not": (
        (("speed: low", "speed: lo"),),
        'line 26, readings.entries[3].speed: "lo" is not a fan speed of this unit (did you mean low?); accepted: high, low.',
    ),
    "a visit that was none": (
        (("visit: first, speed", "visit: fist, speed"),),
        'line 22, readings.entries[2].visit: "fist" is not a visit of this job (did you mean first?); accepted: first.',
    ),
    "a visit where none is listed": (
        (
            ("  visits:\n    - {id: first, started: 2026-11-18T08:30-08:00, technician: Nobody}\n", ""),
            ("visit: first, point", "point"),
        ),
        (
            'line 20, readings.entries[2].visit: "first" is not a visit of this job; accepted: a visit listed under '
            "readings.visits."
        ),
    ),
    "a label of no setting, read back": (
        (("label: Mixed-air target, value: 55 F}", "label: Mixed air targett, value: 55 F}"),),
        (
            'line 33, readings.entries[5].label: "Mixed air targett" is not a setting of this kit (did you mean Mixed-air '
            "target?); accepted: Opening, Mixed-air target."
        ),
    ),
    "a label of no setting, chosen": (
        (("label: Mixed-air target, value: 55 F,", "label: Blue light, value: 55 F,"),),
        (
            'line 16, plan.choices[1].label: "Blue light" is not a setting of this kit; accepted: Opening, Mixed-air '
            "target."
        ),
    ),
    "a value the kit does not take, read back": (
        (("value: 55 F}", "value: 155 F}"),),
        'line 33, readings.entries[5].value: "155 F" is outside the range of "Mixed-air target"; accepted: 45 F to 65 F.',
    ),
    "a value the kit does not take, chosen": (
        (("value: 55 F,", "value: 20 F,"),),
        'line 16, plan.choices[1].value: "20 F" is outside the range of "Mixed-air target"; accepted: 45 F to 65 F.',
    ),
    "a signal past the open end": (
        (("damper_signal: 37 %", "damper_signal: 11 V"),),
        (
            'line 27, readings.entries[3].damper_signal: "11 V" is outside the kit\'s range of signal; accepted: 2 V to 10 V, or '
            "0 % to 100 %."
        ),
    ),
    "a change that is another entry": (
        (("change: c1", "change: q1"),),
        'line 32, readings.entries[4].change: "q1" is no temporary change; accepted: c1: fan speed.',
    ),
    "a correction of nothing": (
        (("id: r1", "id: r1, corrects: zz"),),
        'line 32, readings.entries[4].corrects: "zz" is no earlier entry; accepted: the id of an entry above.',
    ),
    "a correction of itself": (
        (("id: r1", "id: r1, corrects: r1"),),
        'line 32, readings.entries[4].corrects: "r1" is no earlier entry; accepted: the id of an entry above.',
    ),
    "a correction of what comes later": (
        (("id: r1", "id: r1, corrects: l1"),),
        'line 32, readings.entries[4].corrects: "l1" is no earlier entry; accepted: the id of an entry above.',
    ),
    "something taken back that is not named": (
        (
            (
                "what: setting, id: l1, at: 2026-11-18T11:35-08:00, label: Mixed-air target, value: 55 F",
                "what: withdrawn, id: w, at: 2026-11-18T11:35-08:00",
            ),
        ),
        "line 33, readings.entries[5].corrects: is missing; accepted: the id of the entry that is taken back.",
    ),
    "one id for two entries": (
        (("id: r1", "id: c1"),),
        'line 32, readings.entries[4].id: "c1" is the id of an earlier entry; accepted: an id of its own for each.',
    ),
    "one id for two visits": (
        (
            (
                "  visits:\n",
                "  visits:\n    - {id: first, started: 2026-11-17T08:30-08:00, technician: Nobody}\n",
            ),
        ),
        'line 20, readings.visits[2].id: "first" is the id of an earlier visit; accepted: an id of its own for each.',
    ),
    "a kind of entry misspelt": (
        (("what: restored", "what: restord"),),
        (
            'line 32, readings.entries[4]: "restord" is not one of the words for this (did you mean restored?); accepted: supply '
            "air, mixed air, outdoor airflow, carbon dioxide, humidity, probes side by side, sensor check, setting, "
            "temporary change, restored, tick, test step, repaired, fault finding, left safe, withdrawn."
        ),
    ),
    "a kit on no shelf": (
        (("kit: mine.yaml", f"kit: {KITS[0]}x"),),
        (
            f'line 11, facts.kit: "{KITS[0]}x" is not on the shelf of kits, nor the name of a .yaml file (did you mean '
            f"{KITS[0]}?); accepted: {SAID_KITS}."
        ),
    ),
    "a data sheet on no shelf": (
        (("    tag: T-1\n", "    tag: T-1\n    sheet: nothing\n"),),
        (
            'line 8, facts.unit.sheet: "nothing" is not on the shelf of units, nor the name of a .yaml file; accepted: '
            f"{SAID_SHEETS}."
        ),
    ),
    "a supply fan that stands still": (
        (("airflow: 4010 cfm", "airflow: 0 cfm"),),
        (
            'line 22, readings.entries[2].airflow: "0 cfm" is no supply airflow; accepted: more than nothing, such as "350 cfm" '
            'or "165 L/s"; a fan that stands still is a note, not an airflow.'
        ),
    ),
    "a newer document": (
        (("schema_version: 1", "schema_version: 2"),),
        'line 1, schema_version: "2" was written by a newer Ventwright; accepted: an update of Ventwright.',
    ),
    "a version in words": (
        (("schema_version: 1", "schema_version: one"),),
        'line 1, schema_version: "one" is no schema version; accepted: 1.',
    ),
    "a version that only equals one": (
        (("schema_version: 1", "schema_version: true"),),
        'line 1, schema_version: "True" is no schema version; accepted: 1.',
    ),
    "a version left blank": (
        (("schema_version: 1", "schema_version:"),),
        "line 1, schema_version: is no schema version; accepted: 1.",
    ),
    "a key twice": (
        (("id: m1", "id: m1\n      id: m2"),),
        "line 25, id: stands here twice; accepted: every key once.",
    ),
    "a bracket left open": (
        (("[67.3 F, 66.9 F]", "[67.3 F, 66.9 F"),),
        (
            "line 31, job.yaml: is not YAML or JSON: expected ',' or ']', but got ':'; accepted: lines of the form \"key: "
            'value", indented with spaces.'
        ),
    ),
}


@pytest.mark.parametrize(("changes", "sentence"), ONE.values(), ids=ONE.keys())
def test_one_mistake_one_sentence(tmp_path: Path, changes: Changes, sentence: str) -> None:
    """The sentence names line and place, what was given, and what is accepted; there is no second one."""
    assert refused(tmp_path, *changes) == [sentence]


def test_every_mistake_of_form_at_once(tmp_path: Path) -> None:
    """Four mistakes of spelling and form are four sentences in the order of the file, not four runs."""
    assert refused(
        tmp_path,
        ("choices:", "choises:"),
        ("technician: Nobody", "technicain: Nobody"),
        ("airflow: 4010 cfm", "airflow: 4010"),
    ) == [
        "line 15, plan.choises: is not known here (did you mean choices?); accepted: choices.",
        "line 19, readings.visits[1].technician: is missing; accepted: name of whoever did the work.",
        (
            "line 19, readings.visits[1].technicain: is not known here (did you mean technician?); accepted: id, started, ended, "
            "technician, certificate, purpose, sky, outdoor_air."
        ),
        (
            'line 22, readings.entries[2].airflow: "4010" has no unit, and an airflow needs one; accepted: "350 cfm" or '
            '"165 L/s".'
        ),
    ]


def test_every_name_that_points_nowhere_at_once(tmp_path: Path) -> None:
    """Strangers in sheet, kit and readings are named together; what hangs on the unknown kit waits for it."""
    assert refused(
        tmp_path,
        ("    tag: T-1\n", "    tag: T-1\n    sheet: nothing\n"),
        ("kit: mine.yaml", "kit: nothing"),
        ("speed: low", "speed: nothing"),
        ("value: 55 F}", "value: 155 F}"),
        ("instrument: probe", "instrument: nothing"),
    ) == [
        (
            'line 8, facts.unit.sheet: "nothing" is not on the shelf of units, nor the name of a .yaml file; accepted: '
            f"{SAID_SHEETS}."
        ),
        (
            'line 12, facts.kit: "nothing" is not on the shelf of kits, nor the name of a .yaml file; accepted: '
            f"{SAID_KITS}."
        ),
        (
            'line 32, readings.entries[3].instrument: "nothing" is not an instrument of this job (facts.instruments); accepted: '
            "probe."
        ),
    ]


@pytest.mark.parametrize(
    ("zone", "said"),
    [("7", None), ("8", None), ("9", 'line 3, facts.site.climate_zone: "9" is no climate zone')],
)
def test_a_zone_without_a_letter_needs_no_quotes(tmp_path: Path, zone: str, said: str | None) -> None:
    """YAML reads 7 and 8 as numbers; the cold zones are typed like all others, and 9 is told from them."""
    path = tmp_path / "cold.yaml"
    text = MANY.replace("3Q, energy_code: 90.1-1066", f"{zone}, elevation: 1900 m")
    path.write_text(text, encoding="utf-8")
    found = [one.partition("; accepted")[0] for one in sentences(path) if "climate_zone" in one]
    assert found == ([said] if said else [])


MANY = """\
id: t-2
facts:
  site: {name: Nowhere, climate_zone: 3Q, energy_code: 90.1-1066}
  unit:
    tag: T-1
    cooling_capacity: 10 ton
    fan_speeds: [{name: high}, {name: low, share_of_full: 0 %}, {name: creep, share_of_full: 0 %}]
  ventilation: {tolerance: 0 %, zones: [{name: Attic}, {name: Cellar}], system: multiple zones}
  spaces: [{name: Shop, use: Retail / Sales, floor_area: 4800 ft2}]
  kit: two-speed-dry-bulb
  power:
    transformers:
      - {name: one, rating: 40 VA, metered: {idle: 26 V, instrument: nothing}}
      - {name: other, rating: 40 VA, metered: {idle: 26 V, instrument: no-meter}}
  harness: {board: nothing, adapters: [none-such, and-none]}
"""


@pytest.mark.parametrize("kit", ["two-speed-dry-bulb", "nothing"])
def test_every_mistake_of_the_plan_at_once(tmp_path: Path, kit: str) -> None:
    """Place, fan, ventilation, power and harness do not wait for one another, nor for the kit; the lines of the file stay."""
    path = tmp_path / "many.yaml"
    path.write_text(MANY.replace("kit: two-speed-dry-bulb", f"kit: {kit}"), encoding="utf-8")
    heads = [one.partition("; accepted")[0] for one in sentences(path)]
    of_the_kit = [f'line 10, facts.kit: "{kit}" is not on the shelf of kits, nor the name of a .yaml file']
    assert [one.partition(" (the nearest")[0] for one in heads] == [
        'line 3, facts.site.climate_zone: "3Q" is no climate zone',
        'line 3, facts.site.energy_code: "90.1-1066" is no edition of an energy code with tables here',
        'line 7, facts.unit.fan_speeds[2].share_of_full: "0 %" moves no air',
        'line 7, facts.unit.fan_speeds[3].share_of_full: "0 %" moves no air',
        'line 8, facts.ventilation.tolerance: "0 %" is no tolerance that a reading could meet or miss',
        'line 8, facts.ventilation.zones: "Attic" is the zone of no space',
        'line 8, facts.ventilation.zones: "Cellar" is the zone of no space',
        *(of_the_kit if kit == "nothing" else []),
        'line 13, facts.power.transformers[1].metered.instrument: "nothing" is no instrument of this job',
        'line 14, facts.power.transformers[2].metered.instrument: "no-meter" is no instrument of this job',
        'line 15, facts.harness.adapters[1]: "none-such" is not on the shelf of adapters, nor the name of a .yaml file',
        'line 15, facts.harness.adapters[2]: "and-none" is not on the shelf of adapters, nor the name of a .yaml file',
        'line 15, facts.harness.board: "nothing" is not on the shelf of boards, nor the name of a .yaml file',
    ]


def test_every_mistake_of_the_zones_at_once(tmp_path: Path) -> None:
    """Two zones that lack what the method needs are two sentences, and one use that is unknown hides none of them."""
    text = MANY.replace("3Q", "3C").replace("90.1-1066", "90.1-2019").replace(", share_of_full: 0 %", "")
    text = text.replace("tolerance: 0 %, zones: [{name: Attic}, {name: Cellar}]", "method: appendix A")
    text = text[: text.index("  power:")].replace(
        "floor_area: 4800 ft2}",
        "floor_area: 4800 ft2}, {name: Back, use: Retail / Sales, floor_area: 900 ft2}",
    )
    path = tmp_path / "zones.yaml"
    path.write_text(text, encoding="utf-8")
    assert [one.partition(",  ")[0].partition("; accepted")[0] for one in sentences(path)] == [
        'line 8, facts.ventilation.zones (least_primary_air): "Shop" has no primary airflow, and 62.1-2019 (appendix A) needs that of every zone',
        'line 8, facts.ventilation.zones (least_primary_air): "Back" has no primary airflow, and 62.1-2019 (appendix A) needs that of every zone',
    ]


def test_every_entry_that_hangs_in_the_air_at_once(tmp_path: Path) -> None:
    """Visit, id and change that point nowhere are three sentences."""
    assert refused(
        tmp_path,
        ("visit: first, point", "visit: second, point"),
        ("id: r1", "id: q1"),
        ("change: c1", "change: m1"),
    ) == [
        'line 21, readings.entries[1].visit: "second" is not a visit of this job; accepted: first.',
        'line 32, readings.entries[4].id: "q1" is the id of an earlier entry; accepted: an id of its own for each.',
        'line 32, readings.entries[4].change: "m1" is no temporary change; accepted: c1: fan speed.',
    ]


def test_a_kit_of_ones_own_is_refused_with_its_own_lines(tmp_path: Path) -> None:
    """A mistake in the kit's file is placed in that file, not in the job."""
    kit = KIT.replace("fan_speeds: 2", "fan_speeds: two") + "colour: red\n"
    found = refused(tmp_path, kit=kit)
    assert [sentence.partition(":")[0] for sentence in found] == [
        "line 4, mine.yaml.fan_speeds",
        "line 11, mine.yaml.colour",
    ]


def test_a_kit_of_ones_own_that_is_not_there(tmp_path: Path) -> None:
    """A kit's file is looked for beside the job, and its absence said."""
    assert refused(tmp_path, ("kit: mine.yaml", "kit: yours.yaml")) == [
        f"{tmp_path / 'yours.yaml'}: cannot be read; accepted: a .yaml or .json file that exists."
    ]


FILES: dict[str, tuple[bytes, str]] = {
    "nothing in it": (
        b"",
        "job.yaml: is empty; accepted: a document; `ventwright new` writes one to start from.",
    ),
    "comments only": (
        b"# to be filled in\n",
        "job.yaml: is empty; accepted: a document; `ventwright new` writes one to start from.",
    ),
    "a list": (
        b"- one\n- two\n",
        "job.yaml: holds no job; accepted: a document with facts, as `ventwright new` writes it.",
    ),
    "a sentence": (
        b"call the customer\n",
        "job.yaml: holds no job; accepted: a document with facts, as `ventwright new` writes it.",
    ),
    "two documents": (
        b"id: a\n---\nid: b\n",
        (
            "line 2, job.yaml: is not YAML or JSON: but found another document; accepted: lines of the form "
            '"key: value", indented with spaces.'
        ),
    ),
    "a picture": (
        b"\x89PNG\r\n\x1a\n\x00\x00\xff\xfe",
        "PATH: is not a text file; accepted: a job as .yaml or .json, in UTF-8.",
    ),
    "letters of another encoding": (
        "id: Prüfung".encode("latin-1"),
        "PATH: is not a text file; accepted: a job as .yaml or .json, in UTF-8.",
    ),
    "more than anybody writes": (
        b"#" * (LARGEST + 1),
        "PATH: is too large; accepted: a job file of at most 5 MB.",
    ),
}


@pytest.mark.parametrize(("content", "sentence"), FILES.values(), ids=FILES.keys())
def test_a_file_that_is_no_job(tmp_path: Path, content: bytes, sentence: str) -> None:
    """Whatever stands in the file, the answer is one sentence."""
    path = tmp_path / "job.yaml"
    path.write_bytes(content)
    assert sentences(path) == [sentence.replace("PATH", str(path))]


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    """A path that leads nowhere is said with the system's reason."""
    path = tmp_path / "job.yaml"
    assert sentences(path) == [
        f"{path}: cannot be read (no such file or directory); accepted: the path of a job file that exists."
    ]


def test_a_folder_is_no_job(tmp_path: Path) -> None:
    """A folder is said to be one."""
    assert sentences(tmp_path) == [
        f"{tmp_path}: cannot be read (is a directory); accepted: the path of a job file that exists."
    ]


def test_a_name_that_no_file_can_have() -> None:
    """A name with a zero byte in it is refused, not passed on to the system."""
    assert sentences(Path("a\0b.yaml")) == [
        "a\0b.yaml: cannot be read (no name for a file); accepted: the path of a job file that exists."
    ]


@pytest.mark.skipif(not Path("/dev/zero").exists(), reason="the system has no endless device")
def test_a_device_without_end_is_not_read_to_its_end() -> None:
    """A device has no size; it is too large all the same, and found so at once."""
    assert sentences(Path("/dev/zero")) == ["/dev/zero: is too large; accepted: a job file of at most 5 MB."]


def test_a_file_that_may_not_be_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Without permission the reason is said; root may read everything, so the system's answer is put in its mouth."""
    path = tmp_path / "job.yaml"
    path.write_text(JOB, encoding="utf-8")

    def forbidden(*_: object, **__: object) -> None:
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))

    monkeypatch.setattr(Path, "open", forbidden)
    monkeypatch.setattr(Path, "read_bytes", forbidden)
    monkeypatch.setattr(Path, "read_text", forbidden)
    assert sentences(path) == [
        f"{path}: cannot be read (permission denied); accepted: the path of a job file that exists."
    ]


def test_a_drawing_that_asks_for_nothing(tmp_path: Path) -> None:
    """A drawn airflow of nothing is a slip, not a requirement that everything then misses."""
    path = tmp_path / "job.yaml"
    path.write_text(
        "facts:\n"
        "  kit: two-speed-dry-bulb\n"
        "  site: {name: Nowhere, climate_zone: 3C}\n"
        "  unit: {tag: T-1, cooling_capacity: 10 ton}\n"
        "  ventilation:\n"
        "    drawn: {cooling: 0 cfm, source: invented sheet}\n"
        "id: t\n",
        encoding="utf-8",
    )
    assert sentences(path) == [
        (
            'line 6, facts.ventilation.drawn.cooling: "0 cfm" asks for no outdoor air; accepted: the airflow drawn, such as "350 cfm" '
            'or "165 L/s".'
        )
    ]
