"""Which curve a sensor follows: printed rows must lead to the curve of their table, and noise never to a wrong one.

Sources:
- Output tables of a maker of building-automation sensors (rev. 10/2012): the rows at 33 and 99 °F (31 °F for 2.2K).
- Chi-squared: NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.4, upper critical values at 0.05 and 0.01.
"""

from __future__ import annotations

import random

import pytest

from ventwright.physics.sensor import wire_resistance
from ventwright.physics.sensor_match import Pair, chance_beyond
from ventwright.plan.sensor.which_curve import CurveVerdict, which_curve
from ventwright.tables.sensor_curve import assumed, curves, sensor_curve

PRINTED = {
    "thermistor-10k-type-2": ((0.56, 31787.0), (37.22, 5960.0)),
    "thermistor-10k-type-3": ((0.56, 28735.0), (37.22, 6208.0)),
    "thermistor-1800-ice-4940": ((0.56, 4822.0), (37.22, 1155.0)),
    "thermistor-2252": ((-0.56, 7566.0), (37.22, 1342.0)),
    "thermistor-20k": ((0.56, 68057.0), (37.22, 11519.0)),
    "thermistor-50k": ((0.56, 170291.0), (37.22, 28796.0)),
    "thermistor-100k": ((0.56, 340581.0), (37.22, 57594.0)),
}
"""°C: ohm; the row of 10K-2 at 33 °F is from its rows at 37 and 25 °F (28365 and 39921 ohm) in log R."""

CRITICAL = {
    (1, 0.05): 3.841,
    (2, 0.05): 5.991,
    (3, 0.05): 7.815,
    (4, 0.05): 9.488,
    (5, 0.05): 11.070,
    (2, 0.01): 9.210,
    (7, 0.01): 18.475,
}
"""Degrees of freedom and upper tail: critical value, printed to three decimals."""


def pair(temperature: float, ohms: float, probe_u: float = 0.14) -> Pair:
    """A pair of a meter good to a tenth of a per cent and a probe of ±0.5 °F."""
    return Pair(ohms, temperature, 0.0005 * ohms, probe_u)


@pytest.mark.parametrize(("count", "tail"), CRITICAL)
def test_chi_squared(count: int, tail: float) -> None:
    """The tail beyond a printed critical value is the printed tail, to what three decimals leave."""
    assert chance_beyond(CRITICAL[count, tail], count) == pytest.approx(tail, rel=2e-3)


@pytest.mark.parametrize("name", PRINTED)
def test_two_printed_rows_name_their_table(name: str) -> None:
    """An ice bath and a warm room are enough for every curve of the tables."""
    found = which_curve([pair(*row) for row in PRINTED[name]])
    assert found.finding is CurveVerdict.ONE_CURVE
    assert found.curve == name


def test_at_room_temperature_type_2_and_type_3_are_one() -> None:
    """10K-2 and 10K-3 print 11590 and 11451 ohm at 71 °F, 10501 and 10459 at 75 °F: no probe tells them apart there."""
    found = which_curve([pair(21.67, 11520.0), pair(23.89, 10480.0)])
    assert found.finding is CurveVerdict.CANNOT_TELL
    assert found.curve is None
    assert found.next_pair is not None
    assert found.next_pair.temperature == pytest.approx(0.0, abs=1e-9)
    expected = {one.curve: one.resistance for one in found.next_pair.expected}
    assert expected["thermistor-10k-type-2"] == pytest.approx(
        32650.9, abs=5.0
    )  # Table C-1 of the probe manual
    assert expected["thermistor-10k-type-3"] == pytest.approx(
        29491.0, abs=15.0
    )  # 10K-3: 30267 and 28735 at 31 and 33 °F


def test_the_ice_bath_settles_it() -> None:
    """The same two pairs and the one that was asked for."""
    warm = [pair(21.67, 11590.0), pair(23.89, 10501.0)]
    assert which_curve([*warm, pair(0.0, 32650.9)]).curve == "thermistor-10k-type-2"
    assert (
        which_curve([pair(21.67, 11451.0), pair(23.89, 10459.0), pair(0.0, 29491.0)]).curve
        == "thermistor-10k-type-3"
    )


