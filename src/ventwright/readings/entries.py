"""The kinds of entry in the list of readings: what was measured, set, changed for a test, or ticked off.

The list only grows. A wrong entry is corrected by a new one that names it in ``corrects``; both stay.
"""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from ventwright.entry import Signal, SupplyAirflow, Temperature, Typed, Written
from ventwright.errors import Refusal, Refused
from ventwright.evidence import Estimate
from ventwright.quantity import TEMPERATURE_DIFFERENCE, Quantity, System, show
from ventwright.readings.changes import LeftSafe, Restored, TemporaryChange
from ventwright.readings.fault_finding import FaultFinding
from ventwright.readings.noted import Noted
from ventwright.readings.step_seen import Repaired, StepSeen
from ventwright.readings.streams import CarbonDioxide, Humidity, OutdoorAirflow, ProbesSideBySide
from ventwright.tables import prior

FanHeat = Annotated[Quantity, Typed((TEMPERATURE_DIFFERENCE,), 0.0, 10.0)]
"""What a supply fan adds to the air: nothing a rooftop unit's fan does warms it by more than 10 K (our own assumption)."""


class SupplyMethod(StrEnum):
    """How a supply airflow was found."""

    TRAVERSE = "traverse"
    FLOW_PLATE = "flow plate"
    FAN_TABLE = "static pressure and fan table"
    TEMPERATURE_RISE = "temperature rise"
    BALANCING_REPORT = "balancing report"
    DESIGN_VALUE = "design value"


class SupplyAir(Noted):
    """Supply airflow at one fan speed."""

    what: Literal["supply air"]
    speed: str = Field(description="name of the fan speed, such as high")
    airflow: SupplyAirflow = Field(
        description='supply airflow, such as "3950 cfm ± 4 %"; without ±, the method\'s usual one'
    )
    method: SupplyMethod = Field(description="how it was found")
    instrument: str | None = None

    def subject(self, system: System) -> str:
        """Say the airflow and how it was found."""
        return f"supply air, {self.speed} speed: {self.airflow.show(system)} by {self.method.value}"


class MixedAir(Noted):
    """Outdoor, return and mixed air at one fan speed and one damper signal, read together."""

    what: Literal["mixed air"]
    speed: str = Field(description="name of the fan speed, such as high")
    damper_signal: Signal = Field(description='damper signal held, such as "21 %" or "3.7 V"')
    outdoor_air: Temperature = Field(description='outdoor temperature, such as "58.0 F"')
    return_air: Temperature = Field(description='return-air temperature, such as "74.0 F"')
    mixed_air: tuple[Temperature, ...] = Field(
        min_length=1, description='mixed-air temperature at one or more points, such as "63.8 F"'
    )
    instrument: str | None = Field(None, description="the probe, where one was used for all three")
    outdoor_instrument: str | None = None
    return_instrument: str | None = None
    mixed_instrument: str | None = None
    behind_fan: bool = Field(
        False, description="true where the mixed air was read on the supply side, coil and heat off"
    )
    fan_heat: FanHeat | None = Field(
        None,
        description='what the fan adds, such as "1.2 F ± 0.4 F"; left out, a usual value (only with behind_fan)',
    )
    sensor_shows: Temperature | None = Field(
        None, description='what the unit\'s own mixed-air sensor shows at that moment, such as "61.4 F"'
    )

    @model_validator(mode="after")
    def _heat_of_a_fan_behind_it(self) -> Self:
        if self.fan_heat is not None and not self.behind_fan:
            problem = "is the heat of a fan, and this mixed air was not read behind the fan"
            raise Refused(
                Refusal(
                    problem, "behind_fan: true beside it, or no fan_heat", "fan_heat", self.fan_heat.typed
                )
            )
        return self

    @property
    def mean(self) -> float:
        """Mean of the mixed-air points. [°C]"""
        return sum(point.value for point in self.mixed_air) / len(self.mixed_air)

    @property
    def spread(self) -> float:
        """Between the warmest and the coldest point of the mixed air. [K]"""
        points = [point.value for point in self.mixed_air]
        return max(points) - min(points)

    @property
    def difference(self) -> float:
        """Between outdoor and return air, without sign. [K]"""
        return abs(self.return_air.value - self.outdoor_air.value)

    @property
    def heat_of_fan(self) -> Estimate:
        """What the fan added to the mixed air before it was read: nothing where it was read before the fan. [K]

        A heat typed without its ± has that of the usual one.
        """
        if not self.behind_fan:
            return Estimate(0.0, 0.0)
        usual = prior.fan_heat()
        if self.fan_heat is None:
            return usual
        own = self.fan_heat.uncertainty
        return Estimate(self.fan_heat.value, usual.uncertainty if own is None else own)

    @property
    def before_fan(self) -> float:
        """Mean of the mixed-air points, the fan's heat taken off where they were read behind it. [°C]"""
        return self.mean - self.heat_of_fan.value

    @property
    def sensor_bias(self) -> float | None:
        """What the unit's own mixed-air sensor shows less the mixed air as read; None where nobody looked. [K]"""
        return None if self.sensor_shows is None else self.sensor_shows.value - self.before_fan

    def subject(self, system: System) -> str:
        """Say the three temperatures and where the damper stood."""
        mixed = ", ".join(point.show(system) for point in self.mixed_air)
        streams = (
            f"outdoor {self.outdoor_air.show(system)}, return {self.return_air.show(system)}, mixed {mixed}"
        )
        behind = f" behind the fan, which adds {self._said_heat(system)}" if self.behind_fan else ""
        shows = f", the unit's sensor shows {self.sensor_shows.show(system)}" if self.sensor_shows else ""
        return f"{self.speed} speed, damper {self.damper_signal}: {streams}{behind}{shows}"

    def _said_heat(self, system: System) -> str:
        heat = self.heat_of_fan
        shown = show(heat.value, TEMPERATURE_DIFFERENCE, system, heat.uncertainty)
        return shown if self.fan_heat else f"{shown} (usual)"


