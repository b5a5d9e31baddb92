"""The wiring from the shelf: what fits, what is turned or missing, where wires land, and what to do before power."""

from __future__ import annotations

from typing import Any

import pytest
from tests.invented import facts

from ventwright.facts import Facts
from ventwright.plan import Weight, WiringPlan, WiringState, make_plan
from ventwright.plan.wiring import Parts, wire
from ventwright.plan.wiring.assembly import Placed
from ventwright.plan.wiring.chain import shortest_chain
from ventwright.plan.wiring.chain_given import Remedy, as_laid_out, mend
from ventwright.plan.wiring.from_facts import on_shelf
from ventwright.plan.wiring.mating import mate
from ventwright.tables.adapter import Adapter
from ventwright.tables.board import Board
from ventwright.tables.connector import Connector, Shape
from ventwright.tables.kit import Kit
from ventwright.tables.shelf import find
from ventwright.words import plain

KIT = "two-speed-dry-bulb"
RIGHT = "nine-way-to-twelve-way"
WRONG = "nine-way-to-twelve-way-for-another-kit"


def board(name: str) -> Board:
    """A board of the shelf."""
    return find("boards", name, Board)


def kit(name: str = KIT) -> tuple[Connector, ...]:
    """The connectors of a kit of the shelf."""
    harness = find("kits", name, Kit).harness
    assert harness is not None
    return harness.connectors


def adapters(*names: str) -> tuple[Adapter, ...]:
    """Adapters of the shelf."""
    return tuple(find("adapters", name, Adapter) for name in names)


def wired(
    board_name: str,
    laid: tuple[str, ...] | None = None,
    have: tuple[str, ...] | None = None,
    kit_name: str = KIT,
) -> WiringPlan:
    """The wiring of a kit and a board of the shelf."""
    return wire(Parts(
        kit(kit_name), board(board_name), None if laid is None else adapters(*laid),
        None if have is None else adapters(*have), on_shelf,
    ))  # fmt: skip


def of_job(**other: Any) -> WiringPlan:
    """The wiring of an invented job."""
    found = make_plan(job(**other)).wiring
    assert found is not None
    return found


def job(**other: Any) -> Facts:
    """Facts whose unit names its board."""
    return facts(**{"unit": {"sheet": "ten-ton-two-speed-gas"}} | other)


def conflicts(plan: WiringPlan) -> list[str]:
    """Names of what is wrong."""
    return [one.name for one in plan.findings if one.weight is Weight.CONFLICT]


def tasks(plan: WiringPlan, kind: str) -> list[str]:
    """What is to be done before power, of one kind."""
    return [one.do.text for one in plan.before_power if one.kind == kind]


# mating: one reason each


PLUG: dict[str, Any] = {
    "name": "kit's half",
    "end": "plug",
    "family": "grey block",
    "rows": 2,
    "columns": 3,
    "key": "a rib",
}


@pytest.mark.parametrize(
    ("changed", "name", "sentence"),
    [
        ({"end": "plug"}, "end", "kit's half and unit's half are both plugs"),
        ({"family": "black strip"}, "family", "kit's half is a grey block, and unit's half a black strip"),
        ({"columns": 4}, "count", "kit's half has 6 cavities, and unit's half has 8"),
        ({"rows": 3, "columns": 2}, "layout", "kit's half has 2 rows of 3, and unit's half has 3 of 2"),
        ({"key": "a notch"}, "key", "the keys differ: kit's half has a rib, and unit's half has a notch"),
        ({"key": "none"}, "key", "the keys differ: kit's half has a rib, and unit's half has no key"),
        (
            {"end": "screw terminals"},
            "end",
            "unit's half: screw terminals; kit's half: a plug; what joins the two is missing",
        ),
    ],
)
def test_each_reason_not_to_mate(changed: dict[str, Any], name: str, sentence: str) -> None:
    """Plug end, housing, count, layout and key each keep two halves apart, and the sentence says which."""
    other = Shape.model_validate(PLUG | {"name": "unit's half", "end": "socket"} | changed)

    (found,) = mate(Shape.model_validate(PLUG), other).mismatches

    assert (found.name, found.sentence.text) == (name, sentence)


