"""What cannot be air, and the sentence that says so and what would be accepted."""

from __future__ import annotations

import math

import numpy as np
import pytest

from ventwright.errors import Refused
from ventwright.physics import air
from ventwright.physics.saturation import dew_point, saturation_pressure

SECOND = "relative_humidity, dew_point, wet_bulb, humidity_ratio, enthalpy"
# 14.695 g/kg and 57.42 kJ/kg when saturated, a wet bulb of 5.84 °C when dry: PsychroLib 2.5.0.
HERE = "at 20 °C and 101.325 kPa"


@pytest.mark.parametrize(
    ("dry_bulb", "given", "sentence"),
    [
        (75.0, {"relative_humidity": 0.5}, 'dry bulb: "75 °C" is outside the range of the formulas; accepted: -40 to 60 °C.'),
        (-40.1, {"relative_humidity": 0.5}, 'dry bulb: "-40.1 °C" is outside the range of the formulas; accepted: -40 to 60 °C.'),
        (math.nan, {"relative_humidity": 0.5}, 'dry bulb: "nan °C" is outside the range of the formulas; accepted: -40 to 60 °C.'),
        (math.inf, {"relative_humidity": 0.5}, 'dry bulb: "inf °C" is outside the range of the formulas; accepted: -40 to 60 °C.'),
        (20.0, {"relative_humidity": 0.5, "pressure": -101_325.0}, 'pressure: "-101.325 kPa" is outside the range of the formulas; accepted: 50 to 110 kPa.'),
        (20.0, {"relative_humidity": 0.5, "pressure": 101.325}, 'pressure: "0.101325 kPa" is outside the range of the formulas; accepted: 50 to 110 kPa.'),
        (20.0, {"relative_humidity": 0.5, "pressure": math.nan}, 'pressure: "nan kPa" is outside the range of the formulas; accepted: 50 to 110 kPa.'),
        (20.0, {"relative_humidity": 50.0}, 'relative humidity: "5000 %" is no relative humidity; accepted: 0 to 100 %.'),
        (20.0, {"relative_humidity": -0.01}, 'relative humidity: "-1 %" is no relative humidity; accepted: 0 to 100 %.'),
        (20.0, {"relative_humidity": math.nan}, 'relative humidity: "nan %" is not a finite number; accepted: 0 to 100 %.'),
        (20.0, {"dew_point": 20.1}, 'dew point: "20.1 °C" is above the dry bulb; accepted: -100 to 20 °C.'),
        (20.0, {"dew_point": 80.0}, 'dew point: "80 °C" is above the dry bulb; accepted: -100 to 20 °C.'),
        (20.0, {"dew_point": -120.0}, 'dew point: "-120 °C" is colder than the formulas reach; accepted: -100 to 20 °C.'),
        (20.0, {"dew_point": -math.inf}, 'dew point: "-inf °C" is not a finite number; accepted: -100 to 20 °C.'),
        (20.0, {"wet_bulb": 21.0}, f'wet bulb: "21 °C" is above the dry bulb; accepted: 5.84 to 20 °C {HERE}.'),
        (20.0, {"wet_bulb": 99.0}, f'wet bulb: "99 °C" is above the dry bulb; accepted: 5.84 to 20 °C {HERE}.'),
        (20.0, {"wet_bulb": 4.0}, f'wet bulb: "4 °C" is colder than even dry air shows; accepted: 5.84 to 20 °C {HERE}.'),
        (20.0, {"wet_bulb": math.nan}, f'wet bulb: "nan °C" is not a finite number; accepted: 5.84 to 20 °C {HERE}.'),
        (20.0, {"humidity_ratio": 0.02}, f'humidity ratio: "20 g/kg" is more than saturated air carries; accepted: 0 to 14.695 g/kg {HERE}.'),
        (20.0, {"humidity_ratio": 7.0}, f'humidity ratio: "7000 g/kg" is more than saturated air carries; accepted: 0 to 14.695 g/kg {HERE}.'),
        (20.0, {"humidity_ratio": -0.001}, f'humidity ratio: "-1 g/kg" is negative; accepted: 0 to 14.695 g/kg {HERE}.'),
        (20.0, {"enthalpy": 60e3}, f'enthalpy: "60 kJ/kg" is more than saturated air has; accepted: 20.12 to 57.41 kJ/kg {HERE}.'),
        (20.0, {"enthalpy": 20e3}, f'enthalpy: "20 kJ/kg" is less than even dry air has; accepted: 20.12 to 57.41 kJ/kg {HERE}.'),
        (20.0, {"enthalpy": 1e300}, f'enthalpy: "1e+297 kJ/kg" is more than saturated air has; accepted: 20.12 to 57.41 kJ/kg {HERE}.'),
        (20.0, {}, f"nothing is given beside the dry bulb; accepted: exactly one of {SECOND}."),
        (20.0, {"relative_humidity": 0.5, "dew_point": 9.0}, f'"relative_humidity and dew_point" are given beside the dry bulb; accepted: exactly one of {SECOND}.'),
        (20.0, {"wet_bulb": 9.0, "enthalpy": 4e4}, f'"wet_bulb and enthalpy" are given beside the dry bulb; accepted: exactly one of {SECOND}.'),
    ],
)  # fmt: skip
def test_a_state_that_cannot_be(dry_bulb: float, given: dict[str, float], sentence: str) -> None:
    """One sentence: what, as given, what is wrong, what would be accepted."""
    with pytest.raises(Refused) as refused:
        air.state(dry_bulb, **given)
    assert str(refused.value) == sentence


