"""The settings as they were left, by what was read back of them, and the minimum damper signal at a fan speed."""

from __future__ import annotations

from ventwright.plan import Plan, SpeedPlan
from ventwright.readings import Readings
from ventwright.tables.kit import Fan, Kit, Term


def settings_as_left(kit: Kit, readings: Readings) -> dict[str, float]:
    """Return the settings as they were last read back, by label in small letters, in SI.

    Raises
    ------
    Refused
        The kit has no such setting, or cannot be set so.
    """
    left = readings.settings_left()
    return {label: kit.setting(entry.label).read(entry.value).value for label, entry in left.items()}


def signal_as_left(plan: Plan, readings: Readings, speed: SpeedPlan) -> float | None:
    """Minimum damper signal at a speed, as it was left; between two settings it follows the airflow, as kits do it."""
    fastest, slowest = plan.speeds[0], plan.speeds[-1]
    at_fastest, at_slowest = (_setting_as_left(plan, readings, fan) for fan in ("fastest", "slowest"))
    if speed is fastest:
        return at_fastest
    if speed is slowest:
        return at_slowest
    if at_fastest is None or at_slowest is None or not plan.kit.variable_fan:
        return None  # which of its two openings a two-speed kit holds at a middle speed nobody has said
    apart = fastest.supply_air - slowest.supply_air
    share = (speed.supply_air - slowest.supply_air) / apart if apart > 0.0 else 1.0
    return at_slowest + share * (at_fastest - at_slowest)


def _setting_as_left(plan: Plan, readings: Readings, fan: Fan) -> float | None:
    setting = plan.kit.setting_for(Term.MINIMUM_DAMPER_SIGNAL, fan)
    entry = readings.settings_left().get(setting.label.lower()) if setting is not None else None
    return setting.read(entry.value).value if setting is not None and entry is not None else None
