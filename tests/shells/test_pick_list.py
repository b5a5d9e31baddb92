"""The list for the truck: kit, adapters, wires, fuses, instruments, each with why, and whether it is at hand."""

from __future__ import annotations

from datetime import timedelta
from importlib.resources import as_file, files
from pathlib import Path

import pytest
from tests.invented import PROBE, facts

from ventwright.cli import main
from ventwright.plan import Plan, make_plan
from ventwright.plan.pick_list import calibration_holds
from ventwright.store import load


@pytest.fixture(scope="module")
def demo() -> Plan:
    """Plan of the invented demo job."""
    with as_file(files("ventwright.cli").joinpath("demo_job", "larkspur-row-r-2.yaml")) as path:
        return make_plan(load(path).job.facts)


def test_the_demo_takes_what_its_plan_names(demo: Plan) -> None:
    """Kit, the adapter of the chain, wire there and back, a fuse and the instruments are on the list."""
    listed = {item.kind: item for item in demo.pick_list}

    assert listed["kit"].what.show("us") == "Two-speed dry-bulb economizer kit"
    assert listed["adapter"].what.show("us") == "Nine-way socket with loose wires"
    assert listed["adapter"].at_hand is True
    assert listed["wire"].what.show("us") == "18 AWG solid, 24 ft"
    assert listed["wire"].what.show("si") == "18 AWG solid, 7 m"
    assert "fuse" in listed


def test_an_instrument_nobody_listed_is_missing() -> None:
    """Without an instrument for airflow the proof cannot be carried, and the list says that one is not there."""
    missing = [item.what.show("us") for item in make_plan(facts()).pick_list if item.at_hand is False]

    assert missing == ["an instrument for airflow readings", "an instrument for electrical readings"]


def test_one_fan_speed_is_not_speeds() -> None:
    """What an airflow instrument is for, of a unit with one speed."""
    one = make_plan(facts(unit={"fan_speeds": [{"name": "high", "supply_air": "4000 cfm"}]}))
    why = [item.why.show("us") for item in one.pick_list if item.what.show("us").endswith("airflow readings")]

    assert why == ["supply airflow at the one fan speed; none is listed in the job"]


def test_a_calibration_says_until_when_it_holds() -> None:
    """A year from the day of calibration (California NA7.5.1: within the past year)."""
    probe = PROBE | {"calibrated": "2026-03-01"}
    why = [item.why.show("us") for item in make_plan(facts(instruments=[probe])).pick_list if item.at_hand]

    assert timedelta(days=365) == calibration_holds()
    assert why == ["calibrated 2026-03-01, good for acceptance until 2027-03-01"]


def test_no_adapter_that_works_is_one_line() -> None:
    """Where no chain of adapters will do, the list says that once, and `plan` ends with the code for it."""
    unknown = make_plan(facts(unit={"sheet": "seven-ton-heat-pump", "heating": None}, truck=[]))
    adapters = [item for item in unknown.pick_list if item.kind == "adapter"]

    assert unknown.wiring is not None
    assert [item.at_hand for item in adapters] == [False] * len(adapters)
    assert adapters


def test_plan_fails_where_the_harness_does_not_go_together(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """An empty truck and a kit with another plug: nobody should set out."""
    with as_file(files("ventwright.cli").joinpath("demo_job", "larkspur-row-r-2.yaml")) as path:
        text = path.read_text(encoding="utf-8").replace(
            "truck: [nine-way-to-loose-wires, nine-way-lead]", "truck: []"
        )
    job = tmp_path / "job.yaml"
    job.write_text(text, encoding="utf-8")

    assert main(["plan", str(job)]) == 1
    assert "ADAPTER MISSING" in capsys.readouterr().out
