"""Equipment files of a person's own: a good one is read, a bad one is explained mistake by mistake, with its lines.

Every kit, unit and board here is invented; no such product exists.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from ventwright.document import LARGEST, read_document
from ventwright.entry import Entry
from ventwright.errors import Refused
from ventwright.quantity import FRACTION, TEMPERATURE, VOLTAGE, read
from ventwright.tables.board import Board
from ventwright.tables.kit import Kit, Term
from ventwright.tables.shelf import find, names, read_part
from ventwright.tables.unit_sheet import UnitSheet

KIT = """\
kind: kit
id: my-kit
name: Invented kit of my own
fan_speeds: 1
high_limit_control: fixed dry bulb
damper_signal: {closed: 2 V, open: 10 V}
integrated: true
settings:
  - {label: Smallest opening, means: minimum damper signal, least: 0 %, most: 60 %, step: 1 %, default: 20 %}
  - {label: Too warm above, means: dry-bulb high limit, least: 48 F, most: 80 F, step: 1 F, default: 63 F}
"""

UNIT = """\
kind: unit
id: my-unit
name: Invented unit of my own
cooling_capacity: 5 ton
cooling_stages: 1
heating: gas
fan_speeds: [{name: high, supply_air: 2000 cfm}]
"""

BOARD = """\
kind: board
id: my-board
name: Invented board of my own
terminals:
  - {mark: R, function: 24 V supply, role: source}
