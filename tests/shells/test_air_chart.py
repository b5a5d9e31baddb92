"""The chart of moist air: points where they belong, the region of the limit, honest where a humidity was not read."""

from __future__ import annotations

import re
from xml.etree import ElementTree as ET

import psychrolib
import pytest
from tests.invented import facts, mixed, readings

from ventwright.errors import Refused
from ventwright.plan import make_plan
from ventwright.record.air_chart import AirChart, AirPoint, FreeCooling, draw_air_chart, rows, said
from ventwright.record.air_chart_of_job import air_chart_of

SVG = "{http://www.w3.org/2000/svg}"
SEA_LEVEL = 101_325.0
OUTDOOR = AirPoint("outdoor air", 14.4, 0.0072)
RETURN = AirPoint("return air", 23.3, 0.0093)
MIXED = AirPoint("mixed air", 20.8, 0.0087)
LIMIT = FreeCooling("no warmer than 75.0 °F", 23.9)
HUMID = {
    "what": "humidity", "speed": "high", "damper_signal": "21 %", "outdoor_dry_bulb": "58 F", "outdoor_relative_humidity": "70 %",
    "return_dry_bulb": "74 F", "return_relative_humidity": "50 %", "mixed_dry_bulb": "69.5 F", "mixed_relative_humidity": "55 %",
}  # fmt: skip


def chart(*airs: AirPoint, region: FreeCooling = LIMIT, pressure: float = SEA_LEVEL) -> AirChart:
    """A chart of some airs."""
    return AirChart(airs or (OUTDOOR, RETURN, MIXED), region, pressure)


def drawn(of: AirChart, system: str = "us") -> ET.Element:
    """The drawing as a tree."""
    return ET.fromstring(draw_air_chart(of, "si" if system == "si" else "us"))  # noqa: S314 - our own drawing


