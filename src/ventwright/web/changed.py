"""What a change of a job is called on the pages, and where it is entered: for the word after it was saved or taken back."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from pydantic import TypeAdapter, ValidationError

from ventwright.errors import Refused
from ventwright.quantity import System
from ventwright.readings.entries import AnyEntry
from ventwright.store.change import Change
from ventwright.store.history import History
from ventwright.tables.adapter import Adapter
from ventwright.tables.board import Board
from ventwright.tables.shelf import find, names
from ventwright.web.desk import Opened
from ventwright.web.fact_sections import SECTIONS
from ventwright.web.form import Question, stands_in

MOST_NAMED = 3
"""Changes named one by one; more are counted."""

LONGEST = 100
"""Letters of what is said of one reading."""

UNTOLD = frozenset({"readings.visits"})
"""Lists that a page writes by itself beside what a person entered."""

PLACES = {
    "facts.spaces": ("Spaces", "facts/spaces"),
    "facts.ventilation.zones": ("Spaces", "facts/spaces"),
    "facts.ventilation": ("Outdoor air required", "facts/air"),
    "facts.site": ("Site", "facts/site"),
    "facts.site.weather_file": ("Year of weather", "savings/weather"),
    "facts.instruments": ("Instruments", "facts/instruments"),
    "facts.weather": ("Today's air", "facts/today"),
    "facts.as_found": ("As found", "facts/found"),
    "facts.as_found.settings": ("As found", "set"),
    "facts.power": ("Control power", "wire/power"),
    "facts.harness": ("Wiring", "wire/parts"),
    "facts.harness.board": ("The unit's control board", "wire/parts"),
    "facts.harness.seen_board": ("The board as seen", "wire/seen"),
    "facts.truck": ("Adapters at hand", "wire/parts"),
    "facts.running": ("Through the year", "facts/running"),
    "plan.choices": ("Chosen otherwise", "plan/settings"),
    "readings.photos": ("Photo", "photos"),
    "verdict.deficiencies": ("Remark", "record"),
    "record": ("Signature", "record"),
}
"""What stands at a place and the page that shows it, for what is no single question."""

READ_AT = {
    "setting": "set",
    "sensor check": "prove/sensors",
    "supply air": "balance",
    "mixed air": "balance",
    "outdoor airflow": "balance",
    "temporary change": "restore",
    "restored": "restore",
    "test step": "prove",
    "repaired": "find",
    "fault finding": "find",
    "left safe": "leave",
}
"""The page that shows a reading, by its kind."""

NAMES = ("name", "label", "what", "shows", "by")
"""Keys under which a part says what it is, the best first."""

_entry: TypeAdapter[AnyEntry] = TypeAdapter(AnyEntry)


@dataclass(frozen=True, slots=True)
class Told:
    """Changes in the words of the page, and the address of that page within the job; both empty where nothing is known."""

    words: str = ""
    address: str = ""


def told(history: History, ids: Iterable[str], opened: Opened) -> Told:
    """Say what changes entered, and where that is shown.

    Parameters
    ----------
    history
        The changes of the job, those that were taken back among them.
    ids
        Which changes; one that the job does not have is left out.
    """
    wanted = set(ids)
    found = [
        one
        for one in history.changes
        if one.id in wanted and one.do != "undo" and _bare(one.path) not in UNTOLD
    ]
    if not found:
        return Told()
    named = [_told(one, history.folding.shown_place(one.path), opened) for one in found]
    words = list(dict.fromkeys(one.words for one in named if one.words))
    more = f" and {len(words) - MOST_NAMED} more" if len(words) > MOST_NAMED else ""
    return Told("; ".join(words[:MOST_NAMED]) + more, named[-1].address)


def _bare(place: str) -> str:
    return re.sub(r"\[[^\]]*\]", "", place)


def _told(change: Change, shown: str, opened: Opened) -> Told:
    if _bare(change.path) == "readings.entries" and isinstance(change.value, Mapping):
        return _of_a_reading(change.value, opened)
    if _bare(shown).startswith("facts.as_found.settings."):
        label = _bare(shown).removeprefix("facts.as_found.settings.")
        return Told(f"{label}, as found: {_text(change.value)}", f"set{_of_setting(label, opened)}")
    asked = _question(shown, opened)
    if asked is not None:
        address, question = asked
        return Told(f"{question.label}: {_answer(question, change.value)}", address)
    title, address = _title(_bare(shown))
    if address == "plan/settings" and isinstance(change.value, Mapping):
        label = str(change.value.get("label", ""))
        return Told(
            f"{title}: {label}, {change.value.get('value', '')}", address + _of_setting(label, opened)
        )
    held = _text(_by_name(_bare(shown), change.value))
    return Told(f"{title}: {held}" if title and held else title or held, address)


def _of_a_reading(value: Mapping[str, Any], opened: Opened) -> Told:
    """Say a reading as the list of everything entered says it."""
    kind = str(value.get("what", ""))
    address = READ_AT.get(kind, "entries")
    if kind == "setting":
        address += _of_setting(str(value.get("label", "")), opened)
    if kind == "test step":
        address += f"/{value.get('step', '')}"
    if kind == "restored":
        points = {one.get("id"): one.get("point") for one in opened.entries}
        point = points.get(value.get("change")) or "A change for a test"
        return Told(f"{point}, put back: {value.get('read_back', '')}", address)
    return Told(_subject(value, opened.system), address)


def _subject(value: Mapping[str, Any], system: System) -> str:
    try:
        entry = _entry.validate_python(value)
    except (ValidationError, Refused):
        return str(value.get("what", ""))
    words: str = entry.subject(system)
    short = words if len(words) <= LONGEST else words[:LONGEST].rpartition(" ")[0] + " …"
    return short[:1].upper() + short[1:]


def _of_setting(label: str, opened: Opened) -> str:
    """Return the end of the address of a setting's own page."""
    planned: Sequence[Any] = opened.worked.plan.settings if opened.worked else ()
    numbers = (number for number, one in enumerate(planned, start=1) if one.label.lower() == label.lower())
    number = next(numbers, 0)
    return f"/{number}" if number else ""


def _question(shown: str, opened: Opened) -> tuple[str, Question] | None:
    """Find the question that a place answers, and the address of its section."""
    questions: Iterator[tuple[str, Question]] = (
        (f"facts/{section.name}", one)
        for section in SECTIONS.values()
        for one in section.questions(opened)
        if stands_in(shown, one.place)
    )
    return next(questions, None)


def _answer(question: Question, value: Any) -> str:
    labels = {one.value: one.label for one in question.options}
    return labels.get(str(value)) or _text(value) or "left open"


def _title(place: str) -> tuple[str, str]:
    """Return what stands at a place and the page that shows it: of the nearest place that is known."""
    fitting = [known for known in PLACES if stands_in(place, known)]
    return PLACES[max(fitting, key=len)] if fitting else ("", "")


def _by_name(place: str, value: Any) -> Any:
    """Return boards and adapters of the shelf by the name that people know them by; anything else as it is."""
    if place == "facts.harness.board" and value in names("boards"):
        return find("boards", value, Board).name
    if place == "facts.truck" and isinstance(value, list):
        known = names("adapters")
        return [find("adapters", one, Adapter).name if one in known else one for one in value]
    return value


def _text(value: Any) -> str:
    """Say a value as it was typed; of a part its name."""
    if value is None or value is False:
        return ""
    if isinstance(value, Mapping):
        return next((str(value[key]) for key in NAMES if value.get(key)), "")
    if isinstance(value, list):
        return ", ".join(filter(None, map(_text, value)))
    return "yes" if value is True else str(value)
