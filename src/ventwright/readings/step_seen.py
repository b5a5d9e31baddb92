"""What was seen at a step of the functional tests, and what was repaired: the steps it may have masked are done again."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated, Literal, Self

from pydantic import AfterValidator, Field, model_validator

from ventwright.entry import Typed
from ventwright.errors import Refusal, Refused
from ventwright.quantity import (
    DURATION,
    FRACTION,
    PRESSURE,
    RESISTANCE,
    TEMPERATURE,
    VOLTAGE,
    Quantity,
    System,
)
from ventwright.quantity.dimension import SIGNAL_CURRENT
from ventwright.readings.noted import Noted
from ventwright.tables.fault_words import fault_id, fault_words
from ventwright.tables.procedure import ANSWERED_IN, Answer, Step, fault_or_step, step_named, step_words

ReadValue = Annotated[
    Quantity, Typed((FRACTION, VOLTAGE, SIGNAL_CURRENT, TEMPERATURE, PRESSURE, RESISTANCE, DURATION))
]
"""What may be read at a step; which of them, the step says."""

TAKEN_WITH: dict[Answer, tuple[str, ...]] = {
    "mixed air": ("temperature",),
    "supply air": ("temperature",),
    "pressure": ("pressure",),
    "resistance": ("electrical",),
}
"""Kinds of instrument that read what a step is answered by."""

INSTEAD = {
    "outdoor_air": "readings of supply air and mixed air",
    "sensors": "a sensor check for each sensor",
    "settings": "the settings, read back",
    "nothing_left": "the temporary changes and their restoring",
}
"""Entries by which a step is judged that is a check of its own."""


class Seen(StrEnum):
    """What was seen at a step that is answered by yes or no."""

    YES = "yes"
    NO = "no"
    NOT_FITTED = "not fitted"
    NOT_LOOKED_AT = "not looked at"


class StepSeen(Noted):
    """What was seen at one step, under which condition."""

    what: Literal["test step"]
    step: str = Field(min_length=1, description="id of the step, as `ventwright prove` shows it")
    seen: Seen | None = Field(
        None, description="as expected: yes, no, not fitted, not looked at; for a step without a number"
    )
    read_value: ReadValue | None = Field(None, description="what was read, with its unit")
    simulated: bool = Field(
        False, description="true where the condition was simulated, not brought by the air"
    )
    changes: tuple[str, ...] = Field(
        (), description="ids of the temporary changes under which it was seen, to be restored after it"
    )
    instrument: str | None = None
    speed: str | None = Field(
        None, description="name of the fan speed at which it was read, since each has its own minimum signal"
    )

    @model_validator(mode="after")
    def _fits_the_step(self) -> Self:
        step = self._known()
        dimensions = ANSWERED_IN[step.answer]
        if self.seen is Seen.NOT_FITTED and not step.may_be_missing:
            problem = "is no answer to this step, since every unit that it is for has it"
            raise Refused(Refusal(problem, "yes, no or not looked at", "seen", self.seen.value))
        if step.answer == "check":
            accepted = INSTEAD[step.check or ""]
            raise Refused(Refusal("is judged by readings of its own kind", accepted, "step", self.step))
        if not dimensions:
            self._yes_or_no()
        elif self.read_value is None:
            if self.seen not in {Seen.NOT_FITTED, Seen.NOT_LOOKED_AT}:
                example = " or ".join(one.example for one in dimensions)
                problem = f"is a step at which {step.answer} is read, and no value is given"
                raise Refused(Refusal(problem, f"read_value, such as {example}", "step", self.step))
        elif self.seen is not None:
            raise Refused(
                Refusal("stands beside a value that was read", "one of the two", "seen", self.seen.value)
            )
        elif self.read_value.dimension not in dimensions:
            accepted = " or ".join(one.example for one in dimensions)
            problem = f"is {self.read_value.dimension.one}, and {step.answer} is read at this step"
            raise Refused(Refusal(problem, accepted, "read_value", self.read_value.typed))
        return self

    def _known(self) -> Step:
        test = self.step.partition(".")[0]
        if test == "minimum_position" and f"{test}.each_speed" != self.step:
            try:
                return step_named(self.step, "step")
            except Refused:
                return step_named(f"{test}.each_speed")  # one of the fan speeds, whose names the facts know
        return step_named(self.step, "step")

    def _yes_or_no(self) -> None:
        if self.read_value is not None:
            problem = "is a value, and this step is answered by what was seen"
            accepted = "seen: yes, no, not fitted or not looked at"
            raise Refused(Refusal(problem, accepted, "read_value", self.read_value.typed))
        if self.seen is None:
            accepted = "yes, no, not fitted or not looked at"
            raise Refused(Refusal("is missing", accepted, "seen"))

    def taken_with(self, field: str) -> tuple[str, ...]:
        """Name the kinds of instrument that read what the step is answered by."""
        if (
            self.read_value is not None
            and self.read_value.dimension in {VOLTAGE, SIGNAL_CURRENT}
            and field == "instrument"
        ):
            return ("electrical",)
        return TAKEN_WITH.get(step_named(self.step).answer, ())

    def subject(self, system: System) -> str:
        """Say what was seen at which step."""
        found = self.read_value.show(system) if self.read_value is not None else str(self.seen or "")
        return f"{step_words(self.step)}: {found}{', simulated' if self.simulated else ''}"


class Repaired(Noted):
    """A fault was put right: what was read while it was there is read again."""

    what: Literal["repaired"]
    of: Annotated[str, AfterValidator(fault_id)] = Field(
        min_length=3,
        description="the fault in the words of the diagnosis or by its id, or the step that failed",
    )

    @model_validator(mode="after")
    def _known(self) -> Self:
        fault_or_step(self.of, "of")
        return self

    def subject(self, system: System) -> str:  # noqa: ARG002 - nothing to show
        """Say what was repaired."""
        return f"repaired: {fault_words(self.of)}"
