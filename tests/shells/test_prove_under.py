"""Under what a step was seen: changes that make its condition or do not, cold air, air that nobody gave, what was never entered."""

from __future__ import annotations

from typing import Any

import pytest
from tests.functional_jobs import BOX, UNIT_OF, functions_of, job_of, outcome, plan_of, proof_of, seen

from ventwright.evidence import Verdict
from ventwright.plan.functional_tests import StepState
from ventwright.readings import Readings
from ventwright.verdict import judge
from ventwright.verdict.prove import prove

COMPRESSOR = ("lowest_ambient", "minimum_off", "crankcase_heat", "rotation")


def change(**given: Any) -> dict[str, Any]:
    """One temporary change."""
    return {
        "what": "temporary change",
        "id": "c1",
        "point": "for the test",
        "was": "before",
        "changed_to": "now",
    } | given


HIGH_LIMIT = change(kind="setting", label="Outdoor air too warm above", was="75 F", changed_to="52 F")
WARM = change(kind="resistor", sensor="outdoor air", imitates="81 F")
PACK = change(kind="pack", sensor="outdoor air", imitates="81 F")

UNDER = {
    "the limit below today's air": (HIGH_LIMIT, None),
    "a resistor that shows warm air": (WARM, None),
    "a pack held to the sensor": (PACK, None),
    "the limit still above today's air": (HIGH_LIMIT | {"changed_to": "74 F"}, "step.change_does_not_make_it"),
    "a resistor that shows air that is fit": (WARM | {"imitates": "66 F"}, "step.change_does_not_make_it"),
    "another setting": (
        HIGH_LIMIT | {"label": "No compressor below", "was": "50 F", "changed_to": "60 F"}, "step.change_does_not_make_it",
    ),
    "another sensor": (WARM | {"sensor": "mixed air"}, "step.change_does_not_make_it"),
    "a jumper": (change(kind="jumper", call="first cooling"), "step.change_does_not_make_it"),
    "a resistor that shows nobody knows what": (
        {key: value for key, value in WARM.items() if key != "imitates"}, "step.change_not_known",
    ),
    "a change of no kind": (change(), "step.change_not_known"),
    "a change made later": (HIGH_LIMIT | {"at": "2026-11-25T09:30-08:00"}, "step.change_not_in_force"),
}  # fmt: skip


@pytest.mark.parametrize(("made", "why"), UNDER.values(), ids=UNDER)
def test_a_simulation_counts_under_what_makes_its_condition(made: dict[str, Any], why: str | None) -> None:
    """58 °F outdoors, a limit of 75 °F: what crosses it proves the step, what does not proves nothing."""
    found = proof_of(made, seen("high_limit.compressor", seen="yes", simulated=True, changes=["c1"]))
    expected = (Verdict.PASSES, "") if why is None else (Verdict.CANNOT_TELL, why)
    assert outcome(found, "high_limit.compressor") == expected


def test_what_was_put_back_or_taken_back_simulates_nothing() -> None:
    """Read again before the step was seen, or withdrawn: the condition was not there."""
    step = seen("high_limit.compressor", seen="yes", simulated=True, changes=["c1"])
    again = {"what": "setting", "label": "Outdoor air too warm above", "value": "75 F"}
    assert outcome(proof_of(HIGH_LIMIT, again, step), step["step"])[1] == "step.change_not_in_force"
    assert outcome(proof_of(HIGH_LIMIT, step, again), step["step"])[0] is Verdict.PASSES
    gone = {"what": "withdrawn", "corrects": "c1", "note": "entered by mistake"}
    assert outcome(proof_of(HIGH_LIMIT, step, gone), step["step"])[1] == "step.change_taken_back"


def test_the_other_conditions_are_made_or_not() -> None:
    """Lockout, low limit, and air fit to cool: by what the sensor is shown, or by the setting."""
    cases = [
        ("lockout.holds", change(kind="resistor", sensor="outdoor air", imitates="45 F"), True),
        ("lockout.holds", change(kind="resistor", sensor="outdoor air", imitates="66 F"), False),
        ("low_limit.gives_way", change(kind="resistor", sensor="mixed air", imitates="43 F"), True),
        ("low_limit.gives_way", change(kind="resistor", sensor="mixed air", imitates="50 F"), False),
        ("heating.damper", change(kind="resistor", sensor="outdoor air", imitates="60 F"), True),
        ("heating.damper", change(kind="resistor", sensor="outdoor air", imitates="80 F"), False),
        ("free_cooling.full", change(kind="override", point="manual mode"), True),
    ]
    for step, made, right in cases:
        outdoor = "85 F" if step == "heating.damper" else "40 F" if step == "free_cooling.full" else "58 F"
        minimum = functions_of("two-speed-dry-bulb", outdoor, at_hand=BOX).step(step)
        assert minimum is not None
        judged = minimum.judged
        answer = (
            {"seen": "yes"}
            if judged is None or judged.value is None
            else {
                "read_value": f"{100 * judged.value.value:.0f} %",
                "speed": "high" if step == "heating.damper" else "low",
            }
        )
        entry = seen(step, simulated=True, changes=["c1"], **answer)
        found = outcome(proof_of(made, entry, outdoor=outdoor, at_hand=BOX), step)
        assert found[0] is (Verdict.PASSES if right else Verdict.CANNOT_TELL), (step, made, found)


