"""What cannot be divided by, read or aimed at."""

from __future__ import annotations

import math

import pytest

from ventwright.errors import Refused
from ventwright.physics import mixing
from ventwright.physics.mixing import Reading


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
