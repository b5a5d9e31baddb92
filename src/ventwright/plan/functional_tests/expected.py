"""What to expect of a step in numbers: the unit in software, asked with today's temperatures and the step's own calls."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from ventwright.physics.rooftop.calls import Calls
from ventwright.physics.rooftop.minimum_position import minimum_signal
from ventwright.physics.rooftop.operating import Operating, operate
from ventwright.plan import Plan, Setting
from ventwright.plan.functional_tests.simulated import Simulated
from ventwright.plan.sensor.check import ohms_at
from ventwright.plan.software_unit import SoftwareUnit
from ventwright.quantity import (
    DURATION,
    FRACTION,
    PRESSURE,
    RESISTANCE,
    TEMPERATURE,
    VOLTAGE,
    Dimension,
    System,
)
from ventwright.tables.kit import Term
from ventwright.tables.procedure import Called, Step
from ventwright.tables.unit_prior import accepted
from ventwright.words import OR_NO_KEY, Amount

HEAT = "heat"
"""What a step expects of the heat: off, or so many stages of it."""


def _stages(count: int) -> str:
    """Say how much heat there is as the steps say it."""
    return "off" if count == 0 else f"on, {count} stage{'s' * (count > 1)}"


@dataclass(frozen=True, slots=True)
class Expected:
    """One thing to expect: its value, and between what it is accepted. ``answer`` marks the one that decides the step."""

    what: str
    value: Amount | None = field(default=None, metadata=OR_NO_KEY)
    at_least: Amount | None = field(default=None, metadata=OR_NO_KEY)
    at_most: Amount | None = field(default=None, metadata=OR_NO_KEY)
    count: int | None = None
    answer: bool = False

    def show(self, system: System) -> str:
        """Say what is expected: a value with what is accepted around it, a limit, or a count."""
        if self.count is not None:
            return _stages(self.count) if self.what == HEAT else str(self.count)
        low, high = (None if end is None else end.show(system) for end in (self.at_least, self.at_most))
        within = f"{low} to {high}" if low and high else f"at least {low}" if low else f"at most {high}"
        if low is None and high is None:
            return "–" if self.value is None else self.value.show(system)
        return within if self.value is None else f"{self.value.show(system)} ({within})"


def expected_of(
    step: Step, unit: SoftwareUnit, plan: Plan, simulated: Simulated | None, *, by_air: bool
) -> tuple[Expected, ...]:
    """Work out what to expect of a step.

    Parameters
    ----------
    simulated
        How its condition is simulated; None where the air brings it or it needs none.
    by_air
        Whether today's air, or a simulation, brings the condition: else only what holds in any weather is told.
    """
    runs = runs_of(step, unit, simulated) if by_air else ()
    judged = _judged(step, unit, plan, runs)
    found = () if judged is None else (judged,)
    volts = tuple(_in_volts(judged, plan)) if judged is not None and step.answer == "damper signal" else ()
    return (*found, *volts, *_each_minimum(step, unit, plan), *_beside(step, runs))


def runs_of(step: Step, unit: SoftwareUnit, simulated: Simulated | None) -> tuple[Operating, ...]:
    """Ask every variant of the unit in software; none without weather, or by hand."""
    if step.calls is None or unit.weather is None or (simulated is not None and simulated.fault is None):
        return ()
    calls = _calls(step.calls)
    faults = () if simulated is None or simulated.fault is None else (simulated.fault,)
    weather, indoor = unit.weather, unit.indoor
    found = [operate(one, unit.settings, weather, indoor, calls, faults) for one in unit.variants]
    return tuple(found) if all(one.settled for one in found) else ()


def prevented(step: Step, runs: Sequence[Operating]) -> bool:
    """Whether a limit keeps the unit from what a step would see: such air proves nothing, however sound the unit is."""
    opens = step.named != "open" or all(one.commands.damper_signal >= accepted().open for one in runs)
    runs_cold = not step.runs_compressor or all(one.state.cooling_stages > 0 for one in runs)
    return bool(runs) and not (opens and runs_cold)


def _calls(called: Called) -> Calls:
    return Calls(called.cooling, called.heating, called.fan, called.occupied)


def _judged(step: Step, unit: SoftwareUnit, plan: Plan, runs: Sequence[Operating]) -> Expected | None:
    """Return what decides the step, with its limits; None for yes or no, or where no number is known."""
    allowed = accepted()
    match step.answer:
        case "damper signal":
            return _signal(step, unit, plan, runs)
        case "mixed air" if runs:
            return _between(
                "mixed air", [one.state.mixed.dry_bulb for one in runs], allowed.temperature, TEMPERATURE
            )
        case "supply air" if runs:
            supply, mixed = (
                [one.state.supply.dry_bulb for one in runs],
                [one.state.mixed.dry_bulb for one in runs],
            )
            least = Amount(
                min(supply) if min(supply) < max(mixed) else max(mixed) + allowed.warmer, TEMPERATURE
            )
            return Expected("supply air", Amount(sum(supply) / len(supply), TEMPERATURE), least, answer=True)
        case "resistance":
            return _ohms(unit, plan)
        case "pressure" | "duration":
            return _printed(step)
    return None


def _signal(step: Step, unit: SoftwareUnit, plan: Plan, runs: Sequence[Operating]) -> Expected | None:
    """The damper signal that a step should end with, as a share of stroke."""
    allowed = accepted()
    if step.named == "shut":
        return Expected("damper signal", _share(0.0), _share(0.0), _share(allowed.shut), answer=True)
    if step.named == "minimum":
        minimum = unit.settings.minimum
        found = _between("damper signal", [minimum.at_slowest, minimum.at_fastest], allowed.signal, FRACTION)
        return replace(found, value=_share(_minimum(step, unit)))
    if step.named == "relief start":
        start = _setting(plan.settings, Term.RELIEF_START)
        return None if start is None else _between("damper signal", [start], allowed.relief_start, FRACTION)
    if not runs:
        return None
    return _between("damper signal", [one.commands.damper_signal for one in runs], allowed.signal, FRACTION)


def minimums(unit: SoftwareUnit, plan: Plan) -> Mapping[str, float]:
    """Return the minimum signal of a fast and of a slow fan where one does not do for the other; else nothing."""
    if plan.kit.variable_fan or not minimums_apart(unit):
        return {}
    minimum = unit.settings.minimum
    return {"fan fast": minimum.at_fastest, "fan slow": minimum.at_slowest}


def minimums_apart(unit: SoftwareUnit) -> bool:
    """Whether the minimum signal of a fast fan would not pass for that of a slow one."""
    minimum = unit.settings.minimum
    return abs(minimum.at_fastest - minimum.at_slowest) > accepted().signal


def _each_minimum(step: Step, unit: SoftwareUnit, plan: Plan) -> Iterator[Expected]:
    if step.named == "minimum" and step.answer == "damper signal":
        for which, at in minimums(unit, plan).items():
            yield _quiet(_between(f"damper signal, {which}", [at], accepted().signal, FRACTION))


def _minimum(step: Step, unit: SoftwareUnit) -> float:
    """The minimum signal at the fan speed that goes with the step's calls, as two-speed units usually run.

    Which speed a unit runs at, only the entry says: by this one alone nothing is judged.
    """
    fan, called = unit.settings.fan, step.calls or Called()
    speed = fan.ventilating
    if called.heating:
        speed = fan.heating
    elif called.cooling:
        speed = fan.cooling_first if called.cooling == 1 else fan.cooling_second
    return minimum_signal(unit.settings.minimum, speed)


def _setting(planned: Sequence[Setting], means: Term) -> float | None:
    return next((one.si for one in planned if one.means is means), None)


def _share(value: float) -> Amount:
    return Amount(min(max(value, 0.0), 1.0), FRACTION)


def _between(what: str, values: Sequence[float], half_width: float, dimension: Dimension) -> Expected:
    """A value and what is accepted around it: the spread of the variants, and what is allowed beside it."""
    middle = 0.5 * (min(values) + max(values))
    ends = (middle, min(values) - half_width, max(values) + half_width)
    value, low, high = (_share(one) if dimension is FRACTION else Amount(one, dimension) for one in ends)
    return Expected(what, value, low, high, answer=True)


def _ohms(unit: SoftwareUnit, plan: Plan) -> Expected | None:
    """The outdoor sensor's ohms in today's air: those of its curve within what sensor and probe allow."""
    sensor = plan.kit.sensor("outdoor air")
    if sensor is None or sensor.curve is None or unit.weather is None:
        return None
    at, allowed = unit.weather.dry_bulb, accepted().temperature
    values = [ohms_at(sensor.curve, at + off).resistance for off in (0.0, -allowed, allowed)]
    value, low, high = (Amount(one, RESISTANCE) for one in (values[0], min(values), max(values)))
    return Expected("resistance", value, low, high, answer=True)


def _printed(step: Step) -> Expected:
    dimension = PRESSURE if step.answer == "pressure" else DURATION
    low, high = (None if end is None else Amount(end, dimension) for end in step.limits)
    return Expected(step.answer, None, low, high, answer=True)


def _in_volts(judged: Expected, plan: Plan) -> Sequence[Expected]:
    """The same signal as a meter shows it, for a kit that sends volts."""
    if plan.kit.damper_signal.closed.dimension != VOLTAGE:
        return ()
    value, low, high = (
        None if one is None else Amount(plan.kit.signal_at(one.value), VOLTAGE)
        for one in (judged.value, judged.at_least, judged.at_most)
    )
    return (Expected("damper voltage", value, low, high),)


def _beside(step: Step, runs: Sequence[Operating]) -> Sequence[Expected]:
    """What else the unit in software shows meanwhile; temperatures with what is accepted around them."""
    if not runs:
        return ()
    allowed, states = accepted().temperature, [one.state for one in runs]
    temperatures = {
        "mixed air": [one.mixed.dry_bulb for one in states],
        "supply air": [one.supply.dry_bulb for one in states],
    }
    found: list[Expected] = []
    if step.answer != "damper signal":
        signals = [one.commands.damper_signal for one in runs]
        found.append(_quiet(_between("damper signal", signals, accepted().signal, FRACTION)))
    if states[0].fan_running:
        found += [
            _quiet(_between(what, values, allowed, TEMPERATURE))
            for what, values in temperatures.items()
            if what != step.answer
        ]
    found.append(Expected("compressors that cool", count=max(one.cooling_stages for one in states)))
    found.append(Expected(HEAT, count=max(one.heating_stages for one in states)))
    return found


def _quiet(one: Expected) -> Expected:
    return replace(one, answer=False)
