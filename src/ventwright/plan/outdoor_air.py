"""Required outdoor air: the code sum for cooling and for heating, beside whatever the drawings say.

A number from drawings or a balancing report is used where it is given; the code sum stands beside it, and where
the two disagree that is shown, never settled silently.
"""

from __future__ import annotations

from collections.abc import Container, Iterable, Sequence
from dataclasses import dataclass, replace

from ventwright.errors import Refusal, Refused
from ventwright.facts.space import Space, Ventilation
from ventwright.plan.assumed_space import space_assumed
from ventwright.plan.basis import Basis, Guess
from ventwright.plan.people import guesses_about_people, people_in
from ventwright.plan.several_zones import ServedZone, intake_of_zones, zone_of, zones_of
from ventwright.quantity import AIRFLOW, AREA, FRACTION
from ventwright.tables import prior, ventilation
from ventwright.tables import ventilation_procedure as procedure
from ventwright.tables.demand_control import demand_control_rule
from ventwright.tables.ventilation import Distribution, Mode, Rate
from ventwright.words import Amount, Words, measured, words


@dataclass(frozen=True, slots=True)
class SpaceAir:
    """One space with the people reckoned with and its breathing-zone outdoor air."""

    name: str
    zone: str
    category: str
    floor_area: float = measured(AREA)
    people: float = 0.0
    people_are_guess: bool = False
    breathing_zone: float = measured(AIRFLOW, default=0.0)
    demand_control: bool | None = None
    occupied_standby: bool | None = None
    source: str = ""
    doubt: str = ""


@dataclass(frozen=True, slots=True)
class ModeAir:
    """Outdoor air of the system in cooling or in heating."""

    mode: str
    intake: float = measured(AIRFLOW)
    distribution: tuple[str, ...] = ()
    system_efficiency: float | None = measured(FRACTION, default=None)
    doubt: str = ""


@dataclass(frozen=True, slots=True)
class VentilationPlan:
    """What the spaces need. ``required`` is the larger of cooling and heating, from the drawings where they say."""

    standard: str
    system: str
    required: float = measured(AIRFLOW)
    required_cooling: float = measured(AIRFLOW)
    required_heating: float = measured(AIRFLOW)
    tolerance: float = measured(FRACTION)
    source: str = ""
    code_sum: tuple[ModeAir, ...] = ()
    spaces: tuple[SpaceAir, ...] = ()
    demand_control_required: bool | None = None
    disagreement: Words | None = None
    guesses: tuple[Guess, ...] = ()
    low_occupancy: float | None = measured(AIRFLOW, default=None)
    """Outdoor air while the spaces with demand control count by their floor alone; None where no space has or wants it."""
    required_is_guess: bool = False
    """Neither spaces nor a drawn airflow are given, and a space is assumed: nothing passes or fails by what it needs."""


def usual_tolerance() -> float:
    """Accepted departure of an outdoor airflow where the job does not say otherwise. [-]"""
    return prior.usual("airflow_tolerance", FRACTION).value


def tolerance_of(given: Ventilation) -> float:
    """Return the accepted departure of an outdoor airflow: as given, else the usual one. [-]

    Raises
    ------
    Refused
        A tolerance of nothing or of everything.
    """
    if given.tolerance is None:
        return usual_tolerance()
    if not 0.0 < given.tolerance.value < 1.0:
        problem, accepted = (
            "is no tolerance that a reading could meet or miss",
            "more than 0 % and less than 100 %",
        )
        raise Refused(Refusal(problem, accepted, "facts.ventilation.tolerance", given.tolerance.typed))
    return given.tolerance.value


def plan_ventilation(spaces: Sequence[Space], given: Ventilation, basis: Basis) -> VentilationPlan:
    """Find the required outdoor air; with neither spaces nor a drawn airflow, that of a space which is assumed.

    Raises
    ------
    Refused
        A tolerance of nothing or of everything, an unknown category or edition, a space without people where the standard
        gives no default, or a multiple-zone system without the airflows its method needs.
    """
    edition = ventilation.edition_named(basis.ventilation_standard, "facts.ventilation.standard")
    if not spaces and given.drawn is None:
        return _on_assumed_space(given, basis, edition)
    tolerance = tolerance_of(given)
    rows = _rates(spaces, edition)
    sums = _code_sum(rows, given, edition) if rows else ()
    cooling, heating, source = _required(given, sums, edition)
    shown = tuple(_space_air(space, rate, basis, max(cooling, heating)) for space, rate in rows)
    return VentilationPlan(
        standard=edition,
        system=given.system,
        required=max(cooling, heating),
        required_cooling=cooling,
        required_heating=heating,
        source=source,
        tolerance=tolerance,
        code_sum=sums,
        spaces=shown,
        demand_control_required=_any(space.demand_control for space in shown),
        disagreement=_disagreement(given, sums),
        guesses=(*guesses_about_people(rows), *_taken_as_one_zone(spaces, given)),
        low_occupancy=_low_occupancy(rows, shown, given, edition, max(cooling, heating)),
    )


