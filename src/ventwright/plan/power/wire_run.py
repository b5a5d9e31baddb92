"""A run of wire: the voltage it loses, the longest it may be, and what is left at its far end."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace

from ventwright.evidence import Verdict
from ventwright.facts.power import Power, WireRun
from ventwright.physics.circuit import current, longest_run, voltage_drop
from ventwright.plan.concerns import Weight
from ventwright.plan.power.budget import LoadShare, TransformerBudget
from ventwright.plan.power.checks import settles
from ventwright.plan.power.ends import Ends, ends_of
from ventwright.plan.power.finding import Case, PowerFinding, finding, held, nominal, voltage_limits
from ventwright.quantity import APPARENT_POWER, CURRENT, FRACTION, LENGTH, TEMPERATURE, VOLTAGE, Quantity
from ventwright.tables import control_power
from ventwright.tables.wire import RESISTANCE_PER_LENGTH, Conductor, Wire, wire, wires
from ventwright.words import NO_KEY, Amount, Words, measured, words


@dataclass(frozen=True, slots=True, kw_only=True)
class RunPlan:
    """A run of wire with what it carries and what it loses."""

    name: str
    gauge: int
    conductor: Conductor
    length: float = measured(LENGTH)
    temperature: float = measured(TEMPERATURE)
    temperature_is_guess: bool
    apparent_power: float = measured(APPARENT_POWER)
    resistance: float = measured(RESISTANCE_PER_LENGTH)
    """Of one conductor."""
    current: float = measured(CURRENT)
    voltage: float = measured(VOLTAGE)
    """Nominal, for which the current is reckoned."""
    voltage_drop: float = measured(VOLTAGE)
    drop_fraction: float = measured(FRACTION)
    drop_fraction_u: float = measured(FRACTION)
    allowed_drop_fraction: float = measured(FRACTION)
    longest_run: float = measured(LENGTH)
    device_voltage: Amount | None = measured(VOLTAGE)  # noqa: RUF009 - a field that may be empty still names its unit
    """At the far end with everything running; None where nothing is known of the source."""
    device_voltage_worst: Amount | None = measured(VOLTAGE)  # noqa: RUF009 - a field that may be empty still names its unit
    """The same while that coil of the transformer pulls in which leaves the least there."""
    source: str
    running_ends: Ends | None = field(default=None, metadata=NO_KEY)
    worst_ends: Ends | None = field(default=None, metadata=NO_KEY)
    """The two at both ends of what nobody gave."""


def run_of(
    given: WireRun,
    name: str,
    apparent_power: float,
    voltage: float,
    allowed: float | None = None,
    at_source: tuple[Amount, Amount] | None = None,
    at_worst: Amount | None = None,
) -> RunPlan:
    """Work out a run.

    Parameters
    ----------
    apparent_power
        Drawn at its far end. [VA]
    voltage
        Nominal voltage of the circuit. [V]
    allowed
        Share of the voltage that may be lost; left out, what is usual. [-]
    at_source
        Voltage at the transformer with everything running, and at the worst moment.
    at_worst
        Drawn at the far end at the worst moment; left out, the apparent power. [VA]
    """
    conductor = wire(given.gauge, given.conductor)
    temperature, guess = _temperature(given.temperature)
    resistance, drawn = conductor.at(temperature), current(apparent_power, voltage)
    most = control_power.accepted("drop").most or 0.0 if allowed is None else allowed
    length = given.length.value
    drop = voltage_drop(resistance, length, drawn)
    of_length = (given.length.uncertainty or 0.0) / length
    pulled = at_worst or Amount(apparent_power, APPARENT_POWER)
    worst_drop = voltage_drop(resistance, length, current(pulled.value, voltage))
    of_inrush = voltage_drop(resistance, length, current(pulled.uncertainty or 0.0, voltage))
    running, worst = at_source or (None, None)
    return RunPlan(
        name=name,
        gauge=given.gauge,
        conductor=given.conductor,
        length=length,
        temperature=temperature,
        temperature_is_guess=guess,
        apparent_power=apparent_power,
        resistance=resistance,
        current=drawn,
        voltage=voltage,
        voltage_drop=drop,
        drop_fraction=drop / voltage,
        drop_fraction_u=drop / voltage * of_length,
        allowed_drop_fraction=most,
        longest_run=longest_run(most * voltage, resistance, drawn),
        device_voltage=_less(running, drop, of_length),
        device_voltage_worst=_less(worst, worst_drop, of_length, of_inrush),
        source=f"{conductor.source}; {conductor.source.doubt}",
    )


def runs_of(
    power: Power, budgets: tuple[TransformerBudget, ...]
) -> Iterator[tuple[RunPlan, TransformerBudget]]:
    """Work out every run of a job, with the transformer it hangs on."""
    by_name = {budget.name: budget for budget in budgets}
    for run in power.runs:
        budget = by_name[power.transformer_of(power.load(run.loads[0]))]
        fed = [share for share in budget.loads if share.name in run.loads]
        name, drawn = run.name or ", ".join(run.loads), sum(_running(share) for share in fed)
        if budget.voltage_is_not_told:
            yield run_of(run, name, drawn, budget.rated_secondary), budget
            continue
        plans = [
            run_of(
                run, name, drawn, budget.rated_secondary,
                at_source=(budget.running_voltage, _source_while(budget, coil)), at_worst=_at_worst(fed, coil),
            )
            for coil in budget.pulling or (None,)
        ]  # fmt: skip
        worst = min(plans, key=_at_the_worst)
        running_ends, worst_ends = _running_ends(run, fed, budget), _worst_ends(run, fed, budget)
        yield replace(worst, running_ends=running_ends, worst_ends=worst_ends), budget


def _at_the_worst(plan: RunPlan) -> float:
    return plan.device_voltage_worst.value if plan.device_voltage_worst else math.inf


def _source_while(budget: TransformerBudget, coil: LoadShare | None) -> Amount:
    """Voltage at the transformer while everything runs, strokes, and one coil pulls in."""
    if coil is None:
        return budget.worst_voltage
    return budget.secondary.at(budget.stroking_power + coil.more, coil.inrush.uncertainty or 0.0)


def _running_ends(given: WireRun, fed: Sequence[LoadShare], budget: TransformerBudget) -> Ends:
    """Voltage at the far end with everything running, at both ends of what nobody gave."""
    source, drawn = budget.running_ends, sum(_running(one) for one in fed)
    mild, hot = (_left(given, celsius, drawn, budget.rated_secondary) for celsius in _temperatures(given))
    return Ends(hot(source.lowest), mild(source.highest))


def _worst_ends(given: WireRun, fed: Sequence[LoadShare], budget: TransformerBudget) -> Ends:
    """Voltage at the far end at its worst moment, at both ends of what nobody gave: each coil in turn pulls in."""
    names, running = {one.name for one in fed}, sum(_running(one) for one in fed)
    found = []
    for end, celsius in enumerate(_temperatures(given)):
        for line in budget.secondary.lines():
            moments = [
                _left(given, celsius, running + more * (name in names), budget.rated_secondary)(
                    line.at(budget.stroking_power + more)
                )
                for name, more in [(one.name, one.more_ends[end]) for one in budget.pulling] or [("", 0.0)]
            ]
            found.append(min(moments, key=lambda one: one.value))
    return ends_of(found)


def _left(given: WireRun, celsius: float, drawn: float, voltage: float) -> Callable[[Amount], Amount]:
    """What a run at a temperature leaves of a voltage at its source, while an apparent power is drawn at its far end."""
    resistance = wire(given.gauge, given.conductor).at(celsius)
    drop = voltage_drop(resistance, given.length.value, current(drawn, voltage))
    of_length = drop * (given.length.uncertainty or 0.0) / given.length.value
    return lambda source: Amount(
        source.value - drop, VOLTAGE, math.hypot(source.uncertainty or 0.0, of_length)
    )


def _running(share: LoadShare) -> float:
    return share.inrush.value if share.when == "while stroking" else share.apparent_power


def _at_worst(fed: Sequence[LoadShare], coil: LoadShare | None) -> Amount:
    """Apparent power at the far end while a coil pulls in, as well as its inrush is known. [VA]"""
    pulling = [share.inrush for share in fed if share is coil]
    rest = sum(_running(share) for share in fed if share is not coil)
    return Amount(
        rest + sum(one.value for one in pulling),
        APPARENT_POWER,
        sum(one.uncertainty or 0.0 for one in pulling),
    )


def _temperatures(given: WireRun) -> tuple[float, float]:
    """Temperature of a run at its hottest, at the mild and at the hard end of what is usual where nobody gave it. [°C]"""
    temperature, guess = _temperature(given.temperature)
    return (control_power.mildest_wire() if guess else temperature), temperature


def _temperature(given: Quantity | None) -> tuple[float, bool]:
    if given is not None:
        return given.value, False
    return control_power.assumed("wire_temperature").value, True


def _less(source: Amount | None, drop: float, of_length: float, of_inrush: float = 0.0) -> Amount | None:
    """Voltage at the far end of a run; ``of_inrush`` is what an inrush that nobody gave leaves open of the drop. [V]

    The same inrush pulls the source down, so the two add up in full: the careful side.
    """
    if source is None:
        return None
    together = (source.uncertainty or 0.0) + of_inrush
    return Amount(source.value - drop, VOLTAGE, math.hypot(together, drop * of_length))


def drop_finding(run: RunPlan) -> PowerFinding:
    """Hold the drop of a run against what may be lost."""
    share = Amount(run.drop_fraction, FRACTION, run.drop_fraction_u)
    sentence = words(
        "{name}: {length} of {gauge} AWG {conductor} at {temperature}{guess} loses {drop}, {share} of {voltage}; "
        "accepted up to {most}",
        name=Words(run.name), length=Amount(run.length, LENGTH), gauge=Words(str(run.gauge)), conductor=Words(run.conductor),
        temperature=Amount(run.temperature, TEMPERATURE), guess=Words(" (assumed)" if run.temperature_is_guess else ""),
        drop=Amount(run.voltage_drop, VOLTAGE), share=Amount(share.value, FRACTION, share.uncertainty or None),
        voltage=nominal(run.voltage), most=Amount(run.allowed_drop_fraction, FRACTION),
    )  # fmt: skip
    thicker = _thicker(run)
    do = words(
        "at most {longest} of this wire; {instead}",
        longest=Amount(run.longest_run, LENGTH),
        instead=words(
            "or {gauge} AWG {conductor}, unit locked out",
            gauge=Words(str(thicker.gauge)),
            conductor=Words(thicker.conductor),
        )
        if thicker
        else Words("no gauge of these tables does for this length: bring the transformer nearer"),
    )
    most = run.allowed_drop_fraction * (1 + 1e-9)
    outcome = Ends(
        _drop_at(run, control_power.mildest_wire()) if run.temperature_is_guess else share, share
    ).held(None, most)
    if outcome is Verdict.CANNOT_TELL:
        do = _settle_drop(run, share, most)
    return finding(
        "power.run_drop", run.name, outcome, Case(sentence, do), control_power.accepted("drop").source
    )


def _drop_at(run: RunPlan, celsius: float) -> Amount:
    """Share that a run loses where its wire is no warmer than a temperature. [-]"""
    cooler = wire(run.gauge, run.conductor).at(celsius) / run.resistance
    return Amount(run.drop_fraction * cooler, FRACTION, run.drop_fraction_u * cooler)


def _settle_drop(run: RunPlan, share: Amount, most: float) -> Words:
    """What would settle the drop: the length where that leaves it open, else the temperature that was only assumed."""
    longest = Amount(run.longest_run, LENGTH)
    if held(share, None, most) is Verdict.CANNOT_TELL:
        return words("measure the length more closely: {longest} is the most", longest=longest)
    return words(
        "its temperature is only assumed: give that of the wire at its hottest; {longest} does in any case",
        longest=longest,
    )


def _thicker(run: RunPlan) -> Wire | None:
    """Return the thinnest conductor of the tables that loses no more than is allowed on this run."""
    most = run.allowed_drop_fraction * run.voltage
    for one in wires():
        if voltage_drop(one.at(run.temperature), run.length, run.current) <= most * (1 + 1e-9):
            return one
    return None


def device_findings(run: RunPlan, budget: TransformerBudget) -> Iterator[PowerFinding]:
    """Hold the voltage at the far end against what a device needs, running and at the worst moment."""
    for voltage, ends, moment, pulling_in, weight in (
        (run.device_voltage, run.running_ends, "with everything running", False, Weight.ADVICE),
        (run.device_voltage_worst, run.worst_ends, "at the worst moment", True, Weight.CONFLICT),
    ):
        if voltage is None or ends is None:
            continue
        least, source = voltage_limits(budget.rated_secondary, pulling_in=pulling_in)
        sentence = words(
            "{name}: {voltage} at its far end {moment}; accepted from {least}",
            name=Words(run.name), voltage=voltage, moment=Words(moment), least=nominal(least),
        )  # fmt: skip
        do = Words(
            "meter at the device at that moment, power on; thicker or shorter wire, or a stiffer transformer"
        )
        outcome = ends.held(least, None)
        if outcome is Verdict.CANNOT_TELL and pulling_in:
            do = settles(budget, "meter at the device at that moment, power on")
        if budget.voltages_are_guess:
            outcome, do = (
                Verdict.CANNOT_TELL,
                Words("read the rating on the transformer's nameplate, power off"),
            )
        kind = "power.device_voltage_worst" if pulling_in else "power.device_voltage"
        yield finding(kind, run.name, outcome, Case(sentence, do, weight), source)
