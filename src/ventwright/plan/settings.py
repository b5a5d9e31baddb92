"""Every setting of the kit: the value to set, why, where it comes from, and whether the values bear one another."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from pydantic import Field

from ventwright.entry import Entry, Written
from ventwright.plan.basis import Basis
from ventwright.plan.demand_control import DemandControlPlan
from ventwright.plan.high_limit import HighLimitPlan
from ventwright.plan.speeds import SpeedPlan
from ventwright.quantity import AIRFLOW, FRACTION, TEMPERATURE, TEMPERATURE_DIFFERENCE
from ventwright.quantity.dimension import VALVE_SENSE
from ventwright.tables import prior
from ventwright.tables.kit import Fan, Kit, KitSetting, Term
from ventwright.words import Amount, Words, words


class Choice(Entry):
    """A value that the person chose instead of the plan's, and why."""

    label: str = Field(description="the kit's label of the setting")
    value: Written = Field(description="the value chosen, with its unit")
    reason: str = Field(min_length=3, description="why, in a few words")


@dataclass(frozen=True, slots=True)
class Setting:
    """One setting as it is to be left."""

    label: str
    means: Term
    fan: Fan | None
    value: Amount
    least: Amount
    most: Amount
    reason: Words
    source: str
    guess: bool
    chosen: bool
    in_range: bool

    @property
    def si(self) -> float:
        """The value in SI. [°C, K or -]"""
        return self.value.value


@dataclass(frozen=True, slots=True)
class _Wish:
    """What a setting should be, before the kit's range and steps are looked at."""

    value: float
    reason: Words
    source: str
    guess: bool = False


def settings(
    kit: Kit,
    basis: Basis,
    speeds: Sequence[SpeedPlan],
    limit: HighLimitPlan,
    choices: Sequence[Choice],
    demand: DemandControlPlan | None = None,
) -> tuple[Setting, ...]:
    """Decide every setting of the kit; ``demand`` is for one with demand control.

    Raises
    ------
    Refused
        A choice names no setting of this kit, or a value that the kit cannot be set to.
    """
    chosen = {kit.setting(choice.label).label: choice for choice in choices}
    return tuple(
        _decide(setting, _wish(setting, basis, speeds, limit, demand), chosen.get(setting.label))
        for setting in kit.settings
    )


def _decide(setting: KitSetting, wish: _Wish, choice: Choice | None) -> Setting:
    value, reason, source, guess = _on_a_step(wish.value, setting), wish.reason, wish.source, wish.guess
    if choice is not None:
        value = setting.read(choice.value).value
        reason = words("chosen: {why}; the plan would be {planned}", why=Words(choice.reason),
                       planned=Amount(_on_a_step(wish.value, setting), setting.dimension))  # fmt: skip
        source, guess = "chosen by the person", False
    return Setting(
        setting.label, setting.means, setting.fan,
        Amount(value, setting.dimension), Amount(setting.least.value, setting.dimension),
        Amount(setting.most.value, setting.dimension), reason, source, guess, choice is not None,
        setting.least.value - 1e-9 <= value <= setting.most.value + 1e-9,
    )  # fmt: skip


def _on_a_step(value: float, setting: KitSetting) -> float:
    """Round a value to the kit's steps: lockout and differential only up, limits only down, lest unit or code be passed."""
    if setting.step is None:
        return value
    steps = (value - setting.least.value) / setting.step
    if setting.means in {Term.COMPRESSOR_LOCKOUT, Term.RETURN_DIFFERENTIAL}:
        whole = math.ceil(steps - 1e-6)
    elif setting.means in {Term.ENTHALPY_HIGH_LIMIT, Term.DRY_BULB_HIGH_LIMIT, Term.CARBON_DIOXIDE_SET_POINT}:
        whole = math.floor(steps + 1e-6)
    else:
        whole = round(steps)
    return setting.least.value + whole * setting.step


