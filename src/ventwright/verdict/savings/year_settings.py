"""The settings that decide a year, as the unit was found and as it was left: by the kit's labels, else by the plan."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from ventwright.facts import Facts
from ventwright.physics.year.way import Switch, Way
from ventwright.plan import Allowed, Plan
from ventwright.readings import Readings
from ventwright.tables.kit import Fan, Term
from ventwright.verdict.as_left import settings_as_left

Values = Mapping[tuple[Term, Fan | None], float]


@dataclass(frozen=True, slots=True)
class YearSettings:
    """Settings in SI, by what they mean and for which fan speed; ``known`` says which were read, the rest is planned."""

    values: Values
    known: frozenset[Term]

    def of(self, means: Term, fan: Fan | None = None) -> float | None:
        """Return a setting; one that serves every fan speed where this one has none of its own."""
        found = self.values.get((means, fan))
        return self.values.get((means, None)) if found is None else found


def as_left(plan: Plan, readings: Readings) -> YearSettings:
    """Settings as they were read back, else as they are planned."""
    return _settings(plan, settings_as_left(plan.kit, readings))


def as_found(facts: Facts, plan: Plan, readings: Readings) -> YearSettings | None:
    """Settings as they were met, else as they were left; None where nobody wrote down any."""
    if facts.as_found is None or not facts.as_found.settings:
        return None
    met = {
        plan.kit.setting(label).label.lower(): plan.kit.setting(label).read(text).value
        for label, text in facts.as_found.settings.items()
    }
    left = as_left(plan, readings)
    found = _settings(plan, met)
    planned_now = {
        key: found.values[key] if key[0] in found.known else value for key, value in left.values.items()
    }
    return YearSettings(planned_now, found.known)


def _settings(plan: Plan, read: Mapping[str, float]) -> YearSettings:
    values = {(one.means, one.fan): read.get(one.label.lower(), one.si) for one in plan.settings}
    known = frozenset(one.means for one in plan.settings if one.label.lower() in read)
    return YearSettings(values, known)


def way_of(plan: Plan, settings: YearSettings) -> Way:
    """The way the kit runs the unit with these settings."""
    control = plan.kit.high_limit_control
    limit = Allowed(
        control,
        allowed=True,
        dry_bulb=settings.of(Term.DRY_BULB_HIGH_LIMIT),
        enthalpy=settings.of(Term.ENTHALPY_HIGH_LIMIT),
        dew_point=None,
        below_return=settings.of(Term.RETURN_DIFFERENTIAL) or 0.0,
    )
    return Way(
        switch=switch_of(limit),
        integrated=plan.kit.integrated,
        lockout=settings.of(Term.COMPRESSOR_LOCKOUT),
    )


def switch_of(limit: Allowed) -> Switch:
    """The high limit of a control with its limits, as a year of hours sees it."""
    control = limit.control
    by_return = control.startswith("differential")
    return Switch(
        dry_bulb_limit=limit.dry_bulb
        if control.endswith("dry bulb") and control != "differential dry bulb"
        else None,
        enthalpy_limit=limit.enthalpy if control.startswith("fixed enthalpy") else None,
        dew_point_limit=limit.dew_point if control.startswith("dew point") else None,
        return_gap=limit.below_return if control == "differential dry bulb" else None,
        return_enthalpy=by_return and "enthalpy" in control,
    )
