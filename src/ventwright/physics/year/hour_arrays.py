"""Hours as arrays: the formulas of ``one_hour`` for all hours of a unit at once, with the array library handed in.

It is handed the module that knows arrays, as ``saturation`` is handed a logarithm, so that this file needs no NumPy.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, NamedTuple

from ventwright.physics import moist_air, saturation
from ventwright.physics.moist_air import HEAT_CAPACITY_OF_DRY_AIR, HEAT_CAPACITY_OF_VAPOUR
from ventwright.physics.rooftop.coil import RATED_OUTDOOR
from ventwright.physics.year.way import SensorErrors, Switch
from ventwright.physics.year.year_unit import (
    COLDEST_CONDENSER,
    COLDEST_SURFACE,
    LEAST_DEPRESSION,
    LEAST_FACTOR,
    YearUnit,
)

Array = Any
"""An array of one value for each hour: typed so, since a reader without NumPy has to be able to import this."""


@dataclass(frozen=True, slots=True)
class Columns:
    """Hours as arrays, in the order of ``Hours``."""

    dry_bulb: Array
    humidity_ratio: Array
    enthalpy: Array
    dew_point: Array
    lasts: Array

    def where(self, mask: Array) -> Columns:
        """Keep some of the hours."""
        return Columns(*(getattr(self, name)[mask] for name in Columns.__slots__))


class AirColumns(NamedTuple):
    """As ``one_hour.OnCoil``."""

    flow: Array
    dry_bulb: Array
    humidity_ratio: Array
    enthalpy: Array
    load: Array

    def where(self, mask: Array) -> AirColumns:
        """Keep some of the hours; the airflow is the same in all."""
        return AirColumns(self.flow, *(column[mask] for column in self[1:]))


class _Mode(NamedTuple):
    """As ``one_hour.Mode``."""

    load: Array
    most: Array
    wet: Array


class _Drawn(NamedTuple):
    """As ``one_hour.Drawn``, but for the heat."""

    power: Array
    full: Array
    short: Array


class ChoiceColumns(NamedTuple):
    """As ``one_year.HourRun``, with the power of the fans and whether there is too little outdoor air."""

    power: Array
    short: Array
    fans: Array
    """Supply fan. [W]"""
    relief: Array
    short_of_air: Array
    called: Array
    needed: Array


class _Stage(NamedTuple):
    """Capacity and power of one stage in every hour. [W]"""

    capacity: Array
    power: Array


@dataclass(frozen=True, slots=True)
class HourArrays:
    """One unit in some hours."""

    np: Any
    """The library of arrays."""
    unit: YearUnit
    hours: Columns

    def on_coil(self, share: Array, *, slow: bool) -> AirColumns:
        """As ``one_hour.on_coil``."""
        unit, hours = self.unit, self.hours
        flow, fan = (
            (unit.dry_air * unit.slow, unit.fan_power_slow) if slow else (unit.dry_air, unit.fan_power)
        )
        returned = self.np.minimum(hours.humidity_ratio + unit.water_gain, unit.most_water)
        water = returned + share * (hours.humidity_ratio - returned)
        return_heat = moist_air.enthalpy(unit.return_air, returned)
        heat = return_heat + share * (hours.enthalpy - return_heat)
        dry_bulb = moist_air.dry_bulb_of_enthalpy(heat, water)
        capacity = HEAT_CAPACITY_OF_DRY_AIR + HEAT_CAPACITY_OF_VAPOUR * water
        of_space = unit.load_slope * (hours.dry_bulb - unit.balance_point)
        load = of_space + fan + flow * capacity * (dry_bulb - unit.return_air)
        return AirColumns(flow, dry_bulb, water, heat, load)

    def _factor(self, slope: float) -> Array:
        outdoor = self.np.maximum(self.hours.dry_bulb, COLDEST_CONDENSER)
        return self.np.maximum(LEAST_FACTOR, 1.0 + slope * (RATED_OUTDOOR - outdoor))

    def stage(self) -> _Stage:
        """Capacity and power of one stage."""
        unit = self.unit
        capacity = unit.capacity * self._factor(unit.capacity_slope) / unit.stages
        return _Stage(capacity, capacity / (unit.efficiency * self._factor(unit.efficiency_slope)))

    def _mode(self, air: AirColumns) -> _Mode:
        """As ``one_hour.mode_of``."""
        np, unit = self.np, self.unit
        surface = np.maximum(COLDEST_SURFACE, np.minimum(unit.coil_surface, air.dry_bulb - LEAST_DEPRESSION))
        above = np.maximum(air.dry_bulb - surface, 0.0)
        per_kelvin = (HEAT_CAPACITY_OF_DRY_AIR + HEAT_CAPACITY_OF_VAPOUR * air.humidity_ratio) * above
        vapour = np.exp(saturation.ln_pressure_over_liquid(surface + saturation.ZERO_CELSIUS, np.log))
        held = moist_air.humidity_ratio(vapour, unit.pressure)
        of_surface = moist_air.enthalpy(surface, held)
        wet = (air.humidity_ratio > held) & (above > 0.0)
        factor = np.divide(air.enthalpy - of_surface, per_kelvin, out=np.ones_like(above), where=wet)
        return _Mode(air.load, air.flow * per_kelvin, factor)

    def _cycled(self, part: Array) -> Array:
        return part / (1.0 - self.unit.cycling_loss * (1.0 - part))

    def _at_one_speed(self, mode: _Mode, stage: _Stage, full: float) -> _Drawn:
        """As ``one_hour.at_one_speed``."""
        np, most = self.np, self.unit.stages
        wanted = np.minimum(np.maximum(mode.load, 0.0), mode.most) * mode.wet / stage.capacity
        stages = np.minimum(wanted, most)
        whole = np.floor(stages)
        short = (mode.load > 0.0) & ((mode.load > mode.most) | (wanted > most))
        runs = whole + self._cycled(stages - whole)
        return _Drawn(stage.power * runs, full, short)

    def _at_two_speeds(self, slow: _Mode, full: _Mode, stage: _Stage, stages: tuple[int, int]) -> _Drawn:
        """As ``one_hour.at_two_speeds``."""
        np = self.np
        first, then = stages
        taken = np.minimum(first * stage.capacity / slow.wet, slow.most)
        at_full = np.minimum(then * stage.capacity / full.wet, full.most)
        lacking, spare = slow.load - taken, at_full - full.load
        between = (lacking > 0.0) & (spare > 0.0)
        part = np.divide(lacking, lacking + spare, out=np.ones_like(lacking), where=between)
        few, many = taken * slow.wet / stage.capacity, at_full * full.wet / stage.capacity
        stages_on = (1.0 - part) * few + part * many
        lost = np.maximum(many - few, 0.0) * (self._cycled(part) - part)
        power = stage.power * (stages_on + lost)
        mixed = _Drawn(power, part, np.zeros(part.shape, dtype=bool))
        slowly, fully = self._at_one_speed(slow, stage, 0.0), self._at_one_speed(full, stage, 1.0)
        return self._either(between, mixed, self._either(lacking <= 0.0, slowly, fully))

    def _either(self, mask: Array, one: _Drawn, other: _Drawn) -> _Drawn:
        """Take hours from one where the mask says so, else from the other."""
        return _Drawn(*(self.np.where(mask, a, b) for a, b in zip(one, other, strict=True)))

    def choice(
        self, shares: tuple[Array, Array], stages: tuple[int, int], stage: _Stage, slow_air: AirColumns
    ) -> ChoiceColumns:
        """As ``one_year`` runs hours with these shares of outdoor air, of which the slow one is mixed already."""
        unit, slow = self.unit, self._mode(slow_air)
        called = needed = slow.load > 0.0
        if unit.slow == 1.0:
            drawn = self._at_one_speed(slow, stage, 0.0)
        else:
            full = self._mode(self.on_coil(shares[1], slow=False))
            drawn = self._at_two_speeds(slow, full, stage, stages)
            needed = called & (full.load > 0.0)
        part = drawn.full
        fans = unit.fan_power_slow + part * (unit.fan_power - unit.fan_power_slow)
        relieved = (1.0 - part) * (shares[0] >= unit.relief_start) + part * (shares[1] >= unit.relief_start)
        brought = unit.dry_air * ((1.0 - part) * unit.slow * shares[0] + part * shares[1])
        return ChoiceColumns(
            drawn.power, drawn.short, fans, unit.relief_power * relieved, brought < unit.required, called, needed
        )  # fmt: skip

    def free_share(self, least: float) -> Array:
        """As ``one_hour.free_cooling_share``."""
        np, unit, outdoor = self.np, self.unit, self.hours.dry_bulb
        warm = outdoor >= unit.mixed_set_point
        gap = np.where(warm, 1.0, unit.return_air - outdoor)
        wanted = np.where(warm, unit.most_share, (unit.return_air - unit.mixed_set_point) / gap)
        return np.maximum(least, np.minimum(unit.most_share, wanted))

    def fit(self, switch: Switch, errors: SensorErrors) -> Array:
        """As ``way.fit``."""
        np, unit, hours = self.np, self.unit, self.hours
        dry_bulb = hours.dry_bulb + errors.outdoor_error
        enthalpy = hours.enthalpy + errors.outdoor_enthalpy_error
        found = np.ones(hours.dry_bulb.shape, dtype=bool)
        if switch.dry_bulb_limit is not None:
            found &= dry_bulb <= switch.dry_bulb_limit
        if switch.enthalpy_limit is not None:
            found &= enthalpy <= switch.enthalpy_limit
        if switch.dew_point_limit is not None:
            found &= hours.dew_point + errors.dew_point_error <= switch.dew_point_limit
        if switch.return_gap is not None:
            found &= dry_bulb <= unit.return_air + errors.return_error - switch.return_gap
        if switch.return_enthalpy:
            returned = np.minimum(hours.humidity_ratio + unit.water_gain, unit.most_water)
            return_heat = moist_air.enthalpy(unit.return_air, returned)
            found &= enthalpy <= return_heat + errors.return_enthalpy_error
        return found
