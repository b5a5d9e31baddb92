"""An economizer kit: its damper signal, its control, and its settings in its own labels and in the trade's terms."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Literal, Self

from pydantic import Field, model_validator

from ventwright.entry import Entry, Signal
from ventwright.errors import Refusal, Refused, refuse_word
from ventwright.quantity import (
    FRACTION,
    TEMPERATURE,
    TEMPERATURE_DIFFERENCE,
    Dimension,
    Quantity,
    has_unit_of,
    read,
)


class Term(StrEnum):
    """What a setting means in the trade, whatever a kit calls it."""

    MINIMUM_DAMPER_SIGNAL = "minimum damper signal"
    DRY_BULB_HIGH_LIMIT = "dry-bulb high limit"
    HIGH_LIMIT_DIFFERENTIAL = "high-limit differential"
    MIXED_AIR_SET_POINT = "mixed-air set point"
    MIXED_AIR_LOW_LIMIT = "mixed-air low limit"
    COMPRESSOR_LOCKOUT = "compressor lockout"
    RELIEF_START = "relief start"


DIMENSION_OF: dict[Term, Dimension] = {
    Term.MINIMUM_DAMPER_SIGNAL: FRACTION,
    Term.DRY_BULB_HIGH_LIMIT: TEMPERATURE,
    Term.HIGH_LIMIT_DIFFERENTIAL: TEMPERATURE_DIFFERENCE,
    Term.MIXED_AIR_SET_POINT: TEMPERATURE,
    Term.MIXED_AIR_LOW_LIMIT: TEMPERATURE,
    Term.COMPRESSOR_LOCKOUT: TEMPERATURE,
    Term.RELIEF_START: FRACTION,
}

Fan = Literal["fastest", "slowest"]


class SettingFile(Entry):
    """One adjustable setting as the kit's file gives it."""

    label: str = Field(min_length=3, description="what the kit calls it, a plain phrase")
    means: Term = Field(description="what it is in the trade's terms")
    fan: Fan | None = Field(
        None, description="fastest or slowest, where the setting belongs to one fan speed"
    )
    least: str = Field(description="lowest value it takes, with its unit")
    most: str = Field(description="highest value it takes, with its unit")
    default: str = Field(description="value it leaves the box with")
    step: str | None = Field(None, description="smallest change, with its unit")


@dataclass(frozen=True, slots=True)
class KitSetting:
    """One adjustable setting, its values read."""

    label: str
    means: Term
    fan: Fan | None
    dimension: Dimension
    least: Quantity
    most: Quantity
    default: Quantity
    step: float | None

    def read(self, text: str) -> Quantity:
        """Read a value for this setting; what the kit cannot be set to is refused with its range."""
        value = read(text, self.dimension)
        if not self.least.value - 1e-9 <= value.value <= self.most.value + 1e-9:
            raise Refused(
                Refusal(f'is outside the range of "{self.label}"', f"{self.least} to {self.most}", given=text)
            )
        return value


class DamperSignal(Entry):
    """The signal that moves the damper: closed at one end, fully open at the other."""

    closed: Signal = Field(description='signal at which the damper is closed, such as "2 V"')
    open: Signal = Field(description='signal at which it is fully open, such as "10 V"')

    @model_validator(mode="after")
    def _rises(self) -> Self:
        if self.closed.dimension != self.open.dimension or self.closed.value >= self.open.value:
            given = f"{self.closed} to {self.open}"
            raise Refused(
                Refusal("is no range of signal", "two ends in one unit, closed below open", given=given)
            )
        return self


