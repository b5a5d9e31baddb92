"""Fan laws, part-load curve and the heat of a fan against published points and worked examples."""

from __future__ import annotations

import pytest
from tests.rooftop_units import COLD, INDOOR, command, unit

from ventwright.physics import fan
from ventwright.physics.moist_air import specific_volume
from ventwright.physics.rooftop.hardware_fault import HardwareFault, HardwareFaultKind
from ventwright.physics.rooftop.steady import steady
from ventwright.physics.rooftop.stream import stream, with_heat
from ventwright.physics.rooftop.supply_fan import SupplyFan

CFM = 0.3048**3 / 60.0  # m3/s
IN_WATER = 998.2 * 9.80665 * 0.0254  # Pa, water at 20 °C, which the 6356 of the trade stands for
HORSEPOWER = 745.700  # W, mechanical (NIST SP 811)

PART_LOAD = (0.0013, 0.1470, 0.9506, -0.0998)
"""ASHRAE 90.1, appendix G, table of the part-load power of fans, method 2 (coefficients from memory)."""

CURVE = fan.FanCurve(500.0, 50.0, 80.0)


def test_published_point_of_the_part_load_curve() -> None:
    """A public question about the standard's curve states 20 % of the power at a flow of 0.393198 (to its digits)."""
    assert fan.power_share(0.393198, PART_LOAD) == pytest.approx(0.2000, abs=5e-5)


@pytest.mark.parametrize(
    ("speed", "pressure", "cube", "curve"),
    [
        (1.0, 1.0, 1.0, 0.999),
        (0.9, 0.81, 0.729, 0.831),
        (0.75, 0.56, 0.422, 0.604),
        (0.67, 0.45, 0.301, 0.496),
        (0.5, 0.25, 0.125, 0.300),
        (0.4, 0.16, 0.064, 0.206),
    ],
)
def test_part_speed(speed: float, pressure: float, cube: float, curve: float) -> None:
    """Fan laws on a square-law system, and the curve of 90.1: a table worked outside, to its digits."""
    assert fan.airflow_at_speed(2.0, speed) == pytest.approx(2.0 * speed)
    assert CURVE.rise(speed, speed) / CURVE.rise(1.0, 1.0) == pytest.approx(pressure, abs=0.005)
    assert fan.power_share(speed, PART_LOAD) == pytest.approx(curve, abs=0.0006)
    assert fan.power_share(speed, fan.CUBE) == pytest.approx(cube, abs=0.0005)


def test_worked_example_of_fan_power_and_heat() -> None:
    """4000 cfm, 1.5 in.w.g., efficiency 0.60: 1.573 bhp; motor 0.88: 1.33 kW; both together warm the air by 1.05 °F.

    bhp = cfm in.w.g. / (6356 x efficiency), as public engineering pages give it; the rise with 1.08 Btu/(h cfm °F), which is
    dry air of 0.075 lb/ft3 and 0.24 Btu/(lb °F), 0.1 % less than ours: to the digits printed.
    """
    airflow = 4000.0 * CFM
    shaft = fan.shaft_power(airflow, 1.5 * IN_WATER, 0.60)
    assert shaft / HORSEPOWER == pytest.approx(1.573, abs=0.001)
    assert shaft / 0.88 == pytest.approx(1330.0, abs=5.0)
    dry_air = airflow * 0.075 * 0.45359237 / 0.3048**3
    entering = stream(dry_air, 0.0, 0.0, 101_325.0)
    rise = with_heat(entering, shaft / 0.88).dry_bulb - entering.dry_bulb
    assert rise * 1.8 == pytest.approx(1.05, abs=0.005)


def test_heat_of_motor_outside_the_air() -> None:
    """The motor's losses stay outside where it stands outside: the shaft's power alone is left (energy balance)."""
    inside, outside = (SupplyFan(1.0, 1000.0, motor_in_air=where) for where in (True, False))
    assert inside.heat(1000.0) == 1000.0
    assert outside.heat(1000.0) == pytest.approx(880.0)


@pytest.mark.parametrize(
    ("speeds", "wanted", "runs_at"),
    [
        ((1.0,), 0.3, 1.0),
        ((0.66, 1.0), 0.7, 0.66),
        ((0.66, 1.0), 0.9, 1.0),
        (None, 0.55, 0.55),
        (None, 0.05, 0.2),
    ],
)
def test_speeds(speeds: tuple[float, ...] | None, wanted: float, runs_at: float) -> None:
    """One speed whatever is wanted, the nearer of two, any down to the least (common practice, no published source)."""
    assert SupplyFan(1.0, 500.0, speeds, least_speed=0.2).speed(wanted) == runs_at


def test_a_curve_scales_by_the_fan_laws() -> None:
    """At part speed the point goes with the speed, its pressure with the square (AMCA 201, fan laws, from memory)."""
    for speed in (0.4, 0.66, 0.9):
        assert CURVE.rise(1.3 * speed, speed) == pytest.approx(CURVE.rise(1.3, 1.0) * speed**2)
        assert CURVE.rise(CURVE.free_airflow(speed), speed) == pytest.approx(0.0, abs=1e-9)


def test_a_fan_of_a_curve_finds_its_point() -> None:
    """There its rise is what duct and plenums take, and its power is airflow times rise over both efficiencies.

    Balance of pressures around the loop; the duct's part goes with the square of the airflow (fan laws, from memory). A
    damper that shuts costs airflow.
    """
    curve = fan.FanCurve(600.0, 40.0, 150.0, efficiency=0.55)
    built = unit(fan=SupplyFan(1.0, 0.0, None, curve=curve, duct_pressure=200.0, motor_efficiency=0.8))
    airflows = []
    for signal, speed in ((0.3, 1.0), (1.0, 1.0), (0.5, 0.6)):
        found = steady(built, COLD, INDOOR, command(signal, fan_speed=speed))
        airflow = found.mixed.dry_air * INDOOR.air(COLD.pressure).specific_volume
        taken = 200.0 * airflow**2 + found.space_pressure - found.mixing_plenum_pressure
        rise = 600.0 * speed**2 - 40.0 * speed * airflow - 150.0 * airflow**2
        assert rise == pytest.approx(taken, abs=1e-6)
        assert found.fan_power == pytest.approx(airflow * rise / 0.55 / 0.8)
        airflows.append(airflow)
    shut = steady(built, COLD, INDOOR, command(1.0), [HardwareFault(HardwareFaultKind.HOOD_BLOCKED, 0.95)])
    assert shut.mixed.dry_air < 0.5 * steady(built, COLD, INDOOR, command(1.0)).mixed.dry_air
    assert airflows[2] < 0.7 * airflows[1]


def test_standard_air() -> None:
    """The density behind that example: 0.075 lb/ft3 is dry air at 21.1 °C and sea level to 0.2 %."""
    assert 1.0 / specific_volume(21.1, 0.0, 101_325.0) == pytest.approx(0.075 * 16.0185, rel=2e-3)
