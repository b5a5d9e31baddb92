"""Parts that are in no file: circuits named from meter readings, adapters from continuity, or "put it back and run"."""

from __future__ import annotations

from typing import Any

import pytest
from tests.invented import facts

from ventwright.facts.harness import SeenAdapter, SeenConnector
from ventwright.plan import WiringPlan, WiringState, make_plan
from ventwright.plan.wiring.named_circuits import CircuitsTold, tell
from ventwright.plan.wiring.seen_parts import adapter_of
from ventwright.tables.circuit import Function

WANTED = [Function.SUPPLY, Function.COMMON, Function.COOLING_1, Function.COMPRESSOR_1, Function.HEATING_1]

SOCKET: dict[str, Any] = {
    "name": "odd socket",
    "end": "socket",
    "rows": 2,
    "columns": 4,
    "wires": [
        {"cavity": 1, "colour": "blue"},
        {"cavity": 2, "colour": "red"},
        {"cavity": 3, "colour": "pink"},
    ],
}


def read(one: int | str, other: int | str, shows: str, call: str = "none") -> dict[str, Any]:
    """One reading."""
    return {"between": [one, other], "reads": shows, "call": call}


RESTING = [read(1, 2, "25.6 V"), read(1, "cabinet", "0.1 V"), read(2, "cabinet", "25.5 V")]
DEAD = [read(cavity, 1, "0.2 V") for cavity in (3, 4, 5, 6, 7)]
CALLS = [read(3, 1, "25 V", "Y1"), read(5, 1, "25.1 V", "W1"), read(6, 1, "24.8 V", "Y2")]


def told(readings: list[dict[str, Any]], **other: Any) -> CircuitsTold:
    """What readings on the odd socket tell."""
    return tell(SeenConnector.model_validate(SOCKET | {"readings": readings} | other), WANTED)


def named(found: CircuitsTold) -> dict[int, str]:
    """Cavity to function."""
    return {one.cavity: one.function.value for one in found.circuits}


def wired(**harness: Any) -> WiringPlan:
    """The wiring of an invented job."""
    found = make_plan(facts(harness=harness)).wiring
    assert found is not None
    return found


def seen_board(**other: Any) -> dict[str, Any]:
    """The odd socket as the board of an old unit."""
    return {"name": "board of the old unit", "connector": SOCKET | other}


def test_all_circuits_are_named_by_readings() -> None:
    """24 V at rest, one letter at a time, and the plug that sat there name seven cavities and prove them."""
    found = told([*RESTING, *DEAD, *CALLS], joined_by_plug=[[3, 4], [6, 7]])

    assert named(found) == {
        1: "24 V common", 2: "24 V supply", 3: "cooling stage 1 call", 4: "cooling stage 1 to compressor",
        5: "heating call", 6: "cooling stage 2 call", 7: "cooling stage 2 to compressor",
    }  # fmt: skip
    assert all(one.proved for one in found.circuits)
    assert found.contradictions == ()
    assert found.to_measure == ()


def test_without_ground_a_call_tells_the_common() -> None:
    """A transformer that is not grounded reads nothing to the cabinet; a call then tells common from supply."""
    found = told([read(1, 2, "25 V"), read(3, 1, "25 V", "Y1"), read(3, 2, "0.1 V", "Y1")])

    assert named(found) == {1: "24 V common", 2: "24 V supply"}


def test_a_live_pair_alone_names_nothing() -> None:
    """Of two cavities with 24 V between them either may be the common."""
    found = told([read(1, 2, "25 V")])

    assert named(found) == {}
    assert found.to_measure[0].do.text.startswith(
        "thermostat off, nothing called: read volts from each of 1, 2, 3"
    )


def test_a_call_needs_its_reading_at_rest() -> None:
    """What is live with a call may be live without: the reading without is asked for."""
    found = told([*RESTING, read(3, 1, "25 V", "Y1")])

    assert 3 not in named(found)
    assert found.to_measure[0].do.text.startswith("nothing called: read volts from each of 3")


@pytest.mark.parametrize("shows", ["9 V", "3 V", "17 V"])
def test_a_reading_in_between_is_no_reading(shows: str) -> None:
    """A few volts are what a loose wire shows, or a bad contact."""
    assert 3 not in named(told([*RESTING, *DEAD, read(3, 1, shows, "Y1")]))


