"""Plans that once told a person to do harm, or called met what was not, each held here."""

from __future__ import annotations

from typing import Any

import pytest
from tests.invented import facts

from ventwright.errors import Refused
from ventwright.plan import Choice, Compliance, Plan, make_plan
from ventwright.quantity import AIRFLOW, TEMPERATURE, TEMPERATURE_DIFFERENCE, read
from ventwright.tables.kit import Term


def planned(*choices: tuple[str, str], **other: Any) -> Plan:
    """Plan of an invented job with settings chosen."""
    made = [Choice(label=label, value=text, reason="for a test") for label, text in choices]
    return make_plan(facts(**other), choices=made)


def names(plan: Plan) -> set[str]:
    """Names of everything that does not fit."""
    return {concern.name for concern in plan.concerns}


CALIFORNIA = [("CA 2", "2 F"), ("CA 6", "4 F"), ("CA 7", "6 F"), ("CA 10", "2 F")]
"""By how much outdoor air must be cooler than return air: California Title 24-2022, Part 6, Table 140.4-G, differential
dry bulb (Guideline 36 restates it in whole kelvins)."""


@pytest.mark.parametrize(("zone", "gap"), CALIFORNIA)
def test_californias_differential_is_what_is_set(zone: str, gap: str) -> None:
    """The kit that compares with return air is set to the table's offset, not to the smallest that does not chatter."""
    site = {"energy_code": "Title 24-2022", "climate_zone": zone}
    plan = planned(site=site, kit="heat-pump-differential", unit={"heating": "heat pump"})
    setting = next(one for one in plan.settings if one.means is Term.RETURN_DIFFERENTIAL)

    assert setting.si == pytest.approx(read(gap, TEMPERATURE_DIFFERENCE).value)
    assert "140.4-G" in setting.source
    assert "settings.differential_below_code" not in names(plan)


def test_a_smaller_differential_is_a_conflict() -> None:
    """Chosen below the table's offset, it conflicts, and the requirement is not met."""
    site = {"energy_code": "Title 24-2022", "climate_zone": "CA 7"}
    plan = planned(("Outdoor cooler than return by", "2 F"), site=site, kit="heat-pump-differential")

    assert "settings.differential_below_code" in names(plan)
    assert _standing(plan) is Compliance.NOT_MET


def _standing(plan: Plan) -> Compliance:
    return next(one.standing for one in plan.requirements if one.id == "high_limit_control")


def test_a_limit_chosen_above_the_table_is_not_met() -> None:
    """An allowed control at a setting that is not allowed does not meet the code."""
    assert _standing(planned()) is Compliance.MET
    assert _standing(planned(("Outdoor air too warm above", "80 F"))) is Compliance.NOT_MET


def test_a_lockout_below_what_the_unit_bears_is_a_conflict() -> None:
    """A nameplate of 50 °F and a lockout of 35 °F wreck the compressor; the other way round is no concern."""
    unit = {"lowest_cooling_ambient": "50 F"}

    assert "settings.lockout_below_unit" in names(planned(("No compressor below", "35 F"), unit=unit))
    assert not names(planned(("No compressor below", "55 F"), unit=unit))


def test_a_lockout_below_the_usual_sends_to_the_nameplate() -> None:
    """Where nobody read the nameplate a bold lockout is advised against."""
    assert "settings.lockout_below_usual" in names(planned(("No compressor below", "35 F")))


def test_the_sheets_ambient_needs_the_sheets_control() -> None:
    """A sheet that cools down to 40 °F with low-ambient control says nothing of a unit without: the careful 55 °F."""
    unit = {"sheet": "fifteen-ton-variable-gas", "low_ambient_control": "not fitted"}
    plan = planned(unit=unit)
    lockout = next(one for one in plan.settings if one.means is Term.COMPRESSOR_LOCKOUT)

    assert lockout.si == pytest.approx(read("55 F", TEMPERATURE).value)
    assert lockout.guess
    assert any(guess.what == "unit.lowest_cooling_ambient" for guess in plan.guesses)


def test_the_fast_fan_is_not_guessed_as_slow_as_the_slow_one() -> None:
    """Only the low speed is known: the high one is guessed from it over 66 %, and said to be a guess."""
    plan = planned(unit={"fan_speeds": [{"name": "high"}, {"name": "low", "supply_air": "1980 cfm"}]})

    assert plan.speed("high").supply_air == pytest.approx(read("3000 cfm", AIRFLOW).value)
    assert plan.speed("high").supply_is_guess
    assert any("high speed: 3000 cfm is guessed" in guess.sentence.show("us") for guess in plan.guesses)


@pytest.mark.parametrize("tolerance", ["0 %", "100 %"])
def test_a_tolerance_that_decides_alone_is_refused(tolerance: str) -> None:
    """No reading passes within nothing, and a shut damper is within 100 %."""
    with pytest.raises(Refused, match=r"more than 0 % and less than 100 %"):
        planned(ventilation={"tolerance": tolerance})


def test_a_speed_that_moves_nothing_is_refused() -> None:
    """Nothing of full airflow would want an endless share of outdoor air."""
    still = [{"name": "high", "supply_air": "4000 cfm"}, {"name": "low", "share_of_full": "0 %"}]

    with pytest.raises(
        Refused, match=r"fan_speeds\[2\]\.share_of_full: \"0 %\" moves no air; accepted: more than 0 %"
    ):
        planned(unit={"fan_speeds": still})


def test_freezing_mixed_air_at_the_minimum_is_said() -> None:
    """At 10 °F outside 42 % outdoor air mixes to 45 °F and is borne; at -10 °F to 38 °F, below Guideline 36's 40 °F."""
    cold, colder = (
        planned(weather={"outdoor_air": outdoor, "return_air": "74 F"}) for outdoor in ("10 F", "-10 F")
    )

    assert cold.speed("low").remark is None
    remark = colder.speed("low").remark
    assert remark is not None
    assert "mixed air 38.5 °F today, below the 40.0 °F of freeze protection" in remark.show("us")
    assert colder.speed("high").remark is None


@pytest.mark.parametrize(("stages", "said"), [(1, "one stage"), (2, "2 stages")])
def test_the_stages_are_counted_in_words_that_fit(stages: int, said: str) -> None:
    """A unit with one stage has one stage, and no stages."""
    plan = planned(unit={"cooling_stages": stages})
    found = next(one for one in plan.requirements if one.id == "staging")
    assert found.because.show("us") == f"{said} of mechanical cooling"
