"""Switches as loggers write them: figures, figures with a point, mixed, and cells that are neither on nor off."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.logged import HEADINGS, Way, read_both_ways, written

from ventwright.readings.trend import MISSING, MappedColumn, PointMap

START = 1_736_899_200
"""15 January 2025, 0:00 UTC."""

ON, OFF = 1, 0

SAID = PointMap(
    zone="UTC",
    columns=(MappedColumn(heading=HEADINGS[3], point="supply_fan_status", measured_in="on/off"),),
)
"""What a person says of a switch whose cells do not all say it themselves."""


@pytest.mark.parametrize(
    ("cells", "values"),
    [
        (["0", "1", "100", "0", "1"], [OFF, ON, ON, OFF, ON]),
        (["0", "1.0", "0.0", "100", "1"], [OFF, ON, OFF, ON, ON]),
        (["0.0", "1", "0", "100.0", "1.0"], [OFF, ON, OFF, ON, ON]),
        (["1", "", "0", "1", "0"], [ON, MISSING, OFF, ON, OFF]),
        (["0", "2", "1", "200", "-1"], [OFF, MISSING, ON, MISSING, MISSING]),
        (["0", "0.5", "1", "1e2", "1"], [OFF, MISSING, ON, ON, ON]),
        (["0", "On", "off", "1", "fault"], [OFF, ON, OFF, ON, MISSING]),
        (["", "1", "0", "1.00", "0"], [MISSING, ON, OFF, ON, OFF]),
        (["00", "01", "1", "+1", "0"], [OFF, ON, ON, ON, OFF]),
    ],
)
def test_a_switch_by_columns_is_the_switch_by_rows(
    tmp_path: Path, cells: list[str], values: list[int]
) -> None:
    """Whatever its first cell looks like, each of the others says what it says alone."""
    way = Way()
    rows = [(START + 300 * number, 50.0, 72.0, 20.0, False) for number in range(40)]
    lines = written(rows, way).decode().splitlines()
    for row in range(1, 41):
        lines[row] = f"{lines[row].rpartition(',')[0]},{cells[(row - 1) % len(cells)]}"
    path = tmp_path / "rtu-3.csv"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")

    log = read_both_ways(path, way, SAID)

    expected = [values[number % len(cells)] for number in range(40)]
    switch = log.series["supply_fan_status"]
    told = dict(zip(switch.times, switch.values, strict=True))
    assert [told.get(START + 300 * number, MISSING) for number in range(40)] == expected
    failed = sum(one == MISSING for one in expected)
    assert sum(log.counts.cells.get(HEADINGS[3], {}).values()) == failed
