"""Which primary tap a transformer hangs on, by what is written and by what its idle voltage shows."""

from __future__ import annotations

import math
from dataclasses import dataclass

from ventwright.evidence import ACCEPTED_RISK, Verdict
from ventwright.facts.power import Transformer
from ventwright.physics.circuit import loaded_voltage, secondary_voltage
from ventwright.plan.concerns import Weight
from ventwright.plan.power.budget import TransformerBudget
from ventwright.plan.power.finding import Amounts, Case, PowerFinding, finding, nominal
from ventwright.plan.power.secondary import is_dead, rated_secondary, supply_uncertainty
from ventwright.quantity import VOLTAGE
from ventwright.tables import control_power
from ventwright.words import Amount, Words, chance, measured, words

NO_FIT = 3.0
"""Standard uncertainties between a reading and the nearest tap beyond which it speaks for none of them."""

MOVE_IT = "move the wire to the {right} tap, unit locked out, and cap the taps that are left; the line side stays live"


@dataclass(frozen=True, slots=True, kw_only=True)
class Tap:
    """A primary tap: the idle voltage it would give, and how likely it is the one in use, where that was metered."""

    transformer: str
    tap: float = measured(VOLTAGE)
    right: bool
    rated_voltage: float = measured(VOLTAGE)
    """Of the secondary at rated load, on this tap."""
    idle_voltage: Amount
    probability: float | None


def taps_of(transformer: Transformer, budget: TransformerBudget) -> tuple[Tap, ...]:
    """Return the taps the transformer may hang on; none where the supply voltage is not known.

    What each would give idle is normally distributed about its expectation; every tap is taken as likely as
    any other before the meter spoke, whatever was written down.
    """
    supply = transformer.supply
    if supply is None:
        return ()
    usual = control_power.assumed("regulation")
    loading = budget.idle_power / budget.rating
    rated, metered = rated_secondary(transformer), _idle(budget)
    expected: dict[float, tuple[float, Amount]] = {}
    for tap in _taps(transformer):
        full = secondary_voltage(rated, supply.value, tap)
        idle = loaded_voltage(full, usual.value, loading)
        of_regulation = full * (1.0 - loading) * usual.uncertainty
        expected[tap] = (
            full,
            Amount(idle, VOLTAGE, math.hypot(idle * supply_uncertainty(transformer), of_regulation)),
        )
    likelihood = {tap: _likelihood(metered, idle) if metered else None for tap, (_, idle) in expected.items()}
    whole = sum(one for one in likelihood.values() if one is not None)
    return tuple(
        Tap(
            transformer=transformer.name,
            tap=tap,
            right=_right(supply.value, tap),
            rated_voltage=full,
            idle_voltage=idle,
            probability=one / whole if (one := likelihood[tap]) is not None and whole > 0.0 else None,
        )
        for tap, (full, idle) in expected.items()
    )


def _taps(transformer: Transformer) -> list[float]:
    written = [tap.value for tap in transformer.taps] or list(control_power.usual_taps())
    connected = [transformer.tap.value] if transformer.tap else []
    return sorted({*written, *connected})


def _right(supply: float, tap: float) -> bool:
    """Whether the supply lies within what a tap is for."""
    accepted = control_power.accepted("tap")
    return (accepted.least or 0.0) - 1e-9 <= supply / tap <= (accepted.most or math.inf) + 1e-9


def _deviation(metered: Amount, expected: Amount) -> tuple[float, float]:
    """Distance in standard uncertainties, and that uncertainty."""
    spread = math.hypot(metered.uncertainty or 0.0, expected.uncertainty or 0.0)
    return abs(metered.value - expected.value) / spread, spread


def _likelihood(metered: Amount, expected: Amount) -> float:
    deviation, spread = _deviation(metered, expected)
    return math.exp(-0.5 * deviation**2) / spread


