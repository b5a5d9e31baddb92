"""The functional tests over all procedures, kits and weathers: cautions, sources, order, numbers, simulation, verdicts."""

from __future__ import annotations

import tomllib
from dataclasses import replace
from importlib.resources import files
from itertools import pairwise
from typing import Any, Final

import pytest
from tests.functional_jobs import BOX, UNIT_OF, functions_of, job_of, outcome, plan_of, proof_of, seen

from ventwright.evidence import Verdict
from ventwright.physics.rooftop.calls import Calls
from ventwright.physics.rooftop.control_fault import ForgottenResistor
from ventwright.physics.rooftop.operating import operate
from ventwright.plan.functional_tests import FunctionalTests, PlannedStep, StepState, plan_functional_tests
from ventwright.plan.functional_tests.condition import (
    BELOW_LOCKOUT,
    SUITABLE,
    SUITABLE_WARM,
    UNSUITABLE,
    window_of,
)
from ventwright.plan.software_unit import software_unit
from ventwright.quantity import TEMPERATURE, read
from ventwright.readings import Readings
from ventwright.tables.kit import Kit
from ventwright.tables.procedure import ANSWERED_IN, functional_tests, masking_faults, step_cautions, steps
from ventwright.tables.shelf import find
from ventwright.tables.source import CONFIRMED
from ventwright.verdict import judge
from ventwright.verdict.prove import prove

WEATHERS: Final = ("30 F", "52 F", "58 F", "80 F", None)
KITS: Final = tuple(UNIT_OF)

ALL: Final = [
    pytest.param(kit, outdoor, at_hand, id=f"{kit}, {outdoor}, {'carried' if at_hand else 'nothing'}")
    for kit in KITS
    for outdoor in WEATHERS
    for at_hand in (None, BOX)
]


def functions(kit: str, outdoor: str | None, at_hand: dict[str, Any] | None) -> FunctionalTests:
    """Functional tests with something carried, or nothing."""
    return functions_of(kit, outdoor, **({} if at_hand is None else {"at_hand": at_hand}))


def the(tests: FunctionalTests, id_: str) -> PlannedStep:
    """One step, which has to be there."""
    found = tests.step(id_)
    assert found is not None, id_
    return found


CHANGE: Final = {
    "what": "temporary change",
    "id": "c1",
    "kind": "setting",
    "label": "Outdoor air too warm above",
    "point": "high limit",
    "was": "75 F",
    "changed_to": "52 F",
}


def test_every_step_names_power_fan_cautions_and_source() -> None:
    """Each step says disconnect, fan, what to put back, its source and mark, and cautions that exist."""
    assert len(steps()) > 40
    for step in steps().values():
        assert step.disconnect in {"on", "off"}, step.id
        assert step.fan in {"on", "off", "any"}, step.id
        assert step.cautions, step.id
        assert set(step.cautions) <= step_cautions().keys(), step.id
        assert step.source, step.id
        assert step.restore, step.id
        assert step.confirmed in {*CONFIRMED, "common practice, no published source"}, step.id
        assert step.answer in ANSWERED_IN, step.id


def test_a_hand_that_goes_in_is_warned() -> None:
    """With the disconnect off: lock-out or the spring; live box: its voltage; fan on: the fan; compressor: ambient and timers."""
    for step in steps().values():
        named = set(step.cautions)
        if step.disconnect == "off":
            assert named & {"locked_out", "spring_return"}, step.id
        if step.panel == "damper section":
            assert {"locked_out", "spring_return"} <= named, step.id
            assert (step.disconnect, step.fan) == ("off", "off"), step.id
        if step.panel == "control box" and step.disconnect == "on":
            assert named & {"live_low_voltage", "fan_starts"}, step.id
        if step.fan == "on":
            assert "fan_starts" in named, step.id
        if step.runs_compressor:
            assert {"lowest_ambient", "minimum_off", "crankcase_heat"} <= named, step.id
        if step.answer == "pressure":
            assert "gas_appliances" in named, step.id
        if step.calls is not None and step.calls.heating:
            assert "heat_and_cool" in named, step.id


