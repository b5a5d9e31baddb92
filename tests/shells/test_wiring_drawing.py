"""The wiring drawing: well formed, within its sheet, black on white, escaped, said in words too."""

from __future__ import annotations

import re
from typing import Any
from xml.etree import ElementTree as ET

import pytest
from tests.invented import facts

from ventwright.plan import WiringPlan, make_plan
from ventwright.record.drawing import Drawing, clean, short, width_of, wrapped
from ventwright.record.wiring_drawing import draw_wiring

SVG = "{http://www.w3.org/2000/svg}"

RIGHT: dict[str, Any] = {"unit": {"sheet": "ten-ton-two-speed-gas"}}
WRONG: dict[str, Any] = RIGHT | {
    "harness": {
        "board": "twelve-way-with-jumper-plug",
        "adapters": ["nine-way-to-twelve-way-for-another-kit"],
    }
}
NO_FIT: dict[str, Any] = RIGHT | {"harness": {"board": "variable-fan-two-sockets"}}
TWO_LANES: dict[str, Any] = {
    "unit": {"sheet": "fifteen-ton-variable-gas"},
    "kit": "variable-enthalpy-with-demand-control",
}
LOOPS: dict[str, Any] = {
    "unit": {"sheet": "fifteen-ton-variable-gas"},
    "kit": "damper-for-a-unit-that-decides",
}
NOTHING: dict[str, Any] = {
    "harness": {"seen_board": {"name": "old board", "connector": {"name": "odd socket", "end": "socket"}}}
}
LONG: dict[str, Any] = {
    "harness": {
        "kit_connectors": [
            {
                "name": "a plug whose name runs on " * 6, "end": "plug", "columns": 2, "family": "f" * 90,
                "circuits": [
                    {"cavity": 1, "function": "24 V supply", "role": "sink", "colour": "<b>red & 'blue'</b> " * 8, "mark": "緑" * 40},
                    {"cavity": 2, "function": "24 V common", "role": "sink", "colour": "x" * 200},
                ],
            }
        ],
        "board": "plain-two-stage",
    }
}  # fmt: skip

CASES = {
    "right": RIGHT,
    "wrong": WRONG,
    "no fit": NO_FIT,
    "two lanes": TWO_LANES,
    "loops": LOOPS,
    "nothing told": NOTHING,
    "long": LONG,
}


def wiring(case: dict[str, Any]) -> WiringPlan:
    """The wiring of an invented job."""
    plan = make_plan(facts(**case)).wiring
    assert plan is not None
    return plan


def drawn(case: dict[str, Any], kit: str = "some kit") -> ET.Element:
    """The drawing, read as XML."""
    return ET.fromstring(draw_wiring(wiring(case), kit))  # noqa: S314 - our own drawing


def numbers(text: str) -> list[float]:
    """The numbers of a path."""
    return [float(one) for one in re.findall(r"-?\d+(?:\.\d+)?", text)]


@pytest.mark.parametrize("case", CASES.values(), ids=CASES)
def test_everything_lies_within_the_sheet(case: dict[str, Any]) -> None:
    """Boxes, wires and every letter, reckoned with the width of a monospaced typeface, are inside."""
    root = drawn(case)
    width, height = numbers(root.attrib["viewBox"])[2:]
    for box in root.iter(f"{SVG}rect"):
        x, y, w, h = (float(box.attrib[name]) for name in ("x", "y", "width", "height"))
        assert 0 <= x <= x + w <= width
        assert 0 <= y <= y + h <= height
    for path in root.iter(f"{SVG}path"):
        points = numbers(path.attrib["d"])
        assert all(0 <= x <= width for x in points[::2])
        assert all(0 <= y <= height for y in points[1::2])
    for text in root.iter(f"{SVG}text"):
        x, y, long = float(text.attrib["x"]), float(text.attrib["y"]), width_of(text.text or "")
        left = {"start": x, "middle": x - long / 2, "end": x - long}[text.attrib["text-anchor"]]
        assert left >= -0.1, text.text
        assert left + long <= width + 0.1, text.text
        assert 0 <= y <= height


