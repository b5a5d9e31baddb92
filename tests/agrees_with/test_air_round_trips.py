"""The state of air against itself: whichever second quantity is given, and however many at once, it is one air."""

from __future__ import annotations

import subprocess
import sys

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ventwright.physics import air, moist_air, wet_bulb
from ventwright.physics.saturation import LEAST, LEAST_PRESSURE, dew_point, saturation_pressure

DRY_BULBS = st.floats(-40.0, 60.0)
FRACTIONS = st.floats(0.0, 1.0)
PRESSURES = st.floats(50e3, 110e3)

unhurried = settings(deadline=None)
"""A busy machine is no failure."""


@unhurried
@given(DRY_BULBS, FRACTIONS, PRESSURES)
def test_humidity_ratio_and_enthalpy_lead_back(
    dry_bulb: float, relative_humidity: float, pressure: float
) -> None:
    """Plain algebra: what is lost is rounding."""
    first = air.state(dry_bulb, relative_humidity=relative_humidity, pressure=pressure)
    for name in ("humidity_ratio", "enthalpy"):
        again = air.state(dry_bulb, pressure=pressure, **{name: getattr(first, name)})
        assert again.humidity_ratio == pytest.approx(first.humidity_ratio, rel=1e-9, abs=1e-12)
        assert again.dew_point == pytest.approx(
            first.dew_point, abs=1e-3 if first.vapour_pressure < 1.0 else 1e-6
        )


@unhurried
@given(DRY_BULBS, FRACTIONS, PRESSURES)
def test_dew_point_leads_back(dry_bulb: float, relative_humidity: float, pressure: float) -> None:
    """To 1e-8 K, that is to 1e-9 of the vapour pressure; air too dry for the formulas is given their end."""
    first = air.state(dry_bulb, relative_humidity=relative_humidity, pressure=pressure)
    if first.vapour_pressure < LEAST_PRESSURE:
        assert first.dew_point == LEAST
        return
    again = air.state(dry_bulb, dew_point=first.dew_point, pressure=pressure)
    assert again.vapour_pressure == pytest.approx(first.vapour_pressure, rel=2e-9)


@unhurried
@given(DRY_BULBS, FRACTIONS, PRESSURES)
def test_wet_bulb_leads_back(dry_bulb: float, relative_humidity: float, pressure: float) -> None:
    """To 2e-5 K, that is 2e-6 kg/kg at most; 1e-4 where 0 °C and the triple point stand apart."""
    first = air.state(dry_bulb, relative_humidity=relative_humidity, pressure=pressure)
    again = air.state(dry_bulb, wet_bulb=first.wet_bulb, pressure=pressure)
    assert again.humidity_ratio == pytest.approx(first.humidity_ratio, rel=1e-4, abs=2e-6)


@unhurried
@given(DRY_BULBS, FRACTIONS, PRESSURES)
def test_dew_point_wet_bulb_and_dry_bulb_stand_in_order(
    dry_bulb: float, relative_humidity: float, pressure: float
) -> None:
    """Dew point <= wet bulb <= dry bulb, to the 0.001 K by which the handbook's formulas miss each other at 0 °C."""
    found = air.state(dry_bulb, relative_humidity=relative_humidity, pressure=pressure)
    assert found.dew_point <= found.wet_bulb + 1e-3
    assert found.wet_bulb <= dry_bulb + 1e-3
    assert 0.0 <= found.relative_humidity <= 1.0


@unhurried
@given(DRY_BULBS, FRACTIONS, FRACTIONS, PRESSURES)
def test_more_water_is_more_of_everything(dry_bulb: float, one: float, other: float, pressure: float) -> None:
    """At one dry bulb wet bulb, enthalpy and volume rise with the water, and moist air is the lighter for it.

    In the two-film band the wet bulb leaps from the ice film's to the liquid film's, upwards.
    """
    less, more = (
        air.state(dry_bulb, relative_humidity=fraction, pressure=pressure)
        for fraction in sorted((one, other))
    )
    assert less.enthalpy <= more.enthalpy
    assert less.specific_volume <= more.specific_volume
    assert less.density >= more.density - 1e-12
    assert less.wet_bulb <= more.wet_bulb + 2e-5


