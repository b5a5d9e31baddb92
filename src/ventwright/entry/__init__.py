"""What a person writes into a document: models that refuse unknown keys, typed quantities, and plain refusals.

Every model of the job and of the equipment files is an ``Entry``. ``validated`` reads one from plain data and
reports every mistake at once, each with its place, what was given and what would be accepted.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, TypeVar

from pydantic import BaseModel, ConfigDict, ValidationError

from ventwright.document import Lines
from ventwright.entry.mistake import line_of, place_of, refusals, spelled
from ventwright.entry.partly import alone, checks_of, partly_read
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
from ventwright.errors import Refused, Unread, refuse_every


class Entry(BaseModel):
    """A part of a document: unknown keys are errors, and what was read is never changed."""

    model_config = ConfigDict(
        extra="forbid",
        frozen=True,
        str_strip_whitespace=True,
        arbitrary_types_allowed=True,
        allow_inf_nan=False,
    )

    if not TYPE_CHECKING:  # a checker would take every name for a field

        def __getattr__(self, name: str) -> Any:
            """Say that a field was refused: only a part that was read as far as it goes lacks one."""
            if name in type(self).model_fields:
                raise Unread(name)
            return super().__getattr__(name)


Model = TypeVar("Model", bound=BaseModel)


def validated(model: type[Model], data: object, *, lines: Lines | None = None, inside: str = "") -> Model:
    """Read a model from plain data.

    Raises
    ------
    Refused
        With every mistake found, in the order of the file where lines are known.
    """
    whole, refused = read_as_far(model, data, lines=lines, inside=inside)
    if refused is not None:
        raise refused
    return whole


def read_value(model: type[BaseModel], name: str, given: object) -> object:
    """Read one field of a model by itself, as it is read where it stands.

    Raises
    ------
    Refused
        What the document would be refused with there, without a place.
    """
    try:
        one: object = vars(validated(alone(model, name), {"value": given}))["value"]
    except Refused as refused:
        raise Refused(*(refusal.at("") for refusal in refused.refusals)) from None
    return one


def read_as_far(
    model: type[Model], data: object, *, lines: Lines | None = None, inside: str = ""
) -> tuple[Model, Refused | None]:
    """Read a model from plain data as far as that goes, and return what was refused of it.

    What was refused lacks in the model: whoever asks for it meets ``Unread``. The checks of parts are made all the same,
    as far as they do not hang on it.
    """
    try:
        return model.model_validate(data), None
    except ValidationError as failure:
        found = dict.fromkeys(refusals(failure, model, lines or {}, inside))
    part, more = partly_read(model, data), False
    try:
        refuse_every(checks_of(part, lines or {}, inside))
    except Refused as refused:
        found |= dict.fromkeys(refused.refusals)
        more = refused.more
    except Unread:
        more = True
    in_order = sorted(found, key=lambda refusal: refusal.line or 0)
    return part, Refused(*in_order, more=more)


__all__ = [
    "Accuracy", "Airflow", "Area", "Concentration", "Count", "Day", "Difference", "Elevation", "Entry", "HeatRate", "Moment",
    "Number", "Pressure", "RelativeHumidity", "Share", "ShortName", "Signal", "SupplyAirflow", "Temperature", "Typed", "Written", "line_of", "place_of", "read_as_far", "read_value", "spelled",
    "validated",
]  # fmt: skip
