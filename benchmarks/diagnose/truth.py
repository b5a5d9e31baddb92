"""The umpire: units with faults that the tool does not know, on days of their own, and instruments that err."""

from __future__ import annotations

import random
from dataclasses import dataclass, field, replace
from math import exp, sqrt

from ventwright.physics.damper import Blades
from ventwright.physics.rooftop.air_path import Leg
from ventwright.physics.rooftop.calls import Calls
from ventwright.physics.rooftop.coil import CoolingCoil
from ventwright.physics.rooftop.control_settings import ControlSettings, FanSpeeds
from ventwright.physics.rooftop.hardware import Unit
from ventwright.physics.rooftop.heat import Heater, HeaterKind, HeatPump
from ventwright.physics.rooftop.lanes import Stratification
from ventwright.physics.rooftop.linkage import Linkage, Travel
from ventwright.physics.rooftop.minimum_position import MinimumPosition
from ventwright.physics.rooftop.operating import Fault, Operating, operate
from ventwright.physics.rooftop.relief import Relief, ReliefKind
from ventwright.physics.rooftop.sensing import Place, Sensor, sensors_sound
from ventwright.physics.rooftop.supply_fan import SupplyFan
from ventwright.physics.rooftop.surroundings import Indoor, Weather
from ventwright.plan.software_fault import can_have, made
from ventwright.plan.software_reading import Value
from ventwright.tables.fault_prior import FaultRow, fault_prior
from ventwright.tables.measurement import Measurement, Part, measurements
from ventwright.tables.sensor_curve import sensor_curve
from ventwright.verdict.diagnose.likelihood import SPANS
from ventwright.verdict.diagnose.roof import Roof, Situation, Values, place_of, values_of

OPPOSED = Blades(a=-1.51, b=9.45, low=15 / 90, high=55 / 90, loss_open=0.45, loss_closed=1e4)
SINGLE = Blades(a=-1.51, b=0.0842 * 90, low=15 / 90, high=65 / 90, loss_open=0.45, loss_closed=1e4)
"""Typical values of ASHRAE research project 825-RP, as the Modelica Buildings library documents them."""


def _sensors() -> tuple[Sensor, ...]:
    curve = sensor_curve("thermistor-10k-type-2").curve
    return tuple(
        replace(one, curve=curve) if one.input in {Place.OUTDOOR, Place.MIXED} else one
        for one in sensors_sound()
    )


def designs() -> tuple[tuple[Unit, ControlSettings], ...]:
    """Make the units as their facts have them: gas with two speeds, gas with one, a heat pump. All invented."""
    gas = Unit(
        Leg(OPPOSED, 0.5, 2.0),
        Leg(OPPOSED, 0.5, 1.0),
        SupplyFan(1.9, 1200.0, speeds=(0.6, 1.0)),
        0.6,
        cabinet_gap=0.004,
        envelope=0.25,
        relief=Relief(ReliefKind.BAROMETRIC, area=0.35, opening_pressure=5.0, open_pressure=15.0),
        coil=CoolingCoil((18e3, 36e3), 2.2),
        heater=Heater(HeaterKind.GAS, (30e3,)),
        sensors=_sensors(),
    )
    two_speeds = ControlSettings(
        MinimumPosition(0.30, 0.42, 1.0, 0.6),
        fan=FanSpeeds(ventilating=0.6, cooling_first=0.6, cooling_second=1.0, heating=1.0),
    )
    one_speed = ControlSettings(MinimumPosition(0.28, 0.28))
    pump = replace(
        gas,
        heat_pump=HeatPump((16e3, 32e3), valve_powered_cools=True),
        heater=Heater(HeaterKind.ELECTRIC, (10e3,)),
    )
    return (
        (gas, two_speeds),
        (replace(gas, fan=SupplyFan(1.9, 1200.0, speeds=(1.0,))), one_speed),
        (pump, replace(two_speeds, valve="powered in cooling", heaters=3)),
    )


def draw_situation(seed: int, number: int) -> Situation:
    """Make one roof on one day: what the tool is told."""
    dice = random.Random(f"situation {seed} {number}")
    unit, settings = designs()[number % 3]
    weather = Weather(dice.uniform(-8.0, 32.0), dice.uniform(0.3, 0.8))
    return Situation((unit,), settings, weather, Indoor(dice.uniform(21.5, 24.5), dice.uniform(0.35, 0.5)))