def test_no_caution_is_idle() -> None:
    """Each caution is named by a step, and stands in one sentence of its own with a source."""
    named = {one for step in steps().values() for one in step.cautions} | {"fooled_sensor"}
    assert named == step_cautions().keys()
    assert all(one.source and one.text.endswith(".") for one in step_cautions().values())


def test_a_step_for_two_has_a_way_for_one() -> None:
    """Somebody alone is told how; with two people there the way is left out."""
    for step in steps().values():
        assert bool(step.alone) is (step.people == 2), step.id
    alone = the(functions("two-speed-dry-bulb", "58 F", {"people": 1}), "stroke.opens")
    together = the(functions("two-speed-dry-bulb", "58 F", {"people": 2}), "stroke.opens")
    assert "walk round" in alone.alone
    assert together.alone == ""


def test_what_relies_and_masks_names_what_exists() -> None:
    """Prerequisites are steps, masked things are steps or tests, and each fault says why; no step relies on itself."""
    tests = {test.id for test in functional_tests()}
    for step in steps().values():
        assert set(step.after) <= steps().keys(), step.id
        assert step.id not in step.after
    for fault in masking_faults().values():
        assert set(fault.masks) <= steps().keys() | tests, fault.id
        assert len(fault.why.split()) > 5, fault.id


@pytest.mark.parametrize(("kit", "outdoor", "at_hand"), ALL)
def test_all_procedures_with_all_kits(kit: str, outdoor: str | None, at_hand: dict[str, Any] | None) -> None:
    """Every step once, after what it relies on; cautions on each; panels of the air path closed while power is on."""
    tests = functions(kit, outdoor, at_hand)
    ids = [one.id for one in tests.steps]
    assert len(set(ids)) == len(ids) > 30
    place = {one.step.id: number for number, one in enumerate(tests.steps)}
    opened: set[str] = set()
    openings: list[str] = []
    for number, one in enumerate(tests.steps):
        assert one.cautions, one.id
        assert all(place.get(before, -1) < number for before in one.step.after), one.id
        if one.closes:
            opened.remove(one.closes)
        if one.opens:
            assert one.opens not in opened
            opened.add(one.opens)
            openings.append(one.opens)
        assert not one.step.panel or one.step.panel in opened, one.id
        if one.step.disconnect == "on":
            assert "damper section" not in opened, one.id
    assert openings.count("control box") == 1
    assert (
        openings.count("damper section") == 2
    )  # before the first power, and for the uncoupled actuator at the end
    blocks = [one.step.disconnect for one in tests.steps]
    assert sum(before != after for before, after in pairwise(blocks)) <= 4
    assert ids[-1] == "restored.nothing_left"


@pytest.mark.parametrize(("kit", "outdoor", "at_hand"), ALL)
def test_a_step_that_can_be_done_has_its_numbers(
    kit: str, outdoor: str | None, at_hand: dict[str, Any] | None
) -> None:
    """With today's air known, every step that is answered by a number has what decides it, in order of size."""
    for one in functions(kit, outdoor, at_hand).steps:
        able = one.state in {StepState.ANY_WEATHER, StepState.BY_AIR, StepState.SIMULATED}
        if outdoor is None or not able or one.step.answer in {"yes", "check"}:
            continue
        judged = one.judged
        assert judged is not None, one.id
        assert judged.at_least is not None or judged.at_most is not None, one.id
        if judged.value and judged.at_least:
            assert judged.at_least.value <= judged.value.value, one.id
        if judged.value and judged.at_most:
            assert judged.value.value <= judged.at_most.value, one.id


@pytest.mark.parametrize(("kit", "outdoor", "at_hand"), ALL)
def test_no_compressor_in_the_cold(kit: str, outdoor: str | None, at_hand: dict[str, Any] | None) -> None:
    """Below the nameplate's lowest ambient no step that is offered has a compressor that cools, simulated or not."""
    if outdoor is None:
        return
    lowest = plan_of(job_of(kit, outdoor)).basis.lowest_cooling_ambient
    assert lowest is not None
    cold = read(outdoor, TEMPERATURE).value < lowest
    for one in functions(kit, outdoor, at_hand).steps:
        if one.state is StepState.COME_BACK or not cold:
            continue
        assert not one.step.runs_compressor, one.id
        assert not [
            found for found in one.expected if found.what == "compressors that cool" and found.count
        ], one.id


