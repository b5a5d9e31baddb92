"""What is changed for a test and must go back, the word that it did, and how a unit was left before it was finished."""

from __future__ import annotations

from collections.abc import Iterator
from enum import StrEnum
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from ventwright.entry import Signal, Temperature, Typed
from ventwright.errors import Refusal, Refused
from ventwright.quantity import RESISTANCE, Quantity, System
from ventwright.readings.noted import Noted

Resistance = Annotated[Quantity, Typed((RESISTANCE,), 0.0)]

SensorName = Literal["outdoor air", "return air", "mixed air", "supply air"]

CallName = Literal["first cooling", "second cooling", "first heating", "second heating", "fan", "occupied"]


class ChangeKind(StrEnum):
    """What a temporary change is: it decides what proves that it went back."""

    RESISTOR = "resistor"
    PACK = "pack"
    JUMPER = "jumper"
    OVERRIDE = "override"
    SETTING = "setting"
    LEAD = "lead"


BELONGS: dict[str, tuple[ChangeKind, ...]] = {
    "sensor": (ChangeKind.RESISTOR, ChangeKind.PACK, ChangeKind.LEAD),
    "resistance": (ChangeKind.RESISTOR,),
    "imitates": (ChangeKind.RESISTOR, ChangeKind.PACK),
    "label": (ChangeKind.SETTING,),
    "call": (ChangeKind.JUMPER, ChangeKind.OVERRIDE),
}
"""To which kinds of change a further field belongs."""

NEEDED = {
    ChangeKind.RESISTOR: ("sensor", "the sensor whose input it stands in for, such as outdoor air"),
    ChangeKind.PACK: ("sensor", "the sensor that it is held to, such as outdoor air"),
    ChangeKind.SETTING: ("label", "the kit's label of the setting"),
}
"""Without which a kind of change could not be proved undone."""


class TemporaryChange(Noted):
    """Something changed for a test, that must be put back: entered when it is made, with what it was."""

    what: Literal["temporary change"]
    kind: ChangeKind | None = Field(
        None,
        description="resistor, pack (held to a sensor), jumper, override, setting or lead (a wire taken off)",
    )
    point: str = Field(min_length=3, description='what was changed, such as "R to Y1 at the board"')
    was: str = Field(min_length=1, description="how it was before; of a setting its value with unit")
    changed_to: str = Field(
        min_length=1, description="how it is for the test; of a setting its value with unit"
    )
    sensor: SensorName | None = Field(None, description="the sensor whose input or lead it is")
    resistance: Resistance | None = Field(None, description='of the resistor, such as "12 kohm"')
    imitates: Temperature | None = Field(
        None,
        description='what the controller shows with the resistor in or the pack held to it, such as "66 F"',
    )
    label: str | None = Field(None, description="the kit's label of the setting")
    call: CallName | None = Field(None, description="the call that is made by hand, such as first cooling")

    @model_validator(mode="after")
    def _goes_together(self) -> Self:
        mistakes = list(self._strange_fields())
        if self.kind in NEEDED:
            field, accepted = NEEDED[self.kind]
            if getattr(self, field) is None:
                mistakes.append(Refusal(f"is missing for a change of kind {self.kind}", accepted, field))
        same = self.was.strip().casefold() == self.changed_to.strip().casefold()
        if self.kind is ChangeKind.SETTING and same:
            mistakes.append(
                Refusal("changes nothing", "how it is for the test", "changed_to", self.changed_to)
            )
        if mistakes:
            raise Refused(*mistakes)
        return self

    def _strange_fields(self) -> Iterator[Refusal]:
        for field, kinds in BELONGS.items():
            given = getattr(self, field)
            if given is not None and self.kind not in kinds:
                accepted = f"kind: {' or '.join(kinds)} beside it, or no {field}"
                yield Refusal(
                    f"belongs to a change of kind {' or '.join(kinds)}", accepted, field, str(given)
                )

    @property
    def place(self) -> tuple[str, str]:
        """What two changes have to share to be changes of one thing: a setting, a sensor's input, or a point in words."""
        if self.label is not None:
            return "setting", self.label.strip().lower()
        return ("sensor", self.sensor) if self.sensor is not None else ("point", self.point.strip().lower())

    def subject(self, system: System) -> str:
        """Say what was changed for a test."""
        parts = [
            None if self.resistance is None else self.resistance.show(system),
            None if self.imitates is None else f"shows {self.imitates.show(system)}",
        ]
        more = ", ".join(part for part in parts if part is not None)
        behind = f" ({more})" if more else ""
        return f"changed for a test: {self.point}, was {self.was}, now {self.changed_to}{behind}"


class Restored(Noted):
    """The word that a temporary change was put back, and what was seen there; what proves it depends on the change."""

    what: Literal["restored"]
    change: str = Field(description="id of the temporary change")
    read_back: str = Field(
        min_length=1, description='what the point showed afterwards, such as "display shows automatic"'
    )

    def subject(self, system: System) -> str:  # noqa: ARG002 - free text
        """Say what was put back, and what was seen."""
        return f"restored {self.change}: {self.read_back}"


class DamperStands(StrEnum):
    """Where the outdoor damper stands until somebody comes back."""

    AT_VENTILATION = "at ventilation"
    SHUT = "shut"
    OPEN = "open"
    WHERE_IT_FAILED = "where it failed"


class LeftSafe(Noted):
    """A visit ended before the job was: who was told, where the damper stands meanwhile, and why there."""

    what: Literal["left safe"]
    told: str = Field("", description="who was told, with how; empty where nobody could be")
    damper: DamperStands = Field(
        DamperStands.AT_VENTILATION, description="at ventilation, shut, open, or where it failed"
    )
    damper_signal: Signal | None = Field(
        None, description='damper signal or position it was left at, such as "21 %"'
    )
    why: str = Field("", description="why the damper stands there; needed where it is not at ventilation")

    @model_validator(mode="after")
    def _not_by_habit(self) -> Self:
        if self.damper is not DamperStands.AT_VENTILATION and not self.why:
            problem = f"is missing for a damper left {self.damper}: people breathe meanwhile"
            raise Refused(Refusal(problem, "the reason, or damper: at ventilation", "why"))
        return self

    def subject(self, system: System) -> str:
        """Say how the unit was left."""
        at = "" if self.damper_signal is None else f" ({self.damper_signal.show(system)})"
        why = f", since {self.why}" if self.why else ""
        return f"left before it was finished: damper {self.damper}{at}{why}; told: {self.told or 'nobody'}"
