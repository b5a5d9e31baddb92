"""Ways to a pass or a fail that the readings cannot carry, each of which once led there."""

from __future__ import annotations

from typing import Any

import pytest
from tests.invented import PROBE, facts, left, mixed, readings, supply
from tests.shells.test_record_content import job, outcome

from ventwright.evidence import Verdict
from ventwright.facts import Facts
from ventwright.plan import make_plan
from ventwright.quantity import AIRFLOW
from ventwright.record.acceptance import HIGH_LIMITS
from ventwright.verdict import SpeedVerdict, Verdicts, judge
from ventwright.verdict.check import Check, held_against
from ventwright.words import Amount, Words, words

HUMIDITY: dict[str, Any] = {"id": "probe", "kind": "humidity", "accuracy": "± 3 %"}
UNSUITED: dict[str, Any] = {"id": "probe", "kind": "other", "accuracy": "± 3 %"}


def judged(*entries: dict[str, Any], given: Facts | None = None) -> Verdicts:
    """Verdicts on an invented job with these readings."""
    known = given or facts()
    return judge(known, make_plan(known), readings(*entries))


def why(check: Check | None) -> str:
    """Name of what keeps a check from being told."""
    assert check is not None
    assert check.verdict is Verdict.CANNOT_TELL
    assert check.shortfall is not None
    return check.shortfall.name


def high(*entries: dict[str, Any], given: Facts | None = None) -> SpeedVerdict:
    """Verdict on the high fan speed."""
    return judged(*entries, given=given).speeds[0]


@pytest.mark.parametrize("instrument", [HUMIDITY, UNSUITED], ids=["humidity", "other, in per cent"])
def test_three_per_cent_are_no_degrees(instrument: dict[str, Any]) -> None:
    """An accuracy in per cent says nothing about a temperature, so neither airflow nor sensor can be told."""
    other = facts(instruments=[instrument])
    beside = {
        "what": "sensor check", "sensor": "return air", "shown": "74.0 F", "probe": "74.0 F", "instrument": "probe",
    }  # fmt: skip
    verdicts = judged(supply(), mixed(), left(), beside, given=other)

    assert why(verdicts.speeds[0].flow) == "airflow.no_thermometer"
    assert why(verdicts.sensors[0]) == "sensor.no_thermometer"


@pytest.mark.parametrize("band", ["0 %", "0.01 %", "1 cfm", "1.9 %"])
def test_an_absurdly_close_supply_airflow_carries_nothing(band: str) -> None:
    """No field method reads an airflow within 2 % (common practice, no published source)."""
    speed = high(supply(f"4000 cfm ± {band}"), mixed(), left())

    assert why(speed.flow) == "airflow.supply_too_sure"
    assert why(speed.fraction) == "airflow.supply_too_sure"


def test_a_reading_is_not_closer_than_its_instrument() -> None:
    """A hood of ± 5 % does not read an airflow within 3 %."""
    hood = {"id": "hood", "kind": "airflow", "accuracy": "± 5 %"}
    known = facts(instruments=[PROBE, hood])

    assert why(high(supply("4000 cfm ± 3 %", instrument="hood"), mixed(), left(), given=known).flow) == (
        "airflow.supply_too_sure"
    )


def test_what_the_instrument_itself_says_is_not_too_close() -> None:
    """A typed "± 5 %" beside a hood of ± 5 % is its own figure, whichever way the last binary place was rounded."""
    hood = {"id": "hood", "kind": "airflow", "accuracy": "± 5 %"}
    known = facts(instruments=[PROBE, hood])
    for airflow in range(3300, 4700, 50):
        speed = high(supply(f"{airflow} cfm ± 5 %", instrument="hood"), mixed(), left(), given=known)
        assert speed.flow is not None
        reason = speed.flow.shortfall
        assert reason is None or reason.name != "airflow.supply_too_sure", airflow


def test_the_share_does_not_pass_on_a_design_value_either() -> None:
    """The share that is wanted follows from the supply airflow, and that was never measured."""
    assert why(high(mixed(), left()).fraction) == "airflow.supply_is_design_value"


def test_knowing_next_to_nothing_is_no_failure() -> None:
    """In the middle of its band, an estimate with a hundred times the band's width fails nothing."""
    ends = Amount(0.9, AIRFLOW), Amount(1.1, AIRFLOW)
    hardly = held_against("x.y", Words("x"), Amount(1.0, AIRFLOW, 10.0), *ends, Words("x"), _shortfall())

    assert hardly.verdict is Verdict.CANNOT_TELL
    assert hardly.probability_within == pytest.approx(
        0.00798, abs=1e-5
    )  # 2 phi(0) * 0.01: table of the normal density


def _shortfall() -> Any:
    flow = high(mixed(), left()).flow
    assert flow is not None
    return flow.shortfall


@pytest.mark.parametrize(("outdoor", "told"), [("65.0 F", False), ("63.9 F", True)])
def test_less_than_ten_degrees_apart_is_not_told(outdoor: str, told: bool) -> None:
    """10 °F between outdoor and return air is the least for a verdict: NISTIR 6994, default of its rules (as quoted)."""
    fine = facts(instruments=[PROBE | {"accuracy": "± 0.1 F", "repeatability": "± 0.02 F"}])
    at = {"65.0 F": "71.48 F", "63.9 F": "71.172 F"}[outdoor]
    speed = high(supply(), mixed(outdoor_air=outdoor, mixed_air=[at] * 8), left(), given=fine)

    assert (speed.verdict is Verdict.PASSES) is told
    if not told:
        assert why(speed.flow) == "airflow.streams_too_close"