def test_two_platinum_curves_part_in_warm_water_only() -> None:
    """Both have 1000 ohm in ice water; so the next pair is the warm one."""
    found = which_curve([pair(0.0, 1000.0), pair(0.2, 1000.8)])
    assert found.finding is CurveVerdict.CANNOT_TELL
    assert found.next_pair is not None
    assert found.next_pair.temperature == pytest.approx(40.0)


def test_one_pair_never_names_a_curve() -> None:
    """2252 ohm at 25 °C fits one curve here, and also a faulty sensor of another."""
    found = which_curve([pair(25.0, 2252.0)])
    assert found.finding is CurveVerdict.CANNOT_TELL
    assert found.matches[0].name == "thermistor-2252"


def test_two_pairs_at_one_temperature_are_one_point() -> None:
    """Readings 0.5 K apart do not show the shape of a curve."""
    found = which_curve([pair(25.0, 2252.0), pair(25.5, 2203.0)])
    assert found.finding is CurveVerdict.CANNOT_TELL


@pytest.mark.parametrize("ohms", [(0.0, 0.0), (4e6, 5e6), (700.0, 690.0), (15000.0, 15000.0)])
def test_what_is_no_sensor_follows_no_curve(ohms: tuple[float, float]) -> None:
    """A short, an open circuit, a fixed resistor: at 0 and 35 °C none of the curves has these."""
    found = which_curve([pair(0.0, ohms[0]), pair(35.0, ohms[1])])
    assert found.finding is CurveVerdict.NO_CURVE
    assert found.curve is None


def test_a_type_2_sensor_that_went_wet_is_not_called_another() -> None:
    """100 kohm of moisture across Type II: 24.6k in ice water, 9.1k at 25 °C; no curve, or none that is named."""
    wet = [1.0 / (1.0 / ohms + 1e-5) for ohms in (32650.9, 10000.0)]
    assert which_curve([pair(0.0, wet[0]), pair(25.0, wet[1])]).finding is not CurveVerdict.ONE_CURVE


@pytest.mark.parametrize(
    "name",
    [
        "thermistor-10k-type-2",
        "thermistor-10k-type-3",
        "platinum-1000-alpha-0.00375",
        "thermistor-1800-ice-5083",
    ],
)
@pytest.mark.parametrize("cold", [0.0, 10.0])
def test_a_wrong_name_is_rare(name: str, cold: float) -> None:
    """Errors drawn as the model takes them: at most one wrong name in twenty, of 150 sensors (8, and 4 for the draw)."""
    draw = random.Random(f"{name} {cold}")  # noqa: S311 - no secret
    truth = sensor_curve(name)
    wrong = 0
    for _ in range(150):
        sensor_off = draw.gauss(0.0, 0.5 * truth.tolerance.half_width(20.0))
        probe_off = draw.gauss(0.0, 0.14)
        pairs = []
        for temperature in (cold, 30.0):
            beside = draw.gauss(0.0, 0.5 * assumed().beside)
            ohms = wire_resistance(temperature + sensor_off + beside, truth.curve)
            pairs.append(pair(temperature + probe_off, ohms))
        found = which_curve(pairs)
        wrong += found.curve not in {None, name}
    assert wrong <= 12


def test_a_curve_can_be_looked_for_among_a_few() -> None:
    """Among two, the rest of the list is no rival."""
    few = [sensor_curve("platinum-100-iec-60751"), sensor_curve("platinum-1000-iec-60751")]
    found = which_curve([pair(0.0, 1000.0), pair(25.0, 1097.3)], few)
    assert found.curve == "platinum-1000-iec-60751"
    assert {match.name for match in found.matches} == {curve.id for curve in few}
    assert len(curves()) > len(few)