"""


def changed(text: str, *changes: tuple[str, str]) -> str:
    """Return a text with every change made exactly once."""
    for old, new in changes:
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in the file"
        text = text.replace(old, new)
    return text


def sentences(folder: Path, text: str, model: type[Entry] = Kit) -> list[str]:
    """Return the sentences with which a file is refused; none where it is taken."""
    path = folder / "mine.yaml"
    path.write_text(text, encoding="utf-8")
    try:
        read_part(path, model)
    except Refused as refused:
        return [refusal.sentence for refusal in refused.refusals]
    return []


@pytest.mark.parametrize(
    ("kind", "text", "model"), [("kits", KIT, Kit), ("units", UNIT, UnitSheet), ("boards", BOARD, Board)]
)
def test_a_good_file_is_read_by_its_name(tmp_path: Path, kind: str, text: str, model: type[Entry]) -> None:
    """Beside the job, by a whole path, as JSON with tabs, with a mark at the front: always the same thing."""
    (tmp_path / "mine.yaml").write_text(text, encoding="utf-8")
    (tmp_path / "marked.yml").write_text(text, encoding="utf-8-sig")
    document, _ = read_document(text, "mine.yaml")
    (tmp_path / "mine.json").write_text(json.dumps(document, indent="\t"), encoding="utf-8")
    mine = find(kind, "mine.yaml", model, tmp_path)
    assert mine.model_dump()["id"].startswith("my-")
    assert find(kind, str(tmp_path / "mine.yaml"), model) == mine
    assert find(kind, "marked.yml", model, tmp_path) == mine
    assert find(kind, "mine.json", model, tmp_path) == mine


def test_a_kit_means_what_its_file_says(tmp_path: Path) -> None:
    """Settings are read in their own dimension, a step as a difference, the signal as a share of its range."""
    (tmp_path / "mine.yaml").write_text(KIT, encoding="utf-8")
    kit = find("kits", "mine.yaml", Kit, tmp_path)
    opening, limit = kit.settings
    assert (opening.least.value, opening.most.value, opening.step) == (0.0, 0.6, 0.01)
    assert limit.step == pytest.approx(1 / 1.8)
    assert kit.setting(" smallest OPENING ") == opening
    assert kit.setting_for(Term.DRY_BULB_HIGH_LIMIT) == limit
    assert kit.setting_for(Term.RELIEF_START) is None
    assert kit.share_of_stroke(read("6 V", VOLTAGE)) == pytest.approx(0.5)
    assert kit.share_of_stroke(read("21 %", FRACTION)) == 0.21
    assert kit.signal_at(0.5) == 6.0


def test_a_step_of_enthalpy_is_a_difference(tmp_path: Path) -> None:
    """Half a Btu per pound is 1163 J/kg (1 Btu/lb is 2326 J/kg: NIST SP 811, B.8), not an enthalpy far below zero."""
    text = changed(
        KIT,
        ("means: dry-bulb high limit", "means: enthalpy high limit"),
        (
            "least: 48 F, most: 80 F, step: 1 F, default: 63 F",
            "least: 20 Btu/lb, most: 32 Btu/lb, step: 0.5 Btu/lb, default: 28 Btu/lb",
        ),
    )
    (tmp_path / "mine.yaml").write_text(text, encoding="utf-8")
    assert find("kits", "mine.yaml", Kit, tmp_path).settings[1].step == pytest.approx(1163.0)


ONE: dict[str, tuple[tuple[str, str], str]] = {
    "a value without a unit": (
        ("default: 63 F", "default: 63"),
        (
            'line 10, mine.yaml.settings[2].default: "63" has no unit, and a temperature needs one; accepted: "72 F" or '
            '"22 °C".'
        ),
    ),
    "a value of another dimension": (
        ("default: 20 %", "default: 20 F"),
        (
            'line 9, mine.yaml.settings[1].default: "20 F" is a temperature, and a fraction is wanted; accepted: "28 %".'
        ),
    ),
    "an opening beyond full stroke": (
        ("most: 60 %", "most: 130 %"),
        (
            'line 9, mine.yaml.settings[1].most: "130 %" is not possible for a fraction here; accepted: at least 0 % and '
            "at most 100 %."
        ),
    ),
    "an opening below nothing": (
        ("least: 0 %", "least: -5 %"),
        (
            'line 9, mine.yaml.settings[1].least: "-5 %" is not possible for a fraction here; accepted: at least 0 % and '
            "at most 100 %."
        ),
    ),
    "a range upside down": (
        ("least: 48 F", "least: 90 F"),
        'line 10, mine.yaml.settings[2]: "90 F to 80 F" is no range; accepted: a lowest value below the highest.',
    ),
    "a default outside the range": (
        ("default: 63 F", "default: 90 F"),
        (
            'line 10, mine.yaml.settings[2].default: "90 F" is outside the setting\'s own range; accepted: a value from '
            "48 F to 80 F."
        ),
    ),
    "a step of nothing": (
        ("step: 1 F", "step: 0 F"),
        (
            'line 10, mine.yaml.settings[2].step: "0 F" is no step; accepted: more than nothing, no more than the whole '
            "range."
        ),
    ),
    "a step backwards": (
        ("step: 1 F", "step: -1 F"),
        (
            'line 10, mine.yaml.settings[2].step: "-1 F" is no step; accepted: more than nothing, no more than the whole '
            "range."
        ),
    ),
    "a step of another dimension": (
        ("step: 1 F", "step: 1 cfm"),
        (
            'line 10, mine.yaml.settings[2].step: "1 cfm" is an airflow, and a temperature difference is wanted; '
            'accepted: "2 F" or "1 K" (a difference, not a temperature).'
        ),
    ),
    "one label for two settings": (
        ("label: Too warm above", "label: SMALLEST opening"),
        (
            'line 10, mine.yaml.settings[2].label: "SMALLEST opening" is the label of an earlier setting; accepted: a '
            "label of its own for every setting."
        ),
    ),
    "a signal that falls": (
        ("{closed: 2 V, open: 10 V}", "{closed: 10 V, open: 2 V}"),
        (
            'line 6, mine.yaml.damper_signal: "10 V to 2 V" is no range of signal; accepted: two ends in one unit, closed '
            "below open."
        ),
    ),
    "a signal in two units": (
        ("{closed: 2 V, open: 10 V}", "{closed: 2 V, open: 100 %}"),
        (
            'line 6, mine.yaml.damper_signal: "2 V to 100 %" is no range of signal; accepted: two ends in one unit, closed '
            "below open."
        ),
    ),
    "a key misspelt": (
        ("step: 1 F", "stp: 1 F"),
        (
            "line 10, mine.yaml.settings[2].stp: is not known here (did you mean step?); accepted: label, means, fan, "
            "least, most, default, step."
        ),
    ),
    "an id with a space": (
        ("id: my-kit", "id: My kit"),
        'line 2, mine.yaml.id: "My kit" does not fit; accepted: short name in small letters, digits and hyphens.',
    ),
    "a control misspelt": (
        ("fixed dry bulb", "fixed drybulb"),
        (
            'line 5, mine.yaml.high_limit_control: "fixed drybulb" is not one of the words for this (did you mean fixed '
            "dry bulb?); accepted: fixed dry bulb, differential dry bulb, fixed enthalpy and dry bulb, differential "
            "enthalpy and dry bulb."
        ),
    ),
    "too many fan speeds": (
        ("fan_speeds: 1", "fan_speeds: 9"),
        'line 4, mine.yaml.fan_speeds: "9" does not fit; accepted: at most 4.',
    ),
    "an alias": (
        ("id: my-kit\nname: Invented kit of my own", "id: &it my-kit\nname: *it"),
        "line 3, mine.yaml: repeats another part of the file (*it); accepted: every part written out where it stands.",
    ),
}


@pytest.mark.parametrize(("change", "expected"), ONE.values(), ids=ONE.keys())
def test_one_mistake_in_a_kit(tmp_path: Path, change: tuple[str, str], expected: str) -> None:
    """File and line, the place in the file's own keys, what is wrong, and what is accepted."""
    assert sentences(tmp_path, changed(KIT, change)) == [expected]


