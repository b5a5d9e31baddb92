"""What the budget of a transformer is held against: its rating, and the voltage it leaves at each moment."""

from __future__ import annotations

import math
from collections.abc import Iterator

from ventwright.evidence import Verdict
from ventwright.plan.concerns import Weight
from ventwright.plan.power.budget import TransformerBudget
from ventwright.plan.power.finding import Amounts, Case, PowerFinding, finding, held, nominal, voltage_limits
from ventwright.quantity import APPARENT_POWER, FRACTION
from ventwright.tables import control_power
from ventwright.tables.data_file import ROUNDING
from ventwright.words import Amount, Words, words

READ_THE_PLATE = Words(
    "read the rating on the transformer's nameplate, power off; until then every number here is a guess"
)
A_LARGER_ONE = "a transformer of at least {needed}, or a second one for the kit, its circuit kept apart"


def nothing_drawn() -> PowerFinding:
    """Say that whether a transformer carries its loads cannot be told where nobody gave a load."""
    said = Words("no load is given, so whether the control power holds cannot be told")
    do = Words("give what hangs on the transformer: controller, actuator, contactor coils, thermostat")
    return finding("power.no_loads", "loads", Verdict.CANNOT_TELL, Case(said, do), "our own rule")


def load_findings(budget: TransformerBudget) -> Iterator[PowerFinding]:
    """Hold what is drawn against the rating."""
    if not budget.loads:
        return
    yield _loading(budget)
    if budget.stroking_power > budget.running_power * (1 + ROUNDING):
        yield _stroking(budget)


def _loading(budget: TransformerBudget) -> PowerFinding:
    accepted = control_power.accepted("loading")
    most = accepted.most or 1.0
    amounts: Amounts = {
        "name": Words(budget.name),
        "load": Amount(budget.running_power, APPARENT_POWER),
        "vector": _by_vectors(budget),
        "rating": Amount(budget.rating, APPARENT_POWER),
        "share": Amount(budget.loading_fraction, FRACTION),
        "most": Amount(most, FRACTION),
        "guess": Words(" (a guess)" if budget.rating_is_guess else ""),
    }
    said = "{name}: {load}{vector} on {rating}{guess}, that is {share}; accepted up to {most}"
    sentence = Words(said, amounts)
    larger = words(A_LARGER_ONE, needed=Amount(budget.running_power / most, APPARENT_POWER))
    if budget.rating_is_guess:
        outcome, case = Verdict.CANNOT_TELL, Case(sentence, READ_THE_PLATE)
    elif budget.loading_fraction > 1 + ROUNDING:
        outcome, case = Verdict.FAILS, Case(sentence, larger)
    elif budget.loading_fraction > most * (1 + ROUNDING):
        outcome, case = Verdict.FAILS, Case(sentence, larger, Weight.ADVICE)
    else:
        outcome, case = Verdict.PASSES, Case(sentence)
    return finding("power.loading", budget.name, outcome, case, accepted.source)


def _by_vectors(budget: TransformerBudget) -> Words:
    """Add the vector sum where it is another: without power factors it is the plain sum."""
    if budget.vector_power > budget.running_power * (1 - ROUNDING):
        return Words("")
    return words(" ({vector} by vectors)", vector=Amount(budget.vector_power, APPARENT_POWER))


def _stroking(budget: TransformerBudget) -> PowerFinding:
    sentence = words(
        "{name}: {load} while the actuator strokes, that is {share} of {rating}{guess}; a stroke lasts a minute or two",
        name=Words(budget.name), load=Amount(budget.stroking_power, APPARENT_POWER),
        share=Amount(budget.stroking_fraction, FRACTION), rating=Amount(budget.rating, APPARENT_POWER),
        guess=Words(" (a guess)" if budget.rating_is_guess else ""),
    )  # fmt: skip
    do = Words(
        "feel that the transformer stays no more than hand-warm after some strokes, power off; else a larger one"
    )
    outcome = Verdict.FAILS if budget.stroking_fraction > 1 + ROUNDING else Verdict.PASSES
    if budget.rating_is_guess:
        outcome, do = Verdict.CANNOT_TELL, READ_THE_PLATE
    return finding(
        "power.stroking",
        budget.name,
        outcome,
        Case(sentence, do, Weight.ADVICE),
        "common practice, no published source",
    )


def voltage_findings(budget: TransformerBudget) -> Iterator[PowerFinding]:
    """Hold the voltage against what devices need: while a coil pulls in, and while everything runs."""
    idle, loaded, nothing = budget.metered_idle, budget.metered_loaded, budget.nothing_comes_out
    if nothing is not None:
        yield _no_power(budget, nothing)  # what it would give is not known then, whatever is expected of it
        return
    if idle is not None and loaded is not None:
        yield _sag(budget, idle, loaded)
    if budget.voltage_is_not_told:
        return
    if budget.loads:
        yield _worst_moment(budget)
    if budget.loads or budget.metered_loaded is not None:
        yield _running(budget)


