"""Control power: the voltage that the loads leave of a transformer, and what stops working when it is too low."""

from __future__ import annotations

from dataclasses import dataclass

from ventwright.errors import Refusal, Refused
from ventwright.physics.circuit import loaded_voltage
from ventwright.physics.rooftop.limit import above_zero, within


@dataclass(frozen=True, slots=True)
class ControlPower:
    """A control transformer and what hangs on it; loads by their apparent power while they hold."""

    rating: float = 75.0
    """[VA]"""
    full_load: float = 24.0
    """Secondary voltage at rated load, with the supply that really stands at its primary. [V]"""
    regulation: float = 0.12
    """Rise from rated load to none over that voltage. [-]"""
    controller: float = 8.0
    """Always on. [VA]"""
    actuator: float = 6.0
    """While it drives or holds. [VA]"""
    fan_contactor: float = 8.0
    """[VA]"""
    compressor_contactor: float = 10.0
    """Each. [VA]"""
    heat_relay: float = 6.0
    """Gas valve or heat relay, for each stage. [VA]"""
    reversing_valve: float = 8.0
    """[VA]"""
    controller_least: float = 16.0
    """Below it the controller resets and everything is off. [V]"""
    actuator_least: float = 19.2
    """Below it the actuator stops: 80 % of 24 V (common practice, no published source). [V]"""
    drop_out: float = 14.4
    """Below it a contactor lets go: 60 % of 24 V (common practice, no published source). [V]"""
    pull_in: float = 20.4
    """From it on a contactor pulls in: 85 % of 24 V, NEMA ST 1 as a guide states it (secondary). [V]"""
    weak: float = 0.0
    """0 sound; at 0.5 the voltage falls with the load twice as fast, at 1 there is none. [-]"""

    def __post_init__(self) -> None:
        """Refuse what no transformer is."""
        above_zero("control_power.rating", self.rating, "VA")
        above_zero("control_power.full_load", self.full_load, "V")
        within("control_power.regulation", self.regulation, 0.0, 1.0)
        within("control_power.weak", self.weak, 0.0, 1.0)
        for name in (
            "controller",
            "actuator",
            "fan_contactor",
            "compressor_contactor",
            "heat_relay",
            "reversing_valve",
        ):
            within(f"control_power.{name}", getattr(self, name), 0.0, unit="VA")
        if not 0.0 < self.drop_out < self.pull_in:
            given = f"{self.drop_out:g} and {self.pull_in:g} V"
            accepted = "a drop-out below the pull-in, both above 0 V"
            raise Refused(Refusal("are no two limits of a contactor", accepted, "control_power", given))

    def voltage(self, apparent_power: float) -> float:
        """Secondary voltage under a load, never below 0. [V]"""
        if self.weak >= 1.0:
            return 0.0
        # the open-circuit voltage stays, what the load takes of it grows
        open_circuit = loaded_voltage(self.full_load, self.regulation, 0.0)
        lost = open_circuit - loaded_voltage(self.full_load, self.regulation, apparent_power / self.rating)
        return max(0.0, open_circuit - lost / (1.0 - self.weak))


@dataclass(frozen=True, slots=True)
class Called:
    """What the controller switches on."""

    fan: bool
    compressors: int
    heat: int
    reversing_valve: bool


@dataclass(frozen=True, slots=True)
class Supplied:
    """What control power makes of it."""

    control_voltage: float
    """As it settles. [V]"""
    called_voltage: float
    """With everything that is called for pulled in. [V]"""
    controller_powered: bool
    actuator_powered: bool
    contactors_hold: bool
    chattering: bool
    """They drop out, the voltage comes back, they pull in again."""


def supplied(power: ControlPower, called: Called) -> Supplied:
    """What of the called loads holds at the voltage that they leave.

    A contactor that is in holds down to its drop-out, and the contactors of a unit let go together; one that has let
    go pulls in where the voltage without it reaches its pull-in, and so chatters.

    Parameters
    ----------
    power
        Transformer and loads.
    called
        What is switched on.

    Returns
    -------
    Supplied
        Voltages, and who works at them. [V]

    References
    ----------
    Voltage under load: as in ``circuit.loaded_voltage``. Holding and letting go: common practice, no published source.
    """
    always = power.controller + power.actuator
    contactors = (
        power.fan_contactor * called.fan
        + power.compressor_contactor * called.compressors
        + power.heat_relay * called.heat
        + power.reversing_valve * called.reversing_valve
    )
    with_all, without = power.voltage(always + contactors), power.voltage(always)
    hold = contactors == 0.0 or with_all >= power.drop_out
    alive = with_all >= power.controller_least if hold else without >= power.controller_least
    if hold and not alive:
        # the controller goes first and lets go of everything; then it comes back and calls again
        hold, voltage = False, without
    else:
        voltage = with_all if hold else without
    chattering = not hold and contactors > 0.0 and without >= max(power.pull_in, power.controller_least)
    return Supplied(
        voltage,
        with_all,
        controller_powered=voltage >= power.controller_least,
        actuator_powered=voltage >= max(power.actuator_least, power.controller_least),
        contactors_hold=hold,
        chattering=chattering,
    )