def test_many_mistakes_in_a_kit_at_once(tmp_path: Path) -> None:
    """Mistakes of form are all told at once; the values of settings wait until their form is right."""
    text = changed(
        KIT,
        ("kind: kit", "kind: kitt"),
        ("name: Invented kit of my own\n", ""),
        ("integrated: true", "integrated: mostly"),
        ("means: minimum damper signal", "means: smallest signal"),
        ("step: 1 F", "stp: 1 F"),
    )
    found = sentences(tmp_path, text + "colour: red\n")
    assert [one.partition(":")[0] for one in found] == [
        "mine.yaml.name",
        "line 1, mine.yaml.kind",
        "line 6, mine.yaml.integrated",
        "line 8, mine.yaml.settings[1].means",
        "line 9, mine.yaml.settings[2].stp",
        "line 10, mine.yaml.colour",
    ]
    assert found[0] == "mine.yaml.name: is missing; accepted: what people call it."
    assert (
        found[1]
        == 'line 1, mine.yaml.kind: "kitt" is not one of the words for this (did you mean kit?); accepted: kit.'
    )


def test_many_values_of_a_kit_at_once(tmp_path: Path) -> None:
    """Every value that cannot be read is told, in whatever setting it stands."""
    text = changed(
        KIT,
        ("least: 0 %", "least: nothing"),
        ("default: 20 %", "default: 20"),
        ("step: 1 F", "step: 1"),
        ("most: 80 F", "most: 80 K %"),
    )
    assert [one.partition(":")[0] for one in sentences(tmp_path, text)] == [
        "line 9, mine.yaml.settings[1].least",
        "line 9, mine.yaml.settings[1].default",
        "line 10, mine.yaml.settings[2].most",
        "line 10, mine.yaml.settings[2].step",
    ]


def test_mistakes_in_a_unit(tmp_path: Path) -> None:
    """What a data sheet needs, and in which words."""
    assert sentences(
        tmp_path,
        changed(UNIT, ("5 ton", "5"), ("gas", "steam"), ("cooling_stages: 1\n", ""), ("2000 cfm", "2000 F")),
        UnitSheet,
    ) == [
        "mine.yaml.cooling_stages: is missing; accepted: stages of mechanical cooling, such as 2.",
        (
            'line 4, mine.yaml.cooling_capacity: "5" has no unit, and a heat rate needs one; accepted: "10 ton", '
            '"54000 Btu/h" or "35 kW".'
        ),
        (
            'line 5, mine.yaml.heating: "steam" is not one of the words for this; accepted: gas, electric, heat pump, hot '
            "water, none."
        ),
        (
            'line 6, mine.yaml.fan_speeds[1].supply_air: "2000 F" is a temperature, and an airflow is wanted; accepted: '
            '"350 cfm" or "165 L/s".'
        ),
    ]


def test_fan_speeds_of_a_unit(tmp_path: Path) -> None:
    """A unit has at least one fan speed, and no name for two of them."""
    speeds = "[{name: high, supply_air: 2000 cfm}]"
    assert sentences(tmp_path, changed(UNIT, (speeds, "[]")), UnitSheet) == [
        "line 7, mine.yaml.fan_speeds: is left blank; accepted: its fan speeds, fastest first, each with name and supply_air."
    ]
    twice = f"{speeds[:-1]}, {speeds[1:]}"
    assert sentences(tmp_path, changed(UNIT, (speeds, twice)), UnitSheet) == [
        'line 7, mine.yaml.fan_speeds: "high" names two fan speeds; accepted: a name of its own for every speed.'
    ]


def test_mistakes_in_a_board(tmp_path: Path) -> None:
    """A terminal says what it carries in the trade's words; its mark alone is not enough."""
    found = sentences(tmp_path, changed(BOARD, ("function: 24 V supply", "function: 24 V suply")), Board)
    assert len(found) == 1
    assert found[0].startswith(
        'line 5, mine.yaml.terminals[1].function: "24 V suply" is not one of the words for this (did you mean 24 V supply?);'
    )
    assert sentences(tmp_path, changed(BOARD, ("mark: R, ", "")), Board) == [
        (
            "line 5, mine.yaml.terminals[1].mark: is missing; accepted: what is printed beside it, or what the wire is "
            "called."
        )
    ]


def test_a_file_of_another_kind(tmp_path: Path) -> None:
    """A board in the place of a kit is first of all said to be one."""
    assert 'line 1, mine.yaml.kind: "board" is not one of the words for this; accepted: kit.' in sentences(
        tmp_path, BOARD
    )


