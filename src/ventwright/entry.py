"""What a person writes into a document: models that refuse unknown keys, typed quantities, and plain refusals.

Every model of the job and of the equipment files is an ``Entry``. ``validated`` reads one from plain data and
reports every mistake at once, each with its place, what was given and what would be accepted.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated, Any, TypeVar, get_args

from pydantic import AwareDatetime, BaseModel, BeforeValidator, ConfigDict, ValidationError
from pydantic_core import core_schema

from ventwright.document import Lines, Place
from ventwright.errors import Refusal, Refused, nearest
from ventwright.quantity import (
    AIRFLOW,
    AREA,
    CONCENTRATION,
    FRACTION,
    HEAT_RATE,
    LENGTH,
    PRESSURE,
    TEMPERATURE,
    TEMPERATURE_DIFFERENCE,
    VOLTAGE,
    Dimension,
    Quantity,
    has_unit_of,
    read,
)

if TYPE_CHECKING:
    from pydantic import GetJsonSchemaHandler
    from pydantic.json_schema import JsonSchemaValue
    from pydantic_core.core_schema import CoreSchema


class Entry(BaseModel):
    """A part of a document: unknown keys are errors, and what was read is never changed."""

    model_config = ConfigDict(
        extra="forbid", frozen=True, str_strip_whitespace=True, arbitrary_types_allowed=True
    )


@dataclass(frozen=True, slots=True)
class Typed:
    """Reads a quantity of one of the given dimensions, within SI bounds, and keeps what was typed."""

    dimensions: tuple[Dimension, ...]
    at_least: float | None = None
    at_most: float | None = None

    def __call__(self, given: object) -> Quantity:
        """Read what stands in the document; a number without a unit is refused with what to write."""
        if isinstance(given, Quantity):
            return given
        text = str(given)
        dimension = next((known for known in self.dimensions if has_unit_of(text, known)), self.dimensions[0])
        try:
            return read(text, dimension, at_least=self.at_least, at_most=self.at_most)
        except Refused as refused:
            if len(self.dimensions) == 1:
                raise
            problem = refused.refusals[0].problem
            raise Refused(Refusal(problem, self.example, given=text)) from None

    @property
    def example(self) -> str:
        """What may be written, for help and refusals."""
        return " or ".join(dimension.example for dimension in self.dimensions)

    def __get_pydantic_core_schema__(self, source: Any, handler: Any) -> CoreSchema:
        """Validate by reading, serialize as typed."""
        return core_schema.no_info_plain_validator_function(
            self, serialization=core_schema.plain_serializer_function_ser_schema(str, when_used="always")
        )

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        """Publish a string with the dimension it must have."""
        return {
            "type": "string",
            "description": f"{self.dimensions[0].one} with its unit: {self.example}",
            "x-dimension": [dimension.name for dimension in self.dimensions],
        }


Temperature = Annotated[Quantity, Typed((TEMPERATURE,), -90.0, 120.0)]
Difference = Annotated[Quantity, Typed((TEMPERATURE_DIFFERENCE,))]
Airflow = Annotated[Quantity, Typed((AIRFLOW,))]
HeatRate = Annotated[Quantity, Typed((HEAT_RATE,))]
Area = Annotated[Quantity, Typed((AREA,))]
Elevation = Annotated[Quantity, Typed((LENGTH,), -500.0, 6000.0)]
Pressure = Annotated[Quantity, Typed((PRESSURE,))]
Share = Annotated[Quantity, Typed((FRACTION,), 0.0, 1.0)]
RelativeHumidity = Annotated[Quantity, Typed((FRACTION,), 0.0, 1.0)]
Concentration = Annotated[Quantity, Typed((CONCENTRATION,))]
Signal = Annotated[Quantity, Typed((FRACTION, VOLTAGE), 0.0)]
"""A damper signal, in per cent of its range or in volts."""


def _without_sign(given: object) -> object:
    """Let an accuracy be written as it is printed on the instrument: "± 0.5 F"."""
    return given.strip().removeprefix("±").removeprefix("+/-").strip() if isinstance(given, str) else given


_ACCURACIES = (TEMPERATURE_DIFFERENCE, FRACTION, PRESSURE, CONCENTRATION, VOLTAGE)
Accuracy = Annotated[Quantity, Typed(_ACCURACIES, 0.0), BeforeValidator(_without_sign)]
"""An instrument's ±: a difference in its unit, or per cent of reading; 95 % coverage (k = 2)."""

Moment = AwareDatetime
"""A time with its offset from UTC, as "2026-11-25T09:40-08:00"."""

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
        places = lines or {}
        errors = failure.errors(include_url=False)
        found = [refusal for error in errors for refusal in _refusals(error, model, places, inside)]
        raise Refused(*sorted(found, key=lambda refusal: refusal.line or 0)) from None


def line_of(place: Place, lines: Lines) -> int | None:
    """Line of a place in a file, or of the nearest part of the document that holds it."""
    while place:
        if place in lines:
            return lines[place]
        place = place[:-1]
    return None


def spelled(place: Sequence[str | int]) -> str:
    """Write a place as people read it: ``facts.unit.fan_speeds[2].supply_air`` (counted from 1)."""
    text = ""
    for step in place:
        text += f"[{step + 1}]" if isinstance(step, int) else f".{step}" if text else str(step)
    return text


_TIMES = {
    "date": "a date such as 2026-11-25",
    "datetime": 'a time with its offset from UTC, such as "2026-11-25T09:40-08:00"',
    "timezone_aware": 'a time with its offset from UTC, such as "2026-11-25T09:40-08:00"',
}


