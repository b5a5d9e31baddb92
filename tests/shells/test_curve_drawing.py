"""The drawing of share against signal: well formed, within its sheet, black on white, every word there, in the right place."""

from __future__ import annotations

import io
import re
from datetime import UTC, datetime
from itertools import pairwise
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pypdf import PdfReader

from ventwright.errors import Refused
from ventwright.record import pdf
from ventwright.record.content import Figure, Report, Section
from ventwright.record.curve_drawing import BandPoint, CurvePanel, CurvePoint, Mark, draw_curve
from ventwright.record.drawing import width_of

SVG = "{http://www.w3.org/2000/svg}"
PHONE = 360 - 2 * 16 - 2  # a phone's width less what the page keeps free and its border [px]
LEAST_LETTERS = 11  # [px]

CURVE = tuple(
    BandPoint(n / 20, 0.03 + 0.8 * (n / 20) ** 1.6, 0.8 * (n / 20) ** 1.6, 0.06 + 0.8 * (n / 20) ** 1.6)
    for n in range(21)
)
HIGH = CurvePanel(
    "high", 0.279, 0.1, (CurvePoint(0.2, 0.106, 0.01), CurvePoint(0.46, 0.279, 0.008)), CURVE,
    (Mark(0.2, "as left"), Mark(0.46, "set today")), 1.8878,
)  # fmt: skip
LOW = CurvePanel("low", 0.423, 0.1, (CurvePoint(0.5, 0.335, 0.03),), CURVE, (Mark(0.58, "next"),), 1.246)
NOTHING = CurvePanel("low", 0.12, 0.1, (), CURVE, (Mark(0.4, "start reading at"),))
BARE = CurvePanel("middle", 0.12, 0.1)
FAR = CurvePanel(
    "far out", 1.35, 0.1, (CurvePoint(0.5, -0.6, 0.05), CurvePoint(0.9, 1.5, 0.1)), CURVE,
    (Mark(1.0, "as left"), Mark(0.97, "set today, wide open"), Mark(0.0, "closed")), 0.5,
)  # fmt: skip
CASES = {
    "two speeds": (HIGH, LOW),
    "nothing read": (NOTHING,),
    "nothing at all": (BARE,),
    "beyond the plot": (FAR,),
    "three speeds": (HIGH, LOW, BARE),
}


def drawn(*panels: CurvePanel) -> ET.Element:
    """The drawing, read as XML."""
    return ET.fromstring(draw_curve(panels))  # noqa: S314 - our own drawing


def numbers(text: str) -> list[float]:
    """The numbers of a path."""
    return [float(one) for one in re.findall(r"-?\d+(?:\.\d+)?", text)]


def pieces(path: ET.Element) -> list[list[tuple[float, float]]]:
    """The lines of a path, each as its points."""
    found = []
    for piece in path.attrib["d"].split("M")[1:]:
        flat = numbers(piece)
        found.append(list(zip(flat[::2], flat[1::2], strict=True)))
    return found


def words_of(root: ET.Element) -> list[str]:
    """Every text of a drawing."""
    return [one.text or "" for one in root.iter(f"{SVG}text")]


def paths(root: ET.Element, **marks: str) -> list[ET.Element]:
    """The paths with these attributes, dashes and all; an empty value stands for none."""
    wanted = {name.replace("_", "-"): value for name, value in marks.items()}
    return [
        one
        for one in root.iter(f"{SVG}path")
        if all(one.attrib.get(name, "") == value for name, value in wanted.items())
    ]


def assert_within(root: ET.Element) -> None:
    """Every box, line, circle and letter, reckoned with the width of a monospaced typeface, is on the sheet."""
    width, height = numbers(root.attrib["viewBox"])[2:]
    for box in root.iter(f"{SVG}rect"):
        x, y, w, h = (float(box.attrib[name]) for name in ("x", "y", "width", "height"))
        assert -0.1 <= x <= x + w <= width + 0.1
        assert -0.1 <= y <= y + h <= height + 0.1
    for path in root.iter(f"{SVG}path"):
        points = [point for piece in pieces(path) for point in piece]
        assert all(0 <= x <= width for x, _ in points)
        assert all(0 <= y <= height for _, y in points)
    for ring in root.iter(f"{SVG}circle"):
        x, y, r = (float(ring.attrib[name]) for name in ("cx", "cy", "r"))
        assert r <= x <= width - r
        assert r <= y <= height - r
    for text in root.iter(f"{SVG}text"):
        left, right = ends(text)
        assert left >= -0.1, text.text
        assert right <= width + 0.1, text.text
        assert LEAST_LETTERS <= float(text.attrib["y"]) <= height


