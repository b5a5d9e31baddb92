"""A part of a document read as far as it goes: what was refused lacks in it, so that the rest can be looked at all the same."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache, partial
from typing import Any, TypeVar, get_args, get_origin

from pydantic import AfterValidator, BaseModel, ConfigDict, ValidationError, create_model

from ventwright.document import Lines, Place
from ventwright.entry.mistake import keys_of, line_of, options_of, place_of, spelled, tags_of
from ventwright.errors import Attempt, Refused, Unread, nearest

Model = TypeVar("Model", bound=BaseModel)


class Unreadable(BaseModel):
    """An item of a list of which not even the kind is known: whatever is asked of it is not read."""

    model_config = ConfigDict(frozen=True)

    def __getattr__(self, name: str) -> Any:
        """Say so; the machinery of the language is answered as ever."""
        if name.startswith("__"):
            raise AttributeError(name)
        raise Unread(name)


class _NotRead:
    """Stands for a value that was refused."""


_NOT_READ = _NotRead()


def partly_read(model: type[Model], data: object) -> Model:
    """Return a model without the fields that cannot be read; those that are left out have what is usual."""
    given = data if isinstance(data, Mapping) else None
    part = model.model_construct()
    values: dict[str, Any] = {}
    lacking = set(model.model_fields) if given is None else _meant_by_strange_keys(model, given)
    for key, field in keys_of(model).items():
        name = next(known for known, one in model.model_fields.items() if one is field)
        if given is not None and key in given:
            values[name] = _value(model, name, given[key])
        elif name in lacking or field.is_required():
            values[name] = _NOT_READ
        else:
            values[name] = field.get_default(call_default_factory=True)
    part.__dict__.clear()
    part.__dict__.update((name, value) for name, value in values.items() if value is not _NOT_READ)
    part.__pydantic_fields_set__.update(name for name in part.__dict__ if name in (given or ()))
    return part


def _meant_by_strange_keys(model: type[BaseModel], given: Mapping[str, Any]) -> set[str]:
    """Return the absent fields that a misspelt key may stand for: the one most like it, or any where none is."""
    known = keys_of(model)
    absent = {
        key: name for name, field in model.model_fields.items() if (key := field.alias or name) not in given
    }
    meant: set[str] = set()
    for strange in (str(key) for key in given if key not in known):
        near = nearest(strange, known)
        meant |= {absent[near]} if near in absent else set(absent.values())
    return meant


def _value(model: type[BaseModel], name: str, given: object) -> Any:
    """Read the value of one field; where it is refused, as far as it goes."""
    try:
        return vars(alone(model, name).model_validate({"value": given}))["value"]
    except ValidationError:
        pass
    annotation = model.model_fields[name].annotation
    options = options_of(annotation)
    if len(options) == 1 and isinstance(given, Mapping):
        return partly_read(options[0], given)
    items = _items(annotation)
    if items and isinstance(given, (list, tuple)) and given:
        return tuple(_item(items, one) for one in given)
    return _NOT_READ


@cache
def alone(model: type[BaseModel], name: str) -> type[BaseModel]:
    """Make a model of one field alone, read as it is where it stands."""
    from copy import copy

    field = copy(model.model_fields[name])
    field.alias = field.validation_alias = None
    fields: dict[str, Any] = {"value": (field.annotation, field)}
    return create_model("Alone", __config__=model.model_config, **fields)


def _items(annotation: Any) -> list[type[BaseModel]]:
    """Return the models of which a field holds a list; none where it holds something else."""
    for one in (annotation, *get_args(annotation)):
        if get_origin(one) is tuple:
            held = get_args(one)
            return options_of(held[0]) if held[1:] == (Ellipsis,) else []
    return []


def _item(options: list[type[BaseModel]], given: object) -> BaseModel:
    """Read one item of a list as far as it goes, by the word that says what it is where there are several kinds."""
    if len(options) > 1:
        word = str(given.get("what")) if isinstance(given, Mapping) else ""
        options = [option for option in options if word in tags_of(option)]
    return partly_read(options[0], given) if options else Unreadable()


def checks_of(part: BaseModel, lines: Lines, inside: str) -> Iterator[Attempt]:
    """Yield the checks of a part and of the parts in it; those that were made already say the same again.

    What a check refuses is placed in the document, and lacks from then on too: what holds it cannot be judged by it.
    """
    for place, check in _checks_in(part, ()):
        yield partial(_placed, check, part, place, lines, inside)


def _checks_in(part: BaseModel, place: Place) -> Iterator[tuple[Place, Attempt]]:
    """Yield every check with the place of what it looks at, the innermost first."""
    for name, field in type(part).model_fields.items():
        held, key = part.__dict__.get(name), field.alias or name
        if isinstance(held, BaseModel):
            yield from _checks_in(held, (*place, key))
        elif isinstance(held, tuple):
            for number, one in enumerate(held):
                if isinstance(one, BaseModel):
                    yield from _checks_in(one, (*place, key, number))
            for mark in field.metadata:
                if isinstance(mark, AfterValidator):
                    yield (*place, key), partial(mark.func, held)
    for name, check in type(part).__pydantic_decorators__.model_validators.items():
        if check.info.mode == "after":
            yield place, getattr(part, name)


def _placed(check: Attempt, whole: BaseModel, place: Place, lines: Lines, inside: str) -> None:
    """Make a check; what it refuses is placed, and taken out of what was read."""
    try:
        check()
    except Refused as refused:
        found = []
        for refusal in refused.refusals:
            there = (*place, *place_of(refusal.where))
            where = ".".join(one for one in (inside, spelled(there)) if one)
            found.append(refusal.at(where, line_of(there, lines)))
            _forget(whole, there)
        raise Refused(*found, more=refused.more) from None


def _forget(whole: BaseModel, place: Place) -> None:
    """Take the value at a place out of a model, or the nearest part that holds it and can be taken out."""
    at: Any = whole
    last: tuple[BaseModel, str] | None = None
    for step in place:
        if isinstance(at, BaseModel):
            name = next(
                (one for one, field in type(at).model_fields.items() if step in {one, field.alias}), None
            )
            if name is None:
                break
            last, at = (at, name), at.__dict__.get(name)
        elif isinstance(at, tuple) and isinstance(step, int) and step < len(at):
            at = at[step]
        else:
            break
    if last is not None and not isinstance(at, BaseModel):
        last[0].__dict__.pop(last[1], None)


__all__ = ["alone", "checks_of", "partly_read"]