def _wish(
    setting: KitSetting,
    basis: Basis,
    speeds: Sequence[SpeedPlan],
    limit: HighLimitPlan,
    demand: DemandControlPlan | None,
) -> _Wish:
    """What one setting should be."""
    match setting.means:
        case Term.MINIMUM_DAMPER_SIGNAL:
            return _minimum_signal(setting, speeds)
        case Term.LOW_OCCUPANCY_DAMPER_SIGNAL:
            return _low_occupancy_signal(setting, speeds, demand)
        case Term.CARBON_DIOXIDE_SET_POINT:
            return _carbon_dioxide(setting, demand)
        case Term.COMPRESSOR_LOCKOUT:
            return compressor_lockout(basis)
        case Term.REVERSING_VALVE:
            return _reversing_valve(setting, basis)
        case Term.DRY_BULB_HIGH_LIMIT | Term.ENTHALPY_HIGH_LIMIT | Term.RETURN_DIFFERENTIAL:
            return _high_limit(setting, limit)
        case _:
            return _common_practice(setting)


def _common_practice(setting: KitSetting) -> _Wish:
    """What is usual, where neither code nor unit decides."""
    if setting.means is Term.HIGH_LIMIT_DIFFERENTIAL:
        usual = prior.usual("high_limit_differential", TEMPERATURE_DIFFERENCE)
        reason = "wide enough that the damper does not chatter at the limit"
        return _Wish(max(usual.value, setting.least.value), Words(reason), usual.source)
    if setting.means is Term.MIXED_AIR_SET_POINT:
        usual = prior.usual("mixed_air_set_point", TEMPERATURE)
        reason = "cold enough to cool, warm enough not to draw complaints or trip freeze protection"
        return _usual(setting, usual, reason)
    if setting.means is Term.MIXED_AIR_LOW_LIMIT:
        usual = prior.usual("mixed_air_low_limit", TEMPERATURE)
        reason = (
            "closes the damper to its minimum before the coil, the heat exchanger or the people get too cold"
        )
        return _Wish(usual.value, Words(reason), usual.source)
    usual = prior.usual("relief_start", FRACTION)
    return _usual(setting, usual, "above the minimum opening, before the building is blown up", guess=True)


def _usual(setting: KitSetting, usual: prior.Usual, reason: str, *, guess: bool = False) -> _Wish:
    """Keep the kit's default where it lies in the usual range, else take the usual value."""
    in_use = usual.low - 1e-9 <= setting.default.value <= usual.high + 1e-9
    return _Wish(setting.default.value if in_use else usual.value, Words(reason), usual.source, guess)


def _minimum_signal(setting: KitSetting, speeds: Sequence[SpeedPlan]) -> _Wish:
    speed = _speed_of(setting, speeds)
    if speed.first_signal is None:
        return _Wish(
            1.0,
            words(
                "{name} speed cannot bring in the air required; see the fan speeds", name=Words(speed.name)
            ),
            "fan speeds of this plan",
            guess=True,
        )
    one_for_all = setting.fan is None and len(speeds) > 1
    reason = words(
        "first guess for {share} outdoor air at {name} speed, expected between {low} and {high}: start reading here"
        + ("; one opening has to do for every fan speed, so the slowest decides" if one_for_all else ""),
        share=Amount(speed.target_outdoor_air_fraction, FRACTION), name=Words(speed.name),
        low=Amount(speed.first_signal_low or 0.0, FRACTION), high=Amount(speed.first_signal_high or 1.0, FRACTION),
    )  # fmt: skip
    return _Wish(speed.first_signal, reason, "damper model with coefficients of ASHRAE 825-RP", guess=True)


def _speed_of(setting: KitSetting, speeds: Sequence[SpeedPlan]) -> SpeedPlan:
    """Return the fan speed that decides a setting: its own, or the slowest where one setting serves them all."""
    return speeds[0] if setting.fan == "fastest" else speeds[-1]


def _low_occupancy_signal(
    setting: KitSetting, speeds: Sequence[SpeedPlan], demand: DemandControlPlan | None
) -> _Wish:
    """The floor's own share of the outdoor air; where no space follows its people, the same as at design occupancy."""
    speed = _speed_of(setting, speeds)
    planned = next((one for one in demand.speeds if one.name == speed.name), None) if demand else None
    if planned is None or planned.low_signal is None or demand is None:
        design = _minimum_signal(setting, speeds)
        reason = words(
            "no space here follows its people, so as at design occupancy: {why}", why=design.reason
        )
        return _Wish(design.value, reason, design.source, guess=True)
    reason = words(
        "first guess for the {flow} that the floor takes with nobody there, {share} outdoor air at {name} speed: start reading here",
        flow=Amount(demand.low_outdoor_air, AIRFLOW), share=Amount(planned.low_outdoor_air_fraction, FRACTION), name=Words(speed.name),
    )  # fmt: skip
    return _Wish(
        planned.low_signal, reason, "floor rates of the ventilation standard; damper model", guess=True
    )


