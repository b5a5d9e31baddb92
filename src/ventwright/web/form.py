"""Questions of a page, made from the fields of the document, and the answers turned back into what is written there.

A number and its unit are two controls on the page and one text in the document: "72" and "°F" become "72 °F". Whoever
types the unit with the number is taken at his word.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from enum import Enum
from types import UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import BaseModel

from ventwright.entry import Typed
from ventwright.errors import Refusal
from ventwright.quantity import FRACTION, VOLTAGE, Dimension, System

NUMBER_AND_UNIT = re.compile(r"\s*([-+−–]?[\d.,]*\d\.?)\s*(.*?)\s*")
BAND = re.compile(r"±|\+/-|\+-")
EXPONENT = re.compile(r"(?<=[\d.])[eE][-+]?\d+\s*$")
"""The end of a number such as 1e9."""

UNSIGNED = (FRACTION, VOLTAGE)
"""Of which what is asked here is never below zero, though it may exist."""

Kind = Literal["quantity", "choice", "text", "long", "count", "day", "yes"]


@dataclass(frozen=True, slots=True)
class Option:
    """One of several answers: what is written in the document, and what the page calls it."""

    value: str
    label: str


@dataclass(frozen=True, slots=True)
class Question:
    """One thing asked on a page.

    ``place`` is where the answer stands in the document; ``units`` are offered beside a number, the first by default,
    ``usual`` before the others; ``suggest`` is the address that offers answers as one types.
    """

    name: str
    label: str
    place: str
    kind: Kind
    help: str = ""
    required: bool = False
    options: tuple[Option, ...] = ()
    dimensions: tuple[Dimension, ...] = ()
    system: System = "us"
    suggest: str = ""
    usual: str = ""

    @property
    def units(self) -> tuple[str, ...]:
        """Units offered beside the number, the present system's first."""
        chosen = [one for dimension in self.dimensions for one in _units(dimension, self.system)]
        first = [self.usual] if self.usual in chosen and self.system == "us" else []
        return tuple(dict.fromkeys([*first, *chosen]))

    @property
    def never_below_zero(self) -> bool:
        """Whether its number has no sign: the key for one then writes the ±."""
        return bool(self.dimensions) and all(
            one in UNSIGNED or one.at_least >= 0.0 for one in self.dimensions
        )


def _units(dimension: Dimension, system: System) -> list[str]:
    first, second = (dimension.us, dimension.si) if system == "us" else (dimension.si, dimension.us)
    return [unit.names[0] for unit in (first, second, *dimension.others)]


@dataclass(frozen=True, slots=True)
class Asked:
    """A question with what stands in it, what is wrong with that, and values offered to tap."""

    question: Question
    given: str = ""
    unit: str = ""
    refusal: str = ""
    offered: tuple[str, ...] = ()


def question(
    model: type[BaseModel], name: str, *, place: str, label: str, system: System = "us", **changed: Any
) -> Question:
    """Ask for one field of a document's model.

    Parameters
    ----------
    model, name
        The model and its field: they decide what kind of answer is taken.
    place
        Where the model stands in the document, such as "facts.unit".
    label
        What the page calls it.
    changed
        Anything of a Question that is to differ, such as ``help`` or ``kind``.
    """
    info = model.model_fields[name]
    kinds = _kinds(info.annotation, info.metadata)
    asked = Question(
        name=name,
        label=label,
        place=f"{place}.{name}" if place else name,
        system=system,
        required=info.is_required(),
        **kinds,
    )
    return replace(asked, **changed)


def _kinds(annotation: Any, metadata: Iterable[Any] = ()) -> dict[str, Any]:
    """Tell from the type of a field which kind of answer it takes, with its options or dimensions."""
    for one in metadata:
        if isinstance(one, Typed):
            return {"kind": "quantity", "dimensions": one.dimensions}
    origin = get_origin(annotation)
    if origin is Annotated:
        inner, *rest = get_args(annotation)
        return _kinds(inner, rest)
    if origin in {Union, UnionType}:
        kept = [one for one in get_args(annotation) if one is not type(None)]
        return _kinds(kept[0])
    if origin is Literal:
        return {
            "kind": "choice",
            "options": tuple(Option(str(one), str(one)) for one in get_args(annotation)),
        }
    if isinstance(annotation, type) and issubclass(annotation, Enum):
        return {"kind": "choice", "options": tuple(Option(one.value, one.value) for one in annotation)}
    return {"kind": _plain_kind(annotation)}


def _plain_kind(annotation: Any) -> Kind:
    """Tell from a type without options or a dimension which kind of answer it takes."""
    kinds: tuple[tuple[type, Kind], ...] = ((bool, "yes"), (int, "count"), (float, "count"), (date, "day"))
    found = (kind for known, kind in kinds if isinstance(annotation, type) and issubclass(annotation, known))
    return next(found, "text")


