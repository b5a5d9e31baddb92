"""What cannot be mixed, read or aimed at."""

from __future__ import annotations

import math

import pytest

from ventwright.errors import Refused
from ventwright.physics import air, mixing
from ventwright.physics.mixing import Reading

WARM = air.state(22.0, relative_humidity=0.4)


@pytest.mark.parametrize(("fraction", "given"), [(1.2, "120 %"), (-0.1, "-10 %"), (math.nan, "nan %")])
def test_no_fraction(fraction: float, given: str) -> None:
    """A fraction is not cut off to fit."""
    with pytest.raises(Refused) as refused:
        mixing.mix(WARM, WARM, fraction)
    assert str(refused.value) == f'outdoor-air fraction: "{given}" is no fraction; accepted: 0 to 100 %.'


def test_streams_at_different_elevations() -> None:
    """Two states made with different pressures were not meant to meet."""
    aloft = air.state(5.0, relative_humidity=0.4, pressure=83e3)
    with pytest.raises(Refused) as refused:
        mixing.mix(aloft, WARM, 0.3)
    assert str(refused.value) == (
        'the streams: "83 and 101.325 kPa" are too far apart to mix; accepted: pressures within 1 %.'
    )


def test_nothing_to_divide_by() -> None:
    """The plain formula needs a difference; ``estimate`` reports a finding instead."""
    with pytest.raises(Refused) as refused:
        mixing.outdoor_air_fraction(20.0, 20.0, 20.0)
    assert str(refused.value) == (
        '"20" is read in both outdoor and return air, so the mixture tells nothing; accepted: two readings that differ.'
    )


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_no_reading(value: float) -> None:
    """A reading is a finite number."""
    with pytest.raises(Refused) as refused:
        Reading(value)
    assert str(refused.value) == f'"{value}" is no reading; accepted: a finite number.'


@pytest.mark.parametrize("uncertainty", [-0.1, math.nan, math.inf])
@pytest.mark.parametrize("field", ["repeatability_u", "offset_u"])
def test_no_uncertainty(uncertainty: float, field: str) -> None:
    """A standard uncertainty is finite and not negative."""
    with pytest.raises(Refused) as refused:
        Reading(20.0, **{field: uncertainty})  # type: ignore[arg-type]
    assert str(refused.value) == (
        f'"{uncertainty}" is no standard uncertainty; accepted: a finite number of at least 0.'
    )


@pytest.mark.parametrize(("target", "given"), [(0.0, "0"), (-0.02, "-0.02"), (math.nan, "nan")])
def test_no_target(target: float, given: str) -> None:
    """No difference makes a fraction certain."""
    probe = Reading(20.0, 0.3)
    with pytest.raises(Refused) as refused:
        mixing.difference_needed(0.25, target, outdoor=probe, returned=probe, mixed=probe)
    assert str(refused.value) == f'"{given}" is no uncertainty to aim for; accepted: a number above 0.'