def ends(text: ET.Element) -> tuple[float, float]:
    """Where a text begins and ends."""
    x, long = float(text.attrib["x"]), width_of(text.text or "")
    left = {"start": x, "middle": x - long / 2, "end": x - long}[text.attrib["text-anchor"]]
    return left, left + long


@pytest.mark.parametrize("panels", CASES.values(), ids=CASES)
def test_it_fits_a_phone(panels: tuple[CurvePanel, ...]) -> None:
    """No wider than a phone's page, no letter smaller than 11 px there, nothing outside the sheet."""
    root = drawn(*panels)
    assert numbers(root.attrib["viewBox"])[2] <= PHONE
    assert all(float(one.attrib["font-size"]) >= LEAST_LETTERS for one in root.iter(f"{SVG}text"))
    assert_within(root)


@pytest.mark.parametrize("panels", CASES.values(), ids=CASES)
def test_it_prints_in_black_and_white(panels: tuple[CurvePanel, ...]) -> None:
    """No colour but black and white, no grey, no script, no style sheet, nothing from elsewhere."""
    text = draw_curve(panels)
    root = ET.fromstring(text)  # noqa: S314 - our own drawing
    paints = {
        value for one in root.iter() for name, value in one.attrib.items() if name in {"fill", "stroke"}
    }
    tags = {one.tag.removeprefix(SVG) for one in root.iter()}
    assert paints <= {"#000", "#fff", "none"}
    assert tags <= {"svg", "title", "desc", "rect", "path", "circle", "text"}
    assert not any(word in text for word in ("<script", "style=", "class=", "href", "url(", "onload"))


@pytest.mark.parametrize("panels", CASES.values(), ids=CASES)
def test_labels_do_not_lie_on_one_another(panels: tuple[CurvePanel, ...]) -> None:
    """Two texts within a line's height of each other never share a place."""
    texts = sorted(drawn(*panels).iter(f"{SVG}text"), key=lambda one: float(one.attrib["y"]))
    for number, one in enumerate(texts):
        for other in texts[number + 1 :]:
            if float(other.attrib["y"]) - float(one.attrib["y"]) > 9:
                break
            (left, right), (other_left, other_right) = ends(one), ends(other)
            assert right <= other_left + 0.1 or other_right <= left + 0.1, (one.text, other.text)


def test_every_label_is_there() -> None:
    """Speeds, what each needs in both measures, what is accepted, the marked signals, axes with their units, the signs."""
    words = words_of(drawn(HIGH, LOW))
    for said in (
        "Fan high: needs 27.9 %, 1116 cfm", "accepted: 25.1 % to 30.7 %", "Fan low: needs 42.3 %, 1117 cfm",
        "as left 20 %", "set today 46 %", "next 58 %", "outdoor air, % of supply air", "damper signal, %", "cfm", "27.9", "1116",
        "most likely share", "the true share lies here 95 times in 100", "a reading; its ± holds 95 times in 100",
        "share needed; dotted: what is accepted",
    ):  # fmt: skip
        assert said in words, said
    assert words.count("damper signal, %") == words.count("cfm") == 2


def test_airflows_follow_the_units() -> None:
    """In SI the right-hand axis is in litres a second, and its figures are round there."""
    root = ET.fromstring(draw_curve((HIGH,), "si"))  # noqa: S314 - our own drawing
    words = words_of(root)
    assert {"L/s", "527", "1000", "Fan high: needs 27.9 %, 527 L/s"} <= set(words)
    assert "cfm" not in words


def test_nothing_read_is_said() -> None:
    """The band alone is what units like it do; without a band there is nothing, and no sign for what is not there."""
    with_band, bare = words_of(drawn(NOTHING)), words_of(drawn(BARE))
    assert "nothing read yet; only what units like it do" in with_band
    assert "nothing read yet" in bare
    assert "most likely share" not in bare
    assert not any(word.startswith("a reading") for word in (*with_band, *bare))
    assert not any(word.startswith("nothing") for word in words_of(drawn(HIGH)))
    assert list(drawn(NOTHING).iter(f"{SVG}circle")) == []


