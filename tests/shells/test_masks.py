"""What a fault masks, held against the unit in software: a step that a fault reaches is done again after its repair."""

from __future__ import annotations

from typing import Final, Literal, get_args

import pytest
from tests.functional_jobs import BOX, functions_of, job_of, plan_of

from ventwright.physics.rooftop.calls import Calls
from ventwright.physics.rooftop.control_fault import (
    Call,
    CallNotRouted,
    ForgottenResistor,
    SpeedSignalMissing,
)
from ventwright.physics.rooftop.hardware_fault import HardwareFault, HardwareFaultKind
from ventwright.physics.rooftop.operating import Fault, Operating, operate
from ventwright.physics.rooftop.sensing import Place
from ventwright.plan.functional_tests import PlannedStep, StepState
from ventwright.plan.software_unit import software_unit
from ventwright.tables.procedure import masking_faults
from ventwright.tables.unit_prior import accepted

KIND: Final = HardwareFaultKind
SPEED_AT: Final[tuple[Literal["controls", "fan"], ...]] = ("controls", "fan")

FAULTS: Final[dict[str, list[Fault]]] = {
    "damper_stuck": [HardwareFault(KIND.DAMPER_STUCK, size=at) for at in (0.0, 0.5, 1.0)],
    "coupling_slipped": [HardwareFault(KIND.COUPLING_SLIPPED)],
    "actuator_reversed": [HardwareFault(KIND.ACTUATOR_REVERSED)],
    "outdoor_damper_leaking": [HardwareFault(KIND.DAMPER_LEAKING, 0.5)],
    "return_not_closing": [HardwareFault(KIND.RETURN_NOT_CLOSING, 0.6)],
    "hood_blocked": [HardwareFault(KIND.HOOD_BLOCKED, 0.8)],
    "relief_shut": [HardwareFault(KIND.RELIEF_SHUT)],
    "relief_open": [HardwareFault(KIND.RELIEF_OPEN)],
    "transformer_weak": [HardwareFault(KIND.TRANSFORMER_WEAK, severity) for severity in (0.5, 0.8)],
    "sensor_biased": [
        HardwareFault(KIND.SENSOR_BIASED, 1.0, place, size=size)
        for place in (Place.OUTDOOR, Place.MIXED)
        for size in (-6.0, 6.0)
    ],
    "sensor_open": [HardwareFault(KIND.SENSOR_OPEN, 1.0, place) for place in (Place.OUTDOOR, Place.MIXED)],
    "sensor_misplaced": [HardwareFault(KIND.SENSOR_MISPLACED, 1.0, Place.OUTDOOR, Place.RETURN)],
    "sensors_swapped": [HardwareFault(KIND.SENSORS_SWAPPED, 1.0, Place.OUTDOOR, Place.RETURN)],
    "call_not_routed": [CallNotRouted(call) for call in get_args(Call)],
    "speed_signal_missing": [SpeedSignalMissing(at) for at in SPEED_AT],
    "forgotten_resistor": [ForgottenResistor("outdoor_dry_bulb", shows) for shows in (-5.0, 15.0, 40.0)],
}
"""Faults as found on roofs, at a size that matters."""

CELLS: Final = [
    (kit, outdoor)
    for kit in ("two-speed-dry-bulb", "heat-pump-differential")
    for outdoor in ("40 F", "58 F", "80 F")
]


def reached(one: PlannedStep, sound: Operating, faulty: Operating) -> bool:
    """Whether what is read at a step is another with a fault, by more than is accepted."""
    signal = abs(sound.commands.damper_signal - faulty.commands.damper_signal)
    blades = abs(sound.state.outdoor_blades - faulty.state.outdoor_blades)
    mixed = abs(sound.state.mixed.dry_bulb - faulty.state.mixed.dry_bulb)
    by_signal = one.step.answer == "damper signal" or one.step.named in {"open", "shut"}
    by_compressor = (
        one.step.runs_compressor or one.step.test == "lockout" or one.id == "free_cooling.no_compressor"
    )
    return (
        (by_signal and max(signal, blades) > 2.0 * accepted().signal)
        or (one.step.answer == "mixed air" and mixed > accepted().temperature)
        or (by_compressor and sound.state.cooling_stages != faulty.state.cooling_stages)
        or (one.step.test == "heating" and sound.state.heating_stages != faulty.state.heating_stages)
    )


@pytest.mark.parametrize(("kit", "outdoor"), CELLS)
def test_a_step_that_a_fault_reaches_is_masked_by_it(kit: str, outdoor: str) -> None:
    """For every step that is offered and runs in software: with each fault either it reads the same, or the fault masks it."""
    facts = job_of(kit, outdoor, at_hand=BOX)
    plan = plan_of(facts)
    unit = software_unit(facts, plan.basis, plan.kit, plan.settings)
    assert unit.weather is not None
    tight, found = unit.variants[0], 0
    for one in functions_of(kit, outdoor, at_hand=BOX).steps:
        called = one.step.calls
        by_hand = one.simulated is not None and one.simulated.fault is None
        if called is None or by_hand or one.state is StepState.COME_BACK:
            continue
        calls = Calls(called.cooling, called.heating, called.fan, called.occupied)
        simulated = [one.simulated.fault] if one.simulated is not None and one.simulated.fault else []
        sound = operate(tight, unit.settings, unit.weather, unit.indoor, calls, simulated)
        for name, faults in FAULTS.items():
            for fault in faults:
                faulty = operate(tight, unit.settings, unit.weather, unit.indoor, calls, [fault, *simulated])
                if reached(one, sound, faulty):
                    found += 1
                    assert masking_faults()[name].hides(one.step), (one.id, name)
    assert found > 20
