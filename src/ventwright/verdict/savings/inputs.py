"""What a year is reckoned with: every input as its middle and its uncertainty, given or assumed, and the unit they make."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from ventwright.facts import Facts
from ventwright.facts.running import Running
from ventwright.physics.moist_air import humidity_ratio, specific_volume
from ventwright.physics.saturation import saturation_pressure
from ventwright.physics.year.way import SensorErrors
from ventwright.physics.year.year_unit import YearUnit
from ventwright.plan import Plan
from ventwright.plan.basis import TON
from ventwright.quantity import (
    AIRFLOW,
    ENTHALPY_DIFFERENCE,
    FRACTION,
    HUMIDITY_RATIO,
    TEMPERATURE,
    TEMPERATURE_DIFFERENCE,
    Quantity,
)
from ventwright.readings import Readings
from ventwright.tables import prior, savings_prior
from ventwright.tables.kit import Fan, Term
from ventwright.verdict.savings.balance_point_of_job import balance_point
from ventwright.verdict.savings.damper_shares import DamperShares, damper_shares
from ventwright.verdict.savings.known_input import Input
from ventwright.verdict.savings.year_settings import YearSettings

WATT_OF_BTU_H = 0.29307107
"""W for 1 Btu/h."""

Values = Mapping[str, float]


@dataclass(frozen=True, slots=True)
class YearInputs:
    """Everything a year is reckoned with. ``unit`` and ``errors`` make of values, drawn or in the middle, what physics takes."""

    inputs: tuple[Input, ...]
    plan: Plan
    running: Running
    shares: DamperShares
    design_dry_bulb: float
    """[°C]"""
    required: float
    """Outdoor air below which an hour is short of it. [m3/s]"""
    powered_relief: bool = False
    """A fan relieves the building, and takes power."""

    @property
    def middle(self) -> dict[str, float]:
        """Every input at its middle."""
        return {one.name: one.middle for one in self.inputs}

    def errors(self, values: Values) -> SensorErrors:
        """What the sensors show amiss."""
        return SensorErrors(
            values["outdoor_sensor"],
            values["return_sensor"],
            values["dew_point_sensor"],
            values["outdoor_enthalpy"],
            values["return_enthalpy"],
        )

    def unit(self, values: Values, settings: YearSettings) -> YearUnit:
        """The unit with values for its inputs, and its minimum position and set points as set."""
        basis, pressure = self.plan.basis, self.plan.basis.pressure
        full = basis.speeds[0].supply_air * values["supply"]
        slow = basis.speeds[-1].supply_air / basis.speeds[0].supply_air
        capacity = basis.cooling_capacity or _guessed_capacity(self.plan)
        returned, balance = values["return_air"], values["balance_point"]
        volume = specific_volume(returned, 0.0, pressure)
        fan = _fan_power(self.running, full)
        small = savings_prior.plain("fan", "exponent")
        spare = max(self.design_dry_bulb - balance, 5.0)
        set_point = settings.of(Term.MIXED_AIR_SET_POINT)
        usual = prior.usual("mixed_air_set_point", TEMPERATURE).value
        return YearUnit(
            dry_air=full / volume,
            slow=slow,
            least_share=self._least(settings, values, "fastest"),
            least_share_slow=self._least(settings, values, "slowest"),
            most_share=_bounded(self.shares.most + values["most_share"]),
            return_air=returned,
            mixed_set_point=min(usual if set_point is None else set_point, returned - 1.0),
            balance_point=balance,
            load_slope=max(values["load"], 0.05) * capacity / spare,
            fan_power=fan,
            fan_power_slow=fan * slow**small,
            relief_power=_relief_power(self.running, fan) if self.powered_relief else 0.0,
            relief_start=_relief_start(settings, self.shares),
            capacity=capacity,
            stages=basis.cooling_stages or 1,
            efficiency=max(values["efficiency"], 0.5),
            efficiency_slope=values["efficiency_slope"],
            capacity_slope=savings_prior.assumed("capacity_slope").value,
            cycling_loss=min(max(values["cycling_loss"], 0.0), 0.5),
            coil_surface=values["coil_surface"],
            pressure=pressure,
            water_gain=max(values["water_gain"], 0.0),
            most_water=_most_water(returned, pressure),
            heating_efficiency=_heating_efficiency(self.running, basis.heating),
            required=self.required * values["supply"] / volume,
        )

    def _least(self, settings: YearSettings, values: Values, fan: Fan) -> float:
        """Share of outdoor air at the minimum, as the damper's curve has it at the signal that is set."""
        share = self.shares.at(settings.of(Term.MINIMUM_DAMPER_SIGNAL, fan), fan)
        return _bounded(share.middle + values["least_share"])


def _bounded(share: float) -> float:
    return min(1.0, max(0.0, share))


def _guessed_capacity(plan: Plan) -> float:
    return plan.basis.speeds[0].supply_air / prior.usual("air_per_ton", AIRFLOW).value * TON


def _fan_power(running: Running, full: float) -> float:
    if running.fan_power is not None:
        return running.fan_power.value
    per_flow: float = savings_prior.plain("fan", "watt_per_m3_s")
    return per_flow * full


def _relief_power(running: Running, fan: float) -> float:
    if running.relief_power is not None:
        return running.relief_power.value
    return fan * savings_prior.quantity("relief", "value", FRACTION)


def _relief_start(settings: YearSettings, shares: DamperShares) -> float:
    """Share of outdoor air at which relief starts, from the damper opening that is set."""
    opening = settings.of(Term.RELIEF_START)
    return 1.0 if opening is None else shares.at(opening, "fastest").middle