def _carbon_dioxide(setting: KitSetting, demand: DemandControlPlan | None) -> _Wish:
    """The lowest set point of the spaces, since one damper serves them all."""
    if demand is None or not demand.spaces:
        reason = "no space here follows its people: leave demand control off, and this as the kit comes"
        return _Wish(setting.default.value, Words(reason), "the kit's default", guess=True)
    space = min(demand.spaces, key=lambda one: one.carbon_dioxide_set_point)
    return _Wish(
        space.carbon_dioxide_set_point,
        words("for {space}: {why}", space=Words(space.name), why=space.reason),
        "; ".join(demand.sources),
    )


def _enthalpy_limit(setting: KitSetting, limit: HighLimitPlan) -> _Wish:
    if limit.enthalpy is None:
        reason = words("{why}; no enthalpy limit is known for it: as the kit comes", why=limit.reason)
        return _Wish(setting.default.value, reason, limit.source_text or "the kit's default", guess=True)
    reason = words(
        "outdoor air with more heat in it no longer helps: {limit} at this height",
        limit=Amount(limit.enthalpy, setting.dimension),
    )
    return _Wish(limit.enthalpy, reason, limit.source_text)


def _return_differential(setting: KitSetting, limit: HighLimitPlan) -> _Wish:
    """The code lets outdoor air help while it is cooler than return air; the sensors need a little more than nothing."""
    usual = prior.usual("high_limit_differential", TEMPERATURE_DIFFERENCE)
    least = max(usual.value, setting.least.value)
    if limit.below_return >= least - 1e-9:
        return _Wish(limit.below_return, limit.reason, limit.source_text)
    reason = words(
        "{why}; the smallest gap at which the damper does not chatter, since every degree more gives hours of free cooling away",
        why=limit.reason,
    )
    return _Wish(least, reason, usual.source)


def _reversing_valve(setting: KitSetting, basis: Basis) -> _Wish:
    """Wrong, heating looks like cooling to the kit, and the damper opens in winter."""
    if basis.reversing_valve is not None:
        value = float(VALVE_SENSE.words.index(basis.reversing_valve))
        reason = "as the unit's valve is; the wrong way round the damper opens in winter"
        return _Wish(value, Words(reason), "facts or data sheet of the unit")
    if basis.heating not in {None, "heat pump"}:
        return _Wish(
            setting.default.value,
            Words("the unit is no heat pump, so it makes no difference"),
            "heating of the unit",
        )
    reason = "not known yet: read the board's label or watch the valve on a cooling call, then choose; the wrong way round the damper opens in winter"
    return _Wish(setting.default.value, Words(reason), "the kit's default", guess=True)


def _high_limit(setting: KitSetting, limit: HighLimitPlan) -> _Wish:
    if setting.means is Term.ENTHALPY_HIGH_LIMIT:
        return _enthalpy_limit(setting, limit)
    if setting.means is Term.RETURN_DIFFERENTIAL:
        return _return_differential(setting, limit)
    if limit.dry_bulb is None:
        return _Wish(setting.default.value, limit.reason, limit.source_text, guess=True)
    return _Wish(limit.dry_bulb, limit.reason, limit.source_text)


def compressor_lockout(basis: Basis) -> _Wish:
    """Outdoor temperature below which mechanical cooling stays off; it must never stop heating."""
    only_cooling = "acts on cooling only, never on heating"
    if basis.lowest_cooling_ambient is not None:
        return _Wish(
            basis.lowest_cooling_ambient,
            Words(f"the unit's own lowest ambient for cooling; {only_cooling}"),
            "nameplate or data sheet of the unit",
        )
    if basis.low_ambient_control == "fitted":
        usual = prior.usual("lockout_with_low_ambient_control", TEMPERATURE)
        reason = f"near freezing, as low-ambient control is fitted; read the nameplate; {only_cooling}"
    else:
        usual = prior.usual("lockout_without_low_ambient_control", TEMPERATURE)
        reason = f"no low-ambient control is known of, so the careful end of what is usual; read the nameplate; {only_cooling}"
    return _Wish(usual.value, Words(reason), usual.source, guess=True)
