"""The high-limit switch against the tables of ASHRAE 90.1 and against simulated trends of EnergyPlus.

Limits: rows of Building Energy Standards Data (ASHRAE 90.1, Table 6.5.1.1.3; notice in tests/data/code_tables).
Trends: EnergyPlus 25.2, whose switch has no hysteresis; of its steps those count in which the coil or free cooling
cools, since it also closes the damper where nothing needs cooling (notice in tests/data/simulated_trends).
"""

from __future__ import annotations

import csv
import gzip
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.conftest import OUTSIDE_DATA

from ventwright.physics.rooftop.calls import Calls
from ventwright.physics.rooftop.control import duty
from ventwright.physics.rooftop.control_settings import ControlSettings
from ventwright.physics.rooftop.high_limit import HighLimit, HighLimitControl, Streams, SwitchState, switched
from ventwright.physics.rooftop.memory import Memory
from ventwright.physics.rooftop.minimum_position import MinimumPosition
from ventwright.physics.rooftop.sensed import Sensed

DATA: Final = Path(__file__).parents[1] / "data"
CODE_ROWS: Final[list[dict[str, Any]]] = json.loads(
    (DATA / "code_tables" / "system_requirements_air_economizer_90_1.json").read_text(encoding="utf-8")
)

WITHOUT_HYSTERESIS: Final = 0.998
"""Share of steps that agree: the simulation's columns are means of 15 minutes in which its state was decided at the
end; 4 steps of 3,000 at most differ."""

IN_EXTRACT: Final = 0.98
"""The same in the extract: three of those steps are among its 170 of one trend."""

WITH_HYSTERESIS: Final = 0.95
"""Share with 1 K, 1 kJ/kg and 10 minutes: what differs are the steps after each fall below the limit."""

LIMITS: Final = {"high_limit": (75.0 - 32.0) / 1.8, "enthalpy_limit": 47_295.0}
"""75 °F and 28 Btu/lb, as in the simulation."""

Step = dict[str, str]


def celsius(fahrenheit: float) -> float:
    """Return °F in °C."""
    return (fahrenheit - 32.0) / 1.8


def fit(limit: HighLimit, streams: Streams) -> bool:
    """Return what a new switch says."""
    return switched(limit, streams, SwitchState(), 0.0).fit is True


@pytest.mark.parametrize("row", CODE_ROWS, ids=lambda row: f"{row['template']} {row['climate_zone']}")
def test_switches_at_the_limits_of_the_table(row: dict[str, Any]) -> None:
    """A tenth of a degree below each printed limit air is fit, a tenth above it is not; every kind the row allows."""
    if printed := row["fixed_dry_bulb_high_limit_shutoff_temp"]:
        fixed = HighLimit(HighLimitControl.FIXED_DRY_BULB, high_limit=celsius(printed))
        assert fit(fixed, Streams(celsius(printed - 0.1)))
        assert not fit(fixed, Streams(celsius(printed + 0.1)))
    if printed := row["fixed_enthalpy_fixed_dry_bulb_high_limit_shutoff_dry_bulb_temp"]:
        both = HighLimit(HighLimitControl.FIXED_ENTHALPY_AND_DRY_BULB, high_limit=celsius(printed))
        rich = 2326.0 * (row["fixed_enthalpy_fixed_dry_bulb_high_limit_shutoff_enthalpy"] + 0.1) - 17_780.0
        lean = rich - 0.2 * 2326.0  # Btu/lb from 0 °F: 28 are 47.3 kJ/kg on our datum
        assert fit(both, Streams(celsius(printed - 0.1), lean))
        assert not fit(both, Streams(celsius(printed + 0.1), lean))
        assert not fit(both, Streams(celsius(printed - 0.1), rich))
    if printed := row["differential_enthalpy_fixed_dry_bulb_high_limit_shutoff_dry_bulb_temp"]:
        against = HighLimit(HighLimitControl.DIFFERENTIAL_ENTHALPY_AND_DRY_BULB, high_limit=celsius(printed))
        assert fit(against, Streams(celsius(printed - 0.1), 49_000.0, 24.0, 50_000.0))
        assert not fit(against, Streams(celsius(printed + 0.1), 49_000.0, 24.0, 50_000.0))
        assert not fit(against, Streams(celsius(printed - 0.1), 51_000.0, 24.0, 50_000.0))


@pytest.mark.parametrize(
    ("offset", "outdoor", "expected"),
    [(0.0, 23.9, True), (0.0, 24.1, False), (1.0, 22.9, True), (1.0, 23.1, False)],
)
def test_compared_with_return_air(offset: float, outdoor: float, *, expected: bool) -> None:
    """Off above the return air (90.1), or above it less an offset (California Table 140.4-G, zones 2, 4 and 10)."""
    limit = HighLimit(HighLimitControl.DIFFERENTIAL_DRY_BULB, return_differential=offset)
    assert fit(limit, Streams(outdoor, return_dry_bulb=24.0)) is expected


def outside(name: str) -> Iterator[Step]:
    """Yield the steps of a whole simulated trend, in the columns of the extract."""
    columns = {
        "outdoor_C": "oat_sensed_C", "return_C": "rat_sensed_C", "outdoor_J_kg": "oa_h_Jkg",
        "cooling_W": "clg_total_W", "heating_W": "htg_W", "free_cooling": "econ_on",
    }  # fmt: skip
    path = OUTSIDE_DATA / "simulated_trends" / f"{name}.csv.gz"
    with gzip.open(path, "rt", encoding="utf-8") as lines:
        for row in csv.DictReader(lines):
            if float(row["oa_flow_kgs"]) > 0.0:
                yield {ours: row[theirs] for ours, theirs in columns.items()}