def _worst_moment(budget: TransformerBudget) -> PowerFinding:
    least, source = voltage_limits(budget.rated_secondary, pulling_in=True)
    pulling = f" and {budget.pulls_in} pulls in" if budget.pulls_in else ""
    sentence = words(
        "{name}: {voltage} ({known}) at the worst moment, {load} while everything runs{pulling}; a coil needs {least}",
        name=Words(budget.name), voltage=budget.worst_voltage, known=Words(_known(budget)), load=budget.worst_power,
        pulling=Words(pulling), least=nominal(least),
    )  # fmt: skip
    outcome, do = (
        budget.worst_ends.held(least, None),
        settles(budget, "meter the secondary at that moment, power on"),
    )
    if outcome is Verdict.FAILS:
        needed = max(
            budget.running_power / (control_power.accepted("loading").most or 1.0),
            budget.worst_power.value / _loading_left_with(least / budget.rated_secondary),
        )
        do = words(
            "look at the primary tap first; else " + A_LARGER_ONE, needed=Amount(needed, APPARENT_POWER)
        )
    if budget.voltages_are_guess:
        outcome, do = Verdict.CANNOT_TELL, READ_THE_PLATE
    return finding("power.worst_moment", budget.name, outcome, Case(sentence, do), source)


def settles(budget: TransformerBudget, meter: str) -> Words:
    """Say what settles a voltage at the worst moment: to give what was only assumed, or to meter it.

    Parameters
    ----------
    meter
        What would be metered.
    """
    assumed = [one.name for one in budget.pulling if one.inrush_is_guess]
    if not assumed:
        return words(
            "{meter}; read the inrush on the coil and the rating on the nameplate", meter=Words(meter)
        )
    return words(
        "its inrush is only assumed: give that of {coils}, as on the coil or in its papers, or {meter}",
        coils=Words(", ".join(assumed)), meter=Words(meter),
    )  # fmt: skip


def _loading_left_with(share: float) -> float:
    """Loading at which a usual transformer on its own tap is down to a share of its rated voltage."""
    return 1.0 + (1.0 - share) / control_power.assumed("regulation").value


def _running(budget: TransformerBudget) -> PowerFinding:
    """Too low to hold a coil is a conflict; too low to have anything to spare, or metered too high, is advice."""
    lowest, low_source = voltage_limits(budget.rated_secondary, pulling_in=True)
    least, source = voltage_limits(budget.rated_secondary, pulling_in=False)
    share = control_power.accepted("running").most if budget.metered_loaded is not None else None
    most = budget.rated_secondary * share if share else None
    limits = {"least": nominal(least), "most": nominal(most or 0.0)}
    said = "{name}: {voltage} ({known}) at the transformer with everything running; accepted from {least}"
    sentence = Words(
        said + (" to {most}" if most else ""),
        {
            "name": Words(budget.name),
            "voltage": budget.running_voltage,
            "known": Words(_known(budget)),
            **limits,
        },
    )
    low = Words(
        "look at the primary tap and the supply voltage first, then at the loading; meter at the device, power on"
    )
    outcome, weight = budget.running_ends.held(lowest, None), Weight.CONFLICT
    if outcome is Verdict.PASSES:
        outcome, weight, low_source = budget.running_ends.held(least, most), Weight.ADVICE, source
    if budget.voltages_are_guess and budget.metered_loaded is None:
        outcome, weight, low = Verdict.CANNOT_TELL, Weight.ADVICE, READ_THE_PLATE
    return finding("power.running_voltage", budget.name, outcome, Case(sentence, low, weight), low_source)


def _known(budget: TransformerBudget) -> str:
    """Say in one word or two what a voltage stands on."""
    match budget.voltages_known_from:
        case "metered":
            return "from the metered voltages"
        case "guess":
            return "expected"
        case _:
            return "expected from one metered voltage"


def _no_power(budget: TransformerBudget, shown: Amount) -> PowerFinding:
    sentence = words(
        "{name}: the meter shows {shown} at its secondary: no power comes out",
        name=Words(budget.name), shown=shown,
    )  # fmt: skip
    do = Words(
        "look for a disconnect that is off, a blown fuse or breaker, no voltage at the primary, or a wire that is off; then meter again"
    )
    source = "common practice, no published source"
    return finding("power.no_power", budget.name, Verdict.FAILS, Case(sentence, do), source)


def _sag(budget: TransformerBudget, idle: Amount, loaded: Amount) -> PowerFinding:
    accepted = control_power.accepted("sag")
    ratio = loaded.value / idle.value
    relative = math.hypot((idle.uncertainty or 0.0) / idle.value, (loaded.uncertainty or 0.0) / loaded.value)
    sag = Amount(1.0 - ratio, FRACTION, ratio * relative)
    sentence = words(
        "{name}: the metered voltage falls by {sag} from idle to everything running; accepted up to {most}",
        name=Words(budget.name), sag=sag, most=Amount(accepted.most or 0.0, FRACTION),
    )  # fmt: skip
    if budget.voltage_is_not_told:
        rose = words("{name}: the metered voltage rose under load ({sag})", name=Words(budget.name), sag=sag)
        again = Words(
            "meter idle and loaded once more, within a minute: the readings are swapped, or the supply moved"
        )
        return finding("power.sag", budget.name, Verdict.CANNOT_TELL, Case(rose, again), accepted.source)
    do = Words(
        "look for a loose common, a second user of the transformer, or a transformer that is too small"
    )
    outcome = held(sag, None, accepted.most)
    return finding("power.sag", budget.name, outcome, Case(sentence, do, Weight.ADVICE), accepted.source)
