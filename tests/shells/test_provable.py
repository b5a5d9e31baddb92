"""What can be proved before climbing: by the instruments, today's air, a forecast and a year of weather; all of it invented."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any
from xml.etree import ElementTree as ET

import pytest
from tests.invented import PROBE, facts, left, mixed, readings, supply

from ventwright.evidence import Verdict
from ventwright.plan import least_difference, make_plan
from ventwright.plan.provable import CanBeSettled, Provable, ProvableCheck, ShownBy, make_provable
from ventwright.plan.provable.hours import Month, best_time, months_of
from ventwright.record.calendar_drawing import PAPER, PHONE, draw_calendar
from ventwright.tables.weather import WeatherYear
from ventwright.tables.weather_layout import DAYS
from ventwright.verdict import judge

COLD = {"outdoor_air": "34 F", "return_air": "74 F"}
MILD = {"outdoor_air": "54 F", "return_air": "74 F"}
PLATE = {"id": "plate", "kind": "airflow", "accuracy": "± 5 %"}
SHARE, FLOW = "outdoor_air_fraction.high", "outdoor_air.high"


def probe(accuracy: str, name: str = "probe") -> dict[str, Any]:
    """A temperature probe whose maker says nothing of its scatter."""
    return {"id": name, "kind": "temperature", "accuracy": accuracy}


def found(year: WeatherYear | None = None, **other: Any) -> Provable:
    """What can be proved of the invented job."""
    given = facts(**other)
    return make_provable(given, make_plan(given), year)


def check(one: Provable, name: str) -> ProvableCheck:
    """One check by its id."""
    return next(check for check in one.checks if check.id == name)


def weather(dry_bulb: Callable[[int, int], float]) -> WeatherYear:
    """A year whose temperature follows month (1 to 12) and hour (0 to 23) alone. [°C]"""
    stamps = [(m, d, h) for m, days in enumerate(DAYS, 1) for d in range(1, days + 1) for h in range(1, 25)]
    empty = (None,) * len(stamps)
    return WeatherYear(
        name="Nowhere", region="XX", station="0", layout="EPW", latitude=40.0, longitude=0.0, time_zone=0.0, elevation=0.0,
        stamps=tuple(stamps), dry_bulb=tuple(dry_bulb(m, h - 1) for m, _, h in stamps), dew_point=empty, relative_humidity=empty,
        pressure=empty, precipitation=empty,
    )  # fmt: skip


def seasons(month: int, hour: int) -> float:
    """Winter at -5 °C, summer at 20 °C by day and 12 °C before 6 h."""
    if month in {12, 1, 2}:
        return -5.0
    return 12.0 if hour < 6 else 20.0


def test_a_cold_day_and_one_probe() -> None:
    """40 °F apart with ± 0.5 °F: the share in one reading; the airflow not, since nothing reads the supply."""
    one = found(weather=COLD)
    share, flow = check(one, SHARE), check(one, FLOW)
    assert (share.can_be_settled, share.readings) == (CanBeSettled.TODAY, 1)
    assert share.needs.show("us").startswith(
        "one probe for all three: temperature probe of ± 0.5 °F; mixed-air points no more than "
    )
    assert flow.can_be_settled is CanBeSettled.NEVER
    assert flow.readings is None
    assert flow.needs.show("us").startswith("an instrument that reads the supply airflow to ± ")
    assert "another method: the outdoor airflow itself read to ± 10.2 % or closer" in flow.needs.show("us")
    assert not one.all_today


@pytest.mark.parametrize(("outdoor", "accuracy"), [(34.0, 1.0), (54.0, 0.5), (64.0, 0.3)])
def test_a_reading_that_was_promised_passes(outdoor: float, accuracy: float) -> None:
    """What can be settled in one reading is settled by the verdict, the points as far apart as was allowed; not with twice that."""
    air = {"outdoor_air": f"{outdoor} F", "return_air": "74 F"}
    given = facts(weather=air, instruments=[probe(f"± {accuracy} F")])
    plan = make_plan(given)
    share = check(make_provable(given, plan), SHARE)
    assert share.readings == 1
    assert share.points_within is not None
    middle = 74.0 - 0.279 * (74.0 - outdoor)
    for times, outcome in ((0.99, Verdict.PASSES), (2.0, Verdict.CANNOT_TELL)):
        step = times * share.points_within * 1.8 / 7
        points = [f"{middle + (number - 3.5) * step:.4f} F" for number in range(8)]
        seen = readings(supply(), mixed(**air, mixed_air=points), left())
        fraction = judge(given, plan, seen).speeds[0].fraction
        assert fraction is not None
        assert fraction.verdict is outcome


def test_what_a_difference_named_does() -> None:
    """With ± 2 °F, 20 °F apart is too little; at the difference it names, and not a hundredth below, it can be settled."""
    instruments = [probe("± 2 F"), PLATE]
    one = check(found(weather=MILD, instruments=instruments), SHARE)
    assert one.can_be_settled is CanBeSettled.NOT_TODAY
    assert one.difference_needed is not None
    for times, settled in ((1.0001, CanBeSettled.TODAY), (0.99, CanBeSettled.NOT_TODAY)):
        outdoor = 74.0 - times * one.difference_needed * 1.8
        air = {"outdoor_air": f"{outdoor:.4f} F", "return_air": "74 F"}
        assert check(found(weather=air, instruments=instruments), SHARE).can_be_settled is settled


def test_what_a_better_probe_named_does() -> None:
    """The probe that it asks for instead of other weather is just good enough."""
    one = check(found(weather=MILD, instruments=[probe("± 2 F")]), SHARE)
    text = one.needs.show("us")
    assert "outdoor and return air " in text
    assert "; or a probe of ± " in text
    assert one.difference_needed is not None
    better = 2.0 * (20.0 / 1.8) / one.difference_needed
    assert f"a probe of ± {better:.1f} °F for all three, and not ± 2.0 °F" in text
    for times, settled in ((0.999, CanBeSettled.TODAY), (1.01, CanBeSettled.NOT_TODAY)):
        instruments = [probe(f"± {times * better:.4f} F")]
        assert check(found(weather=MILD, instruments=instruments), SHARE).can_be_settled is settled


def test_air_too_even_for_any_probe() -> None:
    """Below 10 °F nothing is promised, however good the probe, and no better probe is asked for."""
    air = {"outdoor_air": "64.5 F", "return_air": "74 F"}
    one = check(found(weather=air), SHARE)
    assert one.can_be_settled is CanBeSettled.NOT_TODAY
    assert one.difference_needed == pytest.approx(least_difference())
    assert one.needs.show("us") == "outdoor and return air 10.0 °F apart or more, and not 9.5 °F as today"


def test_more_readings_where_they_help() -> None:
    """A probe that scatters takes several readings nearer to its difference, one far from it."""
    instruments = [{**probe("± 0.5 F"), "repeatability": "± 1.2 F"}]
    air = {"outdoor_air": "41 F", "return_air": "74 F"}
    near, far = (
        check(found(weather=day, instruments=instruments), SHARE)
        for day in (air, air | {"outdoor_air": "-20 F"})
    )
    assert near.can_be_settled is far.can_be_settled is CanBeSettled.TODAY
    assert near.readings is not None
    assert near.readings > 1
    assert far.readings == 1


def test_a_supply_airflow_that_is_not_close_enough() -> None:
    """± 12 % takes all of the ± 10 %: no weather helps; the ± that it names does."""
    loose = [PROBE, PLATE | {"accuracy": "± 12 %"}]
    one = check(found(weather=COLD, instruments=loose), FLOW)
    assert one.can_be_settled is CanBeSettled.NEVER
    assert one.supply_u_allowed is not None
    assert "supply airflow read to ± " in one.needs.show("us")
    assert " or closer, and not ± 12 %" in one.needs.show("us")
    close = [PROBE, PLATE | {"accuracy": f"± {199.9 * one.supply_u_allowed:.3f} %"}]
    assert check(found(weather=COLD, instruments=close), FLOW).can_be_settled is CanBeSettled.TODAY


def test_three_probes_are_held_against_one() -> None:
    """One probe for all goes first; three that were compared need a reading more, three that were not a wider difference."""
    three = [{**probe("± 0.5 F", name), "name": f"Probe {name.upper()}"} for name in ("a", "b", "c")]
    one = check(found(weather=COLD, instruments=three), SHARE)
    same, compared, apart = one.ways
    assert all(way.at_hand for way in one.ways)
    assert compared.name.show("us") == "Probe A, Probe B and Probe C, compared side by side first"
    alike = check(
        found(weather=COLD, instruments=[probe("± 0.5 F", name) for name in ("a", "b", "c")]), SHARE
    )
    shown = "three probes: temperature probe of ± 0.5 °F, compared side by side first"
    assert alike.ways[1].name.show("us") == shown
    assert (same.readings, compared.readings) == (1, 2)
    assert same.difference_needed is not None
    assert apart.difference_needed is not None
    assert apart.difference_needed > 2 * same.difference_needed
    single = check(found(weather=COLD, instruments=three[:1]), SHARE)
    assert [way.at_hand for way in single.ways] == [True, False, False]


def test_no_probe_at_all() -> None:
    """Without a temperature probe neither airflow nor sensors can be settled."""
    one = found(weather=COLD, instruments=[PLATE])
    assert check(one, SHARE).needs.show("us") == "a temperature probe whose accuracy is known"
    assert check(one, "sensors").can_be_settled is CanBeSettled.NEVER


def test_a_speed_that_cannot_bring_in_the_air() -> None:
    """Where a speed moves less than is required no reading helps."""
    speeds = [{"name": "high", "supply_air": "4000 cfm"}, {"name": "low", "supply_air": "900 cfm"}]
    one = check(found(weather=COLD, unit={"fan_speeds": speeds}), "outdoor_air.low")
    assert one.can_be_settled is CanBeSettled.NEVER
    assert one.needs.show("us").startswith("a faster low speed")


def test_sensors_beside_a_probe() -> None:
    """± 0.5 °F shows ± 2 °F, ± 3 °F does not; the ± that it asks for does."""
    right = check(found(weather=COLD), "sensors")
    assert (right.can_be_settled, right.readings) == (CanBeSettled.TODAY, 1)
    assert "no more than 1.6 °F between them" in right.needs.show("us")
    wrong = check(found(weather=COLD, instruments=[probe("± 3 F")]), "sensors")
    assert wrong.can_be_settled is CanBeSettled.NEVER
    assert wrong.needs.show("us") == "a probe of ± 2.0 °F or closer, or an ice bath"
    assert check(found(weather=COLD, instruments=[probe("± 1.9 F")]), "sensors").readings == 1


@pytest.mark.parametrize(
    ("outdoor", "natural"),
    [
        ("90 F", {"test.high_limit"}),
        ("60 F", {"test.free_cooling"}),
        ("52 F", {"test.free_cooling", "test.compressor_lockout"}),
        ("30 F", {"test.free_cooling", "test.compressor_lockout"}),
        ("-20 F", {"test.free_cooling", "test.compressor_lockout"}),
        ("-40 F", {"test.free_cooling", "test.compressor_lockout", "test.low_limit"}),
    ],
)
def test_conditions_that_todays_air_brings(outdoor: str, natural: set[str]) -> None:
    """High limit 75 °F, lockout 55 °F, low limit 45 °F in this plan; what the air does not bring is simulated.

    The minimum of the high speed is 27.9 % outdoor air: mixed air is at 45 °F with 74 - (74 - 45) / 0.279 = -29.9 °F outdoors.
    """
    one = found(weather={"outdoor_air": outdoor, "return_air": "74 F"})
    tests = [check for check in one.checks if check.id.startswith("test.")]
    assert {check.id for check in tests if check.shown_by is ShownBy.MEASUREMENT} == natural
    for check in tests:
        assert check.can_be_settled is CanBeSettled.TODAY
        simulated = check.shown_by is ShownBy.SIMULATION
        assert ("a substitute for the" in check.needs.show("us")) is simulated


def test_a_low_limit_that_no_air_brings_names_no_temperature() -> None:
    """At 27.9 % outdoor air mixed air would be at its limit at 88 - (88 - 45) / 0.279 = -66 °F, and air is nowhere that cold."""
    weather = {"outdoor_air": "54 F", "return_air": "88 F"}
    needs = check(found(weather=weather), "test.low_limit").needs.show("us")
    assert needs.startswith(
        "mixed air below 45.0 °F with the damper at its minimum: no outdoor air gets cold"
    )


def test_an_enthalpy_limit_asks_for_humidity() -> None:
    """On which side of an enthalpy limit cool air lies its temperature does not say: simulated, unless it is known."""
    one = found(weather=MILD, kit="single-speed-enthalpy")
    free = check(one, "test.free_cooling")
    assert free.shown_by is ShownBy.SIMULATION
    assert free.best_time.show("us") == ""


def test_return_air_that_nobody_gave() -> None:
    """72 °F, said to be a guess."""
    one = found(weather={"outdoor_air": "32 F"})
    assert one.return_air * 1.8 + 32 == pytest.approx(72.0)
    assert one.guesses[0].sentence.show("us") == "no return-air temperature is given: 72.0 °F is assumed"
    assert not found(weather=COLD).guesses


def forecast(*hours: tuple[str, str]) -> dict[str, Any]:
    """A mild day, and what the forecast says."""
    return {
        "outdoor_air": "70 F", "return_air": "74 F", "forecast": [{"at": at, "outdoor_air": air} for at, air in hours],
    }  # fmt: skip


def test_a_forecast_tells_when_to_come() -> None:
    """The first day of the forecast is today; the first time that is cold enough is named."""
    early = found(weather=forecast(("2026-11-25T06:00-08:00", "44 F"), ("2026-11-25T09:00-08:00", "66 F")))
    assert check(early, SHARE).can_be_settled is CanBeSettled.TODAY
    assert early.difference_today == pytest.approx(30 / 1.8)
    late = check(
        found(weather=forecast(("2026-11-25T06:00-08:00", "66 F"), ("2026-11-26T06:00-08:00", "44 F"))), SHARE
    )
    assert late.can_be_settled is CanBeSettled.NOT_TODAY
    assert late.best_time.show("us") == "first in the forecast: 2026-11-26 06:00-08:00, 44.0 °F outdoors"
    never = check(found(weather=forecast(("2026-11-25T06:00-08:00", "70 F"))), SHARE)
    assert never.best_time.show("us") == "at no time of the forecast"


def test_a_year_without_todays_air() -> None:
    """When to come is known, and whether today will do is not."""
    one = found(weather(seasons))
    share = check(one, SHARE)
    assert share.can_be_settled is CanBeSettled.NOT_KNOWN
    assert (
        share.best_time.show("us")
        == "most working hours of December to February; surest in January, 07 to 18 h, 100 % of its days"
    )
    assert one.calendar is not None
    assert one.calendar.difference_needed == pytest.approx(least_difference())
    by_name = {month.name: month for month in one.calendar.months}
    assert by_name["January"].working_hours == 1.0
    assert by_name["July"].working_hours == 0.0
    assert by_name["July"].all_hours == 0.25
    assert by_name["July"].hours == (1.0,) * 6 + (0.0,) * 18
    assert by_name["July"].best_hours == "00 to 06 h"
    assert by_name["July"].best_working_hours == ""


def test_the_calendar_is_for_what_weather_settles() -> None:
    """Its difference is the largest of the checks that some difference settles; without any there is none."""
    one = found(weather(seasons), weather=MILD, instruments=[probe("± 1 F"), PLATE])
    needed = [check.difference_needed or 0.0 for check in one.checks]
    assert one.calendar is not None
    assert one.calendar.difference_needed == max(needed)
    assert set(one.calendar.checks) == {check.id for check in one.checks if check.difference_needed}
    assert found(weather(seasons), weather=MILD, instruments=[PLATE]).calendar is None


def test_hot_air_is_as_far_apart_as_cold_air() -> None:
    """Only the difference counts: 20 °F above return air does what 20 °F below it does, today and in the year."""
    hot = found(
        weather(lambda month, _: 35.0 if month == 7 else 22.0), weather=MILD | {"outdoor_air": "94 F"}
    )
    assert check(hot, SHARE).can_be_settled is CanBeSettled.TODAY
    assert hot.calendar is not None
    assert [month.all_hours for month in hot.calendar.months] == [0.0] * 6 + [1.0] + [0.0] * 5


def months(does: Callable[[int, int], bool]) -> tuple[Month, ...]:
    """The map of a year in which the hours that are asked for are known."""
    return months_of(weather(lambda month, hour: float(does(month, hour))), lambda outdoor: outdoor == 1.0)


def test_hours_beyond_midnight_are_one_night() -> None:
    """From 21 h to 5 h is one run, in either direction of the day's end."""
    night = months(lambda _, hour: hour >= 21 or hour < 5)[0]
    assert night.best_hours == "21 to 05 h"
    assert night.all_hours == pytest.approx(8 / 24)
    assert night.best_working_hours == ""


