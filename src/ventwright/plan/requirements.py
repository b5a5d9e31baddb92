"""What the codes ask of this unit, and whether the job meets it as far as facts and plan can show."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ventwright.errors import Refused
from ventwright.facts import Facts
from ventwright.plan.basis import Basis
from ventwright.plan.concerns import BEYOND_CODE, Concern
from ventwright.plan.high_limit import HighLimitPlan
from ventwright.plan.outdoor_air import VentilationPlan
from ventwright.plan.requirement import Compliance, Requirement
from ventwright.plan.speeds import SpeedPlan
from ventwright.quantity import (
    AIRFLOW,
    ENTHALPY,
    ENTHALPY_DIFFERENCE,
    FRACTION,
    HEAT_RATE,
    PRESSURE,
    TEMPERATURE,
    TEMPERATURE_DIFFERENCE,
    has_unit_of,
    read,
)
from ventwright.tables import energy_code
from ventwright.tables.clause import Clause
from ventwright.tables.damper_leakage import damper_leakage
from ventwright.tables.demand_control import DemandControlRule, demand_control_rule
from ventwright.tables.kit import Kit
from ventwright.tables.rates import AIRFLOW_PER_AREA
from ventwright.words import Amount, Words, words


def requirements(
    facts: Facts,
    basis: Basis,
    kit: Kit,
    limit: HighLimitPlan,
    ventilation: VentilationPlan,
    speeds: Sequence[SpeedPlan],
    found: Sequence[Concern] = (),
) -> tuple[Requirement, ...]:
    """List what the codes ask, in the order in which a person decides; ``found`` is what does not fit in the settings."""
    return (
        *_economizer(basis),
        *_high_limit(limit, [one for one in found if one.name in BEYOND_CODE]),
        *_demand_control(facts, ventilation, basis),
        *(
            _clause(clause, facts, basis, kit, speeds)
            for clause in energy_code.clauses(basis.energy_code)
            if clause.id not in _SKIPPED
        ),
    )


_SKIPPED = {"exceptions", "total_without_economizer"}  # they are said with the economizer itself


def _economizer(basis: Basis) -> Iterator[Requirement]:
    """Whether the code wants an economizer on this unit; fitting one where none is required is always allowed."""
    if basis.climate_zone is None:
        yield Requirement(
            "economizer", "Economizer", Words("an economizer, depending on climate zone and capacity"), Compliance.NOT_KNOWN,
            Words("give the climate zone, or county and state"), basis.energy_code, "", "",
        )  # fmt: skip
        return
    rule = energy_code.economizer_rule(
        basis.energy_code, basis.climate_zone, outside=basis.location == "outside"
    )
    zone, source = Words(basis.climate_zone), rule.source
    if rule.minimum_capacity is None:
        asks, standing = words("no economizer in climate zone {zone}", zone=zone), Compliance.NOT_REQUIRED
        because = Words("one is fitted all the same")
    else:
        asks = words(
            f"an economizer on units {'above' if rule.exclusive else 'from'} {{capacity}} in climate zone {{zone}}",
            capacity=Amount(rule.minimum_capacity, HEAT_RATE),
            zone=zone,
        )
        if basis.cooling_capacity is None:
            standing, because = Compliance.NOT_KNOWN, Words("the cooling capacity is not given")
        elif rule.requires(basis.cooling_capacity):
            standing, because = (
                Compliance.MET,
                words(
                    "the unit has {capacity} and gets one", capacity=Amount(basis.cooling_capacity, HEAT_RATE)
                ),
            )
        else:
            standing = Compliance.NOT_REQUIRED
            because = words(
                "the unit has {capacity}; one is fitted all the same",
                capacity=Amount(basis.cooling_capacity, HEAT_RATE),
            )
    yield Requirement(
        "economizer", "Economizer", asks, standing, because, str(source), source.confirmed, source.doubt
    )


def _high_limit(limit: HighLimitPlan, beyond: Sequence[Concern]) -> Iterator[Requirement]:
    standing = {True: Compliance.MET, False: Compliance.NOT_MET, None: Compliance.NOT_KNOWN}[limit.allowed]
    other = [one.control for one in limit.alternatives if one.allowed]
    because = words(
        "the kit decides by {control}; allowed here: {others}",
        control=Words(limit.control),
        others=Words(", ".join(other) or "not known"),
    )
    if limit.allowed and beyond:
        standing, because = Compliance.NOT_MET, beyond[0].sentence
    asks = Words("a high-limit control that this climate zone allows, at the table's setting")
    yield Requirement(
        "high_limit_control",
        "High-limit control",
        asks,
        standing,
        because,
        limit.source_text,
        limit.confirmed,
        limit.doubt,
    )


def _demand_control(facts: Facts, ventilation: VentilationPlan, basis: Basis) -> Iterator[Requirement]:
    fitted = facts.ventilation.demand_control
    asks = Words(
        "outdoor air that follows the people in large, dense spaces served through an economizer (demand control)"
    )
    heading = ("demand_control", "Demand-controlled ventilation", asks)
    try:
        rule = demand_control_rule(basis.energy_code)
    except Refused:
        because = Words(
            f"what {basis.energy_code} asks of it is not held here: look it up in the code that holds locally"
        )
        yield Requirement(*heading, Compliance.NOT_KNOWN, because, basis.energy_code, "not held here", "")
        return
    if not ventilation.spaces:
        standing, because = (
            Compliance.NOT_KNOWN,
            Words("no spaces are given: enter them with their floor area and people"),
        )
    elif ventilation.demand_control_required is False:
        standing, because = Compliance.NOT_REQUIRED, _none_wanted(ventilation, rule)
    elif fitted == "fitted":
        standing, because = (
            Compliance.TO_BE_SHOWN,
            Words("it is fitted; switch it off before the airflow is set"),
        )
    else:
        named = ", ".join(space.name for space in ventilation.spaces if space.demand_control)
        standing = Compliance.NOT_MET if fitted == "not fitted" else Compliance.NOT_KNOWN
        told = fitted if fitted == "not fitted" else "say whether it is fitted"
        because = Words(f"required for {named} unless an exception holds; {told}")
    source = rule.source
    yield Requirement(*heading, standing, because, str(source), source.confirmed, source.doubt)


def _none_wanted(ventilation: VentilationPlan, rule: DemandControlRule) -> Words:
    """Say what keeps the rule from holding: little outdoor air, a use that is excepted, or no large and dense space."""
    if rule.exempts(ventilation.required):
        return words(
            "the unit's {flow} of outdoor air are less than the {least} from which it is asked for",
            flow=Amount(ventilation.required, AIRFLOW), least=Amount(rule.exempt_below or 0.0, AIRFLOW),
        )  # fmt: skip
    excepted = ", ".join(space.name for space in ventilation.spaces if rule.excepts(space.category))
    return Words(
        "no space is both large and dense enough" + (f"; the use of {excepted} is excepted" * bool(excepted))
    )


def _clause(clause: Clause, facts: Facts, basis: Basis, kit: Kit, speeds: Sequence[SpeedPlan]) -> Requirement:
    standing, because = _held_against(clause, facts, basis, kit, speeds)
    if clause.id == "damper_leakage":
        because = _leakage_allowed(facts, basis) or because
    return Requirement(
        clause.id,
        clause.title,
        _asks(clause),
        standing,
        because,
        str(clause.source),
        clause.source.confirmed,
        clause.source.doubt,
    )


def _asks(clause: Clause) -> Words:
    """The clause in our words, with its numbers in the reader's units and its lists."""
    amounts = {
        f"q{number}": _printed(name, text) for number, (name, text) in enumerate(clause.quantities.items())
    }
    numbers = "; ".join(f"{name} {{q{number}}}" for number, name in enumerate(clause.quantities))
    lists = "; ".join(", ".join(things) for things in clause.lists.values())
    return Words(
        " ".join(part for part in (clause.text, f"({numbers})" if numbers else "", lists) if part), amounts
    )