class Kit(Entry):
    """An economizer kit as its file describes it."""

    kind: Literal["kit"] = Field(description='the word "kit"')
    id: str = Field(
        pattern=r"^[a-z0-9][a-z0-9-]*$", description="short name in small letters, digits and hyphens"
    )
    name: str = Field(min_length=3, description="what people call it")
    invented: bool = Field(False, description="true for an example that exists nowhere")
    fan_speeds: int = Field(ge=1, le=4, description="fan speeds it can tell apart")
    high_limit_control: Literal[
        "fixed dry bulb",
        "differential dry bulb",
        "fixed enthalpy and dry bulb",
        "differential enthalpy and dry bulb",
    ] = Field(description="how it decides whether outdoor air helps")
    damper_signal: DamperSignal
    integrated: bool = Field(description="true where the damper stays open while the compressor runs")
    settings_file: tuple[SettingFile, ...] = Field(alias="settings", description="its adjustable settings")
    note: str = ""

    @model_validator(mode="after")
    def _settings_read(self) -> Self:
        mistakes = [
            refusal
            for number, setting in enumerate(self.settings_file)
            for refusal in _mistakes(number, setting)
        ]
        labels = [setting.label for setting in self.settings_file]
        mistakes += [
            Refusal("is the label of two settings", "a label of its own for every setting", "settings", label)
            for label in sorted({label for label in labels if labels.count(label) > 1})
        ]
        if mistakes:
            raise Refused(*mistakes)
        return self

    @property
    def settings(self) -> tuple[KitSetting, ...]:
        """The adjustable settings, read."""
        return tuple(_setting(setting) for setting in self.settings_file)

    def setting(self, label: str) -> KitSetting:
        """Return the setting with a label, whatever the case.

        Raises
        ------
        Refused
            The kit has no such setting.
        """
        for setting in self.settings:
            if setting.label.lower() == label.strip().lower():
                return setting
        raise refuse_word(label, [setting.label for setting in self.settings], "a setting of this kit")

    def setting_for(self, means: Term, fan: Fan | None = None) -> KitSetting | None:
        """Return the setting with a meaning (and fan speed), or None where the kit has none."""
        fitting = [
            setting for setting in self.settings if setting.means is means and setting.fan in {fan, None}
        ]
        return fitting[0] if fitting else None

    def share_of_stroke(self, signal: Quantity) -> float:
        """Turn a damper signal, in per cent or in the kit's own unit, into the share of full stroke. [-]"""
        if signal.dimension == FRACTION:
            return signal.value
        closed, opened = self.damper_signal.closed, self.damper_signal.open
        if signal.dimension != closed.dimension:
            raise Refused(
                Refusal(
                    "is not a signal of this kit", f"{closed} to {opened}, or per cent", given=signal.typed
                )
            )
        return (signal.value - closed.value) / (opened.value - closed.value)

    def signal_at(self, share: float) -> float:
        """Turn a share of full stroke into the kit's own signal, in SI. [V or -]"""
        closed, opened = self.damper_signal.closed.value, self.damper_signal.open.value
        return closed + share * (opened - closed)


def _setting(given: SettingFile) -> KitSetting:
    dimension = DIMENSION_OF[given.means]
    least, most, default = (read(text, dimension) for text in (given.least, given.most, given.default))
    return KitSetting(
        given.label, given.means, given.fan, dimension, least, most, default, _step(given.step, dimension)
    )


def _step(text: str | None, dimension: Dimension) -> float | None:
    if text is None:
        return None
    of_temperature = dimension in {TEMPERATURE, TEMPERATURE_DIFFERENCE} and has_unit_of(
        text, TEMPERATURE_DIFFERENCE
    )
    return read(text, TEMPERATURE_DIFFERENCE if of_temperature else dimension).value


def _mistakes(number: int, given: SettingFile) -> list[Refusal]:
    """Everything wrong with one setting of a kit's file."""
    where = f"settings[{number + 1}]"
    try:
        setting = _setting(given)
    except Refused as refused:
        return [refusal.at(where) for refusal in refused.refusals]
    if setting.least.value >= setting.most.value:
        return [
            Refusal(
                "is no range", "a lowest value below the highest", where, f"{given.least} to {given.most}"
            )
        ]
    if not setting.least.value <= setting.default.value <= setting.most.value:
        accepted = f"a value from {given.least} to {given.most}"
        return [Refusal("is outside the setting's own range", accepted, f"{where}.default", given.default)]
    return []
