"""An economizer kit: its damper signal, its control, and its settings in its own labels and in the trade's terms."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Literal, Self

from pydantic import Field, model_validator

from ventwright.entry import Count, Entry, ShortName, Written
from ventwright.errors import Refusal, Refused, refuse_word
from ventwright.quantity import (
    CONCENTRATION,
    DIFFERENCE_OF,
    ENTHALPY,
    FRACTION,
    TEMPERATURE,
    TEMPERATURE_DIFFERENCE,
    Dimension,
    Quantity,
    read,
)
from ventwright.quantity.dimension import VALVE_SENSE
from ventwright.tables.connector import Connector
from ventwright.tables.damper_signal import DamperSignal, is_sent
from ventwright.tables.kit_sensor import KitSensor, Sensing


class Term(StrEnum):
    """What a setting means in the trade, whatever a kit calls it."""

    MINIMUM_DAMPER_SIGNAL = "minimum damper signal"
    LOW_OCCUPANCY_DAMPER_SIGNAL = "damper signal at low occupancy"
    DRY_BULB_HIGH_LIMIT = "dry-bulb high limit"
    ENTHALPY_HIGH_LIMIT = "enthalpy high limit"
    RETURN_DIFFERENTIAL = "differential between return and outdoor air"
    HIGH_LIMIT_DIFFERENTIAL = "high-limit differential"
    MIXED_AIR_SET_POINT = "mixed-air set point"
    MIXED_AIR_LOW_LIMIT = "mixed-air low limit"
    COMPRESSOR_LOCKOUT = "compressor lockout"
    RELIEF_START = "relief start"
    CARBON_DIOXIDE_SET_POINT = "carbon dioxide set point"
    REVERSING_VALVE = "reversing valve sense"


DIMENSION_OF: dict[Term, Dimension] = {
    Term.MINIMUM_DAMPER_SIGNAL: FRACTION,
    Term.LOW_OCCUPANCY_DAMPER_SIGNAL: FRACTION,
    Term.DRY_BULB_HIGH_LIMIT: TEMPERATURE,
    Term.ENTHALPY_HIGH_LIMIT: ENTHALPY,
    Term.RETURN_DIFFERENTIAL: TEMPERATURE_DIFFERENCE,
    Term.HIGH_LIMIT_DIFFERENTIAL: TEMPERATURE_DIFFERENCE,
    Term.MIXED_AIR_SET_POINT: TEMPERATURE,
    Term.MIXED_AIR_LOW_LIMIT: TEMPERATURE,
    Term.COMPRESSOR_LOCKOUT: TEMPERATURE,
    Term.RELIEF_START: FRACTION,
    Term.CARBON_DIOXIDE_SET_POINT: CONCENTRATION,
    Term.REVERSING_VALVE: VALVE_SENSE,
}

OF_THE_DAMPER = (Term.MINIMUM_DAMPER_SIGNAL, Term.LOW_OCCUPANCY_DAMPER_SIGNAL)
"""Settings that are signals of the damper."""

Fan = Literal["fastest", "slowest"]


class SettingFile(Entry):
    """One adjustable setting as the kit's file gives it."""

    label: str = Field(min_length=3, description="what the kit calls it, a plain phrase")
    means: Term = Field(description="what it is in the trade's terms")
    fan: Fan | None = Field(
        None, description="fastest or slowest, where the setting belongs to one fan speed"
    )
    least: Written = Field(description="lowest value it takes, with its unit")
    most: Written = Field(description="highest value it takes, with its unit")
    default: Written = Field(description="value it leaves the box with")
    step: Written | None = Field(None, description="smallest change, with its unit")


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
    signal: DamperSignal | None = None
    """The signal that it is a share of, where it is one: the controller or a meter may show it in volts."""

    @property
    def typed_in(self) -> tuple[Dimension, ...]:
        """In what its value may be typed, what its own range is in first."""
        return (self.dimension,) if self.signal is None else self.signal.typed_in

    def read(self, text: str) -> Quantity:
        """Read a value for this setting; what the kit cannot be set to is refused with its range.

        An end of the range that was read off a screen in the other units, and so rounded there, is that end.
        """
        value, room = self._as_typed(text), self._rounding
        if not self.least.value - room <= value.value <= self.most.value + room:
            raise Refused(
                Refusal(f'is outside the range of "{self.label}"', f"{self.least} to {self.most}", given=text)
            )
        return replace(value, value=min(max(value.value, self.least.value), self.most.value))

    def _as_typed(self, text: str) -> Quantity:
        if self.signal is not None and is_sent(text):
            return self.signal.read(text)
        return read(text, self.dimension)

    @property
    def _rounding(self) -> float:
        """How far a value is rounded at most where screens show it, in SI."""
        of_si, of_us = self.dimension.decimals
        shown = ((self.dimension.si, of_si), (self.dimension.us, of_us))
        return 1e-9 + max(0.5 * 10.0**-places * unit.factor for unit, places in shown)


class KitHarness(Entry):
    """The free ends of the kit's harness: what has to be joined to the unit."""

    connectors: tuple[Connector, ...] = Field(
        min_length=1, description="its connectors or bundles of loose wires"
    )

    @model_validator(mode="after")
    def _names_once(self) -> Self:
        names = [connector.name for connector in self.connectors]
        if len(set(names)) < len(names):
            twice = next(name for name in names if names.count(name) > 1)
            accepted = "a name of its own for each"
            raise Refused(Refusal("is the name of two connectors", accepted, "connectors", twice))
        return self


Heating = Literal["gas", "electric", "heat pump", "hot water", "none"]