def _on_assumed_space(given: Ventilation, basis: Basis, edition: str) -> VentilationPlan:
    """Plan with one space that is assumed, in one zone; it is not listed, since nobody entered it."""
    alone = Ventilation(tolerance=given.tolerance)

    def intake_of(space: Space) -> float:
        return max(one.intake for one in _code_sum(_rates([space], edition), alone, edition))

    space, guess = space_assumed(basis, intake_of)
    assumed = plan_ventilation([space], alone, basis)
    return replace(
        assumed, system=given.system, source=f"{assumed.source}, of a space that is assumed", spaces=(),
        demand_control_required=None, guesses=(guess,), low_occupancy=None, required_is_guess=True,
    )  # fmt: skip


def _taken_as_one_zone(spaces: Sequence[Space], given: Ventilation) -> tuple[Guess, ...]:
    """Say so where nobody said what several spaces are: zones with air of their own need more of it."""
    if len(spaces) == 1 or given.drawn is not None or "system" in given.model_fields_set:
        return ()
    sentence = "{count} spaces are taken as one zone; where each has a supply of its own, say so beside the spaces (ventilation.system: multiple zones)"
    return (Guess("ventilation.system", words(sentence, count=Words(str(len(spaces))))),)


def controlled(spaces: Sequence[SpaceAir], given: Ventilation) -> tuple[SpaceAir, ...]:
    """Return the spaces whose air follows their people: where the code wants it, or all with people where it is fitted.

    A use that needs no air of its own has none that could follow.
    """
    with_air = [space for space in spaces if space.breathing_zone > 0.0]
    wanted = tuple(space for space in with_air if space.demand_control)
    if wanted or given.demand_control != "fitted":
        return wanted
    return tuple(space for space in with_air if space.people > 0.0)


def _low_occupancy(
    rows: Sequence[tuple[Space, Rate]], shown: Sequence[SpaceAir], given: Ventilation, edition: str, required: float,
) -> float | None:  # fmt: skip
    """Outdoor air of the system with the controlled spaces at low occupancy, in the worse mode; never above the design."""
    at_low = {space.name for space in controlled(shown, given)}
    if not at_low:
        return None
    alone = given.model_copy(update={"people_at_once": None})  # diversity is of a full house
    return min(max(one.intake for one in _code_sum(rows, alone, edition, at_low)), required)


def _rates(spaces: Sequence[Space], edition: str) -> list[tuple[Space, Rate]]:
    return [
        (space, ventilation.rate(edition, space.use, f"facts.spaces[{n}].use"))
        for n, space in enumerate(spaces, 1)
    ]


def _any(answers: Iterable[bool | None]) -> bool | None:
    """Whether any answer is yes; None where one is not known and none is yes."""
    known = list(answers)
    return True if True in known else None if None in known or not known else False


def _procedure_space(space: Space, rate: Rate, *, low: bool = False) -> procedure.Space:
    larger, area = rate.combination == "larger", space.floor_area.value
    if low:
        return procedure.Space(0.0, area, rate.people_rate, rate.least_area_rate, larger)
    return procedure.Space(people_in(space, rate), area, rate.people_rate, rate.area_rate, larger)


def _code_sum(
    rows: Sequence[tuple[Space, Rate]], given: Ventilation, edition: str, at_low: Container[str] = ()
) -> tuple[ModeAir, ...]:
    """Intake of the system in cooling and in heating."""
    by_name = {zone.name: zone for zone in given.zones}
    names = zones_of([space for space, _ in rows], given)
    zones = [
        ServedZone(name, tuple(_procedure_space(space, rate, low=space.name in at_low) for space, rate in rows
                               if zone_of(space, given) == name), by_name.get(name))
        for name in names
    ]  # fmt: skip
    return tuple(_mode_sum(mode, zones, given, edition) for mode in ("cooling", "heating"))


