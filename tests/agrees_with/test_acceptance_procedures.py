"""Published acceptance procedures: each of their steps is covered by a functional test, and sound units in software pass it.

Sources, in our own words: California nonresidential acceptance NA7.5.1 (outdoor air), NA7.5.4 (air economizer controls)
and NA7.5.11 (fault detection for packaged units), as the energy code compliance manual of 2013 tells them at 13.54 to
13.77 (read in part; the economizer's functional steps 2 to 6 from memory); mechanical code appendix E, 805.5, the same
test (inspection and step 1 read); IECC C403.5.5 as Washington state prints it, WAC 51-11C-40355 (read); ASHRAE
Guideline 36 single-zone unit as the Modelica Buildings library restates it (open data).
"""

from __future__ import annotations

from typing import Final

import pytest
from tests.functional_jobs import UNIT_OF, functions_of, job_of, plan_of

from ventwright.physics.rooftop.calls import Calls
from ventwright.physics.rooftop.operating import operate
from ventwright.plan.functional_tests import PlannedStep, StepState
from ventwright.plan.software_unit import software_unit
from ventwright.quantity import DURATION, FRACTION, TEMPERATURE_DIFFERENCE, read
from ventwright.tables import prior
from ventwright.tables.procedure import steps

PUBLISHED: Final = [
    ("NA7.5.4 inspection: high-limit setting as the code's table", "inspection.settings"),
    ("NA7.5.4 inspection: sensor placed so that it reads true", "inspection.sensor_placed"),
    ("NA7.5.4 inspection: full outdoor air without over-pressure", "relief.pressure_at_full"),
    ("NA7.5.4 inspection: sensors calibrated, or compared", "sensors.side_by_side"),
    ("NA7.5.4 inspection: instruments calibrated within a year", "inspection.instruments"),
    ("805.5 step 1: demand control off", "demand_control.off"),
    (
        "805.5 step 2: economizer on, demand drives the outdoor damper open and the return damper shut",
        "free_cooling.full",
    ),
    ("NA7.5.4.2 step 2: stays open when mechanical cooling joins", "free_cooling.integrates"),
    ("NA7.5.4.2 step 2: building pressure held", "relief.pressure_at_full"),
    ("NA7.5.4.2 step 3: outdoor air unsuitable, damper to its minimum", "high_limit.damper"),
    ("NA7.5.4.2 step 3: mechanical cooling serves", "high_limit.compressor"),
    ("NA7.5.4.2 step 4: heating demand, damper at its minimum", "heating.damper"),
    ("NA7.5.4.2 step 5: unit off, damper shut", "power_off.unit_off"),
    ("NA7.5.4.2 step 6: demand control and everything restored", "restored.nothing_left"),
    ("NA7.5.1: outdoor air at full supply airflow within 10 %", "minimum_position.each_speed"),
    ("NA7.5.1: at minimum when occupied without free cooling", "minimum_position.stays"),
    ("NA7.5.1: minimum marked on the damper", "minimum_position.marked"),
    ("NA7.5.11 a: outdoor sensor disconnected", "fault_indication.sensor_off"),
    ("NA7.5.11 b: excess outdoor air", "fault_indication.excess_air"),
    ("NA7.5.11 c: damper stuck or uncoupled, both ways", "fault_indication.stuck"),
    ("NA7.5.11 d: free cooling on the wrong side of the limit", "fault_indication.wrong_side"),
    ("C403.5.5 item 4: status shown", "fault_indication.status"),
    ("Guideline 36: shut outside occupied hours", "unoccupied.shut"),
    ("Guideline 36: freeze protection, stage 3", "low_limit.freeze_switch"),
]
"""Each published step and the step that covers it."""

NAMED_IN: Final = {"NA7": "NA7", "805": "mechanical code", "C40": "C403.5.5", "Gui": "Guideline 36"}
"""How a step's own source names the document of a published step, by the first letters of that."""


@pytest.mark.parametrize(
    ("published", "covered_by"), PUBLISHED, ids=[published for published, _ in PUBLISHED]
)
def test_a_published_step_is_covered_and_cited(published: str, covered_by: str) -> None:
    """The step is there and names the document that it comes from."""
    step = steps()[covered_by]
    assert NAMED_IN[published[:3]] in step.source