@pytest.mark.parametrize(
    ("does", "sentence"),
    [
        (lambda _m, _h: False, "at no hour of the year"),
        (lambda _m, _h: True, "most working hours of every month"),
        (lambda m, h: m == 4 and h == 3, "only out of working hours: April, 03 to 04 h, 100 % of its days"),
        (lambda m, h: m == 4 and h in {8, 9}, "in no month most of the time; at its best in April, 08 to 10 h, 100 % of its days"),
        (
            lambda m, h: m in {1, 2, 7, 11, 12} and h > 8,
            "most working hours of November to February and July; surest in January, 09 to 18 h, 100 % of its days",
        ),
    ],
)  # fmt: skip
def test_when_to_come_in_words(does: Callable[[int, int], bool], sentence: str) -> None:
    """Months are joined over the new year; what never happens, or only at night, is said."""
    assert best_time(months(does)).show("us") == sentence


@pytest.mark.parametrize(("size", "widest"), [(PAPER, 820.0), (PHONE, 330.0)])
def test_the_map_as_a_drawing(size: Any, widest: float) -> None:
    """Black on white, named for those who do not see it, everything on the sheet; a square for every hour with days."""
    one = found(weather(seasons), weather=MILD)
    assert one.calendar is not None
    svg = draw_calendar(one.calendar, "us", size=size)
    assert float(ET.fromstring(svg).get("width", "")) <= widest  # noqa: S314 - our own
    root = ET.fromstring(svg)  # noqa: S314 - our own
    space = "{http://www.w3.org/2000/svg}"
    title, description = root.find(f"{space}title"), root.find(f"{space}desc")
    assert title is not None
    assert title.text == "When to read outdoor air: Nowhere, XX"
    assert description is not None
    assert "10.0 °F or more from return air at 74.0 °F" in (description.text or "")
    assert "July: 0 % of the hours from 7 to 18, best 00 to 06 h (100 % of days)" in (description.text or "")
    colours = {element.get(name) for element in root.iter() for name in ("fill", "stroke")}
    assert colours <= {"#000", "#fff", "none", None}
    squares = [one for one in root.iter(f"{space}path") if one.get("fill") == "#000"]
    assert len(squares) == 3 * 24 + 9 * 6 + 5  # winter, summer nights, what the squares mean
    width = float(root.get("width", "0"))
    assert all(0 <= float(one.get("x", "0")) < width for one in root.iter() if one.get("x"))
    assert "5.6 K" in draw_calendar(one.calendar, "si")