def rings(tree: ET.Element) -> list[tuple[float, float]]:
    """Places of the numbered rings in the plot; those of the legend stand left of it."""
    found = [(float(one.get("cx", "")), float(one.get("cy", ""))) for one in tree.iter(f"{SVG}circle")]
    return found[: len(found) // 2]


def test_points_stand_in_proportion_to_dry_bulb_and_water() -> None:
    """The mixed air divides the way between the two others on the sheet as it does in numbers."""
    (x1, y1), (x2, y2), (x3, y3) = rings(drawn(chart()))
    assert (x3 - x2) / (x1 - x2) == pytest.approx((20.8 - 23.3) / (14.4 - 23.3), abs=2e-3)
    assert (y3 - y2) / (y1 - y2) == pytest.approx((0.0087 - 0.0093) / (0.0072 - 0.0093), abs=2e-2)
    assert x1 < x3 < x2
    assert y1 > y3 > y2  # more water stands higher


def test_drier_and_cooler_lies_within_the_region() -> None:
    """A fixed dry bulb asks for nothing else; beyond it outdoor air is outside."""
    assert LIMIT.holds(OUTDOOR) is True
    assert LIMIT.holds(AirPoint("outdoor air", 24.0, 0.001)) is False
    assert LIMIT.holds(AirPoint("outdoor air", 23.0)) is True
    assert FreeCooling("not known").holds(OUTDOOR) is None


@pytest.mark.parametrize("dry_bulb", [12.0, 18.0, 22.0])
def test_enthalpy_limit_agrees_with_an_independent_library(dry_bulb: float) -> None:
    """The edge is where PsychroLib's moist air has the limit's enthalpy, on the datum of 0 °C."""
    psychrolib.SetUnitSystem(psychrolib.SI)
    limit, region = 47_300.0, FreeCooling("of little heat", enthalpy=47_300.0)
    edge = psychrolib.GetHumRatioFromEnthalpyAndTDryBulb(limit, dry_bulb)
    assert region.holds(AirPoint("outdoor air", dry_bulb, edge * 0.999)) is True
    assert region.holds(AirPoint("outdoor air", dry_bulb, edge * 1.001)) is False
    assert region.holds(AirPoint("outdoor air", dry_bulb)) is None


def test_an_unread_humidity_is_a_dashed_line_and_said() -> None:
    """Nothing is made up: the air lies somewhere on an upright line, and the words say so."""
    of = chart(
        AirPoint("outdoor air", 14.4),
        AirPoint("return air", 23.3),
        region=FreeCooling("of little heat", None, 47_300.0),
    )
    tree = drawn(of)
    dashed = [one for one in tree.iter(f"{SVG}path") if one.get("stroke-dasharray") == "3 3"]
    assert len(dashed) == 2
    assert rows(of, "us")[0] == (
        "outdoor air",
        "57.9 °F",
        "humidity not read",
        "not told without its humidity",
    )
    assert "Outdoor air: not told without its humidity." in said(of, "us")


@pytest.mark.parametrize("system", ["us", "si"])
def test_everything_stays_on_a_phone_wide_sheet(system: str) -> None:
    """No mark or text lies beside the sheet, for very cold, hot and wet air too."""
    wide = chart(
        AirPoint("outdoor air", -30.0, 0.0002),
        AirPoint("return air", 46.0, 0.03),
        AirPoint("mixed air", 20.0),
    )
    for of in (chart(), wide, chart(region=FreeCooling("not known"))):
        tree = drawn(of, system)
        width, height = (float(side) for side in tree.get("viewBox", "").split()[2:])
        assert width <= 330
        for one in tree.iter(f"{SVG}path"):
            numbers = [float(number) for number in re.findall(r"-?\d+\.\d", one.get("d", ""))]
            assert all(0 <= x <= width for x in numbers[::2])
            assert all(0 <= y <= height for y in numbers[1::2])
        for text in tree.iter(f"{SVG}text"):
            left, long = float(text.get("x", "")), 0.62 * 11 * len(text.text or "")
            start = {"start": left, "middle": left - long / 2, "end": left - long}[
                text.get("text-anchor", "start")
            ]
            assert start >= -1, text.text
            assert start + long <= width + 1, text.text


def test_units_are_those_of_the_reader() -> None:
    """The same air in both systems."""
    us, si = draw_air_chart(chart(), "us"), draw_air_chart(chart(), "si")
    assert "57.9 °F, 50.4 gr/lb" in us
    assert "14.4 °C, 7.20 g/kg" in si


def test_what_is_no_number_is_refused() -> None:
    """A chart without a finite pressure would be no chart."""
    with pytest.raises(Refused) as refused:
        draw_air_chart(chart(pressure=float("nan")))
    assert (
        str(refused.value)
        == "air chart: cannot be drawn; accepted: finite numbers, and a pressure above nothing."
    )


def test_a_job_shows_what_was_read_else_what_is_expected() -> None:
    """The latest reading goes before the expectation, one with humidities before one of that day without."""
    told = facts(weather={"outdoor_air": "58 F", "return_air": "74 F"})
    plan = make_plan(told)
    expected = air_chart_of(told, plan, readings())
    assert expected.when == "Expected today; nothing is read yet."
    assert expected.airs[2].name == "mixed air wanted at high speed"
    read = air_chart_of(told, plan, readings(mixed()))
    assert read.airs[0].humidity_ratio is None
    assert read.airs[0].dry_bulb == pytest.approx(34.0 / 1.8 - 32.0 / 1.8)
    humid = air_chart_of(told, plan, readings(HUMID, mixed()))
    assert humid.airs[1].humidity_ratio == pytest.approx(0.0090, abs=2e-4)
    nothing = air_chart_of(facts(), make_plan(facts()), readings())
    assert nothing.airs == ()
    assert "No air is known yet" in said(nothing, "us")


@pytest.mark.parametrize(
    ("kit", "heating", "words"),
    [
        ("two-speed-dry-bulb", "gas", "no warmer than 75.0 °F"),
        ("heat-pump-differential", "heat pump", "cooler than return air by the gap set"),
        ("single-speed-enthalpy", "electric", "of no more heat than 28.0 Btu/lb"),
    ],
)
def test_the_region_is_that_of_the_kit_as_it_is_to_be_set(kit: str, heating: str, words: str) -> None:
    """Each control of the shelf has the region of its settings."""
    told = facts(kit=kit, unit={"heating": heating}, weather={"outdoor_air": "58 F", "return_air": "74 F"})
    region = air_chart_of(told, make_plan(told), readings(HUMID)).region
    assert words in region.words
    assert region.holds(OUTDOOR) is True
