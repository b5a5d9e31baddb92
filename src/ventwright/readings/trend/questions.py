"""What only a person can answer about a log, each in one sentence that says how to answer; and what is worth knowing."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from ventwright.errors import Refusal
from ventwright.readings.trend.naming import NOT_USED, SURE
from ventwright.readings.trend.stamps import DAY_FIRST, MONTH_FIRST, TimeForm
from ventwright.readings.trend.understood import SHARED, Column, LogFile
from ventwright.tables.point import points

SAY_IN_MAP: Final = "a point map that says it (--write-points writes one to correct, --points reads it)"


def order_of_all(forms: Sequence[TimeForm]) -> str:
    """Return the order of day and month that the files which show it agree on; "" where none does or they differ."""
    orders = {form.order for form in forms if form.kind == "two figures" and form.order}
    return orders.pop() if len(orders) == 1 else ""


def asked(files: Sequence[LogFile]) -> Iterator[Refusal]:
    """Yield every open question, each once for all files that it is about."""
    questions = dict.fromkeys(one for file in files for one in (*_about_time(file), *_about_columns(file)))
    yield from questions


def _about_time(file: LogFile) -> Iterator[Refusal]:
    form = file.layout.form
    if form.kind == "two figures" and not form.order:
        accepted = f'--dates "{MONTH_FIRST}" or --dates "{DAY_FIRST}"'
        yield Refusal("has dates of which either figure may be the month", accepted, given=file.name)
    if form.kind == "no year" and form.year is None:
        yield Refusal("has dates without a year", "--year with the year of its first row", given=file.name)


def _about_columns(file: LogFile) -> Iterator[Refusal]:
    taken: dict[tuple[str, str], Column] = {}
    for column in file.columns:
        if column.point == NOT_USED:
            continue
        if not column.confirmed:
            yield from _about_one(column)
        for unit in file.units if column.unit == SHARED else (column.unit,):
            first = taken.setdefault((unit, column.point), column)
            if first is not column:
                problem = f'and "{first.heading}" are both taken for the {column.of.name} of {unit}'
                yield Refusal(problem, f'{SAY_IN_MAP}, with "{NOT_USED}" for one', given=column.heading)


def _about_one(column: Column) -> Iterator[Refusal]:
    if not column.guess.is_sure or column.guess.chance < SURE:
        names = [points()[column.point].name, *(points()[name].name for name, _ in column.guess.others[:2])]
        yield Refusal(f"may be the {' or the '.join(names)}, or none", SAY_IN_MAP, given=column.heading)
    elif column.told is not None and not column.told.is_sure:
        likely = column.told.measure.name if column.told.measure else ""
        choices = ", ".join(dict.fromkeys([*([likely] if likely else []), *column.told.others])) or "its unit"
        problem = f"does not tell its unit ({column.told.why})"
        yield Refusal(problem, f"{choices}, in {SAY_IN_MAP}", given=column.heading)


def remarks(files: Sequence[LogFile]) -> Iterator[str]:
    """Yield what is taken for granted, so that nobody is misled by it."""
    without = [
        file.name for file in files if file.zone is None and file.layout.form.kind != "seconds since 1970"
    ]
    if without:
        yield (
            "No time zone was given: the clock of the files is taken as it is, without summer time. "
            "--zone Area/City puts it right."
        )
    for file in files:
        empty = [
            one.heading
            for one in file.columns
            if one.point == NOT_USED
            and one.guess.point != NOT_USED
            and not one.confirmed
            and one.guess.chance >= SURE
        ]
        if empty:
            yield f"{file.name}: no value was found in {', '.join(empty)}, which is therefore not read."
    if not any(one.confirmed for file in files for one in file.columns):
        yield "No point map was given: what each column is taken for is a guess. --write-points keeps it for looking over once."
    if any(
        one.is_used and one.measure is not None and one.measure.name == "kg/s"
        for file in files
        for one in file.columns
    ):
        yield "A flow of mass is taken for one of standard air of 1.2 kg/m3."