def test_the_cold_unit_is_told_why() -> None:
    """At 30 °F and a nameplate of 50 °F a decade box does not make a compressor test."""
    one = the(functions("two-speed-dry-bulb", "30 F", BOX), "high_limit.compressor")
    assert one.state is StepState.COME_BACK
    assert one.needs.show("us").startswith("30.0 °F outdoors is colder than the 50.0 °F down to which")


def test_simulation_uses_what_is_carried_and_nothing_else() -> None:
    """Nothing carried: a setting; a box: its ohms; fixed resistors: one that reads far enough, and none that does not."""
    plain = the(functions("two-speed-dry-bulb", "58 F", None), "high_limit.damper")
    assert plain.simulated is not None
    assert (plain.simulated.way, plain.simulated.setting) == (
        "temporary setting",
        "Outdoor air too warm above",
    )
    assert "at 52.0 °F instead of 75.0 °F" in plain.simulated.how.show(
        "us"
    )  # on a step of 1 °F, beyond 58 °F
    raised = the(functions("two-speed-dry-bulb", "58 F", None), "lockout.holds").simulated
    assert raised is not None
    assert '"No compressor below" at 64.0 °F' in raised.how.show("us")  # up to the next step, never down
    box = the(functions("two-speed-dry-bulb", "58 F", {"decade_box": True}), "high_limit.damper")
    assert box.simulated is not None
    assert box.simulated.way == "substitute resistor"
    assert {"fooled_sensor", "locked_out"} <= {one.id for one in box.cautions}
    fixed = the(
        functions("two-speed-dry-bulb", "58 F", {"resistors": ["20k ohm", "9.1k ohm"]}), "high_limit.damper"
    )
    assert fixed.simulated is not None
    assert fixed.simulated.resistance == 9100.0
    useless = the(functions("two-speed-dry-bulb", "58 F", {"resistors": ["20k ohm"]}), "high_limit.damper")
    assert useless.simulated is not None
    assert useless.simulated.way == "temporary setting"


@pytest.mark.parametrize("kit", KITS)
def test_a_resistor_stands_in_for_no_signal(kit: str) -> None:
    """Where the kit's sensor sends a signal or data, no step is simulated by a resistor, whatever is carried."""
    file, at_hand = (
        find("kits", kit, Kit),
        {"decade_box": True, "resistors": ["9.1k ohm", "23k ohm", "1018 ohm"]},
    )
    resistive = {one.at for one in file.sensors if one.curve is not None}
    for outdoor in WEATHERS:
        for one in functions(kit, outdoor, at_hand).steps:
            if one.simulated is not None and one.simulated.resistance is not None:
                assert any(at in one.simulated.how.show("us") for at in resistive), one.id


def test_a_digital_sensor_is_warmed_or_waited_for() -> None:
    """A heat pump whose sensors are digital: nothing carried, come back; a pack, hold it to the sensor."""
    assert (
        the(functions("heat-pump-differential", "58 F", None), "high_limit.damper").state
        is StepState.COME_BACK
    )
    packed = the(functions("heat-pump-differential", "58 F", {"packs": True}), "high_limit.damper")
    assert packed.simulated is not None
    assert packed.simulated.way == "warm or cold pack"


def test_the_numbers_follow_the_weather() -> None:
    """At 40 °F free cooling holds its set point with the damper half open; at 58 °F the damper stands open and the mixed air is near it."""
    cold, mild = (functions("two-speed-dry-bulb", outdoor, None) for outdoor in ("40 F", "58 F"))
    held = next(one for one in the(cold, "free_cooling.modulates").expected if one.what == "mixed air")
    assert held.value is not None
    assert held.value.value == pytest.approx(
        read("53 F", TEMPERATURE).value, abs=0.2
    )  # the setting in software
    signal, opened = (the(one, "free_cooling.engages").judged for one in (cold, mild))
    assert signal is not None
    assert signal.value is not None
    assert opened is not None
    assert opened.value is not None
    assert 0.2 < signal.value.value < 0.95 < opened.value.value


