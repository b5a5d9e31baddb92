"""What forgetting a temporary change would cost: the unit in software with it and without, on a few plain days.

An estimate, and said as one: the unit is as the facts tell, the days are assumed, the controls follow a usual sequence.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from statistics import fmean

from ventwright.errors import Refused
from ventwright.facts import Facts
from ventwright.physics.moist_air import STANDARD_PRESSURE
from ventwright.physics.rooftop.control_fault import ForgottenResistor
from ventwright.physics.rooftop.control_settings import TERMS, ControlSettings, filled
from ventwright.physics.rooftop.hardware import Unit
from ventwright.physics.rooftop.hardware_fault import HardwareFault, HardwareFaultKind
from ventwright.physics.rooftop.sensing import Place
from ventwright.plan import Plan
from ventwright.plan.software_unit import software_unit
from ventwright.quantity import AIRFLOW, HEAT_RATE, TEMPERATURE, Dimension
from ventwright.quantity.dimension import VALVE_SENSE
from ventwright.readings import ChangeKind, Readings, TemporaryChange
from ventwright.tables.forgetting import Scene, scenes
from ventwright.tables.kit import Kit
from ventwright.verdict.as_left import settings_as_left
from ventwright.verdict.forgotten_day import Day, Way, called_by_hand, one_day
from ventwright.words import Amount, Words, measured, words

INPUT = {
    "outdoor air": "outdoor_dry_bulb",
    "return air": "return_dry_bulb",
    "mixed air": "mixed_dry_bulb",
    "supply air": "supply_dry_bulb",
}

PLACE = {
    "outdoor air": Place.OUTDOOR,
    "return air": Place.RETURN,
    "mixed air": Place.MIXED,
    "supply air": Place.SUPPLY,
}

ALIKE = 0.05
"""Variants of the unit that part by less than this share are said as one figure (our own assumption). [-]"""

BLIND = Words(
    "the mixed-air low limit is blind: nothing holds the damper back in frost, and the coil may freeze"
)

UNLOCKED = Words(
    "the lockout is lower than it was: in the cold between the two nothing keeps the compressor off"
)


@dataclass(frozen=True, slots=True)
class Cost:
    """What a forgotten change does on one day, as an estimate: the unit with it less the unit without.

    The unit is known only so far: each figure is the middle of its variants in software, the sentence says their range.
    """

    scene: str
    sentence: Words
    outdoor_air: float = measured(AIRFLOW)
    load: float = measured(HEAT_RATE)
    """Heat to be moved more than without it: off the air, into the air, or by machines that nobody called for."""
    coldest_mixed_air: float = measured(TEMPERATURE)
    """In its coldest layer, with the change."""
    freeze_risk: bool = False


@dataclass(frozen=True, slots=True)
class Forgetting:
    """What forgetting one change costs, worst day first; where no figure can be given, ``sentence`` says why."""

    change: str
    sentence: Words
    costs: tuple[Cost, ...] = ()


def forgetting(
    change: TemporaryChange,
    kit: Kit,
    variants: Sequence[Unit],
    settings: ControlSettings,
    pressure: float = STANDARD_PRESSURE,
) -> Forgetting:
    """Reckon what a change would cost if it stayed.

    Parameters
    ----------
    change
        As it was entered.
    kit
        Whose labels its settings have.
    variants, settings
        The unit in software, without the change, as it may be built [SI].
    pressure
        Of the air at the site. [Pa]

    Returns
    -------
    Forgetting
        Airflow [m3/s], load [W] and temperatures [°C] on each day that shows something.

    References
    ----------
    None is needed: two operating points are compared (``rooftop.operating``); the days are our own assumption.
    """
    way = _way(change, kit, settings)
    if isinstance(way, Words):
        return Forgetting(change.id, words("no figure: {why}", why=way))
    found = [
        _cost(scene, [one_day(scene, way, unit, pressure) for unit in variants]) for scene in scenes().scenes
    ]
    costs = tuple(sorted((one for one in found if one is not None), key=_weight, reverse=True))
    parts = [costs[0].sentence] if costs else []
    parts += [BLIND] if change.sensor == "mixed air" else []
    parts += [UNLOCKED] if _frees_compressor(way) else []
    if not parts:
        return Forgetting(
            change.id,
            Words("estimate, by the unit in software: next to nothing on the days that were looked at"),
            costs,
        )
    text = "; ".join(f"{{part_{number}}}" for number in range(len(parts)))
    return Forgetting(
        change.id,
        Words(
            f"estimate, by the unit in software: {text}", {f"part_{n}": one for n, one in enumerate(parts)}
        ),
        costs,
    )


def _weight(cost: Cost) -> tuple[bool, float, float]:
    """Order costs: a coil that may freeze first, then by load and airflow."""
    return cost.freeze_risk, cost.load, abs(cost.outdoor_air)


def _way(change: TemporaryChange, kit: Kit, settings: ControlSettings) -> Way | Words:
    """Return what a change does to the unit, or why that cannot be said."""
    if change.call is not None:
        return Way(settings, settings, calls=lambda calls: called_by_hand(calls, change.call or ""))
    match change.kind:
        case ChangeKind.SETTING:
            return _setting_way(change, kit, settings)
        case ChangeKind.RESISTOR if change.imitates is not None and change.sensor is not None:
            fault = ForgottenResistor(INPUT[change.sensor], change.imitates.value)
            return Way(settings, settings, (fault,))
        case ChangeKind.RESISTOR:
            return Words("what the controller shows with the resistor is not entered (imitates)")
        case ChangeKind.PACK:
            return Words("a pack comes to the temperature of the air by itself")
        case ChangeKind.LEAD if change.sensor is not None:
            lost = HardwareFault(HardwareFaultKind.SENSOR_OPEN, sensor=PLACE[change.sensor])
            return Way(settings, settings, (lost,))
        case ChangeKind.OVERRIDE:
            return Words("what is held by hand follows the controls no more, whatever the day asks for")
    return Words("what it does to the unit is not entered (its kind, with sensor, label or call)")


def _frees_compressor(way: Way) -> bool:
    was, now = way.was.lockout, way.now.lockout
    return was is not None and (now is None or now < was)


def _setting_way(change: TemporaryChange, kit: Kit, settings: ControlSettings) -> Way | Words:
    setting = kit.setting(change.label or "")
    term = (setting.means.value, setting.fan)
    if term not in TERMS:
        return Words("the unit in software takes no notice of this setting")

    def given(text: str) -> ControlSettings:
        value = setting.read(text).value
        valve = "powered in heating" if value else "powered in cooling"
        return filled(settings, {term: valve if setting.dimension == VALVE_SENSE else value})

    try:
        return Way(given(change.was), given(change.changed_to))
    except Refused:
        return Words("the unit in software cannot be set so")


def _cost(scene: Scene, days: Sequence[Day]) -> Cost | None:
    """Put the variants of one day together; None where they show nothing worth a word."""
    parts = list(_parts(days))
    if not parts:
        return None
    outdoors = Amount(scene.dry_bulb, TEMPERATURE)
    text = ", ".join(f"{{part_{number}}}" for number in range(len(parts)))
    amounts: dict[str, Amount | Words] = {f"part_{number}": one for number, one in enumerate(parts)}
    return Cost(
        scene.name,
        Words(f"{scene.name} ({{outdoors}}) {text}", {**amounts, "outdoors": outdoors}),
        fmean(day.outdoor_air for day in days),
        fmean(day.load for day in days),
        min(day.coldest for day in days),
        any(day.freezes for day in days),
    )


def _parts(days: Sequence[Day]) -> Iterator[Words]:
    """Say everything that a day shows."""
    least, first = scenes(), days[0]
    if abs(fmean(day.share for day in days)) > least.least_outdoor_air:
        word = "more" if fmean(day.outdoor_air for day in days) > 0.0 else "less"
        yield words(
            f"{{air}} {word} outdoor air", air=_range([abs(day.outdoor_air) for day in days], AIRFLOW)
        )
    if fmean(day.load for day in days) > least.least_load:
        yield words(f"{{load}} {_load_word(first)}", load=_range([day.load for day in days], HEAT_RATE))
    was, now = first.without.state, first.having.state
    if was.cooling_stages != now.cooling_stages:
        stages = f"{now.cooling_stages} compressor stage{'' if now.cooling_stages == 1 else 's'}"
        yield Words(f"{stages} running where it would be {was.cooling_stages}")
    if now.fan_running and not was.fan_running:
        yield Words("the fan runs on")
    if any(day.having.protection and not day.without.protection for day in days):
        yield Words("freeze protection has to step in")
    if any(day.freezes for day in days):
        coldest = Amount(min(day.coldest for day in days), TEMPERATURE)
        yield words("mixed air down to {coldest}: the coil may freeze", coldest=coldest)


def _load_word(day: Day) -> str:
    if day.by_hand:
        return "moved that nobody called for"
    return "more to heat" if day.having.state.heating_stages else "more on the coil"


def _range(values: Sequence[float], dimension: Dimension) -> Words:
    """Say what the variants give: one figure where they agree, else from the least to the most."""
    low, high = Amount(min(values), dimension), Amount(max(values), dimension)
    if high.value - low.value <= ALIKE * abs(high.value):
        return words("{middle}", middle=Amount(fmean(values), dimension))
    return words("{low} to {high}", low=low, high=high)


def all_forgetting(facts: Facts, plan: Plan, readings: Readings) -> dict[str, Forgetting]:
    """What forgetting would cost, for every temporary change that stands, by its id.

    Parameters
    ----------
    facts, plan, readings
        Of the job; its unit is put into software as the settings were left.
    """
    changes = readings.standing(TemporaryChange)
    if not changes:
        return {}
    left = settings_as_left(plan.kit, readings)
    unit = software_unit(facts, plan.basis, plan.kit, plan.settings, left)
    return {
        one.id: forgetting(one, plan.kit, unit.variants, unit.settings, plan.basis.pressure)
        for one in changes
    }