@pytest.mark.parametrize("name", ["wet_bulb", "humidity_ratio", "enthalpy", "dew_point", "relative_humidity"])
@pytest.mark.parametrize("dry_bulb", [-39.7, -7.313, 0.004, 21.371, 59.9])
@pytest.mark.parametrize("pressure", [50e3, 83_427.5])
def test_both_ends_that_are_offered_are_accepted(name: str, dry_bulb: float, pressure: float) -> None:
    """What the sentence offers can be typed: its ends are rounded inwards."""
    factor = {"humidity_ratio": 1e-3, "enthalpy": 1e3, "relative_humidity": 0.01}.get(name, 1.0)
    with pytest.raises(Refused) as refused:
        air.state(dry_bulb, pressure=pressure, **{name: math.nan})
    low, _, high, *_ = refused.value.refusals[0].accepted.split()
    for end in (low, high):
        assert air.state(dry_bulb, pressure=pressure, **{name: float(end) * factor}).pressure == pressure


@pytest.mark.parametrize(
    ("name", "beyond"),
    [("humidity_ratio", 1.00009), ("enthalpy", 1.00005), ("dew_point", 1.00005)],
)
def test_what_rounding_leaves_above_saturation_is_saturated_air(name: str, beyond: float) -> None:
    """Saturated air written with four or five digits is not refused, and is not said to be above 100 % either."""
    saturated = air.state(20.0, relative_humidity=1.0)
    again = air.state(20.0, **{name: getattr(saturated, name) * beyond})
    assert again.relative_humidity == 1.0
    assert again.humidity_ratio == saturated.humidity_ratio


@pytest.mark.parametrize(
    ("dry_bulb", "humidity", "sentence"),
    [
        ([20.0, 21.0, 99.0], 0.5, 'row 2, dry bulb: "99 °C" is outside the range of the formulas; accepted: -40 to 60 °C.'),
        ([20.0, math.nan, 99.0], 0.5, 'row 1, dry bulb: "nan °C" is outside the range of the formulas; accepted: -40 to 60 °C.'),
        ([20.0, 20.0, 99.0], [0.5, 1.4, 0.5], 'row 1, relative humidity: "140 %" is no relative humidity; accepted: 0 to 100 %.'),
        ([[20.0], [21.0]], [0.5, -0.1], 'row 0, 1, relative humidity: "-10 %" is no relative humidity; accepted: 0 to 100 %.'),
    ],
)  # fmt: skip
def test_columns_name_the_first_bad_row(dry_bulb: object, humidity: object, sentence: str) -> None:
    """The row is counted from 0, in every direction there is, and the sentence is that of a single state."""
    with pytest.raises(Refused) as refused:
        air.states(np.array(dry_bulb), relative_humidity=np.array(humidity))
    assert str(refused.value) == sentence


def test_columns_name_the_first_bad_row_whatever_is_wrong_with_later_ones(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Above saturation is found out later than out of range, and still the earlier row is named, blocks or not."""
    monkeypatch.setattr(air, "BLOCK", 4)
    with pytest.raises(Refused) as refused:
        air.states([20.0] * 5 + [20.0, 99.0], humidity_ratio=[0.008] * 5 + [0.016, 0.008])
    assert str(refused.value) == (
        'row 5, humidity ratio: "16 g/kg" is more than saturated air carries; '
        "accepted: 0 to 14.695 g/kg at 20 °C and 101.325 kPa."
    )


def test_columns_of_different_lengths() -> None:
    """Nothing is cut to fit."""
    with pytest.raises(Refused) as refused:
        air.states([20.0, 21.0], relative_humidity=[0.4, 0.5, 0.6])
    assert str(refused.value) == (
        '"(2,), (3,), ()" are the shapes of dry bulb, relative humidity and pressure, which have none in common; '
        "accepted: columns of one length, or single numbers."
    )


@pytest.mark.parametrize(("temperature", "given"), [(-100.1, "-100.1"), (101.0, "101"), (math.nan, "nan")])
def test_no_saturation_pressure(temperature: float, given: str) -> None:
    """The formulas are not carried on beyond where they are used."""
    with pytest.raises(Refused) as refused:
        saturation_pressure(temperature)
    assert str(refused.value) == (
        f'"{given} °C" is no temperature that the saturation formulas are used for; accepted: -100 to 100 °C.'
    )


@pytest.mark.parametrize(("vapour_pressure", "given"), [(-1.0, "-1"), (2e5, "200000"), (math.nan, "nan")])
def test_no_dew_point(vapour_pressure: float, given: str) -> None:
    """A negative vapour pressure has no logarithm, one above 1 atmosphere boils."""
    with pytest.raises(Refused) as refused:
        dew_point(vapour_pressure)
    assert str(refused.value) == (
        f'"{given} Pa" is no vapour pressure that has a dew point here; accepted: 0 to 101419 Pa.'
    )
