"""What pydantic found wrong, in our words: the place as people read it, what was given, what is accepted."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import Enum
from typing import Any, Literal, get_args, get_origin

from pydantic import BaseModel, ValidationError
from pydantic.fields import FieldInfo

from ventwright.document import Lines, Place
from ventwright.entry.typed import A_DAY, A_MOMENT, Typed, as_written
from ventwright.errors import Refusal, Refused, nearest, shortened


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
        if isinstance(step, int):
            text += f"[{step + 1}]"
        else:
            text += f".{shortened(step)}" if text else shortened(step)
    return text


def place_of(where: str) -> Place:
    """Turn ``settings[2].default`` back into a place."""
    steps = re.findall(r"[^.\[\]]+", where)
    return tuple(int(step) - 1 if step.isdigit() else step for step in steps)


def refusals(
    failure: ValidationError, model: type[BaseModel], lines: Lines, inside: str
) -> Iterator[Refusal]:
    """Say every validation error in our words; a check over a whole part may have found several mistakes."""
    for error in failure.errors(include_url=False):
        if error["type"] == "too_short" and len(error["input"]) >= error["ctx"]["min_length"]:
            continue  # long enough as written; the items that are refused are told on their own
        spot = _spot(error["loc"], model)
        cause = error.get("ctx", {}).get("error")
        found = cause.refusals if isinstance(cause, Refused) else (_refusal(error, spot),)
        for refusal in found:
            place = (*spot.place, *place_of(refusal.where))
            where = ".".join(part for part in (inside, spelled(place)) if part)
            yield refusal.at(where, line_of(place, lines))


@dataclass(frozen=True, slots=True)
class _Spot:
    """Where an error stands: its place in the document, the model there, and the field if the model has it."""

    place: Place
    model: type[BaseModel] | None
    field: FieldInfo | None


def _spot(loc: Place, model: type[BaseModel]) -> _Spot:
    """Follow an error's place through the models; a step that names a variant of a union is in no file."""
    annotation: Any = model
    place: list[str | int] = []
    owner, field = None, None
    for step in loc:
        options = options_of(annotation)
        variant = next((option for option in options if step in tags_of(option)), None)
        if variant is not None and len(options) > 1:
            annotation = variant
            continue
        place.append(step)
        if isinstance(step, int) or not options:
            owner, field, annotation = None, None, _item(annotation)
            continue
        owner = next((option for option in options if step in keys_of(option)), options[0])
        field = keys_of(owner).get(step)
        annotation = field.annotation if field else None
    return _Spot(tuple(place), owner, field)


def keys_of(model: type[BaseModel]) -> dict[str, FieldInfo]:
    """Return the fields of a model by the keys that a file has for them."""
    return {field.alias or name: field for name, field in model.model_fields.items()}


def tags_of(option: type[BaseModel]) -> set[str]:
    """Return the words by which a variant of a union is chosen."""
    what = option.model_fields.get("what")
    return set(get_args(what.annotation)) if what is not None else set()


def _bare(annotation: Any) -> Any:
    """Drop ``Annotated`` and ``None`` from an annotation."""
    if hasattr(annotation, "__metadata__"):
        return _bare(get_args(annotation)[0])
    rest = [option for option in get_args(annotation) if option is not type(None)]
    return _bare(rest[0]) if type(None) in get_args(annotation) and len(rest) == 1 else annotation


def options_of(annotation: Any) -> list[type[BaseModel]]:
    """Return the models that may stand where an annotation does."""
    annotation = _bare(annotation)
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return [annotation]
    if get_origin(annotation) in {list, tuple, dict}:
        return []
    return [model for option in get_args(annotation) for model in options_of(option)]


def _item(annotation: Any) -> Any:
    """Return what a list holds, or the values of a mapping."""
    held = get_args(_bare(annotation))
    return held[-1 if get_origin(_bare(annotation)) is dict else 0] if held else None