def test_a_reading_stands_where_it_belongs() -> None:
    """One of exactly the share needed lies on the line of what is needed, above its own signal."""
    root = drawn(CurvePanel("high", 0.3, 0.1, (CurvePoint(0.4, 0.3, 0.015),), (), (Mark(0.4, "as left"),)))
    ring = next(root.iter(f"{SVG}circle"))
    (mark,) = paths(root, stroke_dasharray="3 3")
    accepted = [piece[0][1] for piece in pieces(paths(root, stroke_dasharray="1 3")[0])]
    assert float(ring.attrib["cx"]) == pytest.approx(pieces(mark)[0][0][0], abs=0.1)
    assert float(ring.attrib["cy"]) == pytest.approx(sum(accepted) / 2, abs=0.1)
    bar = next(piece for path in paths(root, stroke_width="1.2") for piece in pieces(path))
    assert sorted(y for _, y in bar) == pytest.approx(
        sorted(accepted), abs=0.1
    )  # ± 3 % of 30 % is the tolerance


def test_each_speed_has_a_line_of_its_own() -> None:
    """Whole, dashed, dashed and dotted: to be told apart without colour, in the plot as beside its name."""
    root = drawn(HIGH, LOW, NOTHING)
    dashes = [one.attrib.get("stroke-dasharray", "") for one in paths(root, stroke_width="2")]
    beside, curves = dashes[0:6:2], dashes[1:6:2]
    assert beside == curves
    assert len(set(curves)) == 3


def test_the_hatching_fills_the_band_and_nothing_else() -> None:
    """Between 20 and 30 % from signal 0.2 to 0.8 there are lines, and none outside."""
    band = (BandPoint(0.8, 0.25, 0.2, 0.3), BandPoint(0.2, 0.25, 0.2, 0.3))  # in any order
    root = drawn(CurvePanel("high", 0.25, 0.2, (), band))
    (hatching, sign) = paths(root, stroke_width="0.4")
    edges = [piece for path in paths(root, stroke_width="0.6") for piece in pieces(path)]
    (left, right), (top, bottom) = (
        sorted({value[axis] for piece in edges for value in piece}) for axis in (0, 1)
    )
    points = [point for piece in pieces(hatching) for point in piece]
    assert len(pieces(hatching)) > 10
    assert len(pieces(sign)) == 3
    assert all(left - 0.1 <= x <= right + 0.1 and top - 0.1 <= y <= bottom + 0.1 for x, y in points)
    assert min(x for x, _ in points) < left + 10
    assert max(x for x, _ in points) > right - 10


def test_a_curve_is_cut_where_it_leaves_the_plot() -> None:
    """It ends at the upper edge, and comes back in as a piece of its own where it falls again."""
    hill = tuple(BandPoint(s, share, share, share) for s, share in ((0.0, 0.1), (0.5, 1.0), (1.0, 0.1)))
    root = drawn(CurvePanel("high", 0.1, 0.1, (), hill))
    frame = next(one for one in root.iter(f"{SVG}rect") if float(one.attrib["height"]) == 190.0)
    top = float(frame.attrib["y"])
    curve = pieces(paths(root, stroke_width="2")[1])
    assert len(curve) == 2
    assert (curve[0][-1][1], curve[1][0][1]) == (top, top)
    assert all(y >= top for piece in curve for _, y in piece)
    assert all(x <= following for piece in curve for (x, _), (following, _) in pairwise(piece))


def test_a_reading_beyond_the_plot_is_an_arrow_with_its_number() -> None:
    """What contradicts itself is shown, not left out and not moved in silence; a need above all air is said."""
    root = drawn(FAR)
    words = words_of(root)
    assert {"-60 %", "150 %", "no signal can bring more than 100 %", "closed 0 %"} <= set(words)
    assert len(list(root.iter(f"{SVG}circle"))) == 1  # the sign in the legend


def test_it_says_itself_to_those_who_do_not_see_it() -> None:
    """Title and description are named by the drawing; the description has every reading and every marked signal."""
    root = drawn(HIGH, NOTHING)
    said = {one.attrib["id"]: one.text or "" for one in root if one.tag in {f"{SVG}title", f"{SVG}desc"}}
    assert root.attrib["role"] == "img"
    assert set(root.attrib["aria-labelledby"].split()) == said.keys()
    assert said["curve-description"] == (
        "Fan high: needs 27.9 %, 1116 cfm; accepted: 25.1 % to 30.7 %; read: at 20 % signal 10.6 % ± 2 %; at 46 % signal "
        "27.9 % ± 1.6 %; as left at 20 % signal; set today at 46 % signal. Fan low: needs 12 %; accepted: 10.8 % to 13.2 %; "
        "nothing read yet; start reading at at 40 % signal."
    )