def test_the_manual_mode_proves_no_decision() -> None:
    """Fully open by hand in the cold: the sentence says what that does not show."""
    entry = seen("free_cooling.full", seen="yes", simulated=True, changes=["c1"])
    found = proof_of(change(kind="override", point="manual mode"), entry, outdoor="40 F")
    (step,) = [one for one in found.steps if one.planned.id == "free_cooling.full"]
    assert step.check is not None
    assert "what the controls decide is not shown" in step.check.sentence.show("us")


def test_what_the_controls_were_shown_is_not_the_air() -> None:
    """A step said to be by the air itself, with a resistor on a sensor or the limit moved: nothing is proved till it is back."""
    step = seen("free_cooling.no_compressor", seen="yes")
    assert outcome(proof_of(step), step["step"])[0] is Verdict.PASSES
    for made in (HIGH_LIMIT, WARM, PACK):
        assert outcome(proof_of(made, step), step["step"])[1] == "step.change_in_force"
    back = {"what": "setting", "label": "Outdoor air too warm above", "value": "75 F"}
    assert outcome(proof_of(HIGH_LIMIT, back, step), step["step"])[0] is Verdict.PASSES


def test_no_proof_from_a_compressor_in_the_cold() -> None:
    """30 °F outdoors, a nameplate of 50 °F: warm air shown to the sensor makes no proof, whatever was seen."""
    for step, answer in (
        ("high_limit.compressor", {"seen": "yes"}),
        ("high_limit.damper", {"read_value": "21 %"}),
    ):
        found = proof_of(WARM, seen(step, simulated=True, changes=["c1"], **answer), outdoor="30 F")
        assert outcome(found, step) == (Verdict.CANNOT_TELL, "step.too_cold")


def test_air_that_nobody_gave_proves_nothing() -> None:
    """Neither by yes nor by a number; with the outdoor air of the visit it does."""
    for step, answer in (
        ("free_cooling.no_compressor", {"seen": "yes"}),
        ("high_limit.damper", {"read_value": "21 %"}),
    ):
        found = proof_of(seen(step, **answer), outdoor=None)
        assert outcome(found, step) == (Verdict.CANNOT_TELL, "step.condition_not_known")
    facts = job_of("two-speed-dry-bulb", None)
    plan = plan_of(facts)
    visit = {"id": "v", "started": "2026-11-25T08:00-08:00", "technician": "N. N.", "outdoor_air": "58 F"}
    entry = seen("free_cooling.no_compressor", seen="yes", id="e", at="2026-11-25T09:00-08:00", visit="v")
    readings = Readings.model_validate({"visits": [visit], "entries": [entry]})
    found = prove(facts, plan, readings, judge(facts, plan, readings))
    assert outcome(found, "free_cooling.no_compressor")[0] is Verdict.PASSES


@pytest.mark.parametrize("kit", UNIT_OF)
def test_no_cooling_call_in_air_that_nobody_knows(kit: str) -> None:
    """A box of resistors makes no compressor test where the outdoor air is not given: it might be too cold for it."""
    for one in functions_of(kit, None, at_hand=BOX).steps:
        if one.step.calls is not None and one.step.calls.cooling:
            assert one.state is StepState.NOT_KNOWN, one.id


@pytest.mark.parametrize("kit", UNIT_OF)
@pytest.mark.parametrize("outdoor", ["30 F", "58 F", "70 F", "95 F"])
def test_a_step_in_which_a_compressor_runs_warns_of_it(kit: str, outdoor: str) -> None:
    """By the unit in software: lowest ambient, least time off, crankcase heat and rotation stand at it; in the open damper's way, the air."""
    for one in functions_of(kit, outdoor, at_hand=BOX).steps:
        named = {caution.id for caution in one.cautions}
        numbers = {found.what: found for found in one.expected}
        cools = numbers.get("compressors that cool")
        if cools is not None and cools.count:
            assert set(COMPRESSOR) <= named, one.id
        signal = numbers.get("damper signal")
        if (
            signal is not None
            and signal.value is not None
            and signal.value.value > 0.9
            and one.step.fan == "on"
        ):
            assert outdoor != "95 F" or "hot_humid_air" in named or one.id == "free_cooling.no_compressor", (
                one.id
            )
        assert "gas_heat" not in named or kit != "heat-pump-differential", one.id


def test_a_damper_held_open_warns_of_frost_and_of_august() -> None:
    """Whichever step sends it all the way with the fan on."""
    for one in functions_of("two-speed-dry-bulb", "58 F", relief="unknown").steps:
        if one.step.condition in {"damper commanded", "outdoor air suitable and warmer than the set point"}:
            assert {"hot_humid_air", "cold_air"} <= {caution.id for caution in one.cautions}, one.id