@pytest.mark.parametrize(
    ("changed", "name"),
    [
        ({"family": ""}, "family_not_known"),
        ({"key": ""}, "key_not_known"),
        ({"numbered_from": "mating face"}, "mirrored_numbering"),
    ],
)
def test_what_is_to_be_known_where_they_mate(changed: dict[str, Any], name: str) -> None:
    """What was not seen, and numbers that do not agree, are said; they do not stop anyone."""
    other = Shape.model_validate(
        PLUG | {"name": "unit's half", "end": "socket", "numbered_from": "wire side"} | changed
    )

    found = mate(Shape.model_validate(PLUG), other)

    assert found.fits
    assert [one.name for one in found.remarks] == [name]


def test_a_connector_without_a_key_can_go_in_the_wrong_way_round() -> None:
    """Nothing but a mark of one's own keeps it right."""
    one = Shape.model_validate(PLUG | {"key": "none"})
    other = Shape.model_validate(
        PLUG | {"name": "unit's half", "end": "socket", "key": "none", "numbered_from": "wire side"}
    )

    assert [remark.name for remark in mate(one, other).remarks] == ["no_key"]


# chains of the shelf


@pytest.mark.parametrize(
    ("kit_name", "board_name", "chain"),
    [
        (KIT, "plain-two-stage", ["nine-way-to-loose-wires"]),
        (KIT, "twelve-way-with-jumper-plug", [RIGHT]),
        ("single-speed-enthalpy", "twelve-way-with-jumper-plug", []),
        ("single-speed-enthalpy", "plain-two-stage", ["twelve-way-to-nine-way", "nine-way-to-loose-wires"]),
        ("heat-pump-differential", "nine-way-heat-pump", ["loose-wires-to-nine-way"]),
        (
            "variable-enthalpy-with-demand-control",
            "variable-fan-two-sockets",
            ["six-way-to-eight-way-signals"],
        ),
        ("damper-for-a-unit-that-decides", "variable-fan-two-sockets", ["ten-way-with-both-stages-looped"]),
    ],
)
def test_the_shortest_chain_of_the_shelf(kit_name: str, board_name: str, chain: list[str]) -> None:
    """Each kit of the shelf reaches its board, and every wire that the unit has lands where it belongs."""
    plan = wired(board_name, kit_name=kit_name)

    assert plan.state is WiringState.WHOLE
    assert [one.id for one in plan.adapters] == chain
    assert {one.standing for one in plan.landings} <= {"right", "not there", "not carried"}
    assert {one.function for one in plan.landings if one.standing == "right"} >= {
        "24 V supply",
        "24 V common",
    }


def test_a_loop_of_adapters_leads_nowhere_and_hurts_nothing() -> None:
    """Adapters that undo one another are looked through once, and why none will do is said."""
    plan = wired("variable-fan-two-sockets", have=("twelve-way-to-nine-way", RIGHT, "nine-way-lead"))

    assert plan.state is WiringState.CANNOT_MATE
    assert plan.remedy is not None
    assert plan.remedy.text.startswith(
        "no chain reaches the unit: with the adapters known the harness can end in 9-way plug (latched block)"
    )
    assert plan.remedy.text.endswith("the board has 10-way socket (narrow strip), 8-way socket (small latch)")


def test_a_missing_adapter_is_named() -> None:
    """What the truck lacks is said by name, and where every wire would land is shown all the same."""
    plan = wired("twelve-way-with-jumper-plug", have=("nine-way-lead", WRONG))

    assert plan.state is WiringState.ADAPTER_MISSING
    assert plan.missing == (RIGHT,)
    (named,) = plan.missing_names
    assert named != RIGHT
    assert f"of these {named} is not at hand" in plan.sentence.text
    assert RIGHT not in plan.sentence.text
    assert [(one.id, one.at_hand) for one in plan.adapters] == [(RIGHT, False)]
    assert all(one.standing == "right" for one in plan.landings)