def _wide(unit: Unit, dice: random.Random, width: float) -> Unit:
    """Vary a unit further than the tool does, in ways of its own."""

    def times(spread: float) -> float:
        return exp(width * spread * dice.uniform(-1.0, 1.0))

    blades = dice.choice((OPPOSED, SINGLE))
    blades = replace(blades, b=blades.b * times(0.08))
    gap = 0.012 * width * dice.random()
    legs = [
        replace(
            leg,
            blades=blades,
            face=leg.face * times(0.3),
            fixed_loss=leg.fixed_loss * times(0.6),
            gap=0.01 * gap,
        )
        for leg in (unit.outdoor_damper, unit.return_damper)
    ]
    leaky = replace(legs[0], gap=gap * legs[0].face / sqrt(blades.loss_open))
    travel = Travel(dice.uniform(0.0, 0.12 * width), 1.0 - dice.uniform(0.0, 0.15 * width))
    back = Travel(
        dice.uniform(0.0, 0.1 * width), 1.0 - dice.uniform(0.0, 0.1), 1.0, dice.uniform(0.0, 0.08 * width)
    )
    lanes = dice.choice((3, 5, 7))
    layered = dice.random() < 0.6
    sensors = tuple(
        replace(
            one,
            bias=dice.uniform(-0.8, 0.8) * width,
            lane=dice.randrange(lanes) if layered and one.input is Place.MIXED else None,
        )
        for one in unit.sensors
    )
    left = 0.45 * width * dice.random() if layered else 0.0
    return replace(
        unit,
        outdoor_damper=leaky,
        return_damper=legs[1],
        linkage=Linkage(travel, back),
        fan=replace(unit.fan, airflow=unit.fan.airflow * times(0.15), fan_power=unit.fan.fan_power * times(0.1)),
        return_duct=unit.return_duct * times(0.4),
        envelope=unit.envelope * times(0.9),
        cabinet_gap=unit.cabinet_gap * times(1.0),
        sensors=sensors,
        stratification=Stratification(lanes, min(1.0, left), min(1.0, left * dice.uniform(0.4, 1.0))),
        control_power=replace(
            unit.control_power,
            full_load=unit.control_power.full_load * times(0.04),
            rating=unit.control_power.rating * times(0.2),
        ),
    )  # fmt: skip


@dataclass(slots=True)
class Truth:
    """One unit as it is, and the instruments that read it."""

    situation: Situation
    unit: Unit
    rows: tuple[FaultRow, ...]
    acts: dict[str, tuple[Fault, ...]]
    complaint: str
    errors: float
    """Against the errors that the tool reckons with. [-]"""
    name: str
    """Stands for the unit: its errors of reading follow from it."""
    offsets: tuple[float, float, float] = (0.0, 0.0, 0.0)
    """Of the three temperatures. [K]"""
    roof: Roof = field(init=False)

    def __post_init__(self) -> None:
        """Put the unit on its roof."""
        self.roof = Roof(self.situation)
        dice = random.Random(f"{self.name} offsets")
        self.offsets = tuple(self.errors * dice.gauss(0.0, 0.25) for _ in range(3))  # type: ignore[assignment]

    @property
    def faults(self) -> tuple[str, ...]:
        """Ids of what is wrong."""
        return tuple(row.id for row in self.rows)

    def read(self, one: Measurement, repaired: frozenset[str] = frozenset(), before: int = 0) -> Values:
        """Take a measurement, the first time or after so many times before; what was repaired is repaired.

        Whoever takes it reads the same: its errors are those of the unit, of the measurement and of the time.
        """
        dice = random.Random(f"{self.name} {one.id} {before} {sorted(repaired)}")
        left = [row for row in self.rows if row.id not in repaired]
        faults = [fault for row in left for fault in self.acts[row.id]]
        place = place_of(one)
        record = self.roof.read(self.unit, "the unit", faults, place)
        sound = self.roof.read(self.unit, "the unit", (), place)
        return tuple(
            None if value is None else self._with_error(part, value, sound[part.reads], dice)
            for part, value in zip(one.parts, values_of(one, record), strict=True)
        )

    def _with_error(self, part: Part, value: Value, sound: Value, dice: random.Random) -> Value:
        if isinstance(value, str):
            if dice.random() < (part.right if part.u is None else 0.99):
                return value
            overlooked = sound if sound != value and dice.random() < 0.5 else WRONG
            return overlooked if isinstance(overlooked, str) else WRONG
        if dice.random() < 0.01 * self.errors:
            return dice.uniform(*SPANS[part.reads])
        noise = 0.9 * self.errors * (part.u or 0.0) * dice.gauss(0.0, 1.0)
        if not part.probe_u:
            return value + noise
        noise *= max(0.3, 1.0 - abs(1.0 - 2.0 * value))
        outdoor, returned = self.situation.weather.dry_bulb, self.situation.indoor.dry_bulb
        mixed = returned - value * (returned - outdoor) + self.offsets[2] + 0.05 * dice.gauss(0.0, 1.0)
        outdoor, returned = outdoor + self.offsets[0], returned + self.offsets[1]
        difference = returned - outdoor
        if abs(difference) < 0.3:
            return value + noise + 3.0 * dice.gauss(0.0, 1.0)
        return (returned - mixed) / difference + noise


