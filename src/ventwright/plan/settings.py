"""Every setting of the kit: the value to set, why, where it comes from, and whether the values bear one another."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from pydantic import Field

from ventwright.entry import Entry
from ventwright.plan.basis import Basis
from ventwright.plan.high_limit import HighLimitPlan
from ventwright.plan.speeds import SpeedPlan
from ventwright.quantity import FRACTION, TEMPERATURE, TEMPERATURE_DIFFERENCE, Dimension
from ventwright.tables import prior
from ventwright.tables.kit import Fan, Kit, KitSetting, Term
from ventwright.words import Amount, Words, words


class Choice(Entry):
    """A value that the person chose instead of the plan's, and why."""

    label: str = Field(description="the kit's label of the setting")
    value: str = Field(description="the value chosen, with its unit")
    reason: str = Field(min_length=3, description="why")


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
    kit: Kit, basis: Basis, speeds: Sequence[SpeedPlan], limit: HighLimitPlan, choices: Sequence[Choice]
) -> tuple[Setting, ...]:
    """Decide every setting of the kit.

    Raises
    ------
    Refused
        A choice names no setting of this kit, or a value that the kit cannot be set to.
    """
    chosen = {kit.setting(choice.label).label: choice for choice in choices}
    return tuple(
        _decide(setting, basis, speeds, limit, chosen.get(setting.label)) for setting in kit.settings
    )


def _decide(
    setting: KitSetting,
    basis: Basis,
    speeds: Sequence[SpeedPlan],
    limit: HighLimitPlan,
    choice: Choice | None,
) -> Setting:
    wish = _wish(setting, basis, speeds, limit)
    value, reason, source, guess = _on_a_step(wish.value, setting), wish.reason, wish.source, wish.guess
    if choice is not None:
        value = setting.read(choice.value).value
        reason = words("chosen: {why}; the plan would be {planned}", why=Words(choice.reason),
                       planned=Amount(_on_a_step(wish.value, setting), setting.dimension))  # fmt: skip
        source, guess = "chosen by the person", False
    return Setting(
        setting.label, setting.means, setting.fan,
        _amount(value, setting.dimension), _amount(setting.least.value, setting.dimension),
        _amount(setting.most.value, setting.dimension), reason, source, guess, choice is not None,
        setting.least.value - 1e-9 <= value <= setting.most.value + 1e-9,
    )  # fmt: skip


def _amount(value: float, dimension: Dimension) -> Amount:
    return Amount(value, dimension)


def _on_a_step(value: float, setting: KitSetting) -> float:
    """Round a value to the kit's steps; the compressor lockout only upwards, since lower could hurt it."""
    if setting.step is None:
        return value
    steps = (value - setting.least.value) / setting.step
    whole = math.ceil(steps - 1e-6) if setting.means is Term.COMPRESSOR_LOCKOUT else round(steps)
    return setting.least.value + whole * setting.step


def _wish(setting: KitSetting, basis: Basis, speeds: Sequence[SpeedPlan], limit: HighLimitPlan) -> _Wish:
    """What one setting should be."""
    match setting.means:
        case Term.MINIMUM_DAMPER_SIGNAL:
            return _minimum_signal(setting, speeds)
        case Term.DRY_BULB_HIGH_LIMIT:
            return _high_limit(setting, limit)
        case Term.HIGH_LIMIT_DIFFERENTIAL:
            usual = prior.usual("high_limit_differential", TEMPERATURE_DIFFERENCE)
            return _Wish(
                max(usual.value, setting.least.value),
                Words("wide enough that the damper does not chatter at the limit"),
                usual.source,
            )
        case Term.MIXED_AIR_SET_POINT:
            usual = prior.usual("mixed_air_set_point", TEMPERATURE)
            return _usual(
                setting,
                usual,
                "cold enough to cool, warm enough not to draw complaints or trip freeze protection",
            )
        case Term.MIXED_AIR_LOW_LIMIT:
            usual = prior.usual("mixed_air_low_limit", TEMPERATURE)
            reason = "closes the damper to its minimum before the coil, the heat exchanger or the people get too cold"
            return _Wish(usual.value, Words(reason), usual.source)
        case Term.COMPRESSOR_LOCKOUT:
            return compressor_lockout(basis)
        case Term.RELIEF_START:
            usual = prior.usual("relief_start", FRACTION)
            return _usual(
                setting, usual, "above the minimum opening, before the building is blown up", guess=True
            )


def _usual(setting: KitSetting, usual: prior.Usual, reason: str, *, guess: bool = False) -> _Wish:
    """Keep the kit's default where it lies in the usual range, else take the usual value."""
    in_use = usual.low - 1e-9 <= setting.default.value <= usual.high + 1e-9
    return _Wish(setting.default.value if in_use else usual.value, Words(reason), usual.source, guess)


def _minimum_signal(setting: KitSetting, speeds: Sequence[SpeedPlan]) -> _Wish:
    speed = speeds[-1] if setting.fan == "slowest" else speeds[0]
    if speed.first_signal is None:
        return _Wish(
            1.0,
            words(
                "{name} speed cannot bring in the air required; see the fan speeds", name=Words(speed.name)
            ),
            "fan speeds of this plan",
            guess=True,
        )
    reason = words(
        "first guess for {share} outdoor air at {name} speed, expected between {low} and {high}: start reading here",
        share=Amount(speed.target_outdoor_air_fraction, FRACTION), name=Words(speed.name),
        low=Amount(speed.first_signal_low or 0.0, FRACTION), high=Amount(speed.first_signal_high or 1.0, FRACTION),
    )  # fmt: skip
    return _Wish(speed.first_signal, reason, "damper model with coefficients of ASHRAE 825-RP", guess=True)


def _high_limit(setting: KitSetting, limit: HighLimitPlan) -> _Wish:
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