def test_the_truck_is_used_before_the_shelf() -> None:
    """A chain from the truck counts, even where the shelf knows no shorter one."""
    plan = wired("twelve-way-with-jumper-plug", have=(RIGHT, WRONG, "nine-way-lead"))

    assert plan.state is WiringState.WHOLE
    assert [(one.id, one.at_hand) for one in plan.adapters] == [(RIGHT, True)]


def test_a_look_alike_is_found_out() -> None:
    """The adapter for another kit fits and crosses calls with compressors: two sources on a wire, nothing comes back."""
    plan = wired("twelve-way-with-jumper-plug", laid=(WRONG,))

    assert plan.state is WiringState.NOT_WHOLE
    assert {"wiring.two_sources", "wiring.crossed", "wiring.nothing_comes_back"} == set(conflicts(plan))
    wrong = next(one for one in plan.landings if one.function == "cooling stage 1 call")
    assert (wrong.standing, wrong.board_cavity, wrong.board_function) == (
        "wrong",
        "4",
        "cooling stage 1 to compressor",
    )
    assert plan.remedy is not None
    assert plan.remedy.text == (
        "leave out Nine-way socket to twelve-way plug, made for another kit; put in Nine-way socket to twelve-way plug; "
        "the way from the kit to the unit is Nine-way socket to twelve-way plug"
    )
    assert plan.meter == ()


def test_a_plug_that_fits_may_land_wrong() -> None:
    """The two-speed kit's plug goes into the heat pump's socket: the valve would be taken for the second stage."""
    plan = wired("nine-way-heat-pump", laid=())

    assert plan.state is WiringState.NOT_WHOLE
    crossed = [one.sentence.text for one in plan.findings if one.name == "wiring.crossed"]
    assert any("cooling stage 2 call" in one and "reversing valve in heating" in one for one in crossed)


def test_a_turned_adapter_is_told() -> None:
    """Laid with the unit side toward the kit it does not go together; turned round everything is whole."""
    laid = [Placed(adapters(RIGHT)[0], turned=True)]
    plan = as_laid_out(kit(), board("twelve-way-with-jumper-plug"), laid)

    assert any(one.name.startswith("wiring.cannot_mate") for one in plan.findings)
    remedy = mend(kit(), board("twelve-way-with-jumper-plug"), laid, (), tuple)
    assert isinstance(remedy, Remedy)
    assert (
        remedy.sentence.text
        == "Nine-way socket to twelve-way plug is turned round: put the other end toward the kit"
    )


def test_swapped_adapters_are_told() -> None:
    """Two adapters in the wrong order do not go together; the right order is said."""
    plan = wired(
        "plain-two-stage",
        laid=("nine-way-to-loose-wires", "twelve-way-to-nine-way"),
        kit_name="single-speed-enthalpy",
    )

    assert plan.state is WiringState.CANNOT_MATE
    assert plan.remedy is not None
    assert (
        plan.remedy.text
        == "the order from the kit to the unit is Twelve-way socket to nine-way plug, then Nine-way socket with loose wires"
    )


def test_where_nothing_serves_the_wires_are_listed() -> None:
    """For an adapter that would have to be made: cavity to cavity, by function."""
    plan = wired("variable-fan-two-sockets")

    made = {one.function: (one.kit_cavity, one.board_end, one.board_cavity) for one in plan.to_make}
    assert made["cooling stage 1 to compressor"] == ("6", "call socket", "4")
    assert made["cooling stage 2 call"] == ("5", "call socket", "6")
    assert "fan call" not in made  # this board has none


def end(name: str, kind: str, family: str = "", key: str = "a rib") -> dict[str, Any]:
    """One half, plugs numbered from their faces, sockets from behind, so that 1 meets 1."""
    seen = "mating face" if kind == "plug" else "wire side"
    return {
        "name": name,
        "end": kind,
        "family": family,
        "key": key,
        "rows": 2,
        "columns": 3,
        "numbered_from": seen,
    }