def test_a_list_is_no_equipment(tmp_path: Path) -> None:
    """One file describes one thing."""
    assert sentences(tmp_path, "- kind: kit\n") == [
        'mine.yaml: does not fit; accepted: lines of the form "key: value".'
    ]


def said_of(kind: str, model: type[Entry]) -> str:
    """Return a shelf as a refusal lists it: each id with its name."""
    return "; ".join(f"{one}: {getattr(find(kind, one, model), 'name', '')}" for one in names(kind))


@pytest.mark.parametrize(
    ("kind", "given", "near", "model"),
    [
        ("kits", "two-speed-drybulb", "two-speed-dry-bulb", Kit),
        ("kits", "Two-Speed-Dry-Bulb", "two-speed-dry-bulb", Kit),
        ("units", "ten-ton-two-speed", "ten-ton-two-speed-gas", UnitSheet),
        ("boards", "plain-two-stages", "plain-two-stage", Board),
    ],
)
def test_an_unknown_id_names_the_nearest(kind: str, given: str, near: str, model: type[Entry]) -> None:
    """The sentence names the likest id, says that a file will do, and lists the shelf."""
    with pytest.raises(Refused) as refused:
        find(kind, given, model)
    assert str(refused.value) == (
        f'"{given}" is not on the shelf of {kind}, nor the name of a .yaml file (did you mean {near}?); '
        f"accepted: {said_of(kind, model)}."
    )


def test_an_id_like_none_names_the_shelf() -> None:
    """A path without its ending is no file, and nothing on the shelf is like it."""
    with pytest.raises(Refused) as refused:
        find("kits", "../../etc/passwd", Kit)
    assert str(refused.value) == (
        '"../../etc/passwd" is not on the shelf of kits, nor the name of a .yaml file; '
        f"accepted: {said_of('kits', Kit)}."
    )


FILES: dict[str, tuple[bytes, str]] = {
    "a picture": (b"\x89PNG\r\n\xff\xfe", "is not a text file; accepted: a .yaml or .json file that exists."),
    "more than anybody writes": (b"#" * (LARGEST + 1), "is too large; accepted: a file of at most 5 MB."),
}


@pytest.mark.parametrize(("content", "expected"), FILES.values(), ids=FILES.keys())
def test_a_file_that_is_no_text(tmp_path: Path, content: bytes, expected: str) -> None:
    """Whatever the file holds, the answer is one sentence with its path."""
    path = tmp_path / "mine.yaml"
    path.write_bytes(content)
    with pytest.raises(Refused) as refused:
        read_part(path, Kit)
    assert str(refused.value) == f"{path}: {expected}"


@pytest.mark.parametrize("name", ["nowhere.yaml", "folder.yaml", "a\0b.yaml"])
def test_a_file_that_cannot_be_opened(tmp_path: Path, name: str) -> None:
    """A path to nothing, to a folder, and a name that no file can have."""
    (tmp_path / "folder.yaml").mkdir()
    with pytest.raises(Refused) as refused:
        find("kits", name, Kit, tmp_path)
    assert (
        str(refused.value)
        == f"{tmp_path / name}: cannot be read; accepted: a .yaml or .json file that exists."
    )


@pytest.mark.skipif(not Path("/dev/zero").exists(), reason="the system has no endless device")
def test_a_device_without_end_is_not_read_to_its_end(tmp_path: Path) -> None:
    """A device has no size; it is too large all the same, and found so at once."""
    (tmp_path / "mine.yaml").symlink_to("/dev/zero")
    with pytest.raises(Refused, match=r"mine\.yaml: is too large; accepted: a file of at most 5 MB\.$"):
        find("kits", "mine.yaml", Kit, tmp_path)


@pytest.mark.parametrize(("kind", "model"), [("kits", Kit), ("units", UnitSheet), ("boards", Board)])
def test_the_shelf_is_in_order(kind: str, model: type[Entry]) -> None:
    """Every file of the package is read, under the id that is its name, and says that it is invented."""
    assert names(kind)
    for name in names(kind):
        part = find(kind, name, model)
        assert part.model_dump()["id"] == name
        assert part.model_dump()["invented"] is True


def test_a_setting_takes_what_its_kit_can_be_set_to() -> None:
    """A value on an end of the range is taken, in the other system of units what lies within; beyond, the range is told."""
    setting = find("kits", "two-speed-dry-bulb", Kit).setting("outdoor air too warm above")
    assert setting.dimension == TEMPERATURE
    assert [setting.read(text).typed for text in ("48 F", "80 F", "26.6 °C")] == ["48 F", "80 F", "26.6 °C"]
    with pytest.raises(Refused) as refused:
        setting.read("81 F")
    assert (
        str(refused.value)
        == '"81 F" is outside the range of "Outdoor air too warm above"; accepted: 48 F to 80 F.'
    )
