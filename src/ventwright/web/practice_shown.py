"""What the practice unit shows, put into the fields of a page as if somebody had typed it; entering it stays with the person."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from ventwright.readings.practice.code import read_code
from ventwright.readings.practice.hidden import hidden_unit
from ventwright.readings.practice.shown import PracticeRoof, Shown, roof_of
from ventwright.tables.measurement import measurements
from ventwright.web.desk import Opened
from ventwright.web.form import Form, Question, parted
from ventwright.words import Amount

Fields = Mapping[str, Shown | tuple[Amount, ...]]
"""What is shown, by the name of the question it answers."""


def practice_roof(opened: Opened) -> PracticeRoof | None:
    """Return the practice roof of a job; None for a real unit."""
    if opened.worked is None or not opened.practice:
        return None
    worked = opened.worked
    return roof_of(opened.practice, worked.job.facts, worked.plan, worked.job.readings)


def practice_complaint(opened: Opened) -> str:
    """Say what people inside an invented shop complain of; empty for a real unit."""
    if not opened.practice:
        return ""
    words = {one.id: one.words for one in measurements().complaints}
    return words.get(hidden_unit(read_code(opened.practice)).complaint, "nobody complains")


def asked_to_read(form: Form) -> bool:
    """Whether a form was sent to read the practice unit, not to enter anything."""
    return form.get("practice") == "read"


def with_shown(form: Form, questions: Sequence[Question], shown: Fields) -> Form:
    """Return a form as it was typed, with what the practice unit shows in its fields."""
    texts = dict(form.texts)
    for one in questions:
        if one.name in shown:
            texts |= _texts(one, shown[one.name])
    return replace(form, texts=texts)


def _texts(one: Question, value: Shown | tuple[Amount, ...]) -> dict[str, str]:
    if isinstance(value, str):
        return {one.name: value}
    if isinstance(value, Amount):
        number, unit = parted(value.show(one.system), one)
        return {one.name: number, f"{one.name}.unit": unit}
    pairs = [parted(point.show(one.system), one) for point in value]
    return {one.name: ", ".join(number for number, _ in pairs), f"{one.name}.unit": pairs[0][1]}
