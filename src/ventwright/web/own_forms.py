"""The forms of an equipment file: which questions and which rows each part of a kit or a board asks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, get_args

from ventwright.tables.board import Board
from ventwright.tables.circuit import Circuit, Function
from ventwright.tables.connector import Connector
from ventwright.tables.damper_signal import DamperSignal
from ventwright.tables.kit import Kit, SettingFile
from ventwright.tables.kit_sensor import NO_RESISTOR, Sensing
from ventwright.tables.sensor_curve import curves
from ventwright.web.form import Form, Question, question

BLANK_ROWS = 3
"""Empty rows below those that are filled in."""


@dataclass(frozen=True, slots=True)
class Column:
    """One column of rows: a field of each, typed or chosen."""

    name: str
    label: str
    options: tuple[str, ...] = ()
    number: bool = False


@dataclass(frozen=True, slots=True)
class Asking:
    """What a part of a file asks: questions, and rows of a list, if any."""

    title: str
    questions: tuple[Question, ...] = ()
    rows_at: str = ""
    columns: tuple[Column, ...] = ()
    takes_out: str = ""
    """The place that goes where the whole part is taken out; nothing where it cannot."""
    connector: str = ""
    """The place of a connector that is drawn beside the form."""
    usual: Mapping[str, str] = field(default_factory=dict)
    """What an answer is where the file leaves it out, by question."""


FUNCTIONS = tuple(one.value for one in Function)
ROLES = tuple(str(one) for one in get_args(Circuit.model_fields["role"].annotation))
NEEDED = tuple(str(one) for one in get_args(Circuit.model_fields["needed"].annotation))

CIRCUIT = (
    Column("function", "carries", FUNCTIONS), Column("role", "this side", ROLES), Column("colour", "colour"),
    Column("needed", "needed", NEEDED),
)  # fmt: skip

CONNECTORS = {"kits": "harness.connectors", "boards": "connectors"}
"""Where each kind of file lists its connectors."""


def asking(folder: str, part: str, number: int) -> Asking | None:
    """Return what a part of a kit or a board asks; None where it has no such part.

    Parameters
    ----------
    folder
        kits or boards.
    part
        head, setting, connector, sensors or terminals.
    number
        Which one of several, from 1.
    """
    if part == "connector" and folder in CONNECTORS:
        return _connector(f"{CONNECTORS[folder]}[{number}]")
    if folder == "kits":
        forms = {"head": _kit_head, "sensors": _sensors}
        if part == "setting":
            return _setting(f"settings[{number}]")
        return forms[part]() if part in forms else None
    forms = {"head": _board_head, "terminals": _terminals}
    return forms[part]() if folder == "boards" and part in forms else None


def _kit_head() -> Asking:
    def ask(name: str, label: str, **changed: Any) -> Question:
        return question(Kit, name, place="", label=label, **changed)

    def signal(name: str, label: str) -> Question:
        return question(DamperSignal, name, place="damper_signal", label=label, kind="text")

    return Asking("Kit", (
        ask("name", "Name"),
        ask("fan_speeds", "Fan speeds it tells apart"),
        ask("variable_fan", "It follows a fan of any speed"),
        ask("high_limit_control", "How it decides whether outdoor air helps", required=True),
        signal("closed", "Damper signal, closed"),
        signal("open", "Damper signal, fully open"),
        ask("integrated", "The damper stays open while the compressor runs"),
        ask("manual_mode", "The damper can be sent to a signal by hand"),
        ask("note", "Note", kind="long"),
    ))  # fmt: skip


def _board_head() -> Asking:
    return Asking("Board", (
        question(Board, "name", place="", label="Name"),
        question(Board, "note", place="", label="Note", kind="long"),
    ))  # fmt: skip


def _setting(place: str) -> Asking:
    def ask(name: str, label: str, **changed: Any) -> Question:
        return question(SettingFile, name, place=place, label=label, **changed)

    return Asking("Setting", (
        ask("label", "What the kit calls it"),
        ask("means", "What it is in the trade's terms", required=True),
        ask("fan", "Fan speed", help="Where the setting belongs to one fan speed."),
        ask("least", "Lowest value", help="With its unit, such as 50 F.", kind="text"),
        ask("most", "Highest value", kind="text"),
        ask("default", "Value out of the box", kind="text"),
        ask("step", "Smallest change", kind="text"),
    ), takes_out=place)  # fmt: skip


def _connector(place: str) -> Asking:
    def ask(name: str, label: str, **changed: Any) -> Question:
        return question(Connector, name, place=place, label=label, **changed)

    return Asking(
        "Connector",
        (
            ask("name", "What it is called"),
            ask("end", "What it is", required=True),
            ask("columns", "Pins in a row"),
            ask("rows", "Rows"),
            ask("key", "What keeps it from going in wrong"),
            ask("numbered_from", "Counted from", required=True),
        ),
        rows_at=f"{place}.circuits",
        columns=(Column("cavity", "pin", number=True), *CIRCUIT),
        takes_out=place,
        connector=place,
        usual={"numbered_from": str(Connector.model_fields["numbered_from"].default)},
    )


def _sensors() -> Asking:
    kinds = (*(one.id for one in curves()), *NO_RESISTOR)
    places = tuple(str(one) for one in get_args(Sensing))
    return Asking("Sensors", rows_at="sensors", columns=(Column("at", "where", places), Column("kind", "curve or signal", kinds)))  # fmt: skip


def _terminals() -> Asking:
    return Asking("Terminals", rows_at="terminals", columns=(Column("mark", "mark"), *CIRCUIT))


@dataclass(frozen=True, slots=True)
class Row:
    """One row as the page shows it: its number on the page, which item of the list it was, and its cells as typed."""

    number: int
    was: int
    cells: Mapping[str, str]


def rows_of(held: list[Any], columns: tuple[Column, ...]) -> list[Row]:
    """Return the rows of a list, and some that are blank."""
    filled = [
        Row(number, number, {one.name: str(item.get(one.name, "")) for one in columns})
        for number, item in enumerate(held, start=1)
    ]
    more = range(len(filled) + 1, len(filled) + 1 + BLANK_ROWS)
    return filled + [Row(number, 0, {one.name: "" for one in columns}) for number in more]


def typed_rows(form: Form, columns: tuple[Column, ...]) -> list[Row]:
    """Return the rows as they were typed."""
    found, number = [], 1
    while f"row.{number}.{columns[0].name}" in form.texts:
        was = form.get(f"row.{number}.was")
        cells = {one.name: form.get(f"row.{number}.{one.name}") for one in columns}
        found.append(Row(number, int(was) if was.isdigit() else 0, cells))
        number += 1
    return found


def items_of(
    rows: list[Row], held: list[Any], columns: tuple[Column, ...]
) -> tuple[list[Any], dict[int, int]]:
    """Make a list of rows, and tell which row on the page each of its items is.

    What a row does not ask stays as it was.
    """
    items, from_row = [], {}
    for row in rows:
        given = {one.name: _cell(row.cells[one.name], one) for one in columns if row.cells[one.name]}
        if not given:
            continue
        before = dict(held[row.was - 1]) if 0 < row.was <= len(held) else {}
        kept = {key: value for key, value in before.items() if key not in {one.name for one in columns}}
        ordered = {one.name: given[one.name] for one in columns if one.name in given}
        items.append(ordered | kept)
        from_row[len(items)] = row.number
    return items, from_row


def _cell(text: str, column: Column) -> Any:
    return int(text) if column.number and text.isdigit() else text