@pytest.mark.parametrize("kit", UNIT_OF)
def test_the_steps_apply_to_every_kit(kit: str) -> None:
    """Each published step is in the tests of every kit; demand control where there may be some, integration where the kit does it."""
    ids = {one.step.id for one in functions_of(kit, "58 F").steps}
    left_out = {covered for _, covered in PUBLISHED} - ids
    assert left_out <= {"demand_control.off"}
    if kit == "variable-enthalpy-with-demand-control":
        assert left_out == set()


def test_published_limits_are_the_ones_used() -> None:
    """± 10 % of the outdoor air (NA7.5.1), ± 2 °F of a sensor (C403.5.5 item 2), 10 min at the high limit (Guideline 36)."""
    assert prior.usual("airflow_tolerance", FRACTION).value == 0.10
    assert prior.usual("sensor_agreement", TEMPERATURE_DIFFERENCE).value == pytest.approx(2 / 1.8)
    assert steps()["high_limit.damper"].wait > read("10 min", DURATION).value
    assert "within 10 %" in steps()["minimum_position.each_speed"].source
    assert "item 2" in steps()["sensors.side_by_side"].source


@pytest.mark.parametrize("kit", UNIT_OF)
def test_a_sound_unit_meets_the_published_criteria(kit: str) -> None:
    """Steps 2 to 5 of NA7.5.4.2 in software, at 58 °F: open at 100 %; minimum with unsuitable air and with heat; shut when off.

    The unit in software runs the sequence of Guideline 36, which knows nothing of the acceptance test.
    """
    tests = functions_of(kit, "58 F", at_hand={"decade_box": True, "packs": True})

    def signal(id_: str) -> float:
        found = [
            one.value.value
            for one in the(tests.steps, id_).expected
            if one.what == "damper signal" and one.value
        ]
        assert found, id_
        return found[0]

    assert signal("free_cooling.full") >= 0.95
    assert signal("power_off.unit_off") == 0.0
    assert counted(tests.steps, "free_cooling.full", "heat") == 0
    assert counted(tests.steps, "high_limit.compressor", "compressors that cool") == 1
    assert counted(tests.steps, "heating.damper", "compressors that cool") == 0
    if the(tests.steps, "free_cooling.integrates").state is not StepState.COME_BACK:
        assert signal("free_cooling.integrates") >= 0.95
        assert counted(tests.steps, "free_cooling.integrates", "compressors that cool") >= 1


def the(planned: tuple[PlannedStep, ...], id_: str) -> PlannedStep:
    """One step."""
    return next(one for one in planned if one.id == id_)


def counted(planned: tuple[PlannedStep, ...], id_: str, what: str) -> int:
    """A number of stages that a step expects."""
    return next(one.count for one in the(planned, id_).expected if one.what == what and one.count is not None)


@pytest.mark.parametrize("kit", UNIT_OF)
def test_the_minimum_expected_is_where_the_unit_comes_to_rest(kit: str) -> None:
    """Steps 3 and 4 of NA7.5.4.2, and NA7.5.1: each variant of the unit in software rests at the signal that is expected.

    The expectation is the line of Guideline 36 through the settings; the unit runs its whole sequence, simulated as
    the step says.
    """
    carried = {"decade_box": True, "packs": True}
    facts = job_of(kit, "58 F", at_hand=carried)
    plan = plan_of(facts)
    unit = software_unit(facts, plan.basis, plan.kit, plan.settings)
    assert unit.weather is not None
    tests = functions_of(kit, "58 F", at_hand=carried).steps
    called = {
        "minimum_position.stays": Calls(fan=True),
        "heating.damper": Calls(heating_stages=1),
        "high_limit.damper": Calls(cooling_stages=1),
    }
    for id_, calls in called.items():
        one = the(tests, id_)
        assert one.judged is not None, id_
        assert one.judged.value is not None, id_
        assert one.state is not StepState.COME_BACK, id_
        faults = [one.simulated.fault] if one.simulated is not None and one.simulated.fault else []
        for variant in unit.variants:
            found = operate(variant, unit.settings, unit.weather, unit.indoor, calls, faults)
            assert found.commands.damper_signal == pytest.approx(one.judged.value.value, abs=1e-9), id_