def _refusal(error: Mapping[str, Any], spot: _Spot) -> Refusal:
    """Say in our words what pydantic found; the place is added by the caller."""
    kind, given, context = error["type"], error["input"], error.get("ctx", {})
    if kind == "missing":
        return Refusal("is missing", _accepted(spot.field))
    if kind == "extra_forbidden":
        known = list(keys_of(spot.model)) if spot.model else []
        return Refusal(f"is not known here{_hint(str(spot.place[-1]), known)}", ", ".join(known))
    if kind == "union_tag_not_found":
        accepted = f"a line {context['discriminator']} with one of its words".replace("'", "")
        return Refusal("does not say what it is", accepted)
    if kind in {"literal_error", "enum", "union_tag_invalid"}:
        expected = str(context.get("expected") or context.get("expected_tags"))
        known = re.findall(r"'([^']*)'", expected)
        word = str(context.get("tag", as_written(given)))
        return Refusal(
            f"is not one of the words for this{_hint(word, known)}", ", ".join(known) or expected, given=word
        )
    blank = given.strip() == "" if isinstance(given, str) else given in (None, (), [])
    if blank:
        return Refusal("is left blank", _accepted(spot.field))
    return Refusal("does not fit", _fitting(kind, context, spot.field, error["msg"]), given=as_written(given))


def _hint(given: str, known: Sequence[str]) -> str:
    near = nearest(given, known)
    return f" (did you mean {near}?)" if near else ""


_A_PART = 'lines of the form "key: value"'
_WHOLE_NUMBER = "a whole number"
_FITTING = {
    "string_type": "text, in quotes where it looks like a number",
    "string_too_short": "at least {min_length} letters",
    "string_too_long": "at most {max_length} letters",
    "int_type": _WHOLE_NUMBER,
    "int_parsing": _WHOLE_NUMBER,
    "int_from_float": _WHOLE_NUMBER,
    "float_type": "a number",
    "float_parsing": "a number",
    "finite_number": "a number",
    "bool_type": "true or false",
    "bool_parsing": "true or false",
    "tuple_type": "a list",
    "list_type": "a list",
    "too_short": "at least {min_length}",
    "too_long": "at most {max_length}",
    "dict_type": _A_PART,
    "model_type": _A_PART,
    "model_attributes_type": _A_PART,
    "greater_than": "above {gt:g}",
    "greater_than_equal": "at least {ge:g}",
    "less_than": "below {lt:g}",
    "less_than_equal": "at most {le:g}",
}


def _fitting(kind: str, context: Mapping[str, Any], field: FieldInfo | None, message: str) -> str:
    """Say what would fit, from the kind of the error; a pattern says less than the field's description."""
    if kind in _FITTING:
        return _FITTING[kind].format(**context)
    if kind.startswith(("datetime", "timezone")):
        return A_MOMENT
    if kind.startswith("date"):
        return A_DAY
    if kind == "string_pattern_mismatch" and field is not None and field.description:
        return field.description
    return message.removeprefix("Value error, ").removeprefix("Input should be ").rstrip(".")


def _accepted(field: FieldInfo | None) -> str:
    """Say what a field takes, from its quantity, its description, its words or the keys of its part."""
    if field is None:
        return "a value"
    for mark in field.metadata:
        if isinstance(mark, Typed):
            return mark.example
    annotation = _bare(field.annotation)
    chosen, said = _words_of(annotation), field.description or ""
    if chosen and not all(word in said for word in chosen):
        return ", ".join(chosen)  # what the field is about is its name already; what may stand there is not
    models = options_of(annotation)
    if said:
        return said
    if len(models) == 1:
        return f"a part with {', '.join(keys_of(models[0]))}"
    return "a value"


def _words_of(annotation: Any) -> tuple[str, ...]:
    """Return the words of which a field takes one; nothing where it takes others."""
    if get_origin(annotation) is Literal:
        return tuple(str(word) for word in get_args(annotation))
    if isinstance(annotation, type) and issubclass(annotation, Enum):
        return tuple(str(word.value) for word in annotation)
    return ()
