"""What free cooling saves, of invented jobs in an invented year: what is compared, said first, flagged, and when to come back."""

from __future__ import annotations

import re
from dataclasses import replace
from importlib.resources import files
from pathlib import Path
from time import process_time
from typing import Any

import pytest
from tests.invented import SITE, UNIT, facts, left, mixed, readings, supply

from ventwright.errors import Refused
from ventwright.evidence import Verdict
from ventwright.facts import Facts
from ventwright.job import Job, work
from ventwright.plan import make_plan
from ventwright.readings import Readings
from ventwright.record.air_chart import AirPoint, FreeCooling
from ventwright.record.calendar_drawing import draw_come_back
from ventwright.record.savings_pictures import hours_picture, savings_picture
from ventwright.store import load
from ventwright.tables.invented_year import invented_year
from ventwright.verdict import judge
from ventwright.verdict.savings import (
    Input,
    Kind,
    Savings,
    Spread,
    StrategyOutcome,
    make_savings,
    savings_in_parts,
)
from ventwright.verdict.savings import spread as spreads
from ventwright.verdict.savings.come_back import rarest, when_to_come_back
from ventwright.verdict.savings.guard import flags, leaves_warm, looks_cheap, saved_share
from ventwright.verdict.savings.high_limit_choice import choose_high_limit
from ventwright.verdict.savings.outcomes import KWH
from ventwright.verdict.savings.owner import owners_page
from ventwright.verdict.savings.published import published

DEMO = Path(str(files("ventwright.cli"))) / "demo_job"

FEW: dict[str, Any] = {"weekdays": "8-11", "balance_point": "45 F ± 6 F", "electricity_price": 0.2}
"""Three hours a day: enough to compare, and quick."""


def year_of(given: Facts, read: Readings | None = None, zone: str = "3C", draws: int = 8) -> Savings:
    """Reckon a year of an invented job."""
    return make_savings(given, make_plan(given), read or readings(), invented_year(zone), draws=draws)


@pytest.fixture(scope="module")
def coast() -> Savings:
    return year_of(facts(running=FEW))


def named(savings: Savings, name: str) -> StrategyOutcome:
    return next(one for one in savings.outcomes if one.name == name)


def test_what_is_compared(coast: Savings) -> None:
    """None, as left, every control that the code allows with limits of its own, and the faults; no as found without one."""
    kinds = [one.kind for one in coast.outcomes]
    assert kinds[:2] == [Kind.NONE, Kind.AS_LEFT]
    assert Kind.AS_FOUND not in kinds
    assert {one.name for one in coast.outcomes if one.kind is Kind.ALLOWED} >= {
        "fixed dry bulb",
        "differential dry bulb",
        "differential enthalpy and dry bulb",
    }
    assert kinds.count(Kind.FAULT) > 15


def test_no_control_that_the_code_allows_loses(coast: Savings) -> None:
    """On a mild coast, in the middle of everything."""
    assert all(one.saved.middle > 0.0 for one in coast.outcomes if one.kind is Kind.ALLOWED)


def test_every_range_holds_its_middle(coast: Savings) -> None:
    for one in coast.outcomes:
        for spread in (
            one.saved,
            one.over,
            one.heating_over,
            one.cooling,
            one.peak,
            one.free_cooling_h,
            one.cost_saved,
        ):
            assert spread is not None
            assert spread.low <= spread.middle <= spread.high
    assert coast.left.saved.low < coast.left.saved.high


def test_the_same_seed_says_the_same(coast: Savings) -> None:
    assert year_of(facts(running=FEW)).left == coast.left


def test_money_is_the_energy_times_its_price(coast: Savings) -> None:
    """Gas heat has no price here, and is the same in both."""
    left = coast.left
    assert left.cost_saved is not None
    assert left.cost_saved.middle == pytest.approx(0.2 * left.saved.middle / KWH)
    assert left.emissions_saved_kg is None