@pytest.mark.parametrize(
    ("first", "then", "is_named"), [("0.1 V", "25 V", True), ("25 V", "0.1 V", False), ("25 V", "9 V", False)]
)
def test_of_two_readings_the_last_one_counts(first: str, then: str, is_named: bool) -> None:
    """Whoever reads the same two points again has a reason: a probe that slipped, a wire that was mended."""
    again = [read(3, 1, first, "Y1"), read(1, 3, then, "Y1")]
    assert (3 in named(told([*RESTING, *DEAD, *again]))) is is_named


def test_a_colour_names_nothing() -> None:
    """Red and blue wires without a reading stay without a name."""
    assert named(told([])) == {}


def test_a_printed_letter_is_taken_and_not_believed() -> None:
    """Y1 beside a cavity names it, and the plan says that nobody metered it."""
    wires = [{"cavity": 3, "colour": "pink", "marked": "Y1"}]
    found = told(RESTING, wires=wires, joined_by_plug=[[3, 4]])

    assert named(found)[3] == "cooling stage 1 call"
    assert [one.cavity for one in found.circuits if not one.proved] == [3, 4]


def test_a_letter_against_a_reading_is_a_contradiction() -> None:
    """Printed Y1, metered W1: neither is taken on trust."""
    wires = [{"cavity": 5, "marked": "Y1"}]
    found = told([*RESTING, *DEAD, *CALLS], wires=wires)

    assert [one.text for one in found.contradictions] == [
        (
            "cavity 5 would be heating call (24 V to the common with W1 called, none without) and cooling stage 1 call "
            "(Y1 is printed beside it): read it again"
        )
    ]


def test_two_letters_on_one_cavity_are_joined_somewhere() -> None:
    """A cavity that comes on with Y1 and with W1 is not named."""
    found = told([*RESTING, *DEAD, read(3, 1, "25 V", "Y1"), read(3, 1, "25 V", "W1")])

    assert 3 not in named(found)
    assert found.contradictions[0].text.startswith("cavity 3 comes on with Y1 and with W1")


def test_what_to_read_next_carries_its_care() -> None:
    """Live readings warn of line voltage; a wire at the thermostat is a temporary change; the plug is read with power off."""
    steps = told([*RESTING, *DEAD]).to_measure

    by_care = {one.do.text.split(":")[0].split(",")[0]: one.care.text for one in steps}
    assert "temporary change" in by_care["join R to Y1 at the thermostat"]
    assert by_care["odd socket"].startswith("power off, locked and tried")
    assert "line voltage" in told([read(1, 2, "25 V")]).to_measure[0].care.text


def test_a_told_board_gives_the_landing_list() -> None:
    """No adapter fits the odd socket: the list for one that would, cavity by cavity, and what brings cooling back."""
    plan = wired(
        seen_board=seen_board(
            readings=[*RESTING, *DEAD, *CALLS], joined_by_plug=[[3, 4], [6, 7]], plug_looks="a grey plug"
        )
    )

    assert plan.state is WiringState.CANNOT_MATE
    assert {one.function: one.board_cavity for one in plan.to_make} == {
        "24 V supply": "2", "24 V common": "1", "cooling stage 1 call": "3", "cooling stage 1 to compressor": "4",
        "heating call": "5", "cooling stage 2 call": "6", "cooling stage 2 to compressor": "7",
    }  # fmt: skip
    assert plan.restore[0].text.startswith(
        "power off and locked: kit's plug out, a grey plug back into the odd socket, joining 3 with 4, 6 with 7"
    )


def test_a_told_board_may_be_reached() -> None:
    """Described as a nine-way socket of make unknown, it takes the kit's plug, and every wire is checked."""
    at_rest = [read(2, 1, "25 V"), read(2, "cabinet", "0 V"), read(1, "cabinet", "25 V")]
    dead = [read(cavity, 2, "0 V") for cavity in range(3, 10)]
    calls = [
        read(3, 2, "25 V", "Y1"),
        read(7, 2, "25 V", "W1"),
        read(5, 2, "25 V", "Y2"),
        read(4, 2, "25 V", "G"),
    ]
    connector = {
        "name": "socket of the old unit", "end": "socket", "rows": 3, "columns": 3, "numbered_from": "wire side",
        "readings": [*at_rest, *dead, *calls], "joined_by_plug": [[3, 6], [5, 8]],
    }  # fmt: skip
    plan = wired(adapters=[], seen_board={"name": "old board", "connector": connector})

    assert plan.state is WiringState.WHOLE
    assert {one.name for one in plan.findings} == {"wiring.family_not_known", "wiring.key_not_known"}
    assert {one.standing for one in plan.landings} == {"right", "not there"}


