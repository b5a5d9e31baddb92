"""What a person writes into a document: models that refuse unknown keys, typed quantities, and plain refusals.

Every model of the job and of the equipment files is an ``Entry``. ``validated`` reads one from plain data and
reports every mistake at once, each with its place, what was given and what would be accepted.
"""

from __future__ import annotations

from typing import TypeVar

from pydantic import BaseModel, ConfigDict, ValidationError

from ventwright.document import Lines
from ventwright.entry.mistake import line_of, place_of, refusals, spelled
from ventwright.entry.typed import (
    Accuracy,
    Airflow,
    Area,
    Concentration,
    Count,
    Day,
    Difference,
    Elevation,
    HeatRate,
    Moment,
    Number,
    Pressure,
    RelativeHumidity,
    Share,
    ShortName,
    Signal,
    SupplyAirflow,
    Temperature,
    Typed,
    Written,
)
from ventwright.errors import Refused


class Entry(BaseModel):
    """A part of a document: unknown keys are errors, and what was read is never changed."""

    model_config = ConfigDict(
        extra="forbid",
        frozen=True,
        str_strip_whitespace=True,
        arbitrary_types_allowed=True,
        allow_inf_nan=False,
    )


Model = TypeVar("Model", bound=BaseModel)


def validated(model: type[Model], data: object, *, lines: Lines | None = None, inside: str = "") -> Model:
    """Read a model from plain data.

    Raises
    ------
    Refused
        With every mistake found, in the order of the file where lines are known.
    """
    try:
        return model.model_validate(data)
    except ValidationError as failure:
        found = refusals(failure, model, lines or {}, inside)
        raise Refused(*sorted(found, key=lambda refusal: refusal.line or 0)) from None


__all__ = [
    "Accuracy", "Airflow", "Area", "Concentration", "Count", "Day", "Difference", "Elevation", "Entry", "HeatRate", "Moment",
    "Number", "Pressure", "RelativeHumidity", "Share", "ShortName", "Signal", "SupplyAirflow", "Temperature", "Typed", "Written", "line_of", "place_of", "spelled",
    "validated",
]  # fmt: skip