def test_a_shut_damper_is_never_praised(coast: Savings) -> None:
    """It is short of air in every hour, and what it saves in heating stands beside that."""
    shut = named(coast, "outdoor-air damper stuck shut")
    assert shut.year.short_of_air_h == coast.open_hours
    assert shut.heating_over.middle < 0.0
    assert shut.air_first
    assert coast.left.year.short_of_air_h == 0.0


def test_a_limit_too_low_gives_free_cooling_away(coast: Savings) -> None:
    low = named(coast, "high limit set too low")
    assert low.over.middle > 0.5 * coast.left.saved.middle
    assert low.saved.middle == pytest.approx(0.0, abs=0.02 * coast.none.year.cooling)


def test_what_moves_the_range_stands_in_order(coast: Savings) -> None:
    """The largest swing first; the balance point is among the first, as reference runs have it."""
    swings = [one.swing for one in coast.drivers]
    assert swings == sorted(swings, reverse=True)
    assert any("balance point" in one.words for one in coast.drivers[:6])


def test_bins_and_hours_agree(coast: Savings) -> None:
    check = coast.check
    assert check.by_hours == pytest.approx(coast.left.saved.middle)
    assert check.by_bins == pytest.approx(check.by_hours, abs=0.1 * coast.none.year.cooling)
    assert check.by_degree_hours is not None
    assert check.by_degree_hours_uncapped is not None
    assert check.by_degree_hours_uncapped > check.by_degree_hours


def test_without_numpy_the_ranges_come_from_bins(coast: Savings, monkeypatch: pytest.MonkeyPatch) -> None:
    """The middle is the same; the ends are near those of the arrays."""
    monkeypatch.setattr(spreads, "numpy_is_there", lambda: False)
    plain = year_of(facts(running=FEW)).left.saved
    arrays = coast.left.saved
    assert plain.middle == pytest.approx(arrays.middle, rel=1e-9)
    width = arrays.high - arrays.low
    assert abs(plain.low - arrays.low) < 0.35 * width
    assert abs(plain.high - arrays.high) < 0.35 * width


def test_what_only_looks_cheap_is_named(coast: Savings) -> None:
    """A shut damper takes less heating, and is named for it; a lockout too high leaves the space warm."""
    assert "outdoor-air damper stuck shut" in looks_cheap(coast.faults, coast.left)
    assert "high limit set too low" not in looks_cheap(coast.faults, coast.left)
    assert leaves_warm((coast.left,), coast.left) == ()
    warm = replace(coast.left.year, short_of_cooling_h=coast.left.year.short_of_cooling_h + 41.0)
    assert leaves_warm((replace(coast.left, name="warm", year=warm),), coast.left) == ("warm",)


def test_yardsticks_flag_what_is_beyond_them(coast: Savings) -> None:
    """Half of the cooling: beyond what is published for a humid zone, within for the coast; too much for a small unit."""
    half = 0.5 * coast.none.year.cooling
    much = replace(coast.left, saved=Spread(half, half, half))
    loses = replace(coast.left, saved=Spread(-half, -half, -half))

    def names(one: StrategyOutcome, zone: str, capacity: float) -> set[str]:
        return {flag.name for flag in flags([coast.none, one], zone, capacity, coast.open_hours)}

    assert names(much, "3A", 35e3) == {"savings.above_yardstick"}
    assert names(much, "3C", 35e3) == set()
    assert names(much, "3C", 3e3) == {"savings.above_yardstick_per_ton"}
    assert names(loses, "3C", 35e3) == {"savings.below_nothing"}
    assert saved_share(much, coast.none) == pytest.approx(0.5)


def test_the_choice_of_a_high_limit(coast: Savings) -> None:
    """The control that saves most after its sensors' errors comes first, and errors cost the most where heat is compared."""
    choice = choose_high_limit(coast, draws=20)
    expected = [one.to_expect for one in choice.controls]
    assert expected == sorted(expected, reverse=True)
    lost = {one.name: one.lost_to_errors for one in choice.controls}
    assert lost["differential enthalpy and dry bulb"] >= lost["fixed dry bulb"] - 1e-6
    assert all(one.lost_at_worst >= one.lost_to_errors - 1e-6 for one in choice.controls)
    assert "sensor" in choice.sentence.show("us")