class Kit(Entry):
    """An economizer kit as its file describes it."""

    kind: Literal["kit"] = Field(description='the word "kit"')
    id: ShortName
    name: str = Field(min_length=3, description="what people call it")
    invented: bool = Field(False, description="true for an example that exists nowhere")
    fan_speeds: Count = Field(ge=1, le=4, description="fan speeds it can tell apart")
    variable_fan: bool = Field(
        False, description="true where it follows a fan of any speed between its slowest and its fastest"
    )
    heating: tuple[Heating, ...] = Field((), description="heating of the units it is for; empty: any")
    high_limit_control: Literal[
        "fixed dry bulb",
        "differential dry bulb",
        "fixed enthalpy and dry bulb",
        "differential enthalpy and dry bulb",
    ] = Field(description="how it decides whether outdoor air helps")
    damper_signal: DamperSignal
    integrated: bool = Field(description="true where the damper stays open while the compressor runs")
    settings_file: tuple[SettingFile, ...] = Field(alias="settings", description="its adjustable settings")
    harness: KitHarness | None = Field(None, description="what has to be joined to the unit")
    sensors: tuple[KitSensor, ...] = Field((), description="its sensors, each with its curve or signal")
    manual_mode: bool = Field(False, description="true where the damper can be sent to a signal by hand")
    note: str = ""

    @model_validator(mode="after")
    def _settings_read(self) -> Self:
        mistakes = [
            refusal
            for number, setting in enumerate(self.settings_file)
            for refusal in _mistakes(number, setting)
        ]
        labels = [setting.label.lower() for setting in self.settings_file]
        mistakes += [
            Refusal(
                "is the label of an earlier setting",
                "a label of its own for every setting",
                f"settings[{number + 1}].label",
                self.settings_file[number].label,
            )
            for number, label in enumerate(labels)
            if label in labels[:number]
        ]
        kinds = [(setting.means, setting.fan) for setting in self.settings_file]
        mistakes += [
            Refusal(
                "means the same as an earlier setting, at the same fan speed",
                "one setting for each meaning and fan speed",
                f"settings[{number + 1}].means",
                str(kind[0].value),
            )
            for number, kind in enumerate(kinds)
            if kind in kinds[:number]
        ]
        if mistakes:
            raise Refused(*mistakes)
        return self

    @property
    def settings(self) -> tuple[KitSetting, ...]:
        """The adjustable settings, read."""
        return tuple(_setting(setting, self.damper_signal) for setting in self.settings_file)

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

    def sensor(self, at: Sensing) -> KitSensor | None:
        """Return the sensor at a place, or None where the file names none."""
        return next((one for one in self.sensors if one.at == at), None)

    def share_of_stroke(self, signal: Quantity) -> float:
        """Turn a damper signal, in per cent or in the kit's own unit, into the share of full stroke. [-]"""
        return self.damper_signal.share(signal).value

    def signal_at(self, share: float) -> float:
        """Turn a share of full stroke into the kit's own signal, in SI. [V, A or -]"""
        closed, opened = self.damper_signal.closed.value, self.damper_signal.open.value
        return closed + share * (opened - closed)


def _setting(given: SettingFile, signal: DamperSignal | None = None) -> KitSetting:
    dimension = DIMENSION_OF[given.means]
    least, most, default = (_value(text, dimension) for text in (given.least, given.most, given.default))
    return KitSetting(
        given.label, given.means, given.fan, dimension, least, most, default, _step(given.step, dimension),
        signal if given.means in OF_THE_DAMPER else None,
    )  # fmt: skip


def _value(text: str, dimension: Dimension) -> Quantity:
    """Read a value of a setting; a share is one of full stroke."""
    return (
        read(text, dimension, at_least=0.0, at_most=1.0) if dimension is FRACTION else read(text, dimension)
    )


def _step(text: str | None, dimension: Dimension) -> float | None:
    if text is None:
        return None
    return read(text, DIFFERENCE_OF.get(dimension.name, dimension)).value


def _mistakes(number: int, given: SettingFile) -> list[Refusal]:
    """Everything wrong with one setting of a kit's file."""
    where, dimension = f"settings[{number + 1}]", DIMENSION_OF[given.means]
    mistakes = [
        refusal.at(f"{where}.{name}")
        for name, text in (("least", given.least), ("most", given.most), ("default", given.default))
        for refusal in _unread(_value, text, dimension)
    ]
    mistakes += [
        refusal.at(f"{where}.step") for refusal in _unread(_step, given.step or "", dimension) if given.step
    ]
    if mistakes:
        return mistakes
    setting = _setting(given)
    if setting.least.value >= setting.most.value:
        ends = f"{given.least} to {given.most}"
        return [Refusal("is no range", "a lowest value below the highest", where, ends)]
    if not setting.least.value <= setting.default.value <= setting.most.value:
        accepted = f"a value from {given.least} to {given.most}"
        mistakes.append(
            Refusal("is outside the setting's own range", accepted, f"{where}.default", given.default)
        )
    if setting.step is not None and not 0.0 < setting.step <= setting.most.value - setting.least.value + 1e-9:
        accepted = "more than nothing, no more than the whole range"
        mistakes.append(Refusal("is no step", accepted, f"{where}.step", given.step or ""))
    return mistakes


def _unread(
    reader: Callable[[str, Dimension], object], text: str, dimension: Dimension
) -> tuple[Refusal, ...]:
    """Return why a value cannot be read; nothing where it can."""
    try:
        reader(text, dimension)
    except Refused as refused:
        return refused.refusals
    return ()
