"""How the control power of a unit looks in a terminal; `ventwright power` and `ventwright plan` share it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from ventwright.cli import show
from ventwright.evidence import Verdict
from ventwright.plan.concerns import Weight
from ventwright.plan.power import PowerPlan
from ventwright.plan.power.budget import TransformerBudget
from ventwright.plan.power.finding import PowerFinding, nominal
from ventwright.plan.power.joined import JoinPlan
from ventwright.plan.power.primary_tap import Tap
from ventwright.plan.power.wire_run import RunPlan
from ventwright.quantity import (
    APPARENT_POWER,
    CURRENT,
    FRACTION,
    LENGTH,
    TEMPERATURE,
    VOLTAGE,
    Dimension,
    System,
)
from ventwright.tables.caution import Caution
from ventwright.tables.wire import RESISTANCE_PER_LENGTH
from ventwright.words import Amount, chance


def print_power(plan: PowerPlan, system: System, *, passing: bool = True) -> None:
    """Print transformers, loads, runs, joins and findings; those that pass may be left out."""
    show.heading("Control power")
    for number, budget in enumerate(plan.transformers):
        if number:
            show.line()
        _transformer(budget, system)
    connected = {(budget.name, budget.tap) for budget in plan.transformers}
    _taps([one for one in plan.taps if _worth_a_line(one) or (one.transformer, one.tap) in connected], system)
    if plan.runs:
        show.line()
        _runs(plan.runs, system)
    _joined(plan.joined, system)
    show.line()
    shown = [one for one in plan.findings if passing or one.verdict is not Verdict.PASSES]
    if shown:
        print_findings(shown, system)
    if left_out := len(plan.findings) - len(shown):
        show.line(
            f"In order: {left_out} of {len(plan.findings)} checks of the control power (`ventwright power JOB`)."
        )


def print_cautions(cautions: Iterable[Caution]) -> None:
    """Print what to take care of, first of all."""
    show.heading("Take care")
    for caution in cautions:
        show.line(f"- {caution.stage}: {caution.text}")


def print_findings(findings: Sequence[PowerFinding], system: System) -> None:
    """Print every finding: how it stands, why, and what to do; what does not pass comes first."""
    ordered = sorted(findings, key=lambda one: (not one.stops, one.verdict is Verdict.PASSES))
    show.table(("stands", "because", "do"), [
        (_stands(one), one.sentence.show(system), one.do.show(system) if one.do else "") for one in ordered
    ])  # fmt: skip


def _stands(one: PowerFinding) -> str:
    if one.verdict is Verdict.PASSES:
        return one.verdict.spoken
    return f"{one.verdict.spoken} (advice)" if one.weight is Weight.ADVICE else one.verdict.spoken.upper()


def print_run(run: RunPlan, system: System) -> None:
    """Print one run by itself."""
    resistance = _shown(run.resistance, RESISTANCE_PER_LENGTH, system)
    temperature = _shown(run.temperature, TEMPERATURE, system) + (
        " (assumed)" if run.temperature_is_guess else ""
    )
    drop, share = _shown(run.voltage_drop, VOLTAGE, system), _shown(run.drop_fraction, FRACTION, system)
    power, drawn = _shown(run.apparent_power, APPARENT_POWER, system), _shown(run.current, CURRENT, system)
    longest, most = (
        _shown(run.longest_run, LENGTH, system),
        _shown(run.allowed_drop_fraction, FRACTION, system),
    )
    show.pairs([
        ("Wire", f"{run.gauge} AWG {run.conductor}, {resistance} at {temperature}"),
        ("Length one way", _shown(run.length, LENGTH, system)),
        ("Carries", f"{power} = {drawn} at {_nominal(run.voltage)}"),
        ("Voltage drop", f"{drop} = {share}"),
        ("Left at the far end", _shown(run.voltage - run.voltage_drop, VOLTAGE, system)),
        ("Longest run", f"{longest} for {most}"),
        ("Wire table", run.source),
    ])  # fmt: skip


def _transformer(budget: TransformerBudget, system: System) -> None:
    rating = _shown(budget.rating, APPARENT_POWER, system) + (" (guess)" if budget.rating_is_guess else "")
    secondary = f"{_nominal(budget.rated_secondary)} secondary"
    show.pairs([
        (budget.name, f"{rating}, {_primary(budget)}, {secondary}"),
        ("Drawn", _drawn(budget, system)),
        ("Voltage", _voltages(budget, system)),
        ("Fuse", _fuse(budget, system)),
    ])  # fmt: skip
    if budget.loads:
        show.line()
        show.table(("load", "draws", "inrush", "when", "rectifier"), [
            (one.name, _shown(one.apparent_power, APPARENT_POWER, system),
             one.inrush.show(system) + (" (guess)" if one.inrush_is_guess else ""), one.when, one.rectifier)
            for one in budget.loads
        ])  # fmt: skip


def _drawn(budget: TransformerBudget, system: System) -> str:
    idle, running, vector, stroking = (
        _shown(power, APPARENT_POWER, system)
        for power in (budget.idle_power, budget.running_power, budget.vector_power, budget.stroking_power)
    )
    loading, of_stroking, worst = (
        _shown(share, FRACTION, system)
        for share in (budget.loading_fraction, budget.stroking_fraction, budget.worst_fraction)
    )
    by_vectors = f" ({vector} by vectors)" if budget.vector_power < budget.running_power * (1 - 1e-9) else ""
    pulling = f", {budget.pulls_in} pulling in" if budget.pulls_in else ""
    return (
        f"idle {idle}; running {running}{by_vectors} = {loading}; stroking {stroking} = {of_stroking}; "
        f"worst {budget.worst_power.show(system)} = {worst}{pulling}"
    )


def _voltages(budget: TransformerBudget, system: System) -> str:
    volts = [
        f"{name} {amount.show(system)}"
        for name, amount in (
            ("no load", budget.no_load_voltage),
            ("idle", budget.idle_voltage),
            ("running", budget.running_voltage),
            ("worst", budget.worst_voltage),
        )
    ]
    metered = budget.voltages_known_from == "metered"
    return f"{'; '.join(volts)} ({'metered' if metered else f'stands on {budget.voltages_known_from}'})"


def _primary(budget: TransformerBudget) -> str:
    supply = _nominal(budget.supply) if budget.supply is not None else "supply not known"
    if budget.tap is None:
        return f"{supply}, tap not known"
    return f"{supply} on the {_nominal(budget.tap)} tap"


def _fuse(budget: TransformerBudget, system: System) -> str:
    least = f"more than {_shown(budget.fuse_at_least, CURRENT, system)}"
    if budget.fuse_at_most is None:
        return f"{least}; no Class 2 source"
    most = f"{least}; at most {_shown(budget.fuse_at_most, CURRENT, system)} where the source does not limit itself"
    if budget.fuse_suggested is None:
        return f"{most}; no usual fuse does both and protects the transformer"
    guess = " (guess)" if budget.rating_is_guess else ""
    return f"{most}; {nominal(budget.fuse_suggested, 'A').text} slow fits{guess}"


def _worth_a_line(tap: Tap) -> bool:
    """Leave out the taps that are neither right nor likely."""
    return tap.right or (tap.probability is not None and tap.probability >= 0.01)


def _taps(taps: Sequence[Tap], system: System) -> None:
    if not taps:
        return
    show.line()
    show.table(("primary tap", "would give", "idle", "likely by the meter"), [
        (f"{one.transformer}: {_nominal(one.tap)}{' (right)' if one.right else ''}",
         _shown(one.rated_voltage, VOLTAGE, system), one.idle_voltage.show(system),
         "" if one.probability is None else chance(one.probability))
        for one in taps
    ])  # fmt: skip


def _runs(runs: Sequence[RunPlan], system: System) -> None:
    show.table(("run", "wire", "loses", "longest", "left at the device", "at the worst moment"), [
        (one.name, f"{_shown(one.length, LENGTH, system)} of {one.gauge} AWG {one.conductor}",
         f"{_shown(one.voltage_drop, VOLTAGE, system)} = {_shown(one.drop_fraction, FRACTION, system)}",
         _shown(one.longest_run, LENGTH, system),
         one.device_voltage.show(system) if one.device_voltage else "",
         one.device_voltage_worst.show(system) if one.device_voltage_worst else "")
        for one in runs
    ])  # fmt: skip


def _joined(joined: Sequence[JoinPlan], system: System) -> None:
    if not joined:
        return
    show.line()
    show.table(("joined", "tied", "hot to hot in phase", "out of phase", "other legs", "metered"), [
        (one.about, one.tied, _shown(one.reads_in_phase, VOLTAGE, system), _shown(one.reads_out_of_phase, VOLTAGE, system),
         " or ".join(_shown(volts, VOLTAGE, system) for volts in one.reads_on_other_legs),
         one.between_hots.show(system) if one.between_hots else "")
        for one in joined
    ])  # fmt: skip


def _nominal(volts: float) -> str:
    return nominal(volts).text


def _shown(value: float, dimension: Dimension, system: System) -> str:
    return Amount(value, dimension).show(system)