def test_a_limit_in_the_way_is_no_failure() -> None:
    """A whole-capacity stage at 58 °F brings a heat pump's supply air to freeze protection: the step waits for warmer air."""
    one = the(functions("heat-pump-differential", "58 F", None), "free_cooling.integrates")
    assert one.state is StepState.COME_BACK
    assert "come back when it is warmer" in one.needs.show("us")


def test_humidity_is_not_guessed_into_suitable() -> None:
    """58 °F suits an enthalpy kit only where even saturated air would; at 70 °F its temperature alone does not say."""
    sure = the(functions("single-speed-enthalpy", "50 F", None), "free_cooling.engages")
    unsure = the(functions("single-speed-enthalpy", "68 F", None), "free_cooling.engages")
    assert sure.state is StepState.BY_AIR
    assert unsure.state is StepState.COME_BACK


def test_waits_overlap() -> None:
    """Steps in one state wait once; what takes no waiting is done beside a wait."""
    tests = functions("two-speed-dry-bulb", "58 F", None)
    assert the(tests, "free_cooling.engages").wait == 660.0
    assert the(tests, "free_cooling.no_compressor").wait == 0.0
    assert "inspection.sensor_placed" in the(tests, "sensors.side_by_side").meanwhile


def test_as_left_goes_before_the_plan() -> None:
    """A minimum that was read back is what the damper is expected at, not the plan's first guess."""
    facts = job_of("two-speed-dry-bulb", "58 F")
    plan = plan_of(facts)
    label = "fresh-air opening, fan slow"
    judged = the(plan_functional_tests(facts, plan, {label: 0.37}), "minimum_position.stays").judged
    assert judged is not None
    assert judged.value is not None
    assert judged.value.value == pytest.approx(0.37)


def test_yes_no_and_numbers_become_verdicts() -> None:
    """Three values with the instrument's uncertainty: well inside passes, well outside fails, at the edge cannot tell."""
    proof = proof_of(
        seen("stroke.opens", seen="yes"), seen("stroke.both_ways", seen="no"), seen("power_off.unit_off", seen="not looked at"),
        seen("unoccupied.shut", read_value="0 %"), seen("stroke.time", read_value="200 s"),
        seen("free_cooling.engages", read_value="10.0 V", instrument="meter"), seen("relief.pressure_at_minimum", read_value="12 Pa", instrument="gauge"),
        seen("free_cooling.modulates", read_value="60 F"),
    )  # fmt: skip
    assert outcome(proof, "stroke.opens") == (Verdict.PASSES, "")
    assert outcome(proof, "stroke.both_ways") == (Verdict.FAILS, "")
    assert outcome(proof, "power_off.unit_off") == (Verdict.CANNOT_TELL, "step.not_looked_at")
    assert outcome(proof, "unoccupied.shut") == (Verdict.PASSES, "")
    assert outcome(proof, "stroke.time") == (Verdict.FAILS, "")
    assert outcome(proof, "free_cooling.engages") == (Verdict.PASSES, "")
    assert outcome(proof, "relief.pressure_at_minimum") == (Verdict.CANNOT_TELL, "step.too_near")
    assert outcome(proof, "free_cooling.modulates") == (Verdict.CANNOT_TELL, "step.no_instrument")
    assert outcome(proof, "heating.damper") == (Verdict.CANNOT_TELL, "step.not_done")


def test_proved_by_simulation_says_so() -> None:
    """With its temporary change it passes as logic; without, or not said to be simulated, it proves nothing."""
    signal = f"{100 * _minimum():.0f} %"
    good = proof_of(
        CHANGE, seen("high_limit.damper", read_value=signal, speed="low", simulated=True, changes=["c1"])
    )
    step = next(one for one in good.steps if one.planned.id == "high_limit.damper")
    assert step.verdict is Verdict.PASSES
    assert step.by_simulation
    assert step.check is not None
    assert "proved by simulation: the logic, not the air" in step.check.sentence.show("us")
    nothing = proof_of(seen("high_limit.damper", read_value=signal, simulated=True))
    assert outcome(nothing, "high_limit.damper") == (Verdict.CANNOT_TELL, "step.no_change_entered")
    not_so = proof_of(seen("high_limit.damper", read_value=signal))
    assert outcome(not_so, "high_limit.damper") == (Verdict.CANNOT_TELL, "step.condition_not_there")
    air = proof_of(
        CHANGE,
        seen("free_cooling.modulates", read_value="59 F", instrument="probe", simulated=True, changes=["c1"]),
    )
    assert outcome(air, "free_cooling.modulates") == (Verdict.CANNOT_TELL, "step.simulation_does_not_count")


