"""Hardware that cannot be, and faults that do not fit, are refused in one sentence each."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from tests.rooftop_units import COLD, INDOOR, OPPOSED, TYPE_II, command, unit

from ventwright.errors import Refused
from ventwright.physics.fan import FanCurve, shaft_power
from ventwright.physics.rooftop.air_path import Leg, leg_for
from ventwright.physics.rooftop.coil import CoolingCoil
from ventwright.physics.rooftop.commands import Commands
from ventwright.physics.rooftop.control_power import ControlPower
from ventwright.physics.rooftop.hardware_fault import HardwareFault, HardwareFaultKind, faulted
from ventwright.physics.rooftop.heat import Heater, HeaterKind, HeatPump
from ventwright.physics.rooftop.lanes import Stratification
from ventwright.physics.rooftop.linkage import Linkage, Travel
from ventwright.physics.rooftop.relief import Relief, ReliefKind
from ventwright.physics.rooftop.root import root
from ventwright.physics.rooftop.sensing import Place, Sensor, circuit_resistance, sensors_sound
from ventwright.physics.rooftop.steady import steady
from ventwright.physics.rooftop.supply_fan import SupplyFan
from ventwright.physics.rooftop.surroundings import Indoor, Weather

KIND = HardwareFaultKind
LONE = (Sensor(Place.MIXED, Place.MIXED),)

REFUSED: list[tuple[Callable[[], object], str]] = [
    (lambda: Leg(OPPOSED, 0.0), 'damper.face: "0 m2" is not possible; accepted: a number above 0 m2.'),
    (
        lambda: Leg(OPPOSED, 0.2, -1.0),
        'damper.fixed_loss: "-1" is not possible; accepted: 0 or more.',
    ),
    (
        lambda: Leg(OPPOSED, 0.2, gap=float("nan")),
        'damper.gap: "nan m2" is not possible; accepted: 0 m2 or more.',
    ),
    (
        lambda: leg_for(OPPOSED, 1.0, 0.0, 10.0, 1.2),
        'damper.pressure: "0 Pa" is not possible; accepted: a number above 0 Pa.',
    ),
    (
        lambda: Travel(0.6, 0.4),
        'travel: "0.6 to 0.4" is no travel; accepted: a start below the end.',
    ),
    (lambda: Travel(first=1.2), 'travel.first: "1.2" is not possible; accepted: 0 to 1.'),
    (
        lambda: Linkage(signal_start=0.5, signal_end=0.5),
        'linkage: "0.5 to 0.5" is no range of a signal; accepted: a start below the end.',
    ),
    (
        lambda: Linkage(travel_time=0.0),
        'linkage.travel_time: "0 s" is not possible; accepted: a number above 0 s.',
    ),
    (
        lambda: Relief(ReliefKind.BAROMETRIC),
        'relief.area: "0 m2" is not possible; accepted: a number above 0 m2.',
    ),
    (
        lambda: Relief(ReliefKind.POWERED, area=0.2),
        'relief.airflow: "0 m3/s" is not possible; accepted: a number above 0 m3/s.',
    ),
    (
        lambda: Relief(opening_pressure=10.0, open_pressure=5.0),
        'relief.open_pressure: "5 Pa" is not possible; accepted: 10.1 Pa or more.',
    ),
    (
        lambda: SupplyFan(0.0, 500.0),
        'fan.airflow: "0 m3/s" is not possible; accepted: a number above 0 m3/s.',
    ),
    (lambda: SupplyFan(1.0, 500.0, ()), "fan.speeds: has no speed; accepted: one speed at least."),
    (
        lambda: SupplyFan(1.0, 500.0, (1.2,)),
        'fan.speeds: "1.2" is not possible; accepted: 0.01 to 1.',
    ),
    (
        lambda: SupplyFan(1.0, 500.0, curve=FanCurve(500.0, 0.0, 100.0)),
        "fan.duct_pressure: is missing beside a fan curve; accepted: the pressure at full airflow.",
    ),
    (
        lambda: FanCurve(500.0, -20.0, 100.0),
        (
            'fan.curve: "500 Pa, -20, 100" is no falling fan curve; '
            "accepted: a pressure above 0 at no airflow that falls from there on."
        ),
    ),
    (
        lambda: FanCurve(500.0, 0.0, 100.0, efficiency=1.4),
        'fan.curve.efficiency: "1.4" is no efficiency of a fan; accepted: above 0, up to 100 %.',
    ),
    (
        lambda: shaft_power(1.0, 250.0, 0.0),
        '"0" is no efficiency of a fan; accepted: above 0, up to 100 %.',
    ),
    (
        lambda: CoolingCoil((10e3, 8e3), 1.0),
        (
            'coil.capacities: "10000, 8000 W" does not rise from stage to stage; '
            "accepted: more with every stage, above 0."
        ),
    ),
    (
        lambda: CoolingCoil((10e3,), 1.0, bypass_factor=1.0),
        'coil.bypass_factor: "1" is not possible; accepted: 0.001 to 0.9.',
    ),
    (
        lambda: Heater(HeaterKind.GAS, (0.0,)),
        (
            'heater.capacities: "0 W" does not rise from stage to stage; '
            "accepted: more with every stage, above 0."
        ),
    ),
    (
        lambda: unit(heat_pump=HeatPump((8e3,))),
        (
            "unit.heat_pump: has other compressor stages than the coil that it heats through; "
            "accepted: a coil with as many stages."
        ),
    ),
    (
        lambda: Stratification(lanes=0),
        'stratification.lanes: "0" is not possible; accepted: 1 to 50.',
    ),
    (
        lambda: Sensor(Place.MIXED, Place.MIXED, read_as=TYPE_II),
        (
            "sensor.mixed: has a curve that it is read by but none of its own; "
            "accepted: the element's curve beside it."
        ),
    ),
    (
        lambda: circuit_resistance(20.0, LONE[0]),
        "sensor.mixed: has no curve; accepted: a resistance sensor.",
    ),
    (
        lambda: sensors_sound(0.0),
        'sensor.time_constant: "0 s" is not possible; accepted: a number above 0 s.',
    ),
    (
        lambda: unit(sensors=LONE * 2),
        'unit.sensors: "mixed" is sensed twice; accepted: one sensor for each input.',
    ),
    (
        lambda: unit(sensors=(Sensor(Place.MIXED, Place.MIXED, lane=5),)),
        'sensor.mixed.lane: "5" is no lane; accepted: 0 to 4.',
    ),
    (
        lambda: unit(return_duct=-0.1),
        'unit.return_duct: "-0.1 m2" is not possible; accepted: a number above 0 m2.',
    ),
    (
        lambda: ControlPower(drop_out=21.0),
        (
            'control_power: "21 and 20.4 V" are no two limits of a contactor; '
            "accepted: a drop-out below the pull-in, both above 0 V."
        ),
    ),
    (
        lambda: HardwareFault(KIND.HOOD_BLOCKED, 1.5),
        'fault hood blocked, severity: "1.5" is not possible; accepted: 0 to 1.',
    ),
    (
        lambda: HardwareFault(KIND.SENSOR_OPEN),
        "fault sensor open: does not fit its sensor; accepted: the sensor that has it.",
    ),
    (
        lambda: HardwareFault(KIND.DAMPER_LEAKING, 1.0, Place.MIXED),
        "fault outdoor damper leaking: does not fit its sensor; accepted: no sensor.",
    ),
    (
        lambda: HardwareFault(KIND.SENSORS_SWAPPED, 1.0, Place.MIXED),
        "fault sensors swapped: does not fit its second place; accepted: a second place.",
    ),
    (
        lambda: HardwareFault(KIND.SENSOR_BIASED, 1.0, Place.MIXED, Place.SUPPLY),
        "fault sensor biased: does not fit its second place; accepted: no second place.",
    ),
    (
        lambda: HardwareFault(KIND.SENSOR_BIASED, 1.0, Place.MIXED, size=float("inf")),
        'fault sensor biased: "inf" is no size; accepted: a finite number.',
    ),
    (
        lambda: HardwareFault(KIND.DAMPER_STUCK, 1.0, size=30.0),
        'fault damper stuck, size: "30" is not possible; accepted: 0 to 1.',
    ),
    (
        lambda: HardwareFault(KIND.SENSOR_WRONG_CURVE, 1.0, Place.MIXED),
        "fault sensor of a wrong curve: names no curve; accepted: the curve it is read by.",
    ),
    (
        lambda: faulted(unit(sensors=LONE), [HardwareFault(KIND.SENSOR_BIASED, 1.0, Place.SUPPLY, size=2.0)]),
        'fault: "supply" is no sensor of this unit; accepted: mixed.',
    ),
    (
        lambda: Commands(fan_running=True, fan_speed=1.0, damper_signal=30.0),
        'commands.damper_signal: "30.0" is no share of its range; accepted: 0 to 1.',
    ),
    (
        lambda: command(heating_stages=-1),
        'commands.heating_stages: "-1" is no number of stages; accepted: a whole number from 0.',
    ),
    (
        lambda: root(lambda x: x * x + 1.0, -1.0, 1.0),
        "the air path: holds no balance of flows; accepted: air paths that can balance.",
    ),
    (
        lambda: steady(unit(), COLD, INDOOR, command(), actuator_position=1.1),
        'actuator position: "1.1" is not possible; accepted: 0 to 1.',
    ),
]


@pytest.mark.parametrize(("made", "sentence"), REFUSED, ids=[sentence for _, sentence in REFUSED])
def test_what_cannot_be_is_refused(made: Callable[[], object], sentence: str) -> None:
    """One clear sentence: where, what was given, what would be accepted."""
    with pytest.raises(Refused) as refused:
        made()
    assert str(refused.value) == sentence


def test_weather_beyond_the_formulas_is_refused() -> None:
    """Outdoor or indoor air outside -40 to 60 °C is refused by the states of air themselves."""
    with pytest.raises(Refused, match="dry bulb"):
        steady(unit(), Weather(80.0, 0.1), INDOOR, command())
    with pytest.raises(Refused, match="relative humidity"):
        steady(unit(), COLD, Indoor(21.0, 35.0), command())