class SensorCheck(Noted):
    """A sensor of the unit and a reference probe in the same air."""

    what: Literal["sensor check"]
    sensor: Literal["outdoor air", "return air", "mixed air", "supply air"] = Field(
        description="which sensor of the unit"
    )
    shown: Temperature = Field(description="what the controller shows")
    probe: Temperature = Field(description="what the reference probe shows")
    instrument: str | None = Field(None, description="the reference probe")

    @property
    def bias(self) -> float:
        """What the sensor shows less what the probe shows. [K]"""
        return self.shown.value - self.probe.value

    def subject(self, system: System) -> str:
        """Say what sensor and probe showed."""
        return f"{self.sensor} sensor shows {self.shown.show(system)}, probe {self.probe.show(system)}"


class SettingRead(Noted):
    """A setting read back from the controller as it was left."""

    what: Literal["setting"]
    label: str = Field(description="the kit's label")
    value: Written = Field(description="value with its unit, as the controller shows it")

    def subject(self, system: System) -> str:  # noqa: ARG002 - a setting is said as the controller shows it
        """Say the setting as it was read back."""
        return f'setting "{self.label}" left at {self.value}'


class Tick(Noted):
    """One thing on the plan's list, done or found in order."""

    what: Literal["tick"]
    item: str = Field(min_length=3, description="the item, as the plan words it or by its id")
    found: Literal["in order", "not in order", "not looked at"] = "in order"

    def subject(self, system: System) -> str:  # noqa: ARG002 - free text
        """Say what was looked at."""
        return f"{self.item}: {self.found}"


class Withdrawn(Noted):
    """An earlier entry taken back without another in its place."""

    what: Literal["withdrawn"]

    def subject(self, system: System) -> str:  # noqa: ARG002 - nothing to show
        """Say that an entry was taken back."""
        return "taken back"


AnyEntry = Annotated[
    SupplyAir
    | MixedAir
    | OutdoorAirflow
    | CarbonDioxide
    | Humidity
    | ProbesSideBySide
    | SensorCheck
    | SettingRead
    | TemporaryChange
    | Restored
    | Tick
    | StepSeen
    | Repaired
    | FaultFinding
    | LeftSafe
    | Withdrawn,
    Field(discriminator="what"),
]