def _minimum() -> float:
    judged = the(functions("two-speed-dry-bulb", "58 F", None), "high_limit.damper").judged
    assert judged is not None
    assert judged.value is not None
    return judged.value.value


def test_what_is_not_fitted_fails_only_where_a_code_asks() -> None:
    """Fault indication on a ten-ton unit under 90.1-2019 is asked for; a freeze switch is not."""
    proof = proof_of(
        seen("low_limit.freeze_switch", seen="not fitted"), seen("fault_indication.status", seen="not fitted")
    )
    assert outcome(proof, "low_limit.freeze_switch") == (None, "")
    assert outcome(proof, "fault_indication.status")[0] is Verdict.FAILS


def test_a_repair_asks_for_what_it_masked() -> None:
    """After a damper was freed, what it masked is open again with the reason; what was read later and what it does not reach stands."""
    proof = proof_of(
        seen("stroke.opens", seen="yes"), seen("inspection.sensor_placed", seen="yes"),
        {"what": "repaired", "of": "outdoor_air_damper_stuck"}, seen("unoccupied.shut", read_value="0 %"),
    )  # fmt: skip
    assert outcome(proof, "stroke.opens") == (Verdict.CANNOT_TELL, "step.before_repair")
    assert outcome(proof, "unoccupied.shut") == (Verdict.PASSES, "")
    assert outcome(proof, "inspection.sensor_placed") == (Verdict.PASSES, "")
    again = [found for one in proof.steps for found in one.retest]
    assert {found.repaired for found in again} == {"damper stuck"}
    assert "unoccupied.shut" not in {found.step for found in again}
    assert all("blades that do not move" in found.why.show("us") for found in again)


def test_a_repaired_step_asks_for_those_that_rely_on_it() -> None:
    """Named by the step that failed: that step, and every one that relies on it at whatever remove."""
    proof = proof_of(seen("stroke.opens", seen="no"), {"what": "repaired", "of": "stroke.opens"})
    again = {found.step for one in proof.steps for found in one.retest}
    assert {"stroke.opens", "free_cooling.engages", "high_limit.compressor"} <= again
    assert "inspection.linkage" not in again
    assert outcome(proof, "stroke.opens") == (Verdict.CANNOT_TELL, "step.before_repair")


def test_delegated_steps_take_their_checks() -> None:
    """Minimum position, sensors, settings and the ledger are judged where they always were; one sensor of three is not all."""
    proof = proof_of(
        {"what": "sensor check", "sensor": "outdoor air", "shown": "58.1 F", "probe": "58.0 F", "instrument": "probe"},
        CHANGE,
    )  # fmt: skip
    assert outcome(proof, "sensors.side_by_side") == (Verdict.CANNOT_TELL, "step.not_every_sensor")
    assert outcome(proof, "restored.nothing_left")[0] is Verdict.FAILS
    assert outcome(proof, "minimum_position.high")[0] is Verdict.CANNOT_TELL
    assert outcome(proof, "inspection.settings")[0] is Verdict.CANNOT_TELL


