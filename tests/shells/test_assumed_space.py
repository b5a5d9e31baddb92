"""A job of four facts: a plan can be made, what it assumes is said, and nothing passes or fails by it."""

from __future__ import annotations

import random
from typing import Any

import pytest
from tests.invented import PROBE, facts, left, mixed, readings, supply

from ventwright.errors import Refused
from ventwright.evidence import Verdict
from ventwright.facts import Facts
from ventwright.physics.inference.step import Do
from ventwright.plan import Compliance, Plan, make_plan
from ventwright.plan.provable import CanBeSettled, make_provable
from ventwright.verdict import judge

CFM, FT2 = 0.3048**3 / 60, 0.3048**2
NO_SPACES: dict[str, Any] = {"spaces": [], "ventilation": {"drawn": None}}
SETTLES = "enter the spaces, or the airflow on the drawings"


def opened(**unit: Any) -> Facts:
    """A job as it is opened: capacity, fan speeds, place, outdoor temperature."""
    given: dict[str, Any] = {
        "tag": "T-1",
        "cooling_capacity": "10 ton",
        "fan_speeds": [{"name": "high"}, {"name": "low"}],
    }
    return Facts.model_validate({
        "site": {"name": "Nowhere", "county": "Cook County", "state": "IL"},
        "unit": {key: value for key, value in (given | unit).items() if value is not None},
        "weather": {"outdoor_air": "45 F"}, "kit": "two-speed-dry-bulb",
    })  # fmt: skip


def said(plan: Plan, what: str) -> list[str]:
    """What the plan says of one thing."""
    return [guess.sentence.show("us") for guess in plan.guesses if guess.what == what]


def test_four_facts_give_a_plan() -> None:
    """10 ton at 300 ft2 a ton of sales floor: 3000 ft2 x 0.12 + 45 people x 7.5 cfm = 697.5 (62.1 Table 6-1), over 0.8."""
    plan = make_plan(opened())

    assert plan.basis.climate_zone == "5A"
    assert plan.basis.elevation == pytest.approx(187, abs=1)
    assert plan.ventilation.required == pytest.approx(697.5 / 0.8 * CFM)
    assert plan.ventilation.required_is_guess
    assert plan.ventilation.source == "code sum, ASHRAE 62.1-2019, of a space that is assumed"
    assert plan.ventilation.spaces == ()
    assert all(speed.first_signal is not None for speed in plan.speeds)
    assert plan.settings
    assert plan.to_prove
    assert said(plan, "spaces") == [
        (
            "what the unit serves is not known: 3000 ft2 of Retail / Sales is assumed until the spaces are entered "
            "(300 ft2 for every ton (12,000 Btu/h) of cooling, in use are 250 ft2 to 350 ft2, common practice); no outdoor airflow passes or fails by it"
        )
    ]


def test_the_supply_airflow_alone_is_enough_to_guess_by() -> None:
    """4000 cfm go with 10 ton at 400 cfm a ton."""
    by_air = make_plan(opened(cooling_capacity=None, fan_speeds=[{"name": "high", "supply_air": "4000 cfm"}]))
    assert by_air.ventilation.required == pytest.approx(make_plan(opened()).ventilation.required)


def test_neither_capacity_nor_supply_airflow_is_refused() -> None:
    """With nothing to guess from, the sentence says what to give."""
    accepted = "accepted: supply_air for a fan speed, a data sheet, or cooling_capacity to guess from"
    with pytest.raises(Refused) as caught:
        make_plan(opened(cooling_capacity=None))
    assert str(caught.value) == f"facts.unit: gives no supply airflow; {accepted}."


def test_a_drawn_airflow_needs_no_assumption() -> None:
    """What the drawings say is no guess."""
    plan = make_plan(facts(spaces=[]))
    assert not plan.ventilation.required_is_guess
    assert said(plan, "spaces") == []


def test_the_slowest_speed_can_carry_what_is_assumed() -> None:
    """A fan that slows down far gives no reason to call it too slow: 300 of 4000 cfm, and half of it is asked for."""
    slow = [{"name": "high", "supply_air": "4000 cfm"}, {"name": "low", "supply_air": "300 cfm"}]
    plan = make_plan(opened(fan_speeds=slow))

    assert plan.ventilation.required == pytest.approx(150 * CFM)
    assert all(speed.can_deliver and speed.remark is None for speed in plan.speeds)
    assert "(so much that its slowest fan speed can carry the air)" in said(plan, "spaces")[0]


def test_demand_control_is_not_told_by_an_assumed_space() -> None:
    """Whether a space is large and dense enough is not known before there is one."""
    plan = make_plan(facts(**NO_SPACES))
    found = next(one for one in plan.requirements if one.id == "demand_control")
    assert found.standing is Compliance.NOT_KNOWN
    assert plan.demand_control is None


@pytest.mark.parametrize(
    "standard", ["62.1-2016", "62.1-2019", "62.1-2022", "Title 24-2016", "Title 24-2019", "Title 24-2022"]
)
def test_every_edition_has_the_assumed_use(standard: str) -> None:
    """The plan can be made by each."""
    plan = make_plan(facts(spaces=[], ventilation={"drawn": None, "standard": standard}))
    assert 0.0 < plan.ventilation.required < plan.speeds[-1].supply_air


