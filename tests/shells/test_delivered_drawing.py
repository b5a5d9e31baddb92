"""Required and delivered air as a drawing: the box is what is accepted, the reading stands in proportion."""

from __future__ import annotations

from xml.etree import ElementTree as ET

import pytest

from ventwright.errors import Refused
from ventwright.record.delivered_drawing import DeliveredAir, draw_delivered

SVG = "{http://www.w3.org/2000/svg}"
HIGH = DeliveredAir("high", "passes", 0.526, 0.017)
LOW = DeliveredAir("low", "cannot tell")


def drawn(*speeds: DeliveredAir, required: float = 0.5267) -> ET.Element:
    """The drawing as a tree."""
    return ET.fromstring(draw_delivered(speeds, required, 0.1))  # noqa: S314 - our own drawing


def test_the_box_holds_what_is_accepted_and_the_reading_stands_in_it() -> None:
    """Box and ring share one scale: the ends of the box are ± 10 % of what is required."""
    tree = drawn(HIGH)
    box = next(one for one in tree.iter(f"{SVG}rect") if one.get("height") == "26.0")
    left, width = float(box.get("x", "")), float(box.get("width", ""))
    middle, ring = left + width / 2, float(next(tree.iter(f"{SVG}circle")).get("cx", ""))
    per_flow = width / (0.2 * 0.5267)
    assert ring - middle == pytest.approx((0.526 - 0.5267) * per_flow, abs=0.1)


def test_nothing_read_is_said_and_not_drawn() -> None:
    """A speed without a reading has its box and no ring of its own; the legend has the only one."""
    tree = drawn(LOW)
    assert len(list(tree.iter(f"{SVG}circle"))) == 1
    assert "Fan low: not read yet, cannot tell" in ET.tostring(tree, encoding="unicode")


def test_a_reading_far_above_still_lies_on_the_sheet() -> None:
    """The scale grows with what was read."""
    tree = drawn(DeliveredAir("high", "fails", 3.0, 0.4))
    width = float(tree.get("viewBox", "").split()[2])
    assert width <= 330
    assert all(0 < float(one.get("cx", "")) < width for one in tree.iter(f"{SVG}circle"))


@pytest.mark.parametrize("given", [(), (DeliveredAir("high", "passes", float("inf"), 0.1),)])
def test_what_cannot_be_drawn_is_refused(given: tuple[DeliveredAir, ...]) -> None:
    """No fan speed, or no number."""
    with pytest.raises(Refused) as refused:
        draw_delivered(given, 0.5, 0.1)
    accepted = "one fan speed or more, an airflow above nothing, finite numbers"
    assert str(refused.value) == f"required and delivered air: cannot be drawn; accepted: {accepted}."
