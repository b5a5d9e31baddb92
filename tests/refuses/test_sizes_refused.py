"""Sizes that no unit on a roof has: a slip of digits or of the unit is refused where it is typed, with what is possible."""

from __future__ import annotations

from typing import Any

import pytest

from ventwright.entry import Accuracy, Area, Entry, HeatRate, SupplyAirflow, validated
from ventwright.errors import Refused


class Sizes(Entry):
    """One of each."""

    air: SupplyAirflow | None = None
    heat: HeatRate | None = None
    area: Area | None = None
    accuracy: Accuracy | None = None


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"air": "1e9 L/s"}, '"1e9 L/s" is not possible for an airflow here; accepted: at least 0 cfm (0 L/s) and at most 1059440 cfm (500000 L/s).'),
        ({"air": "1e-9 L/s"}, '"1e-9 L/s" is no supply airflow'),
        ({"heat": "1e9 kW"}, '"1e9 kW" is not possible for a heat rate here'),
        ({"area": "1e9 m2"}, '"1e9 m2" is not possible for an area here; accepted: at least 0 ft2 (0 m2) and at most 968751.9 ft2 (90000 m2).'),
        ({"accuracy": "1e9 °C"}, '"1e9 °C" is the accuracy of no instrument; accepted: what its maker prints, at most 20 K.'),
        ({"accuracy": "150 %"}, "what its maker prints, at most 100 %."),
    ],
)  # fmt: skip
def test_a_size_that_nothing_has_is_refused(given: dict[str, Any], said: str) -> None:
    with pytest.raises(Refused) as refused:
        validated(Sizes, given)
    assert said in str(refused.value)


def test_sizes_that_are_met_are_taken() -> None:
    validated(Sizes, {"air": "60000 cfm", "heat": "200 ton", "area": "40000 ft2", "accuracy": "± 5 %"})
