"""The circuits of a unit's control wiring by what they do: function, voltage, and which side gives and which takes."""

from __future__ import annotations

from collections.abc import Iterable
from enum import StrEnum
from typing import Literal

from pydantic import Field

from ventwright.entry import Entry


class Function(StrEnum):
    """What a circuit does, in the trade's words; letters, colours and cavity numbers say nothing of it."""

    SUPPLY = "24 V supply"
    COMMON = "24 V common"
    COOLING_1 = "cooling stage 1 call"
    COOLING_2 = "cooling stage 2 call"
    COMPRESSOR_1 = "cooling stage 1 to compressor"
    COMPRESSOR_2 = "cooling stage 2 to compressor"
    HEATING_1 = "heating call"
    HEATING_2 = "heating stage 2 call"
    FAN = "fan call"
    FAN_SPEED = "fan speed"
    VALVE_COOLING = "reversing valve in cooling"
    VALVE_HEATING = "reversing valve in heating"
    OCCUPIED = "occupied"
    OUTDOOR_SENSOR = "outdoor sensor"
    RETURN_SENSOR = "return sensor"
    MIXED_SENSOR = "mixed-air sensor"
    SUPPLY_SENSOR = "supply-air sensor"
    CARBON_DIOXIDE = "carbon dioxide signal"
    DAMPER_SIGNAL = "damper signal"
    DAMPER_FEEDBACK = "damper feedback"
    SIGNAL_COMMON = "signal common"
    RELIEF = "relief relay"
    FAULT = "fault"
    SHUTDOWN = "smoke shutdown"
    LINE = "line voltage"


class Voltage(StrEnum):
    """Kind of circuit: what may be on it, and with what it must never be joined."""

    CONTROL = "24 V AC"
    SIGNAL = "0-10 V DC"
    CONTACT = "dry contact"
    SENSOR = "sensor"
    COMMON = "common"
    LINE = "line voltage"


PAIRS = frozenset(
    {
        Function.OUTDOOR_SENSOR,
        Function.RETURN_SENSOR,
        Function.MIXED_SENSOR,
        Function.SUPPLY_SENSOR,
        Function.FAULT,
        Function.SHUTDOWN,
    }
)
"""Functions that take two wires of their own: the two must stay apart, and may be exchanged."""

PASSED_ON = {
    Function.COOLING_1: Function.COMPRESSOR_1,
    Function.COOLING_2: Function.COMPRESSOR_2,
}
"""Calls that an economizer takes in and passes on. A jumper plug or a loop joins the two, and mechanical cooling runs."""

_SENSORS = frozenset(
    {Function.OUTDOOR_SENSOR, Function.RETURN_SENSOR, Function.MIXED_SENSOR, Function.SUPPLY_SENSOR}
)
_SIGNALS = frozenset({Function.DAMPER_SIGNAL, Function.DAMPER_FEEDBACK, Function.CARBON_DIOXIDE})
_COMMONS = frozenset({Function.COMMON, Function.SIGNAL_COMMON})


def usual_voltage(function: Function) -> Voltage:
    """Return the voltage a function has where its file names none."""
    if function in _SENSORS:
        return Voltage.SENSOR
    if function in _SIGNALS:
        return Voltage.SIGNAL
    if function in _COMMONS:
        return Voltage.COMMON
    if function in {Function.FAULT, Function.SHUTDOWN}:
        return Voltage.CONTACT
    return Voltage.LINE if function is Function.LINE else Voltage.CONTROL


class Circuit(Entry):
    """One end of a circuit, as a board or a kit has it."""

    function: Function = Field(description="what it carries: " + ", ".join(one.value for one in Function))
    role: Literal["source", "sink"] = Field(
        description="source where this side gives (a call, a supply, the side that measures a sensor), sink where it takes"
    )
    voltage_given: Voltage | None = Field(
        None, alias="voltage", description="kind of circuit, where it is not the usual one of its function"
    )
    needed: Literal["always", "where the unit has it", "no"] = Field(
        "always", description="whether the kit works without it: always, where the unit has it, or no"
    )
    accepts: tuple[Function, ...] = Field(
        (), description="other functions that do as well, once a setting is changed"
    )

    @property
    def voltage(self) -> Voltage:
        """The kind of circuit: as its file says, else the usual one of its function."""
        return self.voltage_given or usual_voltage(self.function)

    def must_arrive(self, there: Iterable[Circuit]) -> bool:
        """Whether it has to arrive at a board that has these circuits."""
        has_it = any(self.fits(other) for other in there)
        return self.needed == "always" or (self.needed == "where the unit has it" and has_it)

    def fits(self, other: Circuit) -> bool:
        """Whether the two may be joined: the same function, or one that either side accepts."""
        same = self.function is other.function
        return same or other.function in self.accepts or self.function in other.accepts


LETTERS: dict[str, Function] = {
    "R": Function.SUPPLY,
    "C": Function.COMMON,
    "G": Function.FAN,
    "Y1": Function.COOLING_1,
    "Y2": Function.COOLING_2,
    "W1": Function.HEATING_1,
    "W2": Function.HEATING_2,
    "O": Function.VALVE_COOLING,
    "B": Function.VALVE_HEATING,
}
"""What the trade's letters usually stand for: common practice, no published source. A unit may differ: meter it."""
