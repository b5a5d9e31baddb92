"""The supply fan of a rooftop unit: its speeds, the airflow it moves, what it draws and what heat it leaves."""

from __future__ import annotations

from dataclasses import dataclass

from ventwright.errors import Refusal, Refused
from ventwright.physics import fan
from ventwright.physics.air import AirState
from ventwright.physics.rooftop.air_path import STILL, AirPath, Flows
from ventwright.physics.rooftop.limit import above_zero, within
from ventwright.physics.rooftop.root import root


@dataclass(frozen=True, slots=True)
class SupplyFan:
    """A fan of one, two or more speeds, or of any speed down to a least one.

    Without a curve its airflow goes with its speed whatever stands in the way of the air, which no fan does when its
    dampers close; with a curve it finds its point. Airflows count at the density of the return air: the fan is taken
    to be as warm as that, which at worst is 4 % off in mass and nothing in the share of outdoor air.
    """

    airflow: float
    """At full speed, in an open path: the point that the duct's resistance is made to. [m3/s]"""
    fan_power: float
    """Electric, at full speed and that airflow. [W]"""
    speeds: tuple[float, ...] | None = (1.0,)
    """Shares of full speed that it has; None where any speed can be asked for. [-]"""
    least_speed: float = 0.2
    """Of a fan of any speed. [-]"""
    part_load: tuple[float, ...] = fan.CUBE
    """Coefficients of its power at part airflow, without a curve. [-]"""
    motor_efficiency: float = 0.88
    """Of motor and drive. [-]"""
    motor_in_air: bool = True
    """What the motor loses warms the air too."""
    before_coil: bool = False
    """Blows through the coil instead of drawing through it."""
    curve: fan.FanCurve | None = None
    duct_pressure: float = 0.0
    """Coil, filter and supply duct at full airflow: what the fan of a curve works against besides the plenums. [Pa]"""

    def __post_init__(self) -> None:
        """Refuse what no fan is."""
        above_zero("fan.airflow", self.airflow, "m3/s")
        within("fan.power", self.fan_power, 0.0, unit="W")
        within("fan.least_speed", self.least_speed, 0.01, 1.0)
        within("fan.motor_efficiency", self.motor_efficiency, 0.01, 1.0)
        within("fan.duct_pressure", self.duct_pressure, 0.0, unit="Pa")
        if self.speeds is not None:
            if not self.speeds:
                raise Refused(Refusal("has no speed", "one speed at least", "fan.speeds"))
            for speed in self.speeds:
                within("fan.speeds", speed, 0.01, 1.0)
        if self.curve is not None and self.duct_pressure <= 0.0:
            raise Refused(
                Refusal("is missing beside a fan curve", "the pressure at full airflow", "fan.duct_pressure")
            )

    def speed(self, wanted: float) -> float:
        """Share of full speed at which it runs when a share is wanted. [-]"""
        if self.speeds is None:
            return max(wanted, self.least_speed)
        return min(self.speeds, key=lambda one: (abs(one - wanted), -one))

    def flows(self, path: AirPath, indoor: AirState, speed: float) -> Flows:
        """Flows of dry air through the unit at a share of full speed. [kg/s]"""
        volume = indoor.specific_volume
        if self.curve is None:
            return path.flows(fan.airflow_at_speed(self.airflow, speed) / volume)
        curve = self.curve

        def left_over(airflow: float) -> float:
            found = path.flows(airflow / volume)
            between = found.space_pressure - found.mixing_plenum_pressure
            duct = self.duct_pressure * (airflow / self.airflow) ** 2
            return curve.rise(airflow, speed) - duct - between

        most = curve.free_airflow(speed)
        while left_over(most) > 0.0:  # a relief fan in a tight building helps it along
            most *= 2.0
        airflow = root(left_over, 0.0, most)
        return path.flows(airflow / volume) if airflow > 0.0 else STILL

    def power(self, flows: Flows, indoor: AirState, speed: float) -> float:
        """Electric power with these flows. [W]"""
        airflow = flows.supply * indoor.specific_volume
        if self.curve is None:
            return self.fan_power * fan.power_share(airflow / self.airflow, self.part_load)
        rise = self.curve.rise(airflow, speed)
        return fan.shaft_power(airflow, rise, self.curve.efficiency) / self.motor_efficiency

    def heat(self, fan_power: float) -> float:
        """Heat that the air takes up of an electric power: all the work that fan and ducts do on it, too. [W]"""
        return fan_power if self.motor_in_air else fan_power * self.motor_efficiency