def tap_finding(transformer: Transformer, budget: TransformerBudget, taps: tuple[Tap, ...]) -> PowerFinding:
    """Judge the tap: by the metered idle voltage where there is one, else by what is written."""
    supply, tap = transformer.supply, transformer.tap
    source = control_power.accepted("tap").source
    name = Words(budget.name)
    if supply is None:
        do = Words("read the supply voltage and look which tap is connected, unit locked out")
        sentence = words("{name}: the voltage at its primary is not known", name=name)
        return finding(
            "power.tap", budget.name, Verdict.CANNOT_TELL, Case(sentence, do, Weight.ADVICE), source
        )
    idle = _idle(budget)
    if idle is not None and not budget.rating_is_guess:
        return _metered(budget, supply.value, taps, idle, tap.value if tap else None)
    if tap is None:
        do = Words("look which tap is connected, unit locked out, or meter the secondary idle")
        sentence = words("{name}: which tap is connected is not known", name=name)
        return finding(
            "power.tap", budget.name, Verdict.CANNOT_TELL, Case(sentence, do, Weight.ADVICE), source
        )
    full = secondary_voltage(budget.rated_secondary, supply.value, tap.value)
    sentence = words(
        "{name}: {supply} on the {tap} tap gives {full} where {rated} are rated",
        name=name, supply=nominal(supply.value), tap=nominal(tap.value),
        full=Amount(full, VOLTAGE), rated=nominal(budget.rated_secondary),
    )  # fmt: skip
    do = _remedy(taps, supply.value)
    outcome = Verdict.PASSES if _right(supply.value, tap.value) else Verdict.FAILS
    return finding("power.tap", budget.name, outcome, Case(sentence, do), source)


def _idle(budget: TransformerBudget) -> Amount | None:
    """Return the metered idle voltage; where nothing comes out, or more under load, it speaks for no tap."""
    idle = budget.metered_idle
    return None if idle is None or is_dead(idle.value) or budget.voltage_is_not_told else idle


def _remedy(taps: tuple[Tap, ...], supply: float) -> Words:
    right = min((one for one in taps if one.right), key=lambda one: abs(one.tap - supply), default=None)
    if right is None:
        return words("fit a transformer with a tap for {supply}, unit locked out", supply=nominal(supply))
    return words(MOVE_IT, right=nominal(right.tap))


def _metered(
    budget: TransformerBudget, supply: float, taps: tuple[Tap, ...], idle: Amount, written: float | None
) -> PowerFinding:
    """Tell from the idle voltage which tap is probably used."""
    source = "ratio of turns, with the usual regulation and the accuracy of supply and meter"
    best = max(taps, key=lambda one: one.probability or 0.0)
    right = sum(one.probability or 0.0 for one in taps if one.right)
    amounts: Amounts = {
        "name": Words(budget.name), "idle": idle, "supply": nominal(supply), "tap": nominal(best.tap),
        "expected": best.idle_voltage, "share": Words(chance(best.probability or 0.0)),
        "written": Words(_against(best, written)),
    }  # fmt: skip
    if min(_deviation(idle, one.idle_voltage)[0] for one in taps) > NO_FIT:
        sentence = Words("{name}: {idle} idle on {supply} fits no tap", amounts)
        do = Words(
            "meter the supply at the primary, power on; a shorted turn, a wrong tap or another rating shows so"
        )
        return finding("power.tap", budget.name, Verdict.CANNOT_TELL, Case(sentence, do), source)
    sentence = Words(
        "{name}: {idle} idle on {supply} speaks for the {tap} tap ({share}; {expected} expected){written}",
        amounts,
    )
    outcome, do = (
        Verdict.CANNOT_TELL,
        Words("look which tap is connected, unit locked out; meter the supply too"),
    )
    if right >= 1.0 - ACCEPTED_RISK:
        outcome = Verdict.PASSES
    elif right <= ACCEPTED_RISK:
        outcome, do = Verdict.FAILS, _remedy(taps, supply)
    return finding("power.tap", budget.name, outcome, Case(sentence, do), source)


def _against(best: Tap, written: float | None) -> str:
    """Say where the meter contradicts what is written."""
    if written is None or written == best.tap:
        return ""
    return f", although {written:g} V is written"
