"""The fixed-enthalpy limit away from sea level: the enthalpy of 75 °F, 50 % air at the site's pressure.

Values in Btu/lb, datum 0 °F, computed with PsychroLib 2.5.0 from ASHRAE Fundamentals 2017, ch. 1; at 6000 ft the
code's own example is about 30.7 (90.1 Table 6.5.1.1.3, note a; from memory).
"""

from __future__ import annotations

import pytest
from tests.invented import facts

from ventwright.plan import make_plan
from ventwright.quantity import ENTHALPY, read, unit_value
from ventwright.tables.shelf import SUFFIXES

KIT = """kind: kit
id: enthalpy
name: Enthalpy kit (invented)
invented: true
fan_speeds: 1
high_limit_control: fixed enthalpy and dry bulb
damper_signal: {closed: 2 V, open: 10 V}
integrated: true
settings: []
"""


@pytest.mark.parametrize(
    ("feet", "limit"), [(0, 28.0), (1000, 28.49), (3000, 29.30), (5280, 30.31), (6000, 30.66), (8000, 31.68)]
)
def test_limit_at_altitude(feet: int, limit: float, tmp_path_factory: pytest.TempPathFactory) -> None:
    """At sea level the printed 28 Btu/lb; above, the enthalpy of the state, to the two decimals of the source."""
    folder = tmp_path_factory.mktemp("kit")
    (folder / f"enthalpy{SUFFIXES[0]}").write_text(KIT)
    plan = make_plan(facts(kit="enthalpy.yaml", site={"elevation": f"{feet} ft"}), beside=folder)

    assert plan.high_limit.enthalpy is not None
    # 0.018: at 75 °F the rounded heat capacities of the two systems' formulas (1.006 and 0.240) part by 0.013 Btu/lb,
    # and the source is printed to 0.01
    assert unit_value(plan.high_limit.enthalpy, ENTHALPY.us) == pytest.approx(limit, abs=0.018)


def test_limit_in_si() -> None:
    """28 Btu/lb on the datum 0 °F is 47.3 kJ/kg on the datum 0 °C, not 65 or 66."""
    assert read("28 Btu/lb", ENTHALPY).value / 1000 == pytest.approx(47.3, abs=0.1)
