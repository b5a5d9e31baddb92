"""The temporary change that a step of the tests needs, with what is known of it filled in."""

from __future__ import annotations

from ventwright.plan.functional_tests import PlannedStep
from ventwright.quantity import RESISTANCE, TEMPERATURE
from ventwright.readings.changes import ChangeKind, TemporaryChange
from ventwright.web.desk import Opened
from ventwright.web.form import Question, question
from ventwright.words import Amount

KINDS: dict[str, ChangeKind] = {
    "substitute resistor": ChangeKind.RESISTOR,
    "warm or cold pack": ChangeKind.PACK,
    "temporary setting": ChangeKind.SETTING,
    "manual mode": ChangeKind.OVERRIDE,
    "cooling call": ChangeKind.JUMPER,
}
"""What kind of change each way to simulate is."""

ASKED: dict[ChangeKind | None, tuple[str, ...]] = {
    ChangeKind.RESISTOR: ("kind", "point", "sensor", "was", "changed_to", "resistance", "imitates"),
    ChangeKind.PACK: ("kind", "point", "sensor", "was", "changed_to", "imitates"),
    ChangeKind.SETTING: ("kind", "point", "label", "was", "changed_to"),
}

LABELS = {
    "kind": "Kind of change",
    "point": "What is changed",
    "sensor": "At which sensor",
    "was": "How it is now",
    "changed_to": "How it is for the test",
    "resistance": "The resistor",
    "imitates": "What the controller then shows",
    "label": "The setting, as the kit calls it",
}


def needs_change(planned: PlannedStep) -> bool:
    """Whether something is changed for a step that has to go back: by the step itself, or to simulate its condition."""
    return planned.changes_something or planned.simulated is not None


def change_questions(planned: PlannedStep, opened: Opened) -> list[Question]:
    """Ask for the change; nothing where the step changes nothing."""
    if not needs_change(planned):
        return []
    way = planned.simulated.way if planned.simulated is not None else ""
    names = ASKED.get(KINDS.get(way), ("kind", "point", "was", "changed_to"))
    return [
        question(TemporaryChange, name, place="", label=LABELS[name], system=opened.system) for name in names
    ]


def change_written(planned: PlannedStep, opened: Opened) -> dict[str, str]:
    """Fill in what the plan knows of the change; what only the eye can tell stays open."""
    simulated = planned.simulated
    if simulated is None:
        return {"point": planned.step.do[:60] if planned.changes_something else ""}
    known = {"kind": KINDS[simulated.way].value, "point": simulated.way}
    if simulated.resistance is not None:
        number = f"{simulated.resistance:.0f}"
        known |= {"resistance": number, "resistance.unit": RESISTANCE.si.names[0], "sensor": "outdoor air",
                  "point": "sensor input", "was": "sensor connected", "changed_to": f"resistor of {number} ohm"}  # fmt: skip
    if simulated.shows is not None:
        number, _, unit = Amount(simulated.shows, TEMPERATURE).show(opened.system).partition(" ")
        known |= {"imitates": number, "imitates.unit": unit}
    if simulated.setting is not None:
        known |= {
            "label": simulated.setting,
            "point": simulated.setting,
            "was": _as_left(simulated.setting, opened),
        }
    return known


def _as_left(label: str, opened: Opened) -> str:
    """Return what a setting was last read at, as it was typed; nothing where nobody read it."""
    if opened.worked is None:
        return ""
    found = opened.worked.job.readings.settings_left().get(label.lower())
    return "" if found is None else str(found.value)