def _refusals(error: Any, model: type[BaseModel], lines: Lines, inside: str) -> list[Refusal]:
    """Say one validation error in our words; a check over a whole part may have found several."""
    place = _without_tags(error["loc"], model)
    cause = error.get("ctx", {}).get("error")
    if not isinstance(cause, Refused):
        return [_refusal(error, model, place, _where(inside, place), line_of(place, lines))]
    exact = [(refusal, (*place, *place_of(refusal.where))) for refusal in cause.refusals]
    return [refusal.at(_where(inside, deeper), line_of(deeper, lines)) for refusal, deeper in exact]


def _where(inside: str, place: Place) -> str:
    return ".".join(part for part in (inside, spelled(place)) if part)


def place_of(where: str) -> Place:
    """Turn ``settings[2].default`` back into a place."""
    steps = re.findall(r"[^.\[\]]+", where)
    return tuple(int(step) - 1 if step.isdigit() else step for step in steps)


def _refusal(error: Any, model: type[BaseModel], place: Place, where: str, line: int | None) -> Refusal:
    """Say in our words what pydantic found."""
    kind, given, context = error["type"], error["input"], error.get("ctx", {})
    if kind == "missing":
        parent = _model_at(model, place[:-1])
        return Refusal("is missing", _accepted(parent, str(place[-1])), where, line=line)
    if kind == "extra_forbidden":
        parent = _model_at(model, place[:-1])
        known = list(parent.model_fields) if parent else []
        near = nearest(str(place[-1]), known)
        return Refusal(
            f"is not known here{f' (did you mean {near}?)' if near else ''}",
            ", ".join(known),
            where,
            line=line,
        )
    shown = given if isinstance(given, (str, int, float)) else ""
    for start, accepted in _TIMES.items():
        if kind.startswith(start):
            return Refusal(
                f"is not a {start.split('_')[0].replace('timezone', 'time with its offset')}",
                accepted,
                where,
                str(shown),
                line,
            )
    if kind in {"literal_error", "enum", "union_tag_invalid"}:
        expected = (
            str(context.get("expected") or context.get("expected_tags"))
            .replace("'", "")
            .replace(" or ", ", ")
        )
        given_word = str(context.get("tag", shown))
        near = nearest(given_word, expected.split(", "))
        return Refusal(
            f"is not one of the words for this{f' (did you mean {near}?)' if near else ''}",
            expected,
            where,
            given_word,
            line,
        )
    if kind == "union_tag_not_found":
        return Refusal(
            "does not say what it is",
            f"a line {context['discriminator']} with one of its words",
            where,
            line=line,
        )
    return Refusal("does not fit", _plain_words(error["msg"]), where, str(shown), line)


def _plain_words(message: str) -> str:
    """Turn "Input should be a valid integer" into what is accepted."""
    return (
        message.removeprefix("Value error, ")
        .removeprefix("Input should be ")
        .removeprefix("a valid ")
        .rstrip(".")
    )


def _without_tags(loc: Place, model: type[BaseModel]) -> Place:
    """Drop the steps of an error's place that name a variant of a union, since no key of the file has them."""
    kept: list[str | int] = []
    for step in loc:
        if (
            isinstance(step, str)
            and kept
            and isinstance(kept[-1], int)
            and _is_variant(model, tuple(kept), step)
        ):
            continue
        kept.append(step)
    return tuple(kept)


def _is_variant(model: type[BaseModel], place: Place, step: str) -> bool:
    return any(step in _tags(option) for option in _options(_annotation_at(model, place)))


def _tags(option: type[BaseModel]) -> set[str]:
    """Return the words by which a variant of a union is chosen."""
    what = option.model_fields.get("what")
    return set(get_args(what.annotation)) if what is not None else set()


def _annotation_at(model: type[BaseModel], place: Place) -> Any:
    """Return the type annotation that stands at a place of a model."""
    annotation: Any = model
    for step in place:
        if isinstance(step, int):
            annotation = next(iter(get_args(_bare(annotation))), None)
            continue
        fields = [option.model_fields[step] for option in _options(annotation) if step in option.model_fields]
        if not fields:
            return None
        annotation = fields[0].annotation
    return annotation


def _bare(annotation: Any) -> Any:
    """Drop ``Annotated`` and ``None`` from an annotation."""
    if hasattr(annotation, "__metadata__"):
        return _bare(get_args(annotation)[0])
    rest = [option for option in get_args(annotation) if option is not type(None)]
    return _bare(rest[0]) if type(None) in get_args(annotation) and len(rest) == 1 else annotation


def _options(annotation: Any) -> list[type[BaseModel]]:
    """Return the models that may stand where an annotation does."""
    annotation = _bare(annotation)
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return [annotation]
    if getattr(annotation, "__origin__", None) in {list, tuple, dict}:
        return []
    return [model for option in get_args(annotation) for model in _options(option)]


def _model_at(model: type[BaseModel], place: Place) -> type[BaseModel] | None:
    options = _options(_annotation_at(model, place)) if place else [model]
    return options[0] if options else None


def _accepted(model: type[BaseModel] | None, name: str) -> str:
    """Say what a field takes, from its quantity or its description."""
    field = model.model_fields.get(name) if model else None
    if field is None:
        return "a value"
    for mark in field.metadata:
        if isinstance(mark, Typed):
            return mark.example
    return field.description or "a value"