def _most_water(returned: float, pressure: float) -> float:
    humidity = savings_prior.quantity("most_humidity", "value", FRACTION)
    return humidity_ratio(humidity * saturation_pressure(returned), pressure)


def _heating_efficiency(running: Running, heating: str | None) -> float:
    if running.heating_efficiency is not None:
        return running.heating_efficiency.value
    name = {"electric": "electric", "heat pump": "heat_pump"}.get(heating or "", "gas")
    number: float = savings_prior.plain("heating_efficiency", name)
    return number


def known_of(facts: Facts, plan: Plan, readings: Readings, design_dry_bulb: float) -> YearInputs:
    """Put together what a year is reckoned with.

    Parameters
    ----------
    facts, plan, readings
        Of the job.
    design_dry_bulb
        Outdoor air of the hottest day that counts. [°C]
    """
    running = facts.running or Running()
    shares = damper_shares(facts, plan, readings)
    load, returned = _load(running, plan), _return_air(facts)
    watts = plan.basis.cooling_capacity or _guessed_capacity(plan)
    inputs = (
        balance_point(
            running,
            plan,
            (load.middle * watts, load.uncertainty * watts),
            design_dry_bulb,
            returned.middle,
            _fan_power(running, plan.basis.speeds[0].supply_air),
        ),
        load,
        *_of_dampers(shares),
        returned,
        *_of_machine(running),
        *_of_sensors(running),
    )
    need = plan.ventilation.required * (1.0 - plan.ventilation.tolerance)
    powered = facts.unit.relief == "powered" or running.relief_power is not None
    return YearInputs(inputs, plan, running, shares, design_dry_bulb, need, powered)


def _load(running: Running, plan: Plan) -> Input:
    guess = savings_prior.assumed("load")
    given: Quantity | None = running.load_at_design
    if given is None:
        return Input("load", guess.words, guess.value, guess.uncertainty, False, guess.source)
    capacity = plan.basis.cooling_capacity or _guessed_capacity(plan)
    relative = savings_prior.assumed("load_given").uncertainty
    u = given.value * relative if given.uncertainty is None else given.uncertainty
    return Input("load", guess.words, given.value / capacity, u / capacity, True, "given")


def _of_dampers(shares: DamperShares) -> tuple[Input, ...]:
    supply = savings_prior.assumed("supply")
    least, most = savings_prior.assumed("least_share"), savings_prior.assumed("most_share")
    read = shares.least_read
    return (
        Input("supply", supply.words, 1.0, shares.supply_u, shares.supply_read, supply.source),
        Input("least_share", least.words, 0.0, shares.least_u, read, "readings" if read else least.source),
        Input("most_share", most.words, 0.0, shares.most_u, shares.most_read,
              "readings" if shares.most_read else most.source),
    )  # fmt: skip


def _return_air(facts: Facts) -> Input:
    guess = savings_prior.assumed("return_air", TEMPERATURE_DIFFERENCE)
    given = facts.weather.return_air if facts.weather else None
    middle = prior.usual("return_air", TEMPERATURE).value if given is None else given.value
    return Input("return_air", guess.words, middle, guess.uncertainty, given is not None, guess.source)


def _of_machine(running: Running) -> tuple[Input, ...]:
    rated = savings_prior.assumed("efficiency")
    eer = running.eer
    middle = rated.value if eer is None else eer * WATT_OF_BTU_H
    u = rated.value * rated.uncertainty if eer is None else 0.5 * middle * rated.uncertainty
    surface = savings_prior.assumed("coil_surface", TEMPERATURE, TEMPERATURE_DIFFERENCE)
    rows = {name: savings_prior.assumed(name) for name in ("efficiency_slope", "cycling_loss")}
    water = savings_prior.assumed("water_gain", HUMIDITY_RATIO)
    return (
        Input("efficiency", rated.words, middle, u, eer is not None, rated.source),
        *(
            Input(name, one.words, one.value, one.uncertainty, False, one.source)
            for name, one in rows.items()
        ),
        Input("coil_surface", surface.words, surface.value, surface.uncertainty, False, surface.source),
        Input("water_gain", water.words, water.value, water.uncertainty, False, water.source),
    )


def _of_sensors(running: Running) -> tuple[Input, ...]:
    """Errors of the sensors that decide on free cooling: 0 in the middle."""
    source, words = savings_prior.source_of("sensors"), savings_prior.plain("sensors", "words")
    known = running.sensor_accuracy
    dry = 0.5 * (
        savings_prior.quantity("sensors", "dry_bulb", TEMPERATURE_DIFFERENCE)
        if known is None
        else known.value
    )
    dew = 0.5 * savings_prior.quantity("sensors", "dew_point", TEMPERATURE_DIFFERENCE)
    heat = 0.5 * savings_prior.quantity("sensors", "enthalpy", ENTHALPY_DIFFERENCE)
    given = known is not None
    errors = {
        "outdoor_sensor": (f"outdoor {words}", dry, given),
        "return_sensor": (f"return {words}", dry, given),
        "dew_point_sensor": (f"dew-point {words}", dew, False),
        "outdoor_enthalpy": (f"outdoor enthalpy {words}", heat, False),
        "return_enthalpy": (f"return enthalpy {words}", heat, False),
    }
    return tuple(
        Input(name, said, 0.0, u, told, "given" if told else source)
        for name, (said, u, told) in errors.items()
    )