def _mode_sum(mode: Mode, zones: Sequence[ServedZone], given: Ventilation, edition: str) -> ModeAir:
    ways = [_distribution(zone, mode, edition) for zone in zones]
    outdoor = [
        procedure.zone_outdoor_airflow(procedure.breathing_zone_airflow(zone.spaces), way.effectiveness)
        for zone, way in zip(zones, ways, strict=True)
    ]
    doubts = dict.fromkeys(way.source.doubt for way in ways if way.source.doubt)
    efficiency = None
    if given.system == "multiple zones" and _adds_up_zones(zones, given, edition):
        intake = sum(outdoor)
    elif given.system == "multiple zones":
        intake, efficiency, source = intake_of_zones(zones, outdoor, given, edition)
        doubts |= {source.doubt: None} if source and source.doubt else {}
    elif given.system == "all outdoor air":
        intake = procedure.all_outdoor_air_intake(outdoor)
    else:
        intake = procedure.single_zone_intake(sum(outdoor))
    return ModeAir(
        mode, intake, tuple(dict.fromkeys(way.words for way in ways)), efficiency, "; ".join(doubts)
    )


def _adds_up_zones(zones: Sequence[ServedZone], given: Ventilation, edition: str) -> bool:
    """Whether the code adds the zones' air up, without a system efficiency (California: from memory)."""
    adds = any(space.larger_counts for zone in zones for space in zone.spaces)
    if adds and given.method is not None:
        problem, accepted = f"is no method of {edition}", "no method: the air of the zones adds up"
        raise Refused(Refusal(problem, accepted, "facts.ventilation.method", given.method))
    return adds


def _distribution(zone: ServedZone, mode: Mode, edition: str) -> Distribution:
    named = (
        None
        if zone.facts is None
        else zone.facts.cooling_distribution
        if mode == "cooling"
        else zone.facts.heating_distribution
    )
    if named is None:
        return ventilation.default_distribution(edition, mode)
    return ventilation.distribution(
        edition, named, f"facts.ventilation.zones ({zone.name}).{mode}_distribution"
    )


def _required(given: Ventilation, sums: Sequence[ModeAir], edition: str) -> tuple[float, float, str]:
    """Return cooling and heating airflow and where they come from."""
    if given.drawn is not None:
        cooling = given.drawn.cooling.value
        heating = given.drawn.heating.value if given.drawn.heating else cooling
        return cooling, heating, given.drawn.source
    by_mode = {one.mode: one.intake for one in sums}
    document = f"ASHRAE {edition}" if edition[0].isdigit() else edition
    return by_mode["cooling"], by_mode["heating"], f"code sum, {document}"


def _disagreement(given: Ventilation, sums: Sequence[ModeAir]) -> Words | None:
    """Say where the drawn airflow and the code sum differ by more than the tolerance of an acceptance test."""
    if given.drawn is None or not sums:
        return None
    drawn = {
        "cooling": given.drawn.cooling.value,
        "heating": (given.drawn.heating or given.drawn.cooling).value,
    }
    for one in sums:
        if abs(drawn[one.mode] - one.intake) > usual_tolerance() * one.intake:
            return words(
                "{source} asks for {drawn} in {mode}, and the code sum is {summed}: find out which holds before setting",
                source=Words(given.drawn.source), drawn=Amount(drawn[one.mode], AIRFLOW), mode=Words(one.mode),
                summed=Amount(one.intake, AIRFLOW),
            )  # fmt: skip
    return None


def _space_air(space: Space, rate: Rate, basis: Basis, intake: float) -> SpaceAir:
    people = people_in(space, rate)
    return SpaceAir(
        name=space.name,
        zone=space.zone or space.name,
        category=rate.name,
        floor_area=space.floor_area.value,
        people=people,
        people_are_guess=space.people is None and people > 0,
        breathing_zone=procedure.breathing_zone_airflow([_procedure_space(space, rate)]),
        demand_control=_demand_control(space, rate, people, basis, intake),
        occupied_standby=rate.occupied_standby,
        source=str(rate.source),
        doubt=rate.source.doubt,
    )


def _demand_control(space: Space, rate: Rate, people: float, basis: Basis, intake: float) -> bool | None:
    """Whether the energy code wants outdoor air to follow the people here; None where its rule is not held."""
    area = space.floor_area.value
    try:
        rule = demand_control_rule(basis.energy_code)
    except Refused:
        return None
    density = people / area if area else 0.0
    if rule.egress_density_counts:
        density = max(density, rate.egress_density or 0.0)
    return rule.holds_for(
        floor_area=area, density=density, system_outdoor_airflow=intake,
        air_economizer=True, modulating_damper=True, category=rate.name,
    )  # fmt: skip
