"""The steady state of a rooftop unit: everything one could read on it with a meter or a probe."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from ventwright.physics.air import AirState
from ventwright.physics.rooftop.air_path import STILL, AirPath, Flows
from ventwright.physics.rooftop.coil import Cooled, bypassed
from ventwright.physics.rooftop.commands import Commands
from ventwright.physics.rooftop.control_power import Called, Supplied, supplied
from ventwright.physics.rooftop.hardware import Unit
from ventwright.physics.rooftop.hardware_fault import HardwareFault, faulted
from ventwright.physics.rooftop.heat import heat_taken
from ventwright.physics.rooftop.lanes import Lane, mixed_lanes
from ventwright.physics.rooftop.limit import within
from ventwright.physics.rooftop.sensing import Felt, Place, Sensor, SensorReading, readings
from ventwright.physics.rooftop.stream import Stream, flowing, joined, with_heat
from ventwright.physics.rooftop.surroundings import Indoor, Weather


@dataclass(frozen=True, slots=True)
class State:
    """What stands on the unit's meters and in its air, everything having settled."""

    outdoor: Stream
    """Through the outdoor damper, hood and cabinet gaps; below 0 where plenum air escapes."""
    returned: Stream
    """In the return plenum, and how much of it passes the return damper; below 0 where that runs backwards."""
    mixed: Stream
    """Behind the dampers, as if well mixed."""
    coil_leaving: Stream
    supply: Stream
    relief: Stream
    """From the return plenum outdoors; below 0 where outdoor air comes in that way."""
    mixed_lanes: tuple[Lane, ...]
    """The mixed air from the outdoor side to the return side: what single probes read."""
    outdoor_air_fraction: float
    """Share of outdoor air in the dry air of the supply, whichever way it came in. [-]"""
    mixing_plenum_pressure: float
    """Above outdoors. [Pa]"""
    return_plenum_pressure: float
    """Above outdoors. [Pa]"""
    space_pressure: float
    """Above outdoors. [Pa]"""
    actuator_target: float
    """Stroke that the actuator goes to. [-]"""
    actuator_position: float
    """Stroke at which it stands. [-]"""
    outdoor_blades: float
    """0 closed, 1 open. [-]"""
    return_blades: float
    """0 closed, 1 open. [-]"""
    fan_power: float
    """Electric. [W]"""
    fan_heat: float
    """What of it the air takes up. [W]"""
    cooling_load: float
    """Enthalpy taken from the air by the coil. [W]"""
    condensate: float
    """Water taken from it. [kg/s]"""
    heating_load: float
    """Heat given to the air by heater, condenser and auxiliary heat. [W]"""
    control_voltage: float
    """Secondary voltage of the control transformer, with what still holds. [V]"""
    called_voltage: float
    """The same with everything pulled in that is called for. [V]"""
    controller_powered: bool
    actuator_powered: bool
    fan_running: bool
    cooling_stages: int
    """Compressor stages that run and cool."""
    heating_stages: int
    """Stages of heat that run, compressors of a heat pump among them."""
    chattering: bool
    """A contactor drops out, the voltage recovers, it pulls in again."""
    readings: Mapping[Place, SensorReading]
    """What the controller makes of its sensors once they have settled."""


