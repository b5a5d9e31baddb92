"""The stages of freeze protection against ASHRAE Guideline 36, 5.18.11.

As restated in the Modelica Buildings library (Controls.OBC.ASHRAE.G36.AHUs.SingleZone.VAV.SetPoints.FreezeProtection):
below 40 °F for 5 minutes, below 38 °F for 5 minutes, below 38 °F for 15 or 34 °F for 5 minutes; over 45 °F for 5.
"""

from __future__ import annotations

from typing import Final

import pytest

from ventwright.physics.rooftop.freeze_protection import FreezeProtection, FreezeState, protected

SET: Final = FreezeProtection()
FAHRENHEIT: Final = {34: 1.11, 38: 3.33, 40: 4.44, 45: 7.22}
"""The temperatures of the guideline in °C; ours are rounded to 0.1 K."""


def held(supply: float | None, minutes: int, state: FreezeState | None = None) -> FreezeState:
    """Return the state after minutes at one supply temperature."""
    state = state or FreezeState()
    for _ in range(minutes):
        state = protected(SET, supply, state, 60.0)
    return state


def test_the_temperatures_are_those_of_the_guideline() -> None:
    """34, 38, 40 and 45 °F, to the tenth of a kelvin to which they are rounded."""
    ours = (SET.third_below, SET.second_below, SET.first_below, SET.over_above)
    assert ours == pytest.approx(tuple(FAHRENHEIT.values()), abs=0.05)


@pytest.mark.parametrize(
    ("supply", "minutes", "stage"),
    [
        (5.0, 600, 0),
        (4.0, 4, 0),
        (4.0, 5, 1),
        (4.0, 600, 1),
        (3.0, 4, 0),
        (3.0, 5, 2),
        (3.0, 14, 2),
        (3.0, 15, 3),
        (1.0, 4, 0),
        (1.0, 5, 3),
    ],
)
def test_what_starts_a_stage(supply: float, minutes: int, stage: int) -> None:
    """Temperature and minutes of each stage."""
    assert held(supply, minutes).stage == stage


def test_a_warm_minute_starts_the_time_anew() -> None:
    """The time has to pass without a break."""
    cold = held(4.0, 4)
    assert held(4.0, 4, held(5.0, 1, cold)).stage == 0


@pytest.mark.parametrize(("supply", "minutes", "stage"), [(7.0, 600, 1), (7.5, 4, 1), (7.5, 5, 0)])
def test_what_ends_the_first_stage(supply: float, minutes: int, stage: int) -> None:
    """Above 45 °F for 5 minutes; anything between holds the stage."""
    assert held(supply, minutes, held(4.0, 5)).stage == stage


def test_the_second_stage_lasts_an_hour() -> None:
    """Shut for 60 minutes, then the first stage; and out of it after 5 warm minutes."""
    second = held(3.0, 5)
    assert held(10.0, 59, second).stage == 2
    assert held(10.0, 60, second).stage == 1
    assert held(10.0, 65, second).stage == 0


def test_the_third_stage_waits_for_a_hand() -> None:
    """A shutdown stays, however warm it gets; a freeze switch starts it at once."""
    assert held(20.0, 600, held(1.0, 5)).stage == 3
    assert protected(SET, 20.0, FreezeState(), 1.0, switch_tripped=True).stage == 3


def test_no_air_no_time() -> None:
    """With the fan off, or no sensor, no cold time adds up."""
    assert held(None, 600).stage == 0
    assert held(4.0, 4, held(None, 1, held(4.0, 4))).stage == 0