def lead(id_: str, near: dict[str, Any], far: dict[str, Any], pairs: list[tuple[int, int]]) -> Adapter:
    """An adapter of a few wires."""
    wires = [{"kit_side": one, "unit_side": other} for one, other in pairs]
    return Adapter.model_validate(
        {"kind": "adapter", "id": id_, "name": id_, "kit_side": near, "unit_side": far, "wires": wires}
    )


CALLS = [
    {"cavity": 1, "function": "fan call", "role": "sink"},
    {"cavity": 2, "function": "heating call", "role": "sink"},
]
GIVEN = [one | {"role": "source"} for one in CALLS]


def home(kind: str, family: str, circuits: list[dict[str, Any]], key: str = "a rib") -> Board:
    """A board with one connector."""
    connector = end("socket", kind, family, key) | {"circuits": circuits}
    return Board.model_validate(
        {"kind": "board", "id": "some-board", "name": "some board", "connectors": [connector]}
    )


def test_the_search_turns_adapters_round() -> None:
    """Between two plugs lies a lead with two sockets, and only one way round does it land the wires."""
    plug = Connector.model_validate(end("plug", "plug", "grey block") | {"circuits": CALLS})
    swapped = [GIVEN[0] | {"cavity": 3}, GIVEN[1] | {"cavity": 1}]
    both = end("an end", "socket", "grey block")

    found = shortest_chain(
        (plug,), home("plug", "grey block", swapped), [lead("both-ends-alike", both, both, [(3, 1), (1, 2)])]
    )

    assert found.found is not None
    assert [(one.adapter.id, one.turned) for one in found.found.adapters] == [("both-ends-alike", True)]


def test_an_adapter_is_kept_for_where_only_it_will_do() -> None:
    """Two leads do the same at first, and one of them is needed again later: the search tries both ways."""
    plug = Connector.model_validate(end("plug", "plug", "grey block") | {"circuits": CALLS})
    middle, across = end("far", "plug", "black strip", "a notch"), [(1, 2), (2, 1)]
    leads = [
        lead("takes-any", end("near", "socket"), middle, across),
        lead("takes-grey", end("near", "socket", "grey block"), middle, across),
        lead(
            "strip-to-white",
            end("near", "socket", "black strip", "a notch"),
            end("far", "plug", "white block"),
            [(1, 1), (2, 2)],
        ),
    ]

    found = shortest_chain((plug,), home("socket", "black strip", GIVEN, "a notch"), leads)

    assert found.found is not None
    assert [one.adapter.id for one in found.found.adapters] == ["takes-grey", "strip-to-white", "takes-any"]


# before power, and back again


def test_the_jumper_plug_comes_out() -> None:
    """The plug in the economizer socket is named with what it joins, kept, and put back to restore cooling."""
    plan = wired("twelve-way-with-jumper-plug")

    (out,) = tasks(plan, "jumper plug out")
    assert out.startswith(
        "take a white plug with two short black loops out of the economizer socket: it joins 3 with 4 (cooling stage 1 call"
    )
    assert "put back it restores mechanical cooling" in out
    (back,) = plan.restore
    assert (
        "a white plug with two short black loops back into the economizer socket, joining 3 with 4, 7 with 8"
        in back.text
    )


def test_thermostat_wires_move_only_where_the_kit_handles_the_stage() -> None:
    """On screw terminals the thermostat's wires come off; a stage that the kit leaves alone keeps its wire."""
    both = wired("plain-two-stage")
    one_stage = find("kits", "heat-pump-differential", Kit).harness
    assert one_stage is not None
    without_valve = one_stage.connectors[0].model_copy(
        update={
            "circuits": tuple(one for one in one_stage.connectors[0].circuits if "valve" not in one.function)
        }
    )
    one = wire(Parts((without_valve,), board("plain-two-stage"), shelf=on_shelf))

    assert [text.split(":")[0] for text in tasks(both, "wire to move")] == [
        "lift the thermostat wire of Y1 off Y1", "lift the thermostat wire of Y2 off Y2",
    ]  # fmt: skip
    assert one.state is WiringState.WHOLE
    assert [text.split(":")[0] for text in tasks(one, "wire to move")] == [
        "lift the thermostat wire of Y1 off Y1"
    ]
    assert "wiring.passed_straight" in {finding.name for finding in one.findings}