def steady(
    unit: Unit,
    weather: Weather,
    indoor: Indoor,
    commands: Commands,
    faults: Iterable[HardwareFault] = (),
    *,
    actuator_position: float | None = None,
) -> State:
    """Steady state of a rooftop unit under its commands.

    Holds for moist air at one pressure of the surroundings: pressures in the plenums drive the flows and change no
    density. With the fan off no air moves, and all that is inside is as the indoor air.

    Parameters
    ----------
    unit
        As built.
    weather, indoor
        The air on either side. [°C, -, Pa]
    commands
        Outputs of the controls.
    faults
        Of the hardware, any number.
    actuator_position
        Stroke at which the damper's actuator stands while it is still moving; None where it has arrived, or, without
        power, has closed or never opened. [-]

    Returns
    -------
    State
        Flows in kg/s of dry air, temperatures in °C, pressures in Pa above outdoors, loads in W.

    Raises
    ------
    Refused
        The weather or the indoor air cannot be, or a fault does not fit the unit.

    References
    ----------
    Those of the parts: ``air_path``, ``coil``, ``heat``, ``lanes``, ``sensing``, ``control_power``; between them
    balances of dry air, water and enthalpy (ASHRAE Handbook - Fundamentals 2017 (SI), chapter 1).
    """
    unit = faulted(unit, faults)
    power = supplied(unit.control_power, _called(unit, commands))
    target, position = _actuator(unit, commands, power, actuator_position)
    outdoor_air, indoor_air = weather.air, indoor.air(weather.pressure)
    outside = Stream(
        0.0, outdoor_air.enthalpy, outdoor_air.humidity_ratio, outdoor_air.dry_bulb, weather.pressure
    )
    inside = Stream(
        0.0, indoor_air.enthalpy, indoor_air.humidity_ratio, indoor_air.dry_bulb, weather.pressure
    )

    works = power.controller_powered and power.contactors_hold
    running = commands.fan_running and works
    flows, fan_power = STILL, 0.0
    if running:
        path = AirPath(unit.openings(position), outdoor_air, indoor_air)
        speed = unit.fan.speed(commands.fan_speed)
        flows = unit.fan.flows(path, indoor_air, speed)
        fan_power = unit.fan.power(flows, indoor_air, speed)

    met = _meet(flows, outside, inside)
    fan_heat = unit.fan.heat(fan_power)
    conditioned = _condition(unit, commands, met.mixed, fan_heat, weather.dry_bulb, works=works)
    blades = unit.linkage.blades(position)
    left = unit.stratification.left(blades[0])
    lanes = mixed_lanes(outside, met.returned, met.share, unit.stratification.lanes, left)
    return State(
        outdoor=met.outdoor,
        returned=met.returned,
        mixed=met.mixed,
        coil_leaving=conditioned.coil.leaving,
        supply=conditioned.supply,
        relief=flowing(met.returned if flows.relief > 0.0 else outside, flows.relief),
        mixed_lanes=lanes,
        outdoor_air_fraction=met.outdoor_air_fraction,
        mixing_plenum_pressure=flows.mixing_plenum_pressure,
        return_plenum_pressure=flows.return_plenum_pressure,
        space_pressure=flows.space_pressure,
        actuator_target=target,
        actuator_position=position,
        outdoor_blades=blades[0],
        return_blades=blades[1],
        fan_power=fan_power,
        fan_heat=fan_heat,
        cooling_load=conditioned.coil.load,
        condensate=conditioned.coil.condensate,
        heating_load=conditioned.heating_load,
        control_voltage=power.control_voltage,
        called_voltage=power.called_voltage,
        controller_powered=power.controller_powered,
        actuator_powered=power.actuator_powered,
        fan_running=running,
        cooling_stages=conditioned.cooling_stages,
        heating_stages=conditioned.heating_stages,
        chattering=power.chattering,
        readings=readings(
            unit.sensors,
            map(
                _felt,
                (outside, met.returned, met.mixed, conditioned.coil.leaving, conditioned.supply, inside),
            ),
            map(_felt, lanes),
            weather.pressure,
        ),
    )


def read_by(sensors: Iterable[Sensor], state: State, indoor: Indoor) -> State:
    """Return the same state as other sensors read it: no air moves otherwise for that.

    Parameters
    ----------
    sensors
        Of the controls.
    state
        Worked out with whatever sensors.
    indoor
        Air of the space [°C, -].

    Returns
    -------
    State
        With their readings, everything else as it was [SI throughout].

    References
    ----------
    As ``sensing.reading``.
    """
    space = indoor.air(state.mixed.pressure)
    own = (state.outdoor, state.returned, state.mixed, state.coil_leaving, state.supply)
    read = readings(
        sensors, (*map(_felt, own), _felt(space)), map(_felt, state.mixed_lanes), state.mixed.pressure
    )
    return replace(state, readings=read)


def _felt(air: Stream | Lane | AirState) -> Felt:
    return Felt(air.dry_bulb, air.humidity_ratio)


