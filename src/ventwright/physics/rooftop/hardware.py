"""A rooftop unit as it is built: the parts that everything else in this folder works on."""

from __future__ import annotations

from dataclasses import dataclass, field

from ventwright.errors import Refusal, Refused
from ventwright.physics.rooftop.air_path import Leg, Openings
from ventwright.physics.rooftop.coil import CoolingCoil
from ventwright.physics.rooftop.control_power import ControlPower
from ventwright.physics.rooftop.heat import Heater, HeatPump
from ventwright.physics.rooftop.lanes import Stratification
from ventwright.physics.rooftop.limit import above_zero, within
from ventwright.physics.rooftop.linkage import Linkage
from ventwright.physics.rooftop.relief import Relief
from ventwright.physics.rooftop.sensing import Sensor, sensors_sound
from ventwright.physics.rooftop.supply_fan import SupplyFan


@dataclass(frozen=True, slots=True)
class Unit:
    """A packaged rooftop unit and the building that it hangs on, as far as the air goes."""

    outdoor_damper: Leg
    """With the hood in line."""
    return_damper: Leg
    fan: SupplyFan
    return_duct: float
    """Effective area of grilles and duct from the space to the return plenum. [m2]"""
    linkage: Linkage = field(default_factory=Linkage)
    cabinet_gap: float = 0.0
    """Effective area of gaps that let outdoor air into the mixing plenum past hood and damper. [m2]"""
    relief: Relief = field(default_factory=Relief)
    envelope: float = 0.2
    """Leakage of the building at 4 Pa. [m3/s]"""
    hood_blocked: float = 0.0
    """Share of the hood's free area that is lost. [-]"""
    coil: CoolingCoil | None = None
    heater: Heater | None = None
    heat_pump: HeatPump | None = None
    stratification: Stratification = field(default_factory=Stratification)
    sensors: tuple[Sensor, ...] = field(default_factory=sensors_sound)
    control_power: ControlPower = field(default_factory=ControlPower)

    def __post_init__(self) -> None:
        """Refuse parts that make no unit."""
        above_zero("unit.return_duct", self.return_duct, "m2")
        within("unit.cabinet_gap", self.cabinet_gap, 0.0, unit="m2")
        within("unit.envelope", self.envelope, 0.0, unit="m3/s")
        within("unit.hood_blocked", self.hood_blocked, 0.0, 1.0)
        if self.heat_pump is not None and (
            self.coil is None or len(self.coil.capacities) != len(self.heat_pump.capacities)
        ):
            problem = "has other compressor stages than the coil that it heats through"
            raise Refused(Refusal(problem, "a coil with as many stages", "unit.heat_pump"))
        inputs = [one.input for one in self.sensors]
        for one in self.sensors:
            if inputs.count(one.input) > 1:
                raise Refused(
                    Refusal("is sensed twice", "one sensor for each input", "unit.sensors", one.input)
                )
            if one.lane is not None and not 0 <= one.lane < self.stratification.lanes:
                accepted = f"0 to {self.stratification.lanes - 1}"
                raise Refused(Refusal("is no lane", accepted, f"sensor.{one.input}.lane", f"{one.lane}"))

    def openings(self, actuator_position: float) -> Openings:
        """What the air finds with the actuator at a stroke. [-]"""
        outdoor, returned = self.linkage.blades(actuator_position)
        return Openings(
            outdoor=_behind_hood(self.outdoor_damper, outdoor, self.hood_blocked),
            cabinet_gap=self.cabinet_gap,
            returned=self.return_damper.effective_area(returned),
            return_duct=self.return_duct,
            relief=self.relief,
            relief_fan=self.relief.fan_airflow(actuator_position),
            envelope=self.envelope,
        )


LEFT_FREE = 1e-3
"""Share of a hood that stays free however blocked it is: a balance needs some way for the air. [-]"""


def _behind_hood(leg: Leg, position: float, blocked: float) -> float:
    """Effective area of damper and hood; a hood that is half blocked has four times the loss."""
    free = max(1.0 - blocked, LEFT_FREE)
    clear = leg.effective_area(position)
    if blocked == 0.0:
        return clear
    # losses in line add as one over the area squared; a hood without loss of its own still chokes when blocked
    hood = max(leg.fixed_loss, leg.blades.loss_open) / leg.face**2
    return float((1.0 / clear**2 + hood * (1.0 / free**2 - 1.0)) ** -0.5)