def test_a_balance_point_from_the_hours_seen() -> None:
    """Compressors that were seen to run take the place of the wide range."""
    seen = [{"outdoor_air": f"{54 + 5 * n} F", "share_running": f"{8 * n + 6} %"} for n in range(6)]
    running = {"weekdays": "12-15", "compressor_seen": seen}
    known = {one.name: one for one in year_of(facts(running=running), draws=0).inputs}
    guess = {one.name: one for one in year_of(facts(running={"weekdays": "12-15"}), draws=0).inputs}
    assert known["balance_point"].given
    assert not guess["balance_point"].given
    assert known["balance_point"].uncertainty < guess["balance_point"].uncertainty


def input_of(running: dict[str, Any], name: str, zone: str = "5A") -> Input:
    """One input of a year with these facts of running."""
    savings = year_of(facts(running={"weekdays": "12-15"} | running), zone=zone, draws=0)
    return next(one for one in savings.inputs if one.name == name)


def test_a_balance_point_from_what_is_given_off() -> None:
    """More gains, a lower balance point; hours that were seen go before them, and what was given before both."""
    few, many = (input_of({"internal_gains": f"{kW} kW"}, "balance_point") for kW in (6, 10))
    assert few.source == many.source == "from what people and things give off"
    assert many.middle < few.middle
    guess = input_of({}, "balance_point")
    assert few.uncertainty < guess.uncertainty
    seen = [{"outdoor_air": f"{54 + 5 * n} F", "share_running": f"{8 * n + 6} %"} for n in range(6)]
    both = {"internal_gains": "6 kW", "compressor_seen": seen}
    assert input_of(both, "balance_point").source == "from the hours that compressors were seen to run"
    assert input_of(both | {"balance_point": "50 F"}, "balance_point").source == "given"


def test_more_gains_than_load_are_refused() -> None:
    """Then the space would have to lose heat on the hottest day."""
    with pytest.raises(Refused) as refused:
        input_of({"internal_gains": "50 kW", "load_at_design": "20 kW"}, "balance_point")
    assert refused.value.refusals[0].sentence == (
        'facts.running.internal_gains: "50 kW" is more heat than the space has to lose on the hottest day; '
        "accepted: less than the load of the hottest day, 20.0 kW (facts.running.load_at_design)."
    )


def test_sensors_that_are_known_take_the_place_of_those_of_the_code() -> None:
    """Twice as good, half as uncertain; and the choice of a high limit says so."""
    asked, known = input_of({}, "outdoor_sensor"), input_of({"sensor_accuracy": "1 F"}, "outdoor_sensor")
    assert known.uncertainty == pytest.approx(0.5 * asked.uncertainty)
    assert (asked.given, known.given) == (False, True)
    savings = year_of(facts(running=FEW | {"sensor_accuracy": "1 F"}), draws=0)
    said = choose_high_limit(savings, draws=2).accuracy.show("us")
    assert said == "sensors good to ± 1.0 °F (given), enthalpy to ± 3.0 Btu/lb"


