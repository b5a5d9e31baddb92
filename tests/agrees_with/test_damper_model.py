"""The damper model against the documented exponential model with the typical values of ASHRAE 825-RP."""

from __future__ import annotations

import math

import pytest

from ventwright.errors import Refused
from ventwright.physics.damper import Blades, linked_share, loss_coefficient, position_for

OPPOSED = Blades(a=-1.51, b=0.105 * 90, low=15 / 90, high=55 / 90, loss_open=0.45, loss_closed=1e6)
SINGLE = Blades(a=-1.51, b=0.0842 * 90, low=15 / 90, high=65 / 90, loss_open=0.45, loss_closed=1e6)
BOTH = pytest.mark.parametrize("blades", [OPPOSED, SINGLE], ids=["opposed", "single"])


def test_half_open_opposed_blades() -> None:
    """Ln k = a + b (1 - y): at y = 0.5, a = -1.51, b = 9.45 (825-RP), k = exp(3.215) = 24.90."""
    assert loss_coefficient(0.5, OPPOSED) == pytest.approx(24.90, abs=0.005)


@BOTH
def test_ends_are_the_given_losses(blades: Blades) -> None:
    """Closed and open losses are those handed in (Modelica Buildings library, Exponential damper)."""
    assert loss_coefficient(0.0, blades) == pytest.approx(1e6)
    assert loss_coefficient(1.0, blades) == pytest.approx(0.45)


@BOTH
@pytest.mark.parametrize("join", ["low", "high"])
def test_parabolas_meet_the_line_in_value_and_slope(blades: Blades, join: str) -> None:
    """The model is continuous with its first derivative, as its documentation asks; slopes by finite difference."""
    at, step = getattr(blades, join), 1e-6
    below, here, above = (math.log(loss_coefficient(at + d, blades)) for d in (-step, 0.0, step))

    assert (here - below) / step == pytest.approx(-blades.b, abs=1e-2)
    assert (above - here) / step == pytest.approx(-blades.b, abs=1e-2)


@BOTH
def test_share_rises_with_position(blades: Blades) -> None:
    """More outdoor damper, more outdoor air, over the whole stroke."""
    shares = [linked_share(step / 100, blades) for step in range(101)]

    assert shares == sorted(shares)
    assert shares[50] == pytest.approx(0.5)


@BOTH
def test_linked_dampers_mirror(blades: Blades) -> None:
    """With equal faces the shares at y and 1 - y add up to one."""
    for position in (0.1, 0.25, 0.4):
        assert linked_share(position, blades) + linked_share(1 - position, blades) == pytest.approx(1.0)


@BOTH
def test_position_is_the_inverse(blades: Blades) -> None:
    """The position found for a share lets in that share."""
    found = position_for(0.3, lambda position: linked_share(position, blades))

    assert found is not None
    assert linked_share(found, blades) == pytest.approx(0.3, abs=1e-5)


def test_what_no_position_reaches() -> None:
    """A share beyond the fully open damper has no position; one below the leak is met closed."""
    assert position_for(0.9, lambda position: 0.8 * position) is None
    assert position_for(0.05, lambda position: 0.1 + 0.8 * position) == 0.0


def test_a_position_beyond_the_stroke_is_refused() -> None:
    """Positions are shares of full stroke."""
    with pytest.raises(
        Refused, match=r'"1.2" is no damper position; accepted: a share of full stroke from 0 to 1\.'
    ):
        loss_coefficient(1.2, OPPOSED)
