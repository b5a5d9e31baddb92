"""The practice unit after everything that was entered: what is repaired, what is set, what was changed and not put back."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from ventwright.entry import Typed
from ventwright.entry.typed import OF_A_SIGNAL
from ventwright.errors import Refused
from ventwright.physics.rooftop.control_fault import ForgottenResistor, ReversedValveSense, WrongSetting
from ventwright.physics.rooftop.control_settings import TERMS, ControlSettings, changed_settings
from ventwright.physics.rooftop.hardware_fault import HardwareFault, HardwareFaultKind
from ventwright.physics.rooftop.operating import Fault
from ventwright.physics.rooftop.sensing import Place
from ventwright.plan import Plan, Setting
from ventwright.readings import Kind, Readings, Repaired, SensorCheck, SettingRead, TemporaryChange
from ventwright.readings.changes import ChangeKind
from ventwright.readings.practice.hidden import HiddenFault, HiddenUnit
from ventwright.readings.practice.unit_in_state import UnitAsItStands
from ventwright.tables.kit import Term
from ventwright.tables.procedure import MaskingFault, fault_or_step

INPUTS = {
    "outdoor air": (Place.OUTDOOR, "outdoor_dry_bulb"),
    "return air": (Place.RETURN, "return_dry_bulb"),
    "mixed air": (Place.MIXED, "mixed_dry_bulb"),
    "supply air": (Place.SUPPLY, "supply_dry_bulb"),
}
"""Sensors of the document: where they stand, and the field of what is sensed."""
STILL_IMITATED = 1.0
"""A sensor that shows no nearer than this to what a substitute imitates is the sensor again (our own assumption). [K]"""
SENSES = ("powered in cooling", "powered in heating")
"""Of a reversing valve, in the order of the kits' choice."""
SAME = 1e-3
"""Difference of two settings that is only rounding. [unit of the setting]"""
_SIGNAL = re.compile(r"([\d.]+)\s*(%|V|mA)")


@dataclass(frozen=True, slots=True)
class RoofNow:
    """The unit now, and what of the hidden is still there."""

    unit: UnitAsItStands
    left: tuple[HiddenFault, ...]
    """Hidden faults that nobody has put right."""
    repaired: tuple[str, ...]
    """Ids of faults that were repaired, whether they were there or not."""
    changes: tuple[TemporaryChange, ...]
    """Made for a test and not put back."""
    settings: Mapping[str, float]
    """By the kit's label in small letters, as the controller has them. [SI]"""


def as_it_stands(hidden: HiddenUnit, readings: Readings) -> RoofNow:
    """Return the practice unit after everything that a job holds.

    Parameters
    ----------
    hidden
        What the code stands for.
    readings
        Of the job.
    """
    repaired = tuple(id_ for entry in readings.standing(Repaired) for id_ in named_by(entry.of))
    faults = [one for one in hidden.faults if one.row.id not in repaired]
    found = _found_at(hidden.plan, faults)
    now = {**found, **_entered(hidden.plan, readings)}
    left = tuple(one for one in faults if not _set_right(one, hidden.plan.settings, found, now))
    changes = tuple(_not_put_back(hidden.plan, readings))
    meant = _meant(hidden, found, now)
    set_at = {place: _in_sequence(one, now) for one in hidden.plan.settings for place in _places(one)}
    wrong = [
        WrongSetting(place, value)
        for place, value in set_at.items()
        if _differs(_value_at(meant, place), value)
    ]
    acts = [act for one in left for act in one.acts if _place_of(act) not in set_at]
    acts += [*wrong, *(fault for change in changes for fault in _effects(change))]
    held = [at for one in changes if (at := _held_at(one, hidden.plan)) is not None]
    called = tuple(one.call for one in changes if one.call is not None)
    unit = replace(
        hidden.sound, meant=meant, faults=tuple(acts), held_at=held[-1] if held else None, called=called
    )
    return RoofNow(unit, left, repaired, changes, now)


def named_by(of: str) -> tuple[str, ...]:
    """Ids of the faults that a repair names; none for a step."""
    what = fault_or_step(of)
    if not isinstance(what, MaskingFault):
        return ()
    return (of,) if of in what.includes else what.includes


def _places(setting: Setting) -> tuple[str, ...]:
    """Where the sequence has a setting; nowhere where it takes no notice of it, twice where one serves every fan speed."""
    place = TERMS.get((setting.means.value, setting.fan))
    if place is None:
        return ()
    return (
        (place, "minimum.at_slowest") if place == "minimum.at_fastest" and setting.fan is None else (place,)
    )


def _place_of(act: Fault) -> str:
    """Which setting a fault has wrong; none where it is another kind of fault."""
    if isinstance(act, ReversedValveSense):
        return "valve"
    return act.place if isinstance(act, WrongSetting) else ""


def _found_at(plan: Plan, faults: Sequence[HiddenFault]) -> dict[str, float]:
    """What the controller had when the job began: the plan's settings, but for those that a fault has wrong."""
    wrong = {act.place: act.value for one in faults for act in one.acts if isinstance(act, WrongSetting)}
    reversed_valve = any(isinstance(act, ReversedValveSense) for one in faults for act in one.acts)
    found = {}
    for one in plan.settings:
        value = next((wrong[place] for place in _places(one) if place in wrong), one.si)
        if one.means is Term.REVERSING_VALVE and reversed_valve:
            value = 1.0 - one.si
        found[one.label.lower()] = _as_the_kit_has_it(value, one, plan)
    return found