def test_what_was_changed_for_a_step_has_to_be_entered() -> None:
    """A tick that nothing is left does not speak for a manual mode, a lead or a setting that nobody entered."""
    tick = {"what": "tick", "item": "nothing_left", "found": "in order"}
    for step in ("stroke.opens", "fault_indication.stuck", "low_limit.freeze_switch"):
        found = proof_of(seen(step, seen="yes"), tick)
        assert outcome(found, "restored.nothing_left") == (Verdict.CANNOT_TELL, "step.change_not_entered"), (
            step
        )
    lead = change(kind="lead", was="on its terminal", changed_to="taken away")
    back = {"what": "restored", "change": "c1", "read_back": "screwed down, switch reset"}
    found = proof_of(lead, seen("low_limit.freeze_switch", seen="yes", changes=["c1"]), back)
    assert outcome(found, "restored.nothing_left")[0] is Verdict.PASSES
    assert (
        outcome(proof_of(seen("inspection.linkage", seen="yes"), tick), "restored.nothing_left")[0]
        is Verdict.PASSES
    )


def test_a_building_drawn_below_the_outdoors_stops_the_tests() -> None:
    """Beyond the gauge's uncertainty below nothing: the sentence says stop."""
    found = proof_of(seen("relief.pressure_at_minimum", read_value="-8 Pa", instrument="gauge"))
    (step,) = [one for one in found.steps if one.planned.id == "relief.pressure_at_minimum"]
    assert step.verdict is Verdict.FAILS
    assert step.check is not None
    assert "drawn below the outdoors: stop every test" in step.check.sentence.show("us")
    high = proof_of(seen("relief.pressure_at_minimum", read_value="30 Pa", instrument="gauge"))
    (step,) = [one for one in high.steps if one.planned.id == "relief.pressure_at_minimum"]
    assert step.check is not None
    assert "stop every test" not in step.check.sentence.show("us")


def test_a_resistor_off_the_curve_does_not_hide_the_others() -> None:
    """Ten megohms are off every curve; 9.1 kohm in the same bag simulate all the same."""
    carried = {"resistors": ["10000k ohm", "9.1k ohm"]}
    one = functions_of("two-speed-dry-bulb", "58 F", at_hand=carried).step("high_limit.damper")
    assert one is not None
    assert one.simulated is not None
    assert one.simulated.resistance == 9100.0


def test_every_minimum_is_raised_to_send_the_damper() -> None:
    """A kit without a manual mode has one minimum for each fan speed, and nobody knows at which the fan runs: both are named."""
    one = functions_of("damper-for-a-unit-that-decides", "58 F").step("stroke.opens")
    assert one is not None
    assert one.simulated is not None
    said = one.simulated.how.show("us")
    assert "fresh air at full fan" in said
    assert "fresh air at least fan" in said
    assert said.endswith("enter each as a temporary change first")


def test_a_damper_that_nothing_sends_is_told_what_would() -> None:
    """No manual mode and a minimum of 60 % at most: with a cooling call where the air opens it; half-way places need more."""
    tests = functions_of("single-speed-enthalpy", "90 F")
    opens, ways = tests.step("stroke.opens"), tests.step("stroke.both_ways")
    assert opens is not None
    assert ways is not None
    assert opens.state is ways.state is StepState.COME_BACK
    assert "come back when a cooling call opens it by itself" in opens.needs.show("us")
    assert "signal source at the actuator" in ways.needs.show("us")


def test_unoccupied_may_be_a_thing_that_the_kit_is_not_told() -> None:
    """A kit that takes no occupied signal has nothing to shut by: not fitted is an answer, and no pass."""
    found = proof_of(seen("unoccupied.shut", seen="not fitted"), kit="heat-pump-differential")
    assert outcome(found, "unoccupied.shut")[0] is None


def test_a_signal_between_two_minimums_is_neither() -> None:
    """21 % fast and 35 % slow: 28 % is no minimum of this unit; the other speed's is none; a variable fan has every one between, each at a speed of its own."""
    left = [
        {"what": "setting", "label": "Fresh-air opening, fan fast", "value": "21 %"},
        {"what": "setting", "label": "Fresh-air opening, fan slow", "value": "35 %"},
    ]
    which = (Verdict.CANNOT_TELL, "step.speed_not_said")
    right, wrong = (Verdict.PASSES, ""), (Verdict.FAILS, "")
    for value, unsaid, fast, slow in (
        ("21 %", which, right, wrong), ("35 %", which, wrong, right),
        ("28 %", wrong, wrong, wrong), ("45 %", wrong, wrong, wrong),
    ):  # fmt: skip
        for speed, expected in ((None, unsaid), ("high", fast), ("low", slow)):
            found = proof_of(*left, seen("minimum_position.stays", read_value=value, speed=speed))
            assert outcome(found, "minimum_position.stays") == expected, (value, speed)
    for value, speed, at_variable in (
        ("20 %", None, which), ("20 %", "fastest", wrong), ("10 %", "fastest", right), ("28 %", "slowest", right),
    ):  # fmt: skip
        between = seen("minimum_position.stays", read_value=value, speed=speed)
        variable = proof_of(between, kit="damper-for-a-unit-that-decides")
        assert outcome(variable, "minimum_position.stays") == at_variable, (value, speed)