def _printed(name: str, text: str) -> Amount | Words:
    """Read a number of a clause so that it can be shown in either system; a band is a difference."""
    dimensions = (
        TEMPERATURE_DIFFERENCE if "band" in name else TEMPERATURE,
        HEAT_RATE,
        FRACTION,
        AIRFLOW,
        PRESSURE,
        ENTHALPY_DIFFERENCE if "band" in name else ENTHALPY,
    )
    for dimension in dimensions:
        if has_unit_of(text, dimension):
            return Amount(read(text, dimension).value, dimension)
    return Words(text)


def _held_against(
    clause: Clause, facts: Facts, basis: Basis, kit: Kit, speeds: Sequence[SpeedPlan]
) -> tuple[Compliance, Words]:
    """Hold one clause against the facts; what only a test can show stays to be shown."""
    match clause.id:
        case "integrated_control":
            if kit.integrated:
                return Compliance.TO_BE_SHOWN, Words(
                    "the kit can; prove that the damper stays open when the compressor joins"
                )
            return Compliance.NOT_MET, Words("the kit closes the damper when the compressor runs")
        case "fan_speeds" | "fan_speeds_with_economizer":
            return _fan_speeds(clause, basis, kit, speeds)
        case "ventilation_at_low_speed":
            short = [speed for speed in speeds if not speed.can_deliver]
            if short:
                return Compliance.NOT_MET, words(
                    "{name} speed moves less than the outdoor air required", name=Words(short[0].name)
                )
            return Compliance.TO_BE_SHOWN, words(
                "the slowest fan needs {share} outdoor air",
                share=Amount(speeds[-1].target_outdoor_air_fraction, FRACTION),
            )
        case "relief":
            relief = facts.unit.relief
            if relief == "none":
                return Compliance.NOT_MET, Words("the unit has no relief")
            return (
                (Compliance.NOT_KNOWN, Words("relief is not given"))
                if relief == "unknown"
                else (
                    Compliance.TO_BE_SHOWN,
                    Words(f"{relief} relief; prove it at full outdoor air, doors shut"),
                )
            )
        case "staging":
            if basis.cooling_stages is None:
                return Compliance.NOT_KNOWN, Words("the stages of cooling are not given")
            enough = basis.cooling_stages >= 2
            stages = f"{basis.cooling_stages} stages" if enough else "one stage"
            return (Compliance.MET if enough else Compliance.NOT_KNOWN), Words(
                f"{stages} of mechanical cooling"
            )
        case _:
            return Compliance.TO_BE_SHOWN, Words("by looking, by test or by the maker's word")