def test_a_plug_of_the_unit_moves() -> None:
    """The heat pump's fan plug has another socket once an economizer is fitted."""
    (move,) = tasks(wired("nine-way-heat-pump", kit_name="heat-pump-differential"), "plug to move")

    assert move.startswith(
        "move the three-way plug of the indoor fan from the fan socket marked without free cooling"
    )


def test_live_wires_that_nothing_takes_are_covered() -> None:
    """A pigtail brings the occupied call to a loose wire that the kit has no use for."""
    plan = wired("nine-way-heat-pump", kit_name="heat-pump-differential")

    assert tasks(plan, "cover") == [
        "occupied stands live at Loose wires to nine-way plug, loose end, 8, where nothing takes it: keep it covered"
    ]


def test_power_comes_last_and_cautions_stand_beside() -> None:
    """Locking out is first; the cautions for opening, live reading and leaving are there."""
    plan = wired("twelve-way-with-jumper-plug")

    assert plan.before_power[0].kind == "lock out"
    assert [one.stage for one in plan.cautions] == ["open the unit", "read with power on", "leave"]


def test_the_valve_may_land_and_the_setting_follows() -> None:
    """A unit whose valve has power in heating: the wire stays, and the planned setting says so."""
    plan = make_plan(facts(
        kit="heat-pump-differential",
        unit={"sheet": "seven-ton-heat-pump", "heating": None, "cooling_stages": None, "cooling_capacity": None, "fan_speeds": []},
    ))  # fmt: skip

    assert plan.wiring is not None
    assert plan.wiring.state is WiringState.WHOLE
    assert "wiring.setting_follows" in {one.name for one in plan.wiring.findings}
    assert {one.label: one.value.show("us") for one in plan.settings}[
        "Valve has power in"
    ] == "energized in heating"


# loose wires


def test_loose_wires_land_by_function() -> None:
    """Each loose wire has its terminal, and those of the thermostat are joined once they are off theirs."""
    by_hand = {one.function: one.by_hand.text for one in wired("plain-two-stage").landings if one.by_hand}

    assert by_hand["24 V supply"] == "land the red wire (Nine-way socket with loose wires, loose end, 1) on R"
    assert by_hand["cooling stage 1 call"] == (
        "join the yellow wire (Nine-way socket with loose wires, loose end, 3) with the thermostat wire of Y1, once that is off Y1"
    )


def test_two_circuits_on_one_terminal() -> None:
    """Call and compressor wire both on Y1: found at the terminal, and the move is said."""
    plan = of_job(harness={
        "adapters": ["nine-way-to-loose-wires"], "landed": [{"wire": 3, "on": "Y1"}, {"wire": 6, "on": "Y1"}],
    })  # fmt: skip

    assert plan.state is WiringState.NOT_WHOLE
    found = next(one for one in plan.findings if one.name == "wiring.two_on_one_terminal")
    assert found.sentence.text.startswith(
        "two circuits land on the board's terminals, Y1: cooling stage 1 call"
    )
    assert plan.remedy is not None
    assert plan.remedy.text == (
        "power off and locked, move Nine-way socket with loose wires, loose end, 3 from the board's terminals, Y1 "
        "to the board's terminals, thermostat wire of Y1"
    )


# voltages: plain harnesses of two cavities