def test_readings_that_would_pass_cannot_tell() -> None:
    """Good readings of just what is assumed: the share and airflow are shown, and the verdict waits for the spaces."""
    given = facts(**NO_SPACES)
    plan = make_plan(given)
    share = plan.speeds[0].target_outdoor_air_fraction
    at = f"{74.0 - 40.0 * share:.2f} F"
    speed = judge(given, plan, readings(supply(), mixed(mixed_air=[at] * 8), left())).speeds[0]

    assert speed.verdict is Verdict.CANNOT_TELL
    assert speed.outdoor_air_fraction == pytest.approx(share, abs=0.01)
    assert speed.outdoor_air == pytest.approx(plan.ventilation.required, rel=0.05)
    for check in (speed.flow, speed.fraction):
        assert check is not None
        assert check.shortfall is not None
        assert check.shortfall.name == "airflow.requirement_is_guess"
        assert check.shortfall.settle_by.show("us") == SETTLES
        assert "but what high speed has to bring in is assumed" in check.sentence.show("us")


def test_the_same_readings_pass_once_the_airflow_is_drawn() -> None:
    """It is the assumption alone that holds the verdict back."""
    assumed = make_plan(facts(**NO_SPACES))
    cfm = assumed.ventilation.required / CFM
    given = facts(spaces=[], ventilation={"drawn": {"cooling": f"{cfm:.2f} cfm", "source": "invented sheet"}})
    at = f"{74.0 - 40.0 * assumed.speeds[0].target_outdoor_air_fraction:.2f} F"
    entries = readings(supply(), mixed(mixed_air=[at] * 8), left())
    assert judge(given, make_plan(given), entries).speeds[0].verdict is Verdict.PASSES


def test_nothing_is_provable_of_an_assumed_airflow() -> None:
    """Neither today nor on a colder day: first the spaces; the other checks stand as they did."""
    given = facts(
        **NO_SPACES, weather={"outdoor_air": "34 F", "return_air": "74 F"},
        instruments=[PROBE, {"id": "plate", "kind": "airflow", "accuracy": "± 5 %"}],
    )  # fmt: skip
    plan = make_plan(given)
    found = {check.id: check for check in make_provable(given, plan).checks}

    for name, check in found.items():
        if name.startswith("outdoor_air"):
            assert check.can_be_settled is CanBeSettled.NOT_TODAY
            assert check.readings is None
            assert check.needs.show("us").startswith(
                f"first {SETTLES}, since what is required is assumed; then "
            )
    assert found["sensors"].can_be_settled is CanBeSettled.TODAY
    for one in plan.to_prove:
        if one.id.startswith("outdoor_air"):
            assert one.today is not None
            assert one.today.show("us") == f"what is required is assumed, and proves nothing: {SETTLES}"


def test_no_job_without_spaces_passes_or_fails_outdoor_air() -> None:
    """Random units, readings with next to no error among them, everywhere from closed to open."""
    chance = random.Random(20261130)  # noqa: S311 - repeatable, not secret
    for _ in range(40):
        flow = chance.uniform(1500, 9000)
        unit = {
            "cooling_capacity": chance.choice([None, f"{chance.uniform(2, 25):.1f} ton"]),
            "fan_speeds": [{"name": "high", "supply_air": f"{flow:.0f} cfm"}],
        }
        given = facts(**NO_SPACES, unit=unit)
        plan = make_plan(given)
        share = chance.choice([plan.speeds[0].target_outdoor_air_fraction, chance.uniform(0.0, 1.0)])
        point = f"{74.0 - 40.0 * share + chance.gauss(0.0, 0.1):.2f} F"
        entries = [supply(f"{flow:.0f} cfm ± 2 %"), mixed(mixed_air=[point] * 8), left()]
        if chance.random() < 0.3:
            entries.append({
                "what": "outdoor airflow", "speed": "high", "damper_signal": "21 %",
                "airflow": f"{share * flow:.0f} cfm ± 3 %", "method": "flow hood",
            })  # fmt: skip
        verdicts = judge(given, plan, readings(*entries))
        outdoor = [check for check in verdicts.checks() if check.id.startswith("outdoor_air")]
        assert outdoor
        assert {check.verdict for check in outdoor} == {Verdict.CANNOT_TELL}


def test_the_balance_asks_for_the_spaces_and_never_says_that_it_is_done() -> None:
    """Readings that would settle the airflow settle nothing while nobody knows what it should be."""
    known = opened().model_copy(update={"instruments": facts(spaces=[]).instruments})
    plan = make_plan(known)
    found = judge(known, plan, readings(supply(), mixed(mixed_air=["65.3 F"] * 8), left())).balance.speed(
        "high"
    )
    assert found.advice is not None
    assert found.advice.do not in {Do.HOLD, Do.SET}
    assert found.advice.way_out is not None
    assert found.advice.way_out.show("us") == SETTLES