@unhurried
@given(st.floats(-100.0, 100.0))
def test_dew_point_inverts_saturation_pressure(temperature: float) -> None:
    """To 1e-8 K over the whole range, on both sides of the triple point and at it."""
    assert dew_point(saturation_pressure(temperature)) == pytest.approx(temperature, abs=1e-8)


@unhurried
@given(st.floats(-40.0, 60.0), st.floats(0.0, 0.3))
def test_dry_bulb_of_enthalpy_inverts_enthalpy(dry_bulb: float, ratio: float) -> None:
    """Algebra again."""
    heat = moist_air.enthalpy(dry_bulb, ratio)
    assert moist_air.dry_bulb_of_enthalpy(heat, ratio) == pytest.approx(dry_bulb, abs=1e-9)


@pytest.mark.parametrize("name", ["relative_humidity", "dew_point", "wet_bulb", "humidity_ratio", "enthalpy"])
def test_columns_give_what_single_states_give(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every field of every row to 1e-12, however the rows fall into blocks: only exp and log may round differently."""
    monkeypatch.setattr(air, "BLOCK", 97)
    dice = np.random.default_rng(3)
    dry_bulb, pressure = dice.uniform(-40.0, 60.0, 1000), dice.uniform(50e3, 110e3, 1000)
    base = air.states(dry_bulb, relative_humidity=dice.uniform(0.01, 1.0, 1000), pressure=pressure)
    second = getattr(base, name)
    columns = air.states(dry_bulb, pressure=pressure, **{name: second})
    for row, (t, value, p) in enumerate(
        zip(dry_bulb.tolist(), second.tolist(), pressure.tolist(), strict=True)
    ):
        single = air.state(t, pressure=p, **{name: value})
        assert [float(column[row]) for column in columns] == pytest.approx(list(single), rel=1e-12, abs=1e-12)


def test_columns_are_broadcast() -> None:
    """Dry bulbs down, humidities across, one pressure: a table of states."""
    table = air.states([[10.0], [20.0], [30.0]], relative_humidity=[0.2, 0.8], pressure=90e3)
    assert table.wet_bulb.shape == table.pressure.shape == (3, 2)
    assert table.wet_bulb[2, 1] == pytest.approx(
        air.state(30.0, relative_humidity=0.8, pressure=90e3).wet_bulb
    )
    assert air.states(20.0, relative_humidity=0.5).enthalpy.shape == ()
    assert air.states([], relative_humidity=0.5).enthalpy.shape == (0,)


def test_states_do_not_change_with_what_they_were_made_from() -> None:
    """The columns are their own, though nothing was broadcast."""
    dry_bulb = np.array([10.0, 20.0])
    found = air.states(dry_bulb, relative_humidity=0.5)
    dry_bulb[:] = 0.0
    assert found.dry_bulb.tolist() == [10.0, 20.0]


def test_the_band_of_two_films_lies_around_0_celsius() -> None:
    """At 5 °C and sea level both films have a root from 1.757 to 1.990 g/kg (both equations at 0 °C, by hand)."""
    ratios = (0.00175, 0.00176, 0.00198, 0.00200)
    assert [wet_bulb.has_two_films(5.0, ratio, 101_325.0) for ratio in ratios] == [False, True, True, False]
    ice, *liquid = (air.state(5.0, humidity_ratio=ratio).wet_bulb for ratio in ratios)
    assert ice < 0.0 <= liquid[0] < liquid[1] < liquid[2]


def test_a_state_needs_no_numpy() -> None:
    """One state, all five ways in, in an interpreter in which NumPy cannot be imported."""
    program = (
        "import sys; sys.modules['numpy'] = None\n"
        "from ventwright.physics import air\n"
        "one = air.state(20.0, relative_humidity=0.5)\n"
        "for name in ('dew_point', 'wet_bulb', 'humidity_ratio', 'enthalpy'):\n"
        "    air.state(20.0, **{name: getattr(one, name)})\n"
        "print(one.wet_bulb)\n"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert 13.0 < float(done.stdout) < 14.5