@pytest.mark.parametrize("arrays", [True, False])
def test_the_work_can_be_stopped_at_any_time(arrays: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    """Between two places at which it may be stopped lies no half second, and what is done only grows."""
    monkeypatch.setattr(spreads, "numpy_is_there", lambda: arrays)
    given = facts()
    parts = savings_in_parts(given, make_plan(given), readings(), invented_year("3C"), draws=4)
    done, longest, last = [0.0], 0.0, process_time()
    for share in parts:
        longest, last = max(longest, process_time() - last), process_time()
        done.append(share)
    assert longest < 0.5
    assert done == sorted(done)
    assert len(done) > 10


def test_a_unit_that_never_runs_is_refused() -> None:
    with pytest.raises(Refused, match="leaves the unit off all year; accepted: at least one hour a week"):
        year_of(facts(running={"weekdays": "closed"}))


@pytest.mark.parametrize("wrong", ["19-7", "seven", "0-25", ""])
def test_an_opening_time_that_is_none_is_refused(wrong: str) -> None:
    with pytest.raises(ValueError, match='whole hours such as "7-19"'):
        facts(running={"weekdays": wrong})


def test_altitude_counts() -> None:
    """The same unit a mile up moves less air by weight, and saves less."""
    high = year_of(facts(site=SITE | {"elevation": "5300 ft"}, running=FEW), draws=0)
    low = year_of(facts(running=FEW), draws=0)
    assert high.known.unit(high.known.middle, high.compared[1].settings).dry_air == pytest.approx(
        0.823 * low.known.unit(low.known.middle, low.compared[1].settings).dry_air, rel=0.01
    )


@pytest.mark.parametrize("kit", ["single-speed-enthalpy", "heat-pump-differential", "variable-enthalpy-with-demand-control"])  # fmt: skip
def test_every_kit_has_a_year(kit: str) -> None:
    """One speed, a heat pump, a variable fan: each runs, and its own control saves something on the coast."""
    unit: dict[str, Any] = {"heating": "heat pump" if kit.startswith("heat") else "gas"}
    if kit.startswith("single"):
        unit["fan_speeds"] = [{"name": "only", "supply_air": "4000 cfm"}]
    found = year_of(facts(kit=kit, unit=UNIT | unit, running=FEW), draws=0)
    assert found.left.saved.middle > 0.0


def test_repairing_a_shut_damper_may_raise_the_bill_and_is_said_before() -> None:
    """Found stuck shut: the owner hears of the air first, and that the bill may rise."""
    repaired = {"what": "repaired", "of": "outdoor_air_damper_stuck"}
    given = facts(running=FEW | {"weekdays": "6-9"})
    read = readings(repaired)
    savings = year_of(given, read, zone="5A")
    assert savings.found is not None
    assert savings.found.short_of_air
    plan = make_plan(given)
    page = owners_page(given, plan, read, judge(given, plan, read), (), savings)
    assert page.before_repair is not None
    assert "may raise the bill" in page.before_repair.show("us")
    assert any("less outdoor air than they need" in one.show("us") for one in page.ventilation)


@pytest.mark.parametrize("with_year", [False, True])
def test_a_damper_that_is_shut_now_is_said_before_anybody_repairs_it(with_year: bool) -> None:
    """Nobody has put it right: the readings show it, whether a year is reckoned or not."""
    given = facts(running=FEW)
    shut = mixed(mixed_air=["73.4 F"] * 8)
    read = readings(shut, supply(), left())
    plan = make_plan(given)
    figures = year_of(given, read, draws=0) if with_year else published(plan)
    page = owners_page(given, plan, read, judge(given, plan, read), (), figures)
    assert page.before_repair is not None
    said = page.before_repair.show("us")
    assert said.startswith("before the repair: the unit brings in ")
    assert "of the 1116 cfm that people need" in said
    assert said.endswith("putting it right may raise the bill; it is due all the same")


def test_without_weather_a_published_range_is_said_and_marked() -> None:
    given = facts()
    plan = make_plan(given)
    page = owners_page(given, plan, readings(), judge(given, plan, readings()), (), published(plan))
    assert page.money.show("us").startswith(
        "published, not reckoned for this unit: free cooling saves 1 % to 30 %"
    )
    assert "climate zone 3C" in page.money.show("us")
    assert page.before_repair is None
    assert "no weather file was given" in page.marks[0].show("us")


def test_a_zone_that_nobody_knows_has_the_usual_range() -> None:
    given = facts(site={"climate_zone": None})
    found = published(make_plan(given))
    assert (found.low, found.high) == (0.01, 0.12)
    assert "whose climate zone is not known" in found.sentence.show("si")


def demo(name: str) -> tuple[Job, Any]:
    kept = load(DEMO / name)
    return kept.job, work(kept.job, kept.beside)


def test_when_to_come_back_names_what_is_not_proved() -> None:
    """Airflow at the speed that is proved is not on the list; each that is has months and hours, or says what it needs."""
    job, worked = demo("larkspur-row-r-2.yaml")
    found = when_to_come_back(job.facts, worked.plan, worked.verdicts, invented_year("3C"))
    proved = {one.id for one in worked.verdicts.checks() if one.verdict is Verdict.PASSES}
    ids = [one.check for one in found.checks]
    assert "outdoor_air.high" in proved
    assert "outdoor_air.high" not in ids
    assert "outdoor_air.low" in ids
    low = next(one for one in found.checks if one.check == "outdoor_air.low")
    assert low.calendar is not None
    assert len(low.calendar.months) == 12
    assert 0.0 < low.hours_a_year < 365 * 11
    assert found.sentence.show("us").startswith(
        "plan the return by what no simulated condition can prove, outdoor airflow"
    )


def test_a_forecast_names_the_hour() -> None:
    """Of three typed hours the coldest settles the airflow; without a year there is no calendar."""
    hours = [
        {"at": "2026-12-01T13:00-08:00", "outdoor_air": "70 F"},
        {"at": "2026-12-02T07:00-08:00", "outdoor_air": "34 F"},
    ]
    given = facts(weather={"outdoor_air": "70 F", "return_air": "74 F", "forecast": hours})
    plan = make_plan(given)
    found = when_to_come_back(given, plan, judge(given, plan, readings()), None)
    airflow = [one for one in found.checks if one.check.startswith("outdoor_air")]
    assert all(one.forecast[0].at == "2026-12-02 07:00-08:00" for one in airflow if one.weather_settles)
    assert all(one.calendar is None for one in found.checks)
    assert found.sentence.show("us").startswith("come on 2026-12-0")


def test_the_hours_of_every_control_can_be_drawn(coast: Savings) -> None:
    """Each with its own limit in words."""
    said = {
        one.name: hours_picture(coast, control=one.name) for one in choose_high_limit(coast, draws=2).controls
    }
    assert "of no more heat than" in said["differential enthalpy and dry bulb"]
    assert "of no more heat than" not in said["fixed dry bulb"]


def test_a_dew_point_limit_bounds_the_hours_that_are_let_in() -> None:
    """90.1-2010 lets a dew point of 55 °F end free cooling: at sea level 9.2 g of water in a kilogram (ASHRAE Fundamentals)."""
    older = {"energy_code": "90.1-2010", "climate_zone": "3A"}
    savings = year_of(facts(site=older, running=FEW), zone="3A", draws=2)
    assert "and of a dew point no higher than 55.0 °F" in hours_picture(
        savings, control="dew point and dry bulb"
    )
    region = FreeCooling("", dry_bulb=23.9, humidity_ratio=0.0092)
    assert region.holds(AirPoint("", 15.0, 0.0091))
    assert region.holds(AirPoint("", 15.0, 0.0093)) is False
    assert region.holds(AirPoint("", 15.0)) is None


def test_when_to_come_back_can_be_drawn() -> None:
    """The airflow at the speed that is not proved, by month and hour; nothing without a year."""
    job, worked = demo("larkspur-row-r-2.yaml")
    with_year = when_to_come_back(job.facts, worked.plan, worked.verdicts, invented_year("3C"))
    check = rarest(with_year)
    assert check is not None
    assert check.check == "outdoor_air.low"
    assert draw_come_back(check).startswith("<svg")
    assert "°C" in draw_come_back(check, "si")
    assert rarest(when_to_come_back(job.facts, worked.plan, worked.verdicts, None)) is None


def test_the_pictures_are_black_on_white_and_say_what_they_show(coast: Savings) -> None:
    for svg in (savings_picture(coast), hours_picture(coast), hours_picture(coast, "si")):
        assert svg.startswith("<svg")
        assert set(re.findall(r"#[0-9a-f]{3,6}", svg)) == {"#000", "#fff"}
        assert "<title" in svg
        assert "invented weather" in svg
    assert "saves" in savings_picture(coast)
    assert "open hours cooler than return air" in hours_picture(coast)