def test_too_few_readings_put_it_back() -> None:
    """With common and supply alone the verdict is to put it back, with what to read if there is time."""
    plan = wired(seen_board=seen_board(readings=RESTING, joined_by_plug=[[3, 4]]))

    assert plan.state is WiringState.PUT_IT_BACK
    assert plan.sentence.text.startswith(
        "not told yet: cooling stage 1 call, cooling stage 1 to compressor, heating call"
    )
    assert plan.to_measure
    assert plan.restore


def test_nothing_told_puts_it_back() -> None:
    """Not one reading: everything back, and the plug that was found is what restores cooling."""
    plan = wired(seen_board=seen_board(joined_by_plug=[[3, 4]], plug_looks="a clear plug"))

    assert plan.state is WiringState.PUT_IT_BACK
    assert plan.restore[0].text.startswith(
        "power off and locked: a clear plug back into the odd socket, joining 3 with 4"
    )
    assert [one.stage for one in plan.cautions] == ["open the unit", "read with power on", "leave"]


def test_contradicting_readings_put_it_back() -> None:
    """What contradicts itself is not built upon."""
    wires = [{"cavity": 5, "marked": "Y1"}]
    plan = wired(
        seen_board=seen_board(
            readings=[*RESTING, *DEAD, *CALLS], joined_by_plug=[[3, 4], [6, 7]], wires=wires
        )
    )

    assert plan.state is WiringState.PUT_IT_BACK
    assert "the readings contradict one another" in plan.sentence.text


ENDS: dict[str, Any] = {
    "kit_side": {
        "name": "near end",
        "end": "socket",
        "family": "latched block",
        "rows": 3,
        "columns": 3,
        "numbered_from": "wire side",
    },
    "unit_side": {"name": "far end", "end": "plug", "family": "wide block", "rows": 3, "columns": 4},
}


def across(near: int, far: int, shows: str) -> dict[str, Any]:
    """One reading across an adapter."""
    return {"kit_side": near, "unit_side": far, "reads": shows}


def test_an_adapter_from_its_continuity() -> None:
    """What reads below 2 ohms is a wire, what is open is none; a branch is a wire and a loop."""
    seen = SeenAdapter.model_validate({
        "id": "from-the-bag", "name": "the one from the bag", **ENDS,
        "readings": [across(1, 1, "0.3 ohm"), across(2, 3, "0.4 ohm"), across(1, 2, "open"), across(4, 4, "180 ohm"), across(2, 5, "0.4 ohm")],
    })  # fmt: skip

    found = adapter_of(seen)

    assert [(wire.kit_side, wire.unit_side) for wire in found.wires] == [(1, 1), (2, 3)]
    assert [(loop.side, loop.cavities) for loop in found.loops] == [("unit side", (3, 5))]


def test_a_wire_of_an_adapter_that_was_read_again_is_as_it_was_read_last() -> None:
    """A wire that broke since is none, and one that was mended is one."""
    readings = [across(1, 1, "0.3 ohm"), across(2, 2, "open"), across(1, 1, "open"), across(2, 2, "0.4 ohm")]
    seen = SeenAdapter.model_validate(
        {"id": "bag", "name": "the one from the bag", **ENDS, "readings": readings}
    )
    found = adapter_of(seen)
    assert [(wire.kit_side, wire.unit_side) for wire in found.wires] == [(2, 2)]
    assert found.loops == ()


def test_an_adapter_from_the_bag_makes_the_chain() -> None:
    """Metered on the tailgate, it is used like one of the shelf."""
    pairs = [(1, 1), (2, 2), (3, 3), (6, 4), (7, 5), (5, 7), (8, 8)]
    seen = {
        "id": "from-the-bag",
        "name": "the one from the bag",
        **ENDS,
        "readings": [across(*pair, "0.3 ohm") for pair in pairs],
    }
    job = facts(harness={"board": "twelve-way-with-jumper-plug", "seen_adapters": [seen]}, truck=[])
    plan = make_plan(job).wiring

    assert plan is not None
    assert plan.state is WiringState.WHOLE
    assert [one.id for one in plan.adapters] == ["from-the-bag"]
