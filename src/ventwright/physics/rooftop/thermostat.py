"""A room thermostat: it calls for stages of cooling and heating, each with a swing of its own."""

from __future__ import annotations

from dataclasses import dataclass

from ventwright.errors import Refusal, Refused
from ventwright.physics.rooftop.calls import Calls


@dataclass(frozen=True, slots=True)
class Thermostat:
    """Temperatures at which a thermostat calls, occupied and not.

    Its values are common practice, no published source.
    """

    cooling: float = 23.9
    """Occupied cooling set point: 75 °F. [°C]"""
    heating: float = 21.1
    """Occupied heating set point: 70 °F. [°C]"""
    cooling_unoccupied: float = 29.4
    """[°C]"""
    heating_unoccupied: float = 15.6
    """[°C]"""
    between_stages: float = 0.8
    """Each further stage is called for so much beyond the one before. [K]"""
    swing: float = 0.6
    """Between calling and no longer calling. [K]"""
    stages: int = 2
    """Of cooling, and as many of heating."""
    fan_runs_on: bool = True
    """The fan runs through occupied hours, as ventilation needs; else it cycles with the calls."""

    def __post_init__(self) -> None:
        """Refuse a thermostat that would heat and cool by turns."""
        apart = self.swing + 1e-9
        for warm, cold, name in (
            (self.cooling, self.heating, "cooling"),
            (self.cooling_unoccupied, self.heating_unoccupied, "cooling_unoccupied"),
        ):
            if not warm - cold >= apart:
                given = f"{cold:g} and {warm:g} °C"
                accepted = "a cooling set point above the heating one by more than the swing"
                raise Refused(Refusal("are too near each other", accepted, f"thermostat.{name}", given))

    def calls(self, dry_bulb: float, before: Calls, *, occupied: bool) -> Calls:
        """Return the calls at a temperature [°C], given those before: each stage has its own swing."""
        warm = self.cooling if occupied else self.cooling_unoccupied
        cold = self.heating if occupied else self.heating_unoccupied
        cooling = self._stages(dry_bulb - warm, before.cooling_stages)
        heating = 0 if cooling else self._stages(cold - dry_bulb, before.heating_stages)
        return Calls(cooling, heating, occupied and self.fan_runs_on, occupied, before.need)

    def _stages(self, beyond: float, before: int) -> int:
        """Count the stages that are called for so far beyond a set point."""
        half = 0.5 * self.swing
        called = 0
        for stage in range(self.stages):
            at = stage * self.between_stages
            if beyond > at + (-half if before > stage else half):
                called = stage + 1
        return called