def extract(place: str, control: str) -> Iterator[Step]:
    """Yield the steps of the extract for a place and a control."""
    with (DATA / "simulated_trends" / "free_cooling_days.csv").open(encoding="utf-8") as lines:
        yield from (
            row for row in csv.DictReader(lines) if row["place"] == place and row["control"] == control
        )


def streams(step: Step) -> Streams:
    """Return what the controller saw in a step."""
    return Streams(float(step["outdoor_C"]), float(step["outdoor_J_kg"]), float(step["return_C"]))


def agreement(steps: Iterator[Step], limit: HighLimit) -> tuple[float, int, int]:
    """Return the share of steps with a cooling need in which the state agrees, how many, and how many free."""
    state, alike, number, free = SwitchState(), 0, 0, 0
    for step in steps:
        state = switched(limit, streams(step), state, 900.0)
        on = float(step["free_cooling"]) > 0.5
        if on or float(step["cooling_W"]) > 0.0:
            number, free, alike = number + 1, free + on, alike + (state.fit is on)
    return alike / number, number, free


TRENDS = pytest.mark.parametrize(
    ("place", "control", "name"),
    [
        ("Chicago", "fixed dry bulb", "5A_Chicago__ok_fixed_drybulb_75F"),
        ("Chicago", "differential dry bulb", "5A_Chicago__ok_diff_drybulb"),
        ("Chicago", "fixed enthalpy", "5A_Chicago__ok_fixed_enthalpy_28"),
        ("Miami", "fixed dry bulb", "1A_Miami__ok_fixed_drybulb_75F"),
        ("Miami", "differential dry bulb", "1A_Miami__ok_diff_drybulb"),
        ("Miami", "fixed enthalpy", "1A_Miami__ok_fixed_enthalpy_28"),
    ],
)


@TRENDS
@pytest.mark.parametrize("days", ["extract", pytest.param("eight weeks", marks=pytest.mark.outside_data)])
def test_free_cooling_of_simulated_trends(place: str, control: str, name: str, days: str) -> None:
    """Step by step the switch stands as the simulation's does, without hysteresis and with ours."""

    def steps() -> Iterator[Step]:
        return extract(place, control) if days == "extract" else outside(name)

    kind = HighLimitControl(control)
    bare = HighLimit(kind, limit_differential=0.0, enthalpy_differential=0.0, least_hold=0.0, **LIMITS)
    least = IN_EXTRACT if days == "extract" else WITHOUT_HYSTERESIS
    share, number, free = agreement(steps(), bare)
    assert share >= least
    assert 0.05 < free / number < 0.95  # both states occur
    share, _, _ = agreement(steps(), HighLimit(kind, **LIMITS))
    assert share >= (
        WITH_HYSTERESIS if days != "extract" else 0.85
    )  # the days of the extract cross the limit most


@TRENDS
def test_the_sequence_frees_the_damper_when_the_simulation_does(place: str, control: str, name: str) -> None:
    """With the calls that the simulated loads amount to, heating and idling steps included."""
    del name
    limit = HighLimit(
        HighLimitControl(control), limit_differential=0.0, enthalpy_differential=0.0, least_hold=0.0, **LIMITS
    )
    settings = ControlSettings(MinimumPosition(0.2, 0.2), high_limit=limit)
    memory, alike, number = Memory(), 0, 0
    for step in extract(place, control):
        on = step["free_cooling"] == "1"
        cooling = on or float(step["cooling_W"]) > 0.0
        calls = Calls(int(cooling), int(not cooling and float(step["heating_W"]) > 0.0), fan=True)
        seen = streams(step)
        sensed = Sensed(
            seen.outdoor_dry_bulb, seen.return_dry_bulb, 18.0, outdoor_enthalpy=seen.outdoor_enthalpy
        )
        todo = duty(settings, sensed, calls, memory, 900.0)
        memory, alike, number = todo.memory, alike + (todo.free_cooling is on), number + 1
    assert alike / number >= IN_EXTRACT


@given(
    limit=st.floats(10.0, 30.0),
    within=st.lists(st.floats(0.01, 0.99), min_size=2, max_size=30),
    warm=st.booleans(),
)
def test_no_chatter_within_the_band(*, limit: float, within: list[float], warm: bool) -> None:
    """However outdoor air wanders within the differential, the switch keeps the state that it came with."""
    switch = HighLimit(high_limit=limit, limit_differential=1.0, least_hold=0.0)
    came = switched(switch, Streams(limit + 5.0 if warm else limit - 5.0), SwitchState(), 60.0)
    state = came
    for share in within:
        state = switched(switch, Streams(limit - 1.0 + share), state, 60.0)
        assert state.fit is came.fit


@given(st.lists(st.floats(-20.0, 50.0), min_size=2, max_size=60))
def test_each_state_is_held(walk: list[float]) -> None:
    """Between two changes lie at least 10 minutes, whatever the weather does (Guideline 36)."""
    switch, state, since = HighLimit(), SwitchState(), 1e9
    for outdoor in walk:
        before, state = state, switched(switch, Streams(outdoor), state, 60.0)
        since += 60.0
        if before.fit is not None and before.fit is not state.fit:
            assert since >= 600.0
            since = 0.0


@pytest.mark.parametrize("control", list(HighLimitControl))
def test_a_failed_sensor_makes_outdoor_air_unfit(control: HighLimitControl) -> None:
    """Whatever the control needs and does not see, compressors cool; at once, hold or not."""
    everything = Streams(15.0, 30_000.0, 24.0, 48_000.0)
    good = switched(HighLimit(control), everything, SwitchState(), 0.0)
    assert good.fit is True
    assert switched(HighLimit(control), Streams(None), good, 1.0).fit is False