@pytest.mark.parametrize("case", CASES.values(), ids=CASES)
def test_it_prints_in_black_and_white(case: dict[str, Any]) -> None:
    """No colour but black and white, nothing that a printer could drop, no script, no style sheet, nothing from elsewhere."""
    text = draw_wiring(wiring(case), "some kit")
    root = ET.fromstring(text)  # noqa: S314 - our own drawing

    paints = {
        value for one in root.iter() for name, value in one.attrib.items() if name in {"fill", "stroke"}
    }
    assert paints <= {"#000", "#fff", "none"}
    assert {one.tag.removeprefix(SVG) for one in root.iter()} <= {
        "svg",
        "title",
        "desc",
        "rect",
        "path",
        "text",
    }
    assert not any(word in text for word in ("<script", "style=", "class=", "href", "url(", "onload"))


def test_it_says_itself_to_those_who_do_not_see_it() -> None:
    """Title and description are named by the drawing, and the description follows every wire."""
    root = drawn(RIGHT)
    ids = {one.attrib["id"]: one.text or "" for one in root if one.tag in {f"{SVG}title", f"{SVG}desc"}}

    assert root.attrib["role"] == "img"
    assert set(root.attrib["aria-labelledby"].split()) == ids.keys()
    way = "plug to the unit 6 (violet), through Nine-way socket with loose wires 6 to 6 (yellow with black)"
    lands = "lands on the terminals Y1 (cooling stage 1 to compressor): right."
    assert f"cooling stage 1 to compressor, {way}, {lands}" in ids["wiring-description"]


def test_colours_are_words_on_the_wires() -> None:
    """Every coloured wire of the adapter has its colour written on it."""
    words = {one.text for one in drawn(RIGHT).iter(f"{SVG}text")}

    assert {
        "red",
        "black",
        "yellow",
        "green",
        "orange",
        "yellow with black",
        "white",
        "orange with black",
        "pink",
    } <= words


def test_wrong_wires_are_dashed_and_marked() -> None:
    """Four wires on one another's places are dashed, heavier, and marked; the three that are right are not."""
    root = drawn(WRONG)
    dashed = [one for one in root.iter(f"{SVG}path") if "stroke-dasharray" in one.attrib]
    words = [one.text or "" for one in root.iter(f"{SVG}text")]

    assert all(one.attrib["stroke-width"] == "2" for one in dashed)
    assert {"yellow !", "orange !", "yellow with black !", "orange with black !"} <= set(words)
    assert {"red", "brown", "white"} <= set(words)
    assert "Wrong" in words
    assert not any("stroke-dasharray" in one.attrib for one in drawn(RIGHT).iter(f"{SVG}path"))


def test_what_does_not_fit_is_drawn_apart() -> None:
    """Between two halves that do not go together stands a dashed line and the words."""
    words = [one.text for one in drawn(NO_FIT).iter(f"{SVG}text")]

    assert "no fit" in words


def test_labels_do_not_lie_on_one_another() -> None:
    """Two texts of one height never share a place."""
    for case in CASES.values():
        taken: dict[float, list[tuple[float, float]]] = {}
        for one in drawn(case).iter(f"{SVG}text"):
            x, y, long = float(one.attrib["x"]), float(one.attrib["y"]), width_of(one.text or "")
            left = {"start": x, "middle": x - long / 2, "end": x - long}[one.attrib["text-anchor"]]
            for other_left, other_right in taken.setdefault(y, []):
                assert left >= other_right - 0.1 or left + long <= other_left + 0.1, one.text
            taken[y].append((left, left + long))


def test_hostile_names_are_only_text() -> None:
    """Markup, quotes and control characters in names do no harm."""
    root = drawn(RIGHT, 'Kit <script>alert("x")</script> & \x00\x1b sons')

    title = next(one for one in root if one.tag == f"{SVG}title")
    assert title.text is not None
    assert title.text.startswith('Wiring: Kit <script>alert("x")</script> &')


def test_cutting_and_breaking_text() -> None:
    """What is cut says so and fits; what is broken fits; letters of double width count twice."""
    assert width_of(short("orange with black and white", 60.0)) <= 60.0
    assert short("red", 60.0) == "red"
    assert short("orange with black", 60.0).endswith("…")
    assert all(width_of(line) <= 100.0 for line in wrapped("緑の線 " * 20, 100.0))
    assert width_of("緑") == 2 * width_of("a")
    assert clean("a\x00b\ud800c") == "a b c"


def test_an_empty_label_draws_nothing() -> None:
    """A wire without a colour is not struck through by a white box."""
    drawing = Drawing()
    drawing.label(10.0, 10.0, "")

    assert "<text" not in drawing.written(20, 20, "t", "d", "n")