WRONG = "something else"
"""What a word is that was misread."""

REFERENCE = (
    (-8.0, (Calls(fan=True), Calls(heating_stages=1), Calls(fan=True, occupied=False))),
    (8.0, (Calls(cooling_stages=1), Calls(cooling_stages=2))),
    (16.0, (Calls(cooling_stages=1), Calls(cooling_stages=2))),
    (21.0, (Calls(cooling_stages=1), Calls(fan=True))),
    (31.0, (Calls(cooling_stages=1), Calls(cooling_stages=2))),
)
"""Outdoor temperatures and calls at which it is looked whether a fault has a consequence. [°C]"""


def _at_reference(unit: Unit, settings: ControlSettings, faults: tuple[Fault, ...]) -> list[Operating]:
    indoor = Indoor(23.0, 0.45)
    return [
        operate(unit, settings, Weather(outdoor, 0.5), indoor, calls, faults)
        for outdoor, listed in REFERENCE
        for calls in listed
    ]


def counts(sound: list[Operating], faulty: list[Operating]) -> bool:
    """Whether a fault has a consequence worth looking for."""
    prior = fault_prior()
    for was, now in zip(sound, faulty, strict=True):
        one, other = was.state, now.state
        running = (one.fan_running, one.cooling_stages, one.heating_stages, was.commands.fan_speed)
        if running != (other.fan_running, other.cooling_stages, other.heating_stages, now.commands.fan_speed):
            return True
        if abs(one.outdoor_air_fraction - other.outdoor_air_fraction) >= prior.scored_fraction:
            return True
        if abs(one.space_pressure - other.space_pressure) >= prior.scored_pressure:
            return True
    return False


def with_consequence(truth: Truth) -> set[str]:
    """Name the faults of a unit that would count by themselves."""
    settings = truth.situation.settings
    sound = _at_reference(truth.unit, settings, ())
    return {
        name
        for name, faults in truth.acts.items()
        if counts(sound, _at_reference(truth.unit, settings, faults))
    }


def draw_truth(situation: Situation, seed: int, number: int, *, outside: bool) -> Truth:
    """Make one unit: as the prior says, or outside of it (other odds, other severities, worse probes, wider units)."""
    name = f"truth {seed} {number} {outside}"
    dice = random.Random(name)
    prior = fault_prior()
    unit = _wide(situation.unit, dice, 1.6 if outside else 1.0)
    able = [
        (row, 1.0 if outside else share)
        for row, share in zip(prior.faults, prior.shares, strict=True)
        if can_have(row, unit, situation.settings)
    ]
    count = dice.choices((0, 1, 2), (prior.none, prior.one, prior.two))[0]
    rows: list[FaultRow] = []
    while len(rows) < count:
        rows = dice.choices([row for row, _ in able], [share for _, share in able], k=count)
        names = [row.excludes or row.id for row in rows]
        if len(set(names)) < len(rows):
            rows = []
    acts = {
        row.id: made(
            _worse(row) if outside else row, (dice.random(), dice.random()), unit, situation.settings
        )
        for row in rows
    }
    complaint = _complaint(rows, dice, 0.7 if outside else 1.0)
    return Truth(situation, unit, tuple(rows), acts, complaint, 1.5 if outside else 1.0, name)


def _worse(row: FaultRow) -> FaultRow:
    """Move the ranges of a fault outward: milder at one end, worse at the other."""
    low, high = row.severity
    severity = (
        (0.7 * low, min(1.0, 1.2 * high)) if low < 0.99 and row.acts != "sensors swapped" else row.severity
    )
    if row.acts in {"actuator reversed", "sensor of a wrong curve", "sensors swapped"}:
        severity = row.severity
    size = row.size if row.acts == "damper stuck" else (0.7 * row.size[0], 1.3 * row.size[1])
    by = None if row.by is None else (1.3 * row.by[0], 0.8 * row.by[1])
    return replace(row, severity=severity, size=size, by=by)


def _complaint(rows: list[FaultRow], dice: random.Random, fitting: float) -> str:
    prior = fault_prior()
    draw = dice.random()
    if rows and draw < prior.complaint_fitting * fitting:
        return dice.choice(dice.choice(rows).complaints)
    if draw > 1.0 - prior.complaint_other:
        return dice.choice(measurements().complaints).id
    return ""