def test_the_weather_of_the_visit_counts() -> None:
    """A damper at 45 % is what 36 °F asks for and not what 58 °F does: it is judged by the air that the visit met."""
    facts = job_of("two-speed-dry-bulb", "58 F")
    plan = plan_of(facts)
    signal = the(functions("two-speed-dry-bulb", "36 F", None), "free_cooling.engages").judged
    assert signal is not None
    assert signal.value is not None
    entry = seen(
        "free_cooling.engages",
        id="e1",
        at="2026-11-25T09:00-08:00",
        read_value=f"{100 * signal.value.value:.0f} %",
    )

    def verdict_of(**visit: str) -> Verdict | None:
        met = {"id": "cold", "started": "2026-11-25T08:00-08:00", "technician": "N. N.", **visit}
        readings = Readings.model_validate({"visits": [met], "entries": [entry | {"visit": "cold"}]})
        return outcome(prove(facts, plan, readings, judge(facts, plan, readings)), "free_cooling.engages")[0]

    assert verdict_of(outdoor_air="36 F") is Verdict.PASSES
    assert verdict_of() is Verdict.FAILS


def test_either_minimum_of_two_speeds_is_accepted() -> None:
    """With two minimums nobody knows which fan speed ventilates: both pass, and a signal well beyond both fails."""
    facts = job_of("two-speed-dry-bulb", "58 F")
    left = {"fresh-air opening, fan fast": 0.2, "fresh-air opening, fan slow": 0.35}
    judged = the(plan_functional_tests(facts, plan_of(facts), left), "minimum_position.stays").judged
    assert judged is not None
    assert judged.at_least is not None
    assert judged.at_most is not None
    assert 0.1 < judged.at_least.value < 0.2
    assert 0.35 < judged.at_most.value < 0.4


def test_the_forecast_says_when_to_come_back() -> None:
    """A compressor test in a cold morning waits for the first hour of the forecast that brings its air."""
    hours = [("07:00", "30 F"), ("11:00", "52 F"), ("14:00", "78 F"), ("15:00", "80 F")]
    weather = {
        "outdoor_air": "30 F", "return_air": "74 F",
        "forecast": [{"at": f"2026-11-25T{at}-08:00", "outdoor_air": outdoor} for at, outdoor in hours],
    }  # fmt: skip
    tests = functions_of("two-speed-dry-bulb", "30 F", weather=weather)
    needs = the(tests, "high_limit.compressor").needs.show("us")
    assert needs.endswith("first in the forecast: 2026-11-25 14:00-08:00, 78.0 °F outdoors")
    assert "forecast" not in the(tests, "low_limit.gives_way").needs.show("us")


def test_a_set_up_is_made_once() -> None:
    """Steps that share a manual mode, a resistor or a setting follow one another, fillers aside: nothing is put in twice."""
    for at_hand in (None, BOX):
        made = [
            one.simulated.how.show("us") if one.simulated is not None else ""
            for one in functions("two-speed-dry-bulb", "58 F", at_hand).steps
            if not one.step.while_waiting
        ]
        starts = [after for before, after in pairwise(["", *made]) if after and before != after]
        assert len(starts) == len(set(starts)) >= 3


@pytest.mark.parametrize("kit", KITS)
@pytest.mark.parametrize("outdoor", ["58 F", "66 F", "80 F"])
def test_what_a_sensor_is_shown_makes_the_condition(kit: str, outdoor: str) -> None:
    """At both ends of the window and where it aims, in each variant: free cooling, none of it, or compressors locked out."""
    facts = job_of(kit, outdoor)
    plan = plan_of(facts)
    unit = software_unit(facts, plan.basis, plan.kit, plan.settings)
    assert unit.weather is not None
    tried = 0
    for condition in (SUITABLE, UNSUITABLE, BELOW_LOCKOUT):
        window = window_of(unit, condition)
        for shows in () if window is None else (window.low, window.aim, window.high):
            assert window is not None
            assert window.low <= window.aim <= window.high
            fault = ForgottenResistor("outdoor_dry_bulb", shows)
            calls = Calls(2 if condition == BELOW_LOCKOUT else 1)
            for variant in unit.variants:
                found = operate(variant, unit.settings, unit.weather, unit.indoor, calls, [fault])
                tried += 1
                if condition == BELOW_LOCKOUT:
                    assert found.memory.locked_out
                    assert found.state.cooling_stages == 0
                else:
                    assert found.free_cooling is (condition == SUITABLE)
    assert tried >= 6  # of an enthalpy kit no temperature makes air suitable