def _leakage_allowed(facts: Facts, basis: Basis) -> Words | None:
    """The leakage allowed here, where the edition has a table of it and the climate zone is known."""
    if basis.climate_zone is None or not basis.energy_code.startswith("90.1"):
        return None
    try:
        limit = damper_leakage(basis.energy_code, basis.climate_zone, facts.site.storeys or 1)
    except Refused:
        return None
    height = "" if facts.site.storeys else " (storeys not given: one is assumed)"
    return words(
        "by the maker's class: at most {leak} through the motorized intake at {pressure}{height}",
        leak=Amount(limit.intake_motorized, AIRFLOW_PER_AREA),
        pressure=Amount(limit.test_pressure, PRESSURE),
        height=Words(height),
    )


def _fan_speeds(
    clause: Clause, basis: Basis, kit: Kit, speeds: Sequence[SpeedPlan]
) -> tuple[Compliance, Words]:
    """Two speeds where the capacity asks for them, the low one low enough."""
    from_capacity = [
        threshold
        for threshold in energy_code.fan_speed_thresholds(basis.energy_code)
        if threshold.until is None
    ]
    if basis.cooling_capacity is None or not from_capacity:
        return Compliance.NOT_KNOWN, Words("the cooling capacity or the threshold is not known")
    threshold = from_capacity[-1].minimum_capacity
    if basis.cooling_capacity < threshold:
        return Compliance.NOT_REQUIRED, words(
            "the unit has less than {capacity}", capacity=Amount(threshold, HEAT_RATE)
        )
    if len(speeds) < 2:
        return Compliance.NOT_MET, Words("the fan has one speed")
    if kit.fan_speeds < 2:
        return Compliance.NOT_MET, Words("the kit cannot tell two fan speeds apart")
    share = speeds[-1].supply_air / speeds[0].supply_air
    printed = clause.quantities.get("low speed at most, share of full speed")
    if printed is not None and share > read(printed, FRACTION).value + 1e-3:
        return Compliance.NOT_MET, words(
            "the slowest speed moves {share} of full airflow", share=Amount(share, FRACTION)
        )
    return Compliance.TO_BE_SHOWN, words("{count} speeds, the slowest {share} of full airflow ({flow})", count=Words(str(len(speeds))),
                                       share=Amount(share, FRACTION), flow=Amount(speeds[-1].supply_air, AIRFLOW))  # fmt: skip
