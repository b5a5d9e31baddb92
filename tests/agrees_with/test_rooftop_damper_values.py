"""Dampers in line and side by side against values of the published formulas.

Loss coefficients: exponential model of ASHRAE 825-RP (typical values) as the Modelica Buildings library documents it, with a
leakage of 1e-4 of the open flow. Installed characteristic: q = 1 / sqrt(N / f^2 + 1 - N), N the damper's authority over the
whole controlled path. Linked pair: Co f(y) / (Co f(y) + Cr f(1 - y)). All worked outside this project to three figures.
"""

from __future__ import annotations

import pytest
from tests.rooftop_units import INDOOR

from ventwright.physics.damper import Blades, loss_coefficient
from ventwright.physics.rooftop.air_path import AirPath, Leg, Openings
from ventwright.physics.rooftop.linkage import Linkage
from ventwright.physics.rooftop.relief import Relief
from ventwright.physics.rooftop.surroundings import Weather

OPPOSED = Blades(-1.51, 9.45, 15 / 90, 55 / 90, 0.45, 0.45e8)
SINGLE = Blades(-1.51, 7.578, 15 / 90, 65 / 90, 0.45, 0.45e8)

LOSSES = [
    # position, k and f opposed, k and f single
    (0.10, 5137.0, 0.009, 1285.0, 0.019),
    (0.20, 424.1, 0.033, 94.9, 0.069),
    (0.30, 164.8, 0.052, 44.5, 0.101),
    (0.40, 64.07, 0.084, 20.8, 0.147),
    (0.50, 24.90, 0.134, 9.77, 0.215),
    (0.60, 9.679, 0.216, 4.58, 0.314),
    (0.70, 3.905, 0.340, 2.15, 0.458),
    (0.80, 1.730, 0.510, 1.06, 0.651),
    (0.90, 0.842, 0.731, 0.631, 0.845),
    (1.00, 0.450, 1.000, 0.450, 1.000),
]
THREE_FIGURES = 0.005
"""Half a unit of the third figure of 1.06, relative."""
PRINTED = 6e-4
"""Half a unit of the third decimal, and the rounding of f in what is computed from it."""


@pytest.mark.parametrize(("position", "opposed", "f_opposed", "single", "f_single"), LOSSES)
def test_loss_and_open_share_of_the_flow(
    position: float, opposed: float, f_opposed: float, single: float, f_single: float
) -> None:
    """Loss k of both kinds of blade, and f = sqrt(k(1) / k(y)) as the area of a leg without fixed loss."""
    for blades, k, f in ((OPPOSED, opposed, f_opposed), (SINGLE, single, f_single)):
        assert loss_coefficient(position, blades) == pytest.approx(k, rel=THREE_FIGURES)
        leg = Leg(blades, face=0.3)
        assert leg.effective_area(position) / leg.effective_area(1.0) == pytest.approx(f, abs=PRINTED)


AUTHORITIES = (1.0, 0.5, 0.2, 0.1, 0.05, 0.03, 0.01)
INSTALLED = {
    "opposed": {
        0.1: (0.009, 0.013, 0.021, 0.030, 0.042, 0.054, 0.093),
        0.3: (0.052, 0.074, 0.116, 0.163, 0.228, 0.289, 0.464),
        0.5: (0.134, 0.188, 0.290, 0.394, 0.519, 0.617, 0.805),
        0.7: (0.340, 0.455, 0.628, 0.752, 0.850, 0.902, 0.964),
    },
    "single": {
        0.1: (0.019, 0.026, 0.042, 0.059, 0.083, 0.107, 0.184),
        0.3: (0.101, 0.142, 0.221, 0.305, 0.412, 0.504, 0.711),
        0.5: (0.215, 0.297, 0.441, 0.571, 0.701, 0.785, 0.910),
        0.7: (0.458, 0.589, 0.755, 0.852, 0.917, 0.948, 0.982),
    },
}


@pytest.mark.parametrize("kind", INSTALLED)
def test_installed_characteristic(kind: str) -> None:
    """A leg with a fixed loss in line follows the curve of its authority, at four positions and seven authorities."""
    blades = {"opposed": OPPOSED, "single": SINGLE}[kind]
    for position, row in INSTALLED[kind].items():
        for authority, share in zip(AUTHORITIES, row, strict=True):
            leg = Leg(blades, face=0.3, fixed_loss=blades.loss_open * (1.0 / authority - 1.0))
            found = leg.effective_area(position) / leg.effective_area(1.0)
            assert found == pytest.approx(share, abs=PRINTED), (position, authority)


LINKED = [
    # position, opposed with return face 1 and 2, single with 1 and 2
    (0.10, 0.013, 0.006, 0.022, 0.011),
    (0.15, 0.038, 0.020, 0.067, 0.035),
    (0.20, 0.060, 0.031, 0.096, 0.050),
    (0.25, 0.090, 0.047, 0.131, 0.070),
    (0.30, 0.133, 0.071, 0.180, 0.099),
    (0.40, 0.280, 0.163, 0.319, 0.190),
    (0.50, 0.500, 0.333, 0.500, 0.333),
    (0.60, 0.720, 0.563, 0.681, 0.516),
    (0.70, 0.867, 0.765, 0.820, 0.695),
    (0.80, 0.940, 0.887, 0.904, 0.825),
]


@pytest.mark.parametrize(("position", "opposed", "opposed_2", "single", "single_2"), LINKED)
def test_linked_pair_that_sees_one_pressure(
    position: float, opposed: float, opposed_2: float, single: float, single_2: float
) -> None:
    """The balance gives the table where both dampers see one pressure: no ducts, a building open to outdoors.

    Air of one density on both sides. A duct of 100 m2 and an envelope of 1000 m3/s leave 1e-6 of the pressure.
    """
    same = Weather(INDOOR.dry_bulb, INDOOR.relative_humidity).air
    for blades, size, share in (
        (OPPOSED, 1.0, opposed),
        (OPPOSED, 2.0, opposed_2),
        (SINGLE, 1.0, single),
        (SINGLE, 2.0, single_2),
    ):
        outdoor, returned = Linkage().blades(position)
        openings = Openings(
            outdoor=Leg(blades, 0.3).effective_area(outdoor),
            cabinet_gap=0.0,
            returned=Leg(blades, 0.3 * size).effective_area(returned),
            return_duct=100.0,
            relief=Relief(),
            relief_fan=0.0,
            envelope=1000.0,
        )
        flows = AirPath(openings, same, same).flows(1.2)
        assert flows.outdoor / flows.supply == pytest.approx(share, abs=PRINTED)


@pytest.mark.parametrize(("signal", "stroke"), [(0.2, 0.0), (0.3, 0.125), (0.6, 0.5), (1.0, 1.0)])
def test_an_actuator_for_2_to_10_volts_driven_from_0_to_10(signal: float, stroke: float) -> None:
    """Stroke = (V - 2) / 8: 3 V, which is 30 % of the signal, opens it by 12.5 % (IEC 60381-2 live zero, from memory)."""
    assert Linkage(signal_start=0.2).target(signal) == pytest.approx(stroke)