@pytest.mark.parametrize("kit", KITS)
@pytest.mark.parametrize("outdoor", WEATHERS[:-1])
def test_a_step_that_is_offered_has_its_condition(kit: str, outdoor: str) -> None:
    """What the air is said to bring, or a way to simulate, the unit in software agrees with, at either end of humidity."""
    facts = job_of(kit, outdoor, at_hand=BOX)
    plan = plan_of(facts)
    unit = software_unit(facts, plan.basis, plan.kit, plan.settings)
    assert unit.weather is not None
    for one in plan_functional_tests(facts, plan).steps:
        wanted = {SUITABLE: True, SUITABLE_WARM: True, UNSUITABLE: False}.get(one.step.condition or "")
        by_air = one.state is StepState.BY_AIR
        fault = None if one.simulated is None else one.simulated.fault
        if wanted is None or not (by_air or fault):
            continue
        for humidity in (0.05, 1.0) if by_air else (0.5,):
            air = replace(unit.weather, relative_humidity=humidity)
            faults = [] if fault is None else [fault]
            for variant in unit.variants:
                found = operate(variant, unit.settings, air, unit.indoor, Calls(1), faults)
                assert found.free_cooling is wanted, (one.id, humidity)


def test_every_fault_of_the_diagnosis_can_be_repaired() -> None:
    """Whatever the diagnosis may name, `repaired` takes, and it asks for at least one step again; none is listed twice."""
    text = files("ventwright.tables").joinpath("priors", "faults.toml").read_text(encoding="utf-8")
    named = {row["id"] for row in tomllib.loads(text)["fault"]}
    listed = [one for fault in masking_faults().values() for one in fault.includes]
    assert len(named) > 30
    assert named == set(listed)
    assert len(listed) == len(set(listed))
    assert all(any(fault.hides(step) for step in steps().values()) for fault in masking_faults().values())


def test_shut_is_shut_in_any_weather() -> None:
    """Nobody needs today's air to know where an unoccupied damper stands: 2 % of stroke at most."""
    judged = the(functions("two-speed-dry-bulb", None, None), "unoccupied.shut").judged
    assert judged is not None
    assert judged.at_most is not None
    assert judged.at_most.value == 0.02


def test_heat_is_said_alike_in_a_step_and_in_its_numbers() -> None:
    """The high limit's step expects heat off, and so does its number: no count of stages beside it."""
    step = the(functions("two-speed-dry-bulb", "80 F", BOX), "high_limit.damper")
    assert step.step.expects.endswith("heat off")
    assert [one.show("us") for one in step.expected if one.what == "heat"] == ["off"]
    heated = the(functions("two-speed-dry-bulb", "58 F", BOX), "heating.damper")
    assert [one.show("si") for one in heated.expected if one.what == "heat"] == ["on, 1 stage"]


def test_a_variable_fan_without_its_speed_cannot_be_told() -> None:
    """A signal between the minimums is right at some speed, which nobody named: no pass; with the speed it is judged."""
    kit = "variable-enthalpy-with-demand-control"
    judged = the(functions(kit, "58 F", None), "minimum_position.stays").judged
    assert judged is not None
    assert judged.at_least is not None
    assert judged.at_most is not None
    low, high = judged.at_least.value, judged.at_most.value
    assert high - low > 0.06
    between = f"{50 * (low + high):.0f} %"
    unsaid = proof_of(seen("minimum_position.stays", read_value=between), kit=kit)
    assert outcome(unsaid, "minimum_position.stays") == (Verdict.CANNOT_TELL, "step.speed_not_said")
    check = next(one.check for one in unsaid.steps if one.planned.id == "minimum_position.stays")
    assert check is not None
    assert check.shortfall is not None
    assert "hold the fan at a speed that the facts name" in check.shortfall.settle_by.show("us")
    beyond = proof_of(seen("minimum_position.stays", read_value=f"{100 * high + 15:.0f} %"), kit=kit)
    assert outcome(beyond, "minimum_position.stays") == (Verdict.FAILS, "")
    slow = f"{100 * high - 3:.0f} %"
    said = proof_of(seen("minimum_position.stays", read_value=slow, speed="slowest"), kit=kit)
    assert outcome(said, "minimum_position.stays") == (Verdict.PASSES, "")