def _stages(unit: Unit, commands: Commands) -> tuple[int, int]:
    """Compressor stages and heater stages that are called for, as far as the unit has them."""
    compressors = len(unit.coil.capacities) if unit.coil else 0
    heaters = len(unit.heater.capacities) if unit.heater else 0
    if unit.heat_pump is None:
        return min(commands.cooling_stages, compressors), min(commands.heating_stages, heaters)
    wanted = max(commands.cooling_stages, commands.heating_stages)
    auxiliary = max(0, commands.heating_stages - compressors)
    return min(wanted, compressors), min(auxiliary, heaters)


def _called(unit: Unit, commands: Commands) -> Called:
    compressors, heat = _stages(unit, commands)
    valve = commands.reversing_valve_powered and unit.heat_pump is not None
    return Called(commands.fan_running, compressors, heat, valve)


def _actuator(
    unit: Unit, commands: Commands, power: Supplied, actuator_position: float | None
) -> tuple[float, float]:
    """Where the damper's actuator goes, and where it stands. [-]"""
    if actuator_position is not None:
        within("actuator position", actuator_position, 0.0, 1.0)
    if power.actuator_powered:
        target = unit.linkage.target(commands.damper_signal)
        return target, target if actuator_position is None else actuator_position
    if actuator_position is None:
        return 0.0, 0.0
    return 0.0 if unit.linkage.spring_return else actuator_position, actuator_position


@dataclass(frozen=True, slots=True)
class _Met:
    """The streams around the mixing plenum."""

    outdoor: Stream
    returned: Stream
    mixed: Stream
    share: float
    """Of the outdoor stream in what flows into the plenum."""
    outdoor_air_fraction: float


def _meet(flows: Flows, outside: Stream, inside: Stream) -> _Met:
    """Let the streams meet: in the return plenum first, then behind the dampers."""
    outdoor = flowing(outside, flows.outdoor + flows.gaps)
    # outdoor air reaches the return plenum through relief that stands open, or backwards through the return damper
    strays = [flowing(outside, -flow) for flow in (flows.relief, flows.returned) if flow < 0.0]
    plenum = joined([flowing(inside, flows.return_duct), *strays], inside)
    stray = sum(one.dry_air for one in strays) / plenum.dry_air if plenum.dry_air > 0.0 else 0.0
    returned = flowing(plenum, flows.returned)
    into = joined([outdoor, returned], inside)
    share = max(outdoor.dry_air, 0.0) / into.dry_air if into.dry_air > 0.0 else 0.0
    mixed = flowing(into, flows.supply)
    return _Met(outdoor, returned, mixed, share, share + (1.0 - share) * stray)


@dataclass(frozen=True, slots=True)
class _Conditioned:
    """What coil, fan and heat make of the mixed air."""

    coil: Cooled
    supply: Stream
    heating_load: float
    cooling_stages: int
    heating_stages: int


def _condition(
    unit: Unit, commands: Commands, mixed: Stream, fan_heat: float, outdoor: float, *, works: bool
) -> _Conditioned:
    """Fan and coil in their order, then the heat."""
    compressors, heaters = _stages(unit, commands) if works else (0, 0)
    pump = unit.heat_pump
    heats = pump is not None and pump.heats(reversing_valve_powered=commands.reversing_valve_powered)
    cooling, pumping = (0, compressors) if heats else (compressors, 0)
    stages = heaters + pumping
    if mixed.dry_air <= 0.0:
        return _Conditioned(Cooled(mixed, 0.0, 0.0), mixed, 0.0, cooling, stages)
    entering = with_heat(mixed, fan_heat) if unit.fan.before_coil else mixed
    coil = (
        bypassed(entering, unit.coil, cooling, outdoor)
        if unit.coil is not None
        else Cooled(entering, 0.0, 0.0)
    )
    condenser = 0.0
    if pump is not None:
        condenser = heat_taken(coil.leaving, pump.heat(pumping, outdoor), pump.hottest_air)
        coil = Cooled(with_heat(coil.leaving, condenser), coil.load, coil.condensate)
    blown = coil.leaving if unit.fan.before_coil else with_heat(coil.leaving, fan_heat)
    heater = 0.0
    if unit.heater is not None:
        heater = heat_taken(blown, unit.heater.heat(heaters), unit.heater.hottest_air)
    return _Conditioned(coil, with_heat(blown, heater), condenser + heater, cooling, stages)