def test_speeds_of_one_airflow_do_not_stop_the_verdict() -> None:
    """Three speeds that were all entered with one airflow are judged, not divided by nothing."""
    three = [{"name": name, "supply_air": "4000 cfm"} for name in ("one", "two", "three")]
    known = facts(unit={"fan_speeds": three})
    entries = (
        supply(speed="one"), mixed(speed="one"), left(value="21 %"), left("Fresh-air opening, fan slow", "21 %"),
    )  # fmt: skip

    assert judged(*entries, given=known).speeds[0].verdict is Verdict.PASSES


def test_nobody_is_sent_home_for_weather_that_he_has() -> None:
    """Near the edge of the band, in weather wide enough, another signal settles it, not another day."""
    check = high(supply(), mixed(mixed_air=["61.9 F"] * 8), left()).fraction

    assert check is not None
    assert check.shortfall is not None
    assert "nearer 27.9 %" in check.shortfall.settle_by.show("us")


def test_mixed_air_in_layers_wants_another_place() -> None:
    """Forty degrees apart are enough; layers are not cured by colder weather."""
    check = high(supply(), mixed(mixed_air=["50 F", "75 F"] * 4 + ["62.8 F"] * 2), left()).flow

    assert check is not None
    assert check.shortfall is not None
    assert check.shortfall.settle_by == words(
        "read where the air has mixed: behind the fan with coil and heat off, less what the fan adds"
    )


def test_a_guess_left_as_guessed_proves_nothing() -> None:
    """No zone, no limit of the code: the kit's default left in place is no setting that anybody found right."""
    known = facts(site={"climate_zone": None})
    default = next(one for one in make_plan(known).settings if one.label == "Outdoor air too warm above")
    checks = judged(left("Outdoor air too warm above", default.value.show("us")), given=known).settings

    assert default.guess
    assert why(next(one for one in checks if one.id.endswith("too warm above"))) == "setting.plan_is_guess"


def test_silence_is_no_proof_that_nothing_was_left() -> None:
    """Without a change entered somebody has to have looked; what he found not in order fails."""
    tick = {"what": "tick", "item": "nothing_left"}

    assert why(judged(supply()).nothing_left) == "nothing_left.not_looked_at"
    assert judged(supply(), tick).nothing_left.verdict is Verdict.PASSES
    assert judged(supply(), tick | {"found": "not in order"}).nothing_left.verdict is Verdict.FAILS
    assert (
        why(judged(supply(), tick | {"found": "not looked at"}).nothing_left) == "nothing_left.not_looked_at"
    )


def test_a_proof_older_than_the_change_is_none() -> None:
    """Restored at ten and changed at twelve: what was changed may still be there."""
    change = {
        "what": "temporary change", "id": "c", "at": "2026-11-25T12:00-08:00", "point": "outdoor sensor", "was": "on",
        "changed_to": "12k",
    }  # fmt: skip
    back = {"what": "restored", "change": "c", "at": "2026-11-25T10:00-08:00", "read_back": "58.2 F"}

    assert why(judged(change, back).nothing_left) == "nothing_left.restored_before_change"


LIMIT = "high-limit-set"


def test_a_limit_chosen_beyond_the_code_fails_the_sheet() -> None:
    """Left as chosen it is as planned, but the step asks for the code's table."""
    label = "Outdoor air too warm above"
    chosen: dict[str, Any] = {
        "plan": {"choices": [{"label": label, "value": "80 F", "reason": "for a test"}]}
    }

    assert outcome(job(left(label, "75 F")), LIMIT)[0] == "pass"
    assert outcome(job(left(label, "80 F"), **chosen), LIMIT)[0] == "FAIL"


def test_a_guessed_limit_is_not_the_codes() -> None:
    """Where no climate zone is known nobody can say what the table asks."""
    nowhere = facts(site={"climate_zone": None})

    assert outcome(job(left("Outdoor air too warm above", "65 F"), given=nowhere), LIMIT)[0].startswith(
        "not yet"
    )


def test_every_limit_the_kit_decides_by_counts() -> None:
    """An enthalpy kit has two limits, a comparing kit a differential: the sheet asks for what is there."""
    enthalpy = facts(
        kit="single-speed-enthalpy", unit={"fan_speeds": [{"name": "one", "supply_air": "4000 cfm"}]}
    )
    comparing = facts(kit="heat-pump-differential", unit={"heating": "heat pump"})
    both = [one for one in make_plan(enthalpy).settings if one.means in HIGH_LIMITS]
    gap = next(one for one in make_plan(comparing).settings if one.means in HIGH_LIMITS)
    first, second = (left(one.label, one.value.show("us")) for one in both)

    assert outcome(job(first, given=enthalpy), LIMIT)[0].startswith("not yet")
    assert outcome(job(second, given=enthalpy), LIMIT)[0].startswith("not yet")
    assert outcome(job(first, second, given=enthalpy), LIMIT)[0] == "pass"
    assert outcome(job(left(gap.label, gap.value.show("us")), given=comparing), LIMIT)[0] == "pass"


def test_an_instrument_that_nobody_named_is_not_calibrated() -> None:
    """A traverse was taken with something; a balancing report is paper."""
    probe = facts().instruments[0].id

    assert outcome(job(mixed(), supply()), "instruments") == (
        "not yet proved, retest by 2026-12-18", "no instrument named: supply air",
    )  # fmt: skip
    assert outcome(job(mixed(), supply(method="balancing report")), "instruments") == ("pass", probe)