def two_way(kit_circuits: list[dict[str, Any]], board_circuits: list[dict[str, Any]]) -> WiringPlan:
    """A kit whose plug goes straight into a board."""
    seen = {"family": "grey block", "rows": 2, "columns": 3, "key": "a rib"}
    plug = Connector.model_validate({"name": "plug", "end": "plug", **seen, "circuits": kit_circuits})
    socket = {
        "name": "socket",
        "end": "socket",
        "numbered_from": "wire side",
        **seen,
        "circuits": board_circuits,
    }
    there = Board.model_validate(
        {"kind": "board", "id": "some-board", "name": "some board", "connectors": [socket]}
    )
    return wire(Parts((plug,), there, laid_out=()))


SUPPLY = {"cavity": 1, "function": "24 V supply", "role": "source"}


@pytest.mark.parametrize(
    ("function", "name"),
    [
        ("outdoor sensor", "wiring.24_v_on_signal"),
        ("damper signal", "wiring.24_v_on_signal"),
        ("carbon dioxide signal", "wiring.24_v_on_signal"),
        ("line voltage", "wiring.line_voltage_joined"),
    ],
)
def test_voltages_that_must_never_meet(function: str, name: str) -> None:
    """24 V on a sensor or a signal input, and line voltage on anything, come before all other findings."""
    plan = two_way([{"cavity": 1, "function": function, "role": "sink"}], [SUPPLY])

    assert plan.findings[0].name == name
    assert plan.state is WiringState.NOT_WHOLE


def test_two_supplies_on_one_wire() -> None:
    """A kit with a transformer of its own on the unit's supply: two sources."""
    plan = two_way([{"cavity": 1, "function": "24 V supply", "role": "source"}], [SUPPLY])

    assert conflicts(plan) == ["wiring.two_sources"]


def test_a_call_that_nobody_gives() -> None:
    """Both sides wait for it: the wire is whole and dead."""
    call = {"cavity": 1, "function": "cooling stage 1 call", "role": "sink"}

    assert conflicts(two_way([call], [call])) == ["wiring.no_source"]


def test_a_sensor_pair_may_be_exchanged_but_takes_two_wires() -> None:
    """The two wires of a sensor land either way round; with one input only, the other wire hangs in the air."""
    pair = [{"cavity": n, "function": "outdoor sensor", "role": "sink"} for n in (1, 2)]
    inputs = [{"cavity": n, "function": "outdoor sensor", "role": "source"} for n in (2, 1)]

    assert conflicts(two_way(pair, inputs)) == []
    assert conflicts(two_way(pair, inputs[:1])) == ["wiring.open"]


def test_the_call_that_was_never_interrupted() -> None:
    """The kit hears the call, and the call reaches the compressor all the same: from inside it looks fine."""
    kit_plug = [{"cavity": 1, "function": "cooling stage 1 call", "role": "sink"}]
    there = [
        {"cavity": 1, "function": "cooling stage 1 call", "role": "source"},
        {"cavity": 2, "function": "cooling stage 1 to compressor", "role": "sink"},
    ]
    shape = {"family": "grey block", "rows": 2, "columns": 3, "key": "a rib"}
    lead = Adapter.model_validate({
        "kind": "adapter", "id": "lead", "name": "a lead",
        "kit_side": {"name": "near", "end": "socket", "numbered_from": "wire side", **shape},
        "unit_side": {"name": "far", "end": "plug", **shape},
        "wires": [{"kit_side": 1, "unit_side": 1}], "loops": [{"side": "unit side", "cavities": [1, 2]}],
    })  # fmt: skip
    plug = Connector.model_validate({"name": "plug", "end": "plug", **shape, "circuits": kit_plug})
    socket = {"name": "socket", "end": "socket", "numbered_from": "wire side", **shape, "circuits": there}
    home = Board.model_validate(
        {"kind": "board", "id": "some-board", "name": "some board", "connectors": [socket]}
    )

    plan = wire(Parts((plug,), home, laid_out=(lead,)))

    assert "wiring.call_not_interrupted" in conflicts(plan)


# the meter