def _as_the_kit_has_it(value: float, setting: Setting, plan: Plan) -> float:
    """Take a wrong value to a step within the kit's range; the plan's own stays what it is."""
    step = plan.kit.setting(setting.label).step
    if step is not None and abs(value - setting.si) > SAME:
        value = setting.least.value + step * round((value - setting.least.value) / step)
    return min(max(value, setting.least.value), setting.most.value)


def _in_sequence(setting: Setting, now: Mapping[str, float]) -> Any:
    """Value of a setting as the sequence takes it: the sense of a valve in words."""
    value = now[setting.label.lower()]
    return SENSES[round(value)] if setting.means is Term.REVERSING_VALVE else value


def _meant(hidden: HiddenUnit, found: Mapping[str, float], now: Mapping[str, float]) -> ControlSettings:
    """Return what is meant: the plan's settings, and a minimum opening that somebody set after reading the air."""
    chosen = {
        place: _in_sequence(one, now)
        for one in hidden.plan.settings
        for place in _places(one)
        if one.means is Term.MINIMUM_DAMPER_SIGNAL
        and abs(now[one.label.lower()] - found[one.label.lower()]) > SAME
    }
    return changed_settings(hidden.sound.meant, chosen)


def _entered(plan: Plan, readings: Readings) -> dict[str, float]:
    """Settings as somebody left them: what was read back last, or changed for a test and not put back."""
    known = {one.label.lower(): one.label for one in plan.settings}
    entries = [one for one in readings.standing(SettingRead) if one.label.lower() in known]
    found = {
        one.label.lower(): plan.kit.setting(known[one.label.lower()]).read(one.value).value for one in entries
    }
    for change in _not_put_back(plan, readings):
        label = (change.label or "").strip().lower()
        if label in known:
            found[label] = plan.kit.setting(known[label]).read(change.changed_to).value
    return found


def _set_right(
    fault: HiddenFault, meant: Sequence[Setting], found: Mapping[str, float], now: Mapping[str, float]
) -> bool:
    """Whether a fault of setting is gone because somebody set it otherwise than it was found."""
    places = {_place_of(act) for act in fault.acts} - {""}
    own = [one for one in meant if places & set(_places(one))]
    return bool(own) and all(
        abs(now[one.label.lower()] - found[one.label.lower()]) > SAME
        and (one.means is Term.MINIMUM_DAMPER_SIGNAL or abs(now[one.label.lower()] - one.si) <= SAME)
        for one in own
    )


def _not_put_back(plan: Plan, readings: Readings) -> Iterator[TemporaryChange]:
    for change in readings.standing(TemporaryChange):
        if readings.restoration_of(change) is None and not _seen_back(change, plan, readings):
            yield change


def _seen_back(change: TemporaryChange, plan: Plan, readings: Readings) -> bool:
    """Whether a later reading shows that a change is gone: the setting at another value, the sensor as itself."""
    if change.label is not None:
        known = plan.kit.setting(change.label)
        changed = known.read(change.changed_to).value
        later = [
            one for one in _after(change, readings, SettingRead) if one.label.lower() == known.label.lower()
        ]
        return any(abs(known.read(one.value).value - changed) > SAME for one in later)
    checks = [one for one in _after(change, readings, SensorCheck) if one.sensor == change.sensor]
    if change.sensor is None or not checks:
        return False
    imitates = change.imitates
    return imitates is None or abs(checks[-1].shown.value - imitates.value) > STILL_IMITATED


def _after(change: TemporaryChange, readings: Readings, kind: type[Kind]) -> list[Kind]:
    """Entries of one kind that stand and were entered after a change: times are told to the second, and may be the same."""
    place = {one.id: number for number, one in enumerate(readings.entries)}
    return [one for one in readings.standing(kind) if place[one.id] > place[change.id]]


def _effects(change: TemporaryChange) -> Iterator[Fault]:
    """What a change does to the unit while it is there."""
    if change.sensor is None:
        return
    place, field = INPUTS[change.sensor]
    if change.imitates is not None:
        yield ForgottenResistor(field, change.imitates.value)
    elif change.kind is ChangeKind.LEAD:
        yield HardwareFault(HardwareFaultKind.SENSOR_OPEN, 1.0, place)


def _held_at(change: TemporaryChange, plan: Plan) -> float | None:
    """Damper signal of a manual mode, where its words give one. [-]"""
    said = f"{change.point} {change.changed_to}".lower()
    if (
        change.kind not in {None, ChangeKind.OVERRIDE}
        or not re.search("damper|manual", said)
        or change.call is not None
    ):
        return None
    for words, signal in (("open", 1.0), ("shut", 0.0), ("close", 0.0)):
        if words in change.changed_to.lower():
            return signal
    given = _SIGNAL.search(change.changed_to)
    if given is None:
        return None
    try:
        share = plan.kit.share_of_stroke(Typed(OF_A_SIGNAL, 0.0)(given[0]))
    except Refused:
        return None
    return min(max(share, 0.0), 1.0)


def _value_at(settings: Any, place: str) -> Any:
    value = settings
    for name in place.split("."):
        value = getattr(value, name)
    return value


def _differs(one: Any, other: Any) -> bool:
    if isinstance(one, int | float) and isinstance(other, int | float):
        return abs(one - other) > SAME
    return bool(one != other)
