"""The field for a value of a kit's setting: its units, its range as it is typed, and a value as the kit shows it."""

from __future__ import annotations

import json

from ventwright.errors import Refusal, Refused
from ventwright.plan import Plan, Setting
from ventwright.quantity import Dimension, System, Unit, unit_value
from ventwright.tables.damper_signal import is_sent
from ventwright.tables.kit import KitSetting
from ventwright.web.form import Option, Question
from ventwright.words import Amount


def setting_question(setting: KitSetting, name: str, label: str, place: str, system: System) -> Question:
    """Ask for a value of a setting: one of its words, or a number with a unit, the kit's own unit first."""
    if setting.dimension.words:
        options = tuple(Option(word, word) for word in setting.dimension.words)
        return Question(name, label, place, "choice", required=True, options=options)
    return Question(
        name, label, place, "quantity", required=True, dimensions=setting.typed_in, system=_kits_system(setting, system)
    )  # fmt: skip


def _kits_system(setting: KitSetting, otherwise: System) -> System:
    """Units in which the controller shows a setting: those its file gives the range in."""
    unit = _kits_unit(setting)
    if unit == setting.dimension.us:
        return "us"
    return "si" if unit == setting.dimension.si else otherwise


def _kits_unit(setting: KitSetting) -> Unit:
    """Return the unit of the range in the kit's file."""
    typed = setting.least.typed.lstrip("+-−0123456789., ")
    return setting.dimension.unit(typed) or setting.dimension.si


def as_kit_shows(setting: KitSetting, value: float) -> str:
    """Return a SI value as the controller shows it, such as "75 °F"; exact, so that it can be entered as it stands."""
    if setting.dimension.words:
        return setting.dimension.words[round(value)]
    unit = _kits_unit(setting)
    return f"{unit_value(value, unit):.10g} {unit.names[0]}"


def range_words(setting: KitSetting) -> str:
    """Say the range and the step of a setting as its kit does."""
    if setting.dimension.words:
        return " or ".join(setting.dimension.words)
    ends = " to ".join(as_kit_shows(setting, one.value) for one in (setting.least, setting.most))
    return (
        ends
        if setting.step is None
        else f"{ends}, in steps of {_step(setting, _kits_unit(setting)):.10g} {_kits_unit(setting).names[0]}"
    )


def shown_range(setting: KitSetting, system: System) -> str:
    """Say the range of a setting in the units of the screens, and as its kit does where that differs."""
    metered = _range_sent(setting, system)
    if _same_units(setting, system):
        return f"{range_words(setting)}{metered}"
    low, high = (Amount(one.value, setting.dimension).show(system) for one in (setting.least, setting.most))
    return f"{low} to {high} ({range_words(setting)} on the controller)"


def _range_sent(setting: KitSetting, system: System) -> str:
    """Say what a meter shows at the ends of a signal."""
    ends = [setting.signal.sent(one.value) for one in (setting.least, setting.most)] if setting.signal else []
    shown = [one.show(system) for one in ends if one is not None]
    return f"; by a meter {' to '.join(shown)}, with its ±" if shown else ""


def shown_value(setting: KitSetting, value: float, system: System) -> str:
    """Show a SI value in the units of the screens, as the controller does where it has the same."""
    return (
        as_kit_shows(setting, value)
        if _same_units(setting, system)
        else Amount(value, setting.dimension).show(system)
    )


def typed_shown(setting: KitSetting, typed: str, system: System) -> str:
    """Show what was typed of a setting in the units of the screens, beside it where the two differ."""
    sent = setting.signal is not None and is_sent(typed)
    if not typed or (_same_units(setting, system) and not sent):
        return typed
    try:
        value = setting.read(typed)
    except Refused:
        return typed  # as it was found, which the kit need not take
    return f"{Amount(value.value, setting.dimension, value.uncertainty).show(system)} ({typed})"


def _same_units(setting: KitSetting, system: System) -> bool:
    """Whether the controller shows a setting in the units of a system, or in words."""
    return bool(setting.dimension.words) or _kits_unit(setting) == _unit_of(setting.dimension, system)


def _step(setting: KitSetting, unit: Unit) -> float:
    return (setting.step or 0.0) / unit.factor


def range_data(setting: KitSetting) -> str:
    """Return the range and the step in every unit that is offered, for the check while one types."""
    if setting.dimension.words:
        return ""
    ranges = {
        unit.names[0]: [*(_rounded(unit_value(one.value, unit)) for one in (setting.least, setting.most)), _rounded(_step(setting, unit))]
        for unit in (setting.dimension.us, setting.dimension.si)
    }  # fmt: skip
    return json.dumps(ranges | _ranges_sent(setting))


def _ranges_sent(setting: KitSetting) -> dict[str, list[float]]:
    """Return the range of a signal in what the kit sends; a meter knows no steps."""
    ends = [setting.signal.sent(one.value) for one in (setting.least, setting.most)] if setting.signal else []
    sent = [one for one in ends if one is not None]
    units = (sent[0].dimension.us, *sent[0].dimension.others) if sent else ()
    return {unit.names[0]: [*(_rounded(unit_value(one.value, unit)) for one in sent), 0.0] for unit in units}


def _rounded(number: float) -> float:
    return float(f"{number:.9g}")


def both(setting: KitSetting, amount: Amount, system: System) -> str:
    """Show a value in the units of the screens, and as the controller shows it where that differs."""
    shown, kits = amount.show(system), as_kit_shows(setting, amount.value)
    return shown if _same_units(setting, system) else f"{shown} ({kits})"


def _unit_of(dimension: Dimension, system: System) -> Unit:
    return dimension.us if system == "us" else dimension.si


def tapped(shows: str, typed: str, where: str) -> str:
    """Return what a button says that the controller shows.

    Parameters
    ----------
    shows
        The value on the button.
    typed
        What stands in the field beside it.
    where
        Place of the field, for a refusal.

    Raises
    ------
    Refused
        Something else is typed.
    """
    if typed and typed != shows:
        accepted = "one of the two: empty the field, or save what is typed"
        raise Refused(Refusal(f"is typed, and the button says {shows}", accepted, where, typed))
    return shows


def kit_setting(plan: Plan, setting: Setting) -> KitSetting:
    """Return the kit's own description of a planned setting."""
    return plan.kit.setting(setting.label)