def test_hostile_names_are_only_text() -> None:
    """Markup, quotes and control characters in names and labels do no harm, however long they are."""
    bad = '<script>alert("x")</script> & \x00\x1b sons ' * 4
    root = drawn(CurvePanel(bad, 0.3, 0.1, (), CURVE, (Mark(0.9, bad), Mark(0.1, "</svg>")), 1.0))
    assert_within(root)
    assert "</svg> 10 %" in words_of(root)
    assert any(word.startswith('<script>alert("x")</script> &') for word in words_of(root))


shares = st.floats(-0.5, 1.5)
signals = st.floats(-0.01, 1.01)
panel = st.builds(
    CurvePanel,
    speed=st.text(max_size=60),
    target=st.floats(0.0, 3.0),
    tolerance=st.floats(0.0, 0.5),
    points=st.lists(st.builds(CurvePoint, signals, st.floats(-100.0, 100.0), st.floats(0.0, 100.0)), max_size=5).map(tuple),
    curve=st.lists(st.builds(BandPoint, signals, shares, shares, shares), max_size=8).map(tuple),
    marks=st.lists(st.builds(Mark, signals, st.text(max_size=40)), max_size=4).map(tuple),
    supply_air=st.none() | st.floats(0.01, 50.0),
)  # fmt: skip


@settings(deadline=None, max_examples=60)
@given(st.lists(panel, min_size=1, max_size=3))
def test_whatever_is_drawn_stays_on_the_sheet(panels: list[CurvePanel]) -> None:
    """Random panels: well-formed XML, everything within it, every fan speed with its axis."""
    root = drawn(*panels)
    assert_within(root)
    assert words_of(root).count("damper signal, %") == len(panels)
    assert sum(word.startswith("nothing read yet") for word in words_of(root)) == sum(
        not one.points for one in panels
    )


def test_thousands_of_readings_are_drawn() -> None:
    """Every one of them, in a file that a mail still takes."""
    many = tuple(CurvePoint(n / 5000, 0.3 + 0.1 * (n % 7) / 7, 0.01) for n in range(5000))
    text = draw_curve((CurvePanel("high", 0.3, 0.1, many, CURVE),))
    assert text.count("<circle") == 5000 + 1  # and the sign in the legend
    assert len(text) < 2_000_000


@pytest.mark.parametrize(
    ("panels", "sentence"),
    [
        ((), "a curve: has no fan speed to show; accepted: one panel or more."),
        (
            (CurvePanel("high", float("nan"), 0.1),),
            "high: cannot be drawn: not every value is a share; accepted: finite numbers.",
        ),
        (
            (HIGH, CurvePanel("low", 0.3, 0.1, (CurvePoint(0.2, 0.3, float("inf")),))),
            "low: cannot be drawn: not every value is a share; accepted: finite numbers.",
        ),
        (
            (CurvePanel("low", 0.3, 0.1, supply_air=0.0),),
            'low: "0 m3/s" is no supply airflow; accepted: more than nothing, or None for a plot without airflows.',
        ),
    ],
    ids=["no speed", "not a number", "no end to a ±", "a fan that stands still"],
)
def test_what_cannot_be_drawn_is_refused(panels: tuple[CurvePanel, ...], sentence: str) -> None:
    """One sentence, with the fan speed."""
    with pytest.raises(Refused) as refused:
        draw_curve(panels)
    assert refused.value.refusals[0].sentence == sentence


def test_it_goes_into_the_printed_record() -> None:
    """As a page of its own with its words as text, upright, in vector."""
    figure = Figure(draw_curve((HIGH, LOW)), "Outdoor air against damper signal")
    report = Report("Record", "invented", (Section("Curve", (figure,)),), "footer")
    made = datetime(2026, 11, 26, tzinfo=UTC)
    content = pdf.report_pdf(report, paper="letter", attachment=b"{}", made=made, producer="tests")
    page = PdfReader(io.BytesIO(content)).pages[-1]
    text = " ".join(page.extract_text().split())
    for said in ("Fan high: needs 27.9 %, 1116 cfm", "as left 20 %", "next 58 %", "damper signal, %"):
        assert said in text, said
    assert not page.images