def filled(
    questions: Iterable[Question],
    document: Mapping[str, Any],
    *,
    typed: Mapping[str, str] | None = None,
    refusals: Sequence[Refusal] = (),
    offered: Mapping[str, Sequence[str]] | None = None,
) -> list[Asked]:
    """Put into questions what the document holds, or what was just typed and refused, with the reasons."""
    wrong = {one.where: one for one in reversed(refusals)}
    more = offered or {}
    return [_filled(one, document, typed, wrong, more.get(one.name, ())) for one in questions]


def _filled(
    one: Question,
    document: Mapping[str, Any],
    typed: Mapping[str, str] | None,
    wrong: Mapping[str, Refusal],
    offered: Sequence[str],
) -> Asked:
    refusal = next((kept for where, kept in wrong.items() if stands_in(where, one.place)), None)
    sentence = replace(refusal, where="", line=None).sentence if refusal else ""
    if typed is not None and one.name in typed:
        return Asked(one, typed[one.name], typed.get(f"{one.name}.unit", ""), sentence, tuple(offered))
    held = value_at(document, one.place)
    text = _shown_text(held)
    if one.kind != "quantity":
        return Asked(one, text, "", sentence, tuple(offered))
    number, unit = parted(text, one)
    return Asked(one, number, unit, sentence, tuple(offered))


def _shown_text(held: Any) -> str:
    if held is None or held is False:
        return ""
    if held is True:
        return "yes"
    return "\n".join(map(str, held)) if isinstance(held, list) else str(held)


def stands_in(where: str, place: str) -> bool:
    """Whether a refusal's place is a question's place or lies inside it."""
    return where == place or where.startswith((f"{place}.", f"{place}["))


def parted(text: str, one: Question) -> tuple[str, str]:
    """Part what the document holds into a number and one of the units offered; whole where that cannot be done."""
    found = NUMBER_AND_UNIT.fullmatch(text)
    if found is None:
        return text, one.units[0] if one.units else ""
    for dimension in one.dimensions:
        unit = dimension.unit(found[2])
        if unit is not None:
            return found[1], unit.names[0]
    return text, one.units[0] if one.units else ""


def answers(questions: Iterable[Question], form: Mapping[str, str]) -> dict[str, Any]:
    """Return what a form gives for each place of the document; None for what was left open.

    What cannot be read stays text: the document refuses it with its own sentence.
    """
    return {one.place: _answer(one, form) for one in questions if one.kind == "yes" or one.name in form}


def _answer(one: Question, form: Mapping[str, str]) -> Any:
    text = form.get(one.name, "").strip()
    if one.kind == "yes":
        return text == "yes"
    if not text:
        return None
    if one.kind == "quantity":
        return _with_unit(text, form.get(f"{one.name}.unit", "") or (one.units[0] if one.units else ""))
    if one.kind == "count":
        return _number(text)
    return text


def _with_unit(text: str, unit: str) -> str:
    """Put the unit of the control beside a number that was typed without one: before its "±", where it has one."""
    found = BAND.search(text)
    number, band = (text[: found.start()], text[found.start() :]) if found else (text, "")
    plain = EXPONENT.sub("", number)
    bare = NUMBER_AND_UNIT.fullmatch(plain)
    if bare is None or any(map(str.isalpha, plain)) or set("%°") & set(plain):
        return text
    return f"{number.strip()} {unit} {band}".strip()


def _number(text: str) -> Any:
    """Return a number as a number where it is one."""
    try:
        return int(text)
    except ValueError:
        try:
            return float(text)
        except ValueError:
            return text


def value_at(document: Any, place: str) -> Any:
    """Return what stands at a place such as "facts.spaces[2].use", counted from one; None where nothing does."""
    held = document
    for name in re.findall(r"[^.\[\]]+|\[\d+\]", place):
        if name.startswith("["):
            number = int(name[1:-1])
            held = held[number - 1] if isinstance(held, list) and 0 < number <= len(held) else None
        else:
            held = held.get(name) if isinstance(held, Mapping) else None
        if held is None:
            return None
    return held


@dataclass(frozen=True, slots=True)
class Mistake:
    """A refusal as the page lists it: its sentence, and the name of the question it belongs to."""

    sentence: str
    name: str = ""


def mistakes(refusals: Iterable[Refusal], questions: Iterable[Question] = ()) -> list[Mistake]:
    """List refusals for the head of a page, each with a way to its field."""
    known = list(questions)
    found = []
    for one in refusals:
        asked = next((each for each in known if stands_in(one.where, each.place)), None)
        where = asked.label if asked else one.where
        found.append(Mistake(one.at(where).sentence, asked.name if asked else ""))
    return found


@dataclass(frozen=True, slots=True)
class Form:
    """A form as it came: texts by name, several under one name, and files."""

    texts: Mapping[str, str]
    several: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    files: Mapping[str, tuple[str, bytes]] = field(default_factory=dict)
    every_file: Mapping[str, tuple[tuple[str, bytes], ...]] = field(default_factory=dict)
    """Of a field that takes several."""

    def get(self, name: str, otherwise: str = "") -> str:
        """Return a text, trimmed."""
        return self.texts.get(name, otherwise).strip()
