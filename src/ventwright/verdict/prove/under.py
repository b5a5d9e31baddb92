"""Under what a step was seen: whether the temporary changes that were in force made its condition, or stood in its way."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from ventwright.errors import Refused
from ventwright.evidence import Shortfall
from ventwright.physics.rooftop.control_settings import ControlSettings, filled
from ventwright.plan import Plan
from ventwright.plan.functional_tests import PlannedStep, StepState
from ventwright.plan.functional_tests.condition import (
    BELOW_LOCKOUT,
    MIXED_COLD,
    SUITABLE_WARM,
    UNSUITABLE,
    suits,
)
from ventwright.plan.software_unit import SoftwareUnit
from ventwright.quantity import TEMPERATURE
from ventwright.quantity.dimension import VALVE_SENSE
from ventwright.readings import ChangeKind, Readings, StepSeen, TemporaryChange
from ventwright.tables.procedure import conditions
from ventwright.verdict.in_force import InForce
from ventwright.words import Amount, Words, words

SHOWS_A_SENSOR = {ChangeKind.RESISTOR, ChangeKind.PACK, ChangeKind.LEAD}
"""Kinds of change by which the controls are shown another temperature than the air's."""

ANEW = Words("do the step anew, with a change that makes its condition, and name that change")


@dataclass(frozen=True, slots=True)
class Under:
    """The unit in software in the air that a visit met, and everything that was changed for tests."""

    unit: SoftwareUnit
    plan: Plan
    readings: Readings
    in_force: InForce

    def why_nothing(self, planned: PlannedStep, entry: StepSeen) -> Shortfall | None:
        """Why an answer proves nothing; None where its condition was there."""
        cold = self._too_cold(planned)
        if cold is not None:
            return cold
        if planned.step.simulation == "is the test":
            return None
        return self._not_made(planned, entry) if entry.simulated else self._in_the_way(planned, entry)

    def _too_cold(self, planned: PlannedStep) -> Shortfall | None:
        """No proof is taken from a compressor that ran where it must not, warm air simulated or not."""
        step, weather = planned.step, self.unit.weather
        called = step.calls is not None and step.calls.cooling > 0
        starts = step.runs_compressor or (called and step.condition == UNSUITABLE)
        if not starts or weather is None or weather.dry_bulb >= self.unit.lowest_cooling:
            return None
        sentence = words(
            "{outdoor} outdoors was colder than the {lowest} down to which this compressor may cool: no proof is taken from that",
            outdoor=Amount(weather.dry_bulb, TEMPERATURE), lowest=Amount(self.unit.lowest_cooling, TEMPERATURE),
        )  # fmt: skip
        return Shortfall("step.too_cold", sentence, Words("do it when it is warmer outdoors"))

    def _in_the_way(self, planned: PlannedStep, entry: StepSeen) -> Shortfall | None:
        """What is said to be the air itself, while the controls were shown something else."""
        if planned.state is StepState.NOT_KNOWN:
            unknown = words("no air of that day is given, and the step needs {needs}", needs=planned.needs)
            settle = Words("give the outdoor air in the facts, or with the visit")
            return Shortfall("step.condition_not_known", unknown, settle)
        condition = conditions()[planned.step.condition or ""]
        for one in self.readings.standing(TemporaryChange):
            moved = (
                one.kind is ChangeKind.SETTING
                and self.plan.kit.setting(one.label or "").means is condition.setting
            )
            if (moved or one.kind in SHOWS_A_SENSOR) and self.in_force.at(one, entry):
                held = words(
                    "{point} was changed then ({to}), and it is not said to be simulated",
                    point=Words(one.point), to=Words(one.changed_to),
                )  # fmt: skip
                settle = Words("put that back and do the step anew, or enter it as simulated")
                return Shortfall("step.change_in_force", held, settle)
        return None

    def _not_made(self, planned: PlannedStep, entry: StepSeen) -> Shortfall | None:
        """A simulation whose changes did not make the condition shows nothing."""
        changes = [self._as_it_stands(id_) for id_ in entry.changes]
        gone = next((id_ for id_, one in zip(entry.changes, changes, strict=True) if one is None), None)
        if gone is not None:
            taken = words("the change {id} was taken back", id=Words(gone))
            return Shortfall("step.change_taken_back", taken, ANEW)
        standing = [one for one in changes if one is not None]
        idle = next((one for one in standing if not self.in_force.at(one, entry)), None)
        if idle is not None:
            when = words("by the times entered, {point} was not changed then", point=Words(idle.point))
            settle = Words("correct the times, or do the step anew while it is changed")
            return Shortfall("step.change_not_in_force", when, settle)
        made = self._made(planned, standing)
        if made is True:
            return None
        named = Words(" and ".join(f"{one.point} ({one.changed_to})" for one in standing))
        if made is None:
            unknown = words(
                "whether {named} makes {needs}, what was entered does not say",
                named=named,
                needs=planned.needs,
            )
            settle = Words(
                "correct the entry of the change with its kind, and with the setting, or the sensor and what the controller showed (imitates)"
            )
            return Shortfall("step.change_not_known", unknown, settle)
        wrong = words("{named} does not make what the step needs: {needs}", named=named, needs=planned.needs)
        return Shortfall("step.change_does_not_make_it", wrong, ANEW)

    def _made(self, planned: PlannedStep, changes: Sequence[TemporaryChange]) -> bool | None:
        """Whether changes make the condition of a step, in the air that was met; None where that is not known."""
        if planned.step.named == "open" and any(one.kind is ChangeKind.OVERRIDE for one in changes):
            return self.plan.kit.manual_mode
        shown: dict[str, float] = {
            one.sensor: one.imitates.value for one in changes if one.sensor and one.imitates
        }
        unit = replace(self.unit, settings=self._settings(changes))
        if not shown and all(one.kind is not ChangeKind.SETTING for one in changes):
            vague = any(one.kind is None or one.kind in SHOWS_A_SENSOR for one in changes)
            return None if vague else False
        return _brings(planned.step.condition or "", unit, self.unit.settings, shown)

    def _settings(self, changes: Sequence[TemporaryChange]) -> ControlSettings:
        settings = self.unit.settings
        for one in changes:
            if one.kind is not ChangeKind.SETTING or one.label is None:
                continue
            setting = self.plan.kit.setting(one.label)
            if setting.dimension == VALVE_SENSE:
                continue
            try:
                value = setting.read(one.changed_to).value
                settings = filled(settings, {(setting.means.value, setting.fan): value})
            except Refused:
                continue
        return settings

    def _as_it_stands(self, id_: str) -> TemporaryChange | None:
        """Return a change in its latest wording; None where it was taken back."""
        standing = self.readings.standing(TemporaryChange)
        return next((one for one in standing if id_ in self._wordings(one)), None)

    def _wordings(self, change: TemporaryChange) -> set[str]:
        by_id = {entry.id: entry for entry in self.readings.entries}
        found, one = {change.id}, change.corrects
        while one is not None:
            found.add(one)
            one = by_id[one].corrects
        return found


def _brings(
    condition: str, unit: SoftwareUnit, planned: ControlSettings, shown: Mapping[str, float]
) -> bool | None:
    """Whether a unit with changed settings, shown other temperatures, has a condition; None where nobody can tell."""
    true_air = None if unit.weather is None else unit.weather.dry_bulb
    outdoor = shown.get("outdoor air", true_air)
    if condition == MIXED_COLD:
        limit = unit.settings.low_limit
        if "mixed air" in shown:
            return shown["mixed air"] < limit
        if true_air is None:
            return None
        # a limit above what the damper could mix gives way, however the air is
        return limit > planned.low_limit and limit > max(unit.settings.set_point, true_air)
    if outdoor is None:
        return None
    if condition == BELOW_LOCKOUT:
        return unit.settings.lockout is not None and outdoor < unit.settings.lockout
    indoor = replace(unit.indoor, dry_bulb=shown.get("return air", unit.indoor.dry_bulb))
    fit = suits(replace(unit, indoor=indoor), outdoor)
    if condition == UNSUITABLE:
        return None if fit is None else not fit
    if condition == SUITABLE_WARM and (true_air is None or true_air < unit.settings.set_point):
        return None if true_air is None else False
    return fit