def test_what_a_meter_should_show() -> None:
    """Along every wire first; then each circuit, power off and power on, with its range and how sure it is."""
    points = {one.function: one for one in wired("twelve-way-with-jumper-plug").meter}

    assert points["every wire"].resistance_at_most == pytest.approx(2.0)
    assert (points["24 V supply"].voltage_at_least, points["24 V supply"].voltage_at_most) == (20.0, 28.0)
    assert (
        points["cooling stage 1 to compressor"].resistance_at_least,
        points["cooling stage 1 to compressor"].resistance_at_most,
    ) == (4.0, 1000.0)
    assert "with this call on and no other" in points["cooling stage 1 call"].on.text
    assert {one.confirmed for one in points.values()} == {"from memory"}


def test_sensors_are_read_without_power() -> None:
    """A sensor's ohms are read unplugged; with power on only that nothing large stands on it."""
    points = {
        one.function: one
        for one in wired("variable-fan-two-sockets", kit_name="damper-for-a-unit-that-decides").meter
    }

    assert "no ohms with power on" in points["outdoor sensor"].on.text
    assert "unplugged" in points["outdoor sensor"].off.text
    assert points["damper signal"].voltage_at_most == pytest.approx(10.0)


# from a job


def test_a_job_without_a_board_has_no_wiring() -> None:
    """Nothing is made up about a unit whose board nobody named."""
    assert make_plan(facts()).wiring is None


def test_a_job_names_its_truck_and_board() -> None:
    """The truck of the job is searched, the board of the harness goes before the sheet's."""
    plan = of_job(truck=[RIGHT, "nine-way-lead"], harness={"board": "twelve-way-with-jumper-plug"})

    assert plan.board == "twelve-way-with-jumper-plug"
    assert [(one.id, one.at_hand) for one in plan.adapters] == [(RIGHT, True)]


def test_the_result_is_plain_data() -> None:
    """Everything of it can be written as JSON, with the units in the keys."""
    document = plain(wired("plain-two-stage"))

    assert document["state"] == "whole"
    assert document["meter"][1]["voltage_at_least_V"] == 20.0
    assert document["landings"][0]["way"] == [
        {"part": "Nine-way socket with loose wires", "enters": "1", "leaves": "1", "colour": "red"}
    ]


def plain_end(name: str, end: str, *circuits: tuple[int, str, str]) -> dict[str, Any]:
    """A nine-way connector of one row, numbered so that the halves meet number by number."""
    looks = {"family": "own", "rows": 1, "columns": 9, "key": "rib"}
    seen_from = "mating face" if end == "socket" else "wire side"
    carried = [{"cavity": cavity, "function": function, "role": role} for cavity, function, role in circuits]
    return {"name": name, "end": end, "numbered_from": seen_from, "circuits": carried} | looks


def test_two_plugs_do_not_go_into_one_socket() -> None:
    """Though every circuit would land where it belongs."""
    power = [(1, "24 V supply", "sink"), (2, "24 V common", "sink")]
    calls = [(5, "cooling stage 1 call", "sink"), (6, "cooling stage 1 to compressor", "source")]
    plugs = tuple(
        Connector.model_validate(plain_end(name, "plug", *circuits))
        for name, circuits in (("first plug", power), ("second plug", calls))
    )
    turned = {"sink": "source", "source": "sink"}
    there = [(cavity, function, turned[role]) for cavity, function, role in (*power, *calls)]
    socket = plain_end("the socket", "socket", *there)
    one = Board.model_validate(
        {"kind": "board", "id": "one-socket", "name": "one socket", "connectors": [socket]}
    )
    plan = wire(Parts(plugs, one))
    assert plan.state is WiringState.CANNOT_MATE
    assert "first plug and second plug would both go there" in plan.sentence.text
    two = one.model_copy(
        update={
            "connectors": (*one.connectors, one.connectors[0].model_copy(update={"name": "another socket"}))
        }
    )
    assert wire(Parts(plugs[:1], one)).state is WiringState.WHOLE
    assert "wiring.cannot_mate.taken" not in {found.name for found in wire(Parts(plugs, two)).findings}
