"""Invented rooftop units for tests, one plain and any number at random, with faults, weather and commands at random."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

from ventwright.physics.damper import Blades
from ventwright.physics.fan import FanCurve
from ventwright.physics.rooftop.air_path import Leg
from ventwright.physics.rooftop.coil import CoolingCoil
from ventwright.physics.rooftop.commands import Commands
from ventwright.physics.rooftop.hardware import Unit
from ventwright.physics.rooftop.hardware_fault import (
    OF_A_SENSOR,
    WITH_ANOTHER,
    HardwareFault,
    HardwareFaultKind,
)
from ventwright.physics.rooftop.heat import Heater, HeaterKind, HeatPump
from ventwright.physics.rooftop.lanes import Stratification
from ventwright.physics.rooftop.linkage import Linkage, Travel
from ventwright.physics.rooftop.relief import Relief, ReliefKind
from ventwright.physics.rooftop.sensing import Place
from ventwright.physics.rooftop.supply_fan import SupplyFan
from ventwright.physics.rooftop.surroundings import Indoor, Weather
from ventwright.physics.sensor import Curve

# Typical values of ASHRAE research project 825-RP as the Modelica Buildings library documents them.
OPPOSED = Blades(a=-1.51, b=0.105 * 90, low=15 / 90, high=55 / 90, loss_open=0.45, loss_closed=1e6)
SINGLE = Blades(a=-1.51, b=0.0842 * 90, low=15 / 90, high=65 / 90, loss_open=0.45, loss_closed=1e6)

# Thermistors of 10 kohm at 25 °C, two laws: coefficients as published, those in tables/sensor_curves.
TYPE_II = Curve("steinhart-hart", (1.129241e-3, 2.341077e-4, 8.775468e-8), coldest=-50.0, hottest=150.0)
TYPE_III = Curve("steinhart-hart", (1.032e-3, 2.387e-4, 1.580e-7), coldest=-50.0, hottest=150.0)

INDOOR = Indoor(22.0, 0.4)
COLD = Weather(-5.0, 0.7)
HOT = Weather(35.0, 0.4)


def unit(**changes: Any) -> Unit:
    """Return a healthy invented unit of some 5 tons that moves 1 m3/s, with whatever a test wants otherwise."""
    parts: dict[str, Any] = {
        "outdoor_damper": Leg(OPPOSED, face=0.15, fixed_loss=1.0),
        "return_damper": Leg(OPPOSED, face=0.2, fixed_loss=0.5),
        "fan": SupplyFan(airflow=1.0, fan_power=800.0, speeds=None),
        "return_duct": 0.15,
        "cabinet_gap": 0.002,
        "relief": Relief(ReliefKind.BAROMETRIC, area=0.2, opening_pressure=5.0, open_pressure=15.0),
        "envelope": 0.1,
        "coil": CoolingCoil((9_000.0, 18_000.0), rated_dry_air=1.2, bypass_factor=0.1),
        "heater": Heater(HeaterKind.GAS, (10_000.0, 20_000.0)),
        "stratification": Stratification(lanes=5, closed=0.5, open=0.3),
    }
    return Unit(**{**parts, **changes})


def command(damper_signal: float = 0.3, **changes: Any) -> Commands:
    """Return commands with the fan at full speed and nothing else called for, unless said otherwise."""
    wanted: dict[str, Any] = {"fan_running": True, "fan_speed": 1.0, "damper_signal": damper_signal}
    return Commands(**{**wanted, **changes})


def _shares(least: float = 0.0, most: float = 1.0) -> st.SearchStrategy[float]:
    return st.floats(least, most, allow_nan=False)


_TRAVELS = st.tuples(_shares(0.0, 0.4), _shares(0.5, 1.0), _shares(0.0, 0.2), _shares(0.7, 1.0))


@st.composite
def linkages(draw: st.DrawFn) -> Linkage:
    """Draw a sound linkage: dead bands, blades that neither shut nor open fully."""
    start, end, first, last = draw(_TRAVELS)
    back_start, back_end, back_last, back_first = draw(_TRAVELS)
    return Linkage(Travel(start, end, first, last), Travel(back_start, back_end, back_first, back_last))


@st.composite
def legs(draw: st.DrawFn) -> Leg:
    """Draw a damper of either kind of blade with what stands in line."""
    blades = draw(st.sampled_from([OPPOSED, SINGLE]))
    return Leg(blades, draw(_shares(0.05, 0.6)), draw(_shares(0.0, 10.0)), draw(_shares(0.0, 0.01)))


@st.composite
def fans(draw: st.DrawFn) -> SupplyFan:
    """Draw a fan of one, two or any speed, of fixed airflow or with a curve."""
    airflow, power = draw(_shares(0.3, 3.0)), draw(_shares(0.0, 3000.0))
    speeds = draw(st.sampled_from([(1.0,), (0.66, 1.0), None]))
    curve = FanCurve(700.0, 0.0, 350.0 / airflow**2) if draw(st.booleans()) else None
    return SupplyFan(
        airflow,
        power,
        speeds,
        curve=curve,
        duct_pressure=250.0,
        before_coil=draw(st.booleans()),
        motor_in_air=draw(st.booleans()),
    )


@st.composite
def units(draw: st.DrawFn) -> Unit:
    """Draw a unit without faults."""
    fan = draw(fans())
    kind = draw(st.sampled_from(ReliefKind))
    relief = Relief(
        kind,
        draw(_shares(0.05, 0.5)),
        opening_pressure=draw(_shares(0.0, 20.0)),
        open_pressure=30.0,
        airflow=fan.airflow * draw(_shares(0.1, 0.8)),
    )
    capacity = 15_000.0 * fan.airflow * draw(_shares(0.3, 1.2))
    pump = HeatPump((0.5 * capacity, capacity), valve_powered_cools=draw(st.booleans()))
    lanes = draw(st.integers(1, 9))
    return unit(
        outdoor_damper=draw(legs()),
        return_damper=draw(legs()),
        fan=fan,
        return_duct=draw(_shares(0.05, 0.5)),
        linkage=draw(linkages()),
        cabinet_gap=draw(_shares(0.0, 0.02)),
        relief=relief,
        envelope=draw(_shares(0.0, 0.5)),
        coil=CoolingCoil((0.5 * capacity, capacity), 1.2 * fan.airflow, draw(_shares(0.02, 0.4))),
        heat_pump=pump if draw(st.booleans()) else None,
        stratification=Stratification(lanes, draw(_shares()), draw(_shares())),
    )


@st.composite
def faults(draw: st.DrawFn) -> HardwareFault:
    """Draw one fault that fits any of these units."""
    kind = draw(st.sampled_from([one for one in HardwareFaultKind if one != "sensor of a wrong curve"]))
    place = draw(st.sampled_from(Place)) if kind in OF_A_SENSOR else None
    other = draw(st.sampled_from(Place)) if kind in WITH_ANOTHER else None
    return HardwareFault(kind, draw(_shares()), place, other, size=draw(_shares()))


def weathers() -> st.SearchStrategy[Weather]:
    """Draw outdoor air from deep frost to desert, at the sea and in the mountains."""
    return st.builds(Weather, _shares(-30.0, 45.0), _shares(0.05, 0.95), _shares(75e3, 103e3))


def indoors() -> st.SearchStrategy[Indoor]:
    """Draw the air of a space."""
    return st.builds(Indoor, _shares(12.0, 30.0), _shares(0.1, 0.7))


def commands() -> st.SearchStrategy[Commands]:
    """Draw whatever a control can send."""
    return st.builds(
        Commands,
        st.booleans(),
        _shares(),
        _shares(),
        st.integers(0, 3),
        st.integers(0, 5),
        st.booleans(),
    )
