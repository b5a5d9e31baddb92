"""One plain day of a unit in software, with a forgotten change and without: what parts the two."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from ventwright.physics.rooftop.calls import Calls
from ventwright.physics.rooftop.control_settings import ControlSettings
from ventwright.physics.rooftop.hardware import Unit
from ventwright.physics.rooftop.operating import Fault, Operating, operate
from ventwright.physics.rooftop.surroundings import Weather
from ventwright.tables.forgetting import Scene, scenes


@dataclass(frozen=True, slots=True)
class Way:
    """What a change does to the unit: to its settings as they were and as they are, by a fault, or to the calls."""

    was: ControlSettings
    now: ControlSettings
    faults: tuple[Fault, ...] = ()
    calls: Callable[[Calls], Calls] = lambda calls: calls


def called_by_hand(calls: Calls, name: str) -> Calls:
    """Return the calls with one made by hand."""
    stage = 2 if name.startswith("second") else 1
    if name.endswith("cooling"):
        return replace(calls, cooling_stages=max(calls.cooling_stages, stage))
    if name.endswith("heating"):
        return replace(calls, heating_stages=max(calls.heating_stages, stage))
    return replace(calls, fan=True) if name == "fan" else replace(calls, fan=True, occupied=True)


@dataclass(frozen=True, slots=True)
class Day:
    """One variant of the unit on one day, with the change and without."""

    without: Operating
    having: Operating
    freezes_below: float
    by_hand: bool

    @property
    def outdoor_air(self) -> float:
        """Outdoor airflow more than without the change. [m3/s]"""
        return self.having.state.outdoor.airflow - self.without.state.outdoor.airflow

    @property
    def share(self) -> float:
        """The same as a share of the supply. [-]"""
        supply = max(one.state.supply.airflow for one in (self.without, self.having))
        return self.outdoor_air / supply if supply > 0.0 else 0.0

    @property
    def load(self) -> float:
        """Heat moved more: by the machines where a call is made by hand, else what the air brings. [W]"""
        one, other = self.without.state, self.having.state
        if self.by_hand:
            return other.cooling_load - one.cooling_load + other.heating_load - one.heating_load
        warmer = other.mixed.dry_air * (other.mixed.enthalpy - one.mixed.enthalpy)
        return -warmer if other.heating_stages else warmer

    @property
    def coldest(self) -> float:
        """Coldest layer of the mixed air, with the change. [°C]"""
        return _coldest(self.having)

    @property
    def freezes(self) -> bool:
        """Whether the change is what brings the mixed air down to where a coil freezes."""
        without = _coldest(self.without) - scenes().least_mixed_air
        return self.coldest < self.freezes_below and self.coldest < without


def one_day(scene: Scene, way: Way, unit: Unit, pressure: float) -> Day:
    """Run one variant of the unit on one day, with a change and without; the pressure is the site's. [Pa]"""
    indoor, weather = scenes().indoor, Weather(scene.dry_bulb, scene.relative_humidity, pressure)
    calls = way.calls(scene.calls)
    return Day(
        operate(unit, way.was, weather, indoor, scene.calls),
        operate(unit, way.now, weather, indoor, calls, way.faults),
        way.was.freeze.first_below,
        calls != scene.calls,
    )


def _coldest(at: Operating) -> float:
    """Coldest layer of the mixed air. [°C]"""
    return min((lane.dry_bulb for lane in at.state.mixed_lanes), default=at.state.mixed.dry_bulb)
