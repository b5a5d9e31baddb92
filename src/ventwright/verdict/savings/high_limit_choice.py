"""Which control of the high limit costs least here, and how much of it good or poor sensors leave."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from statistics import fmean

from ventwright.quantity import (
    ENERGY,
    ENTHALPY,
    ENTHALPY_DIFFERENCE,
    FRACTION,
    TEMPERATURE,
    TEMPERATURE_DIFFERENCE,
)
from ventwright.verdict.savings import Savings
from ventwright.verdict.savings.outcomes import NONE, electricity
from ventwright.verdict.savings.parts import Parts, finished
from ventwright.verdict.savings.spread import drawn_values, quantile, with_values
from ventwright.verdict.savings.strategy import Kind, Strategy
from ventwright.words import Amount, Words, measured, words

SENSORS = {"outdoor_sensor", "return_sensor", "dew_point_sensor", "outdoor_enthalpy", "return_enthalpy"}

ALIKE = 0.02
"""Of the cooling: controls that part by less are said to be alike (our own choice). [-]"""

WORST = 0.95
"""Share of sensors that spoil less than what is said as the worst."""


@dataclass(frozen=True, slots=True)
class Control:
    """One control that the code allows here: what it saves with sensors that show the truth, and what errors cost."""

    name: str
    limit: Words
    saved: float = measured(ENERGY)
    """With sensors that show the truth."""
    lost_to_errors: float = measured(ENERGY)
    """On average over sensors as accurate as the code asks."""
    lost_at_worst: float = measured(ENERGY)
    """With the worst but one in 20 of such sensors."""

    @property
    def to_expect(self) -> float:
        """What is left on average. [J]"""
        return self.saved - self.lost_to_errors


@dataclass(frozen=True, slots=True)
class HighLimitChoice:
    """The controls, the one that saves most first, and what is to be said of them."""

    controls: tuple[Control, ...]
    sentence: Words
    accuracy: Words
    """Of the sensors that were drawn."""


def choose_high_limit(savings: Savings, *, draws: int = 200, seed: int = 7) -> HighLimitChoice:
    """Compare the controls that the code allows.

    Parameters
    ----------
    savings
        The year, with what it was reckoned from.
    draws, seed
        Of the sensors' errors; everything else stays in the middle.
    """
    return finished(choice_in_parts(savings, draws=draws, seed=seed))


def choice_in_parts(savings: Savings, *, draws: int = 200, seed: int = 7) -> Parts[HighLimitChoice]:
    """Do what ``choose_high_limit`` does, in parts between which it may be stopped."""
    allowed = [one for one in savings.compared if one.kind is Kind.ALLOWED]
    if not allowed:
        nothing = Words(
            "no control can be compared: the climate zone, the edition or its limits are not known; give county and state, or "
            "the climate zone by hand"
        )
        return HighLimitChoice((), nothing, _accuracy(savings))
    known = savings.known
    certain = tuple(one if one.name in SENSORS else replace(one, uncertainty=0.0) for one in known.inputs)
    sensors_only = replace(known, inputs=certain)
    compared = [savings.compared[NONE], *allowed]
    values = [known.middle, *drawn_values(sensors_only, draws, seed)]
    totals = yield from with_values(savings.hours, known, compared, values)
    saved = [[electricity(years[0]) - electricity(one) for one in years[1:]] for years in totals]
    found = [
        _control(one, saved[0][place], [row[place] for row in saved[1:]]) for place, one in enumerate(allowed)
    ]
    controls = tuple(sorted(found, key=lambda one: -one.to_expect))
    return HighLimitChoice(controls, _said(controls, savings.none.year.cooling), _accuracy(savings))


def _control(strategy: Strategy, true: float, with_errors: Sequence[float]) -> Control:
    lost = [true - one for one in with_errors]
    return Control(strategy.name, _limit(strategy), true, fmean(lost), quantile(lost, WORST))


def _limit(strategy: Strategy) -> Words:
    """The limits of a control, in words."""
    switch = strategy.run.switch
    if switch is None:
        return Words("")
    parts = [
        words("{x}", x=Amount(value, dimension))
        for value, dimension in (
            (switch.dry_bulb_limit, TEMPERATURE),
            (switch.enthalpy_limit, ENTHALPY),
            (switch.dew_point_limit, TEMPERATURE),
        )
        if value is not None
    ]
    if switch.return_gap is not None:
        gap = Amount(switch.return_gap, TEMPERATURE_DIFFERENCE)
        parts.append(words("{gap} below return air", gap=gap) if switch.return_gap else Words("return air"))
    if switch.return_enthalpy:
        parts.append(Words("heat of the return air"))
    text = " and ".join(f"{{part{number}}}" for number in range(len(parts)))
    return Words(text, {f"part{number}": one for number, one in enumerate(parts)})


def _said(controls: Sequence[Control], cooling: float) -> Words:
    best = controls[0]
    alike = [one for one in controls[1:] if best.to_expect - one.to_expect <= ALIKE * cooling]
    expected, spoilt = Amount(best.to_expect, ENERGY), Amount(max(best.lost_to_errors, 0.0), ENERGY)
    of_errors = (
        "after {spoilt} that sensor errors cost"
        if best.lost_to_errors > 0.0
        else "and sensor errors cost {spoilt}"
    )
    if len(alike) == len(controls) - 1 and alike:
        return words(
            "here the controls are alike to within {share} of the cooling: take the one whose sensor is easiest to check; "
            "{name} may be expected to save {expected} in a year, " + of_errors,
            share=Amount(ALIKE, FRACTION), name=Words(best.name), expected=expected, spoilt=spoilt,
        )  # fmt: skip
    beside = f"; {', '.join(one.name for one in alike)} is as good" if alike else ""
    return words(
        f"{{name}} costs least here: it may be expected to save {{expected}} in a year, {of_errors}{beside}",
        name=Words(best.name), expected=expected, spoilt=spoilt,
    )  # fmt: skip


def _accuracy(savings: Savings) -> Words:
    """Say how far the sensors may be off: twice the standard uncertainty, as every ± here."""
    found = {one.name: one for one in savings.known.inputs}
    dry, heat = found["outdoor_sensor"], found["outdoor_enthalpy"]
    return words(
        "sensors good to ± {dry}" + (" (given)" if dry.given else "") + ", enthalpy to ± {heat}",
        dry=Amount(2.0 * dry.uncertainty, TEMPERATURE_DIFFERENCE), heat=Amount(2.0 * heat.uncertainty, ENTHALPY_DIFFERENCE),
    )  # fmt: skip
