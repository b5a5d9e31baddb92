"""Harness files and facts that are refused, each mistake with its line, its place and what is accepted."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from tests.invented import facts

from ventwright.document import read_document
from ventwright.entry import Entry, validated
from ventwright.errors import Refused
from ventwright.facts.harness import Harness
from ventwright.plan import make_plan
from ventwright.plan.wiring import Parts, wire
from ventwright.tables.adapter import Adapter
from ventwright.tables.board import Board
from ventwright.tables.kit import KitHarness
from ventwright.tables.shelf import find

ADAPTER = """\
kind: adapter
id: some-lead
name: some lead
kit_side: {name: near, end: socket, family: grey block, rows: 1, columns: 3}
unit_side: {name: far, end: plug, family: grey block, rows: 1, columns: 3}
wires:
  - {kit_side: 1, unit_side: 1}
  - {kit_side: 2, unit_side: 2}
"""

BOARD = """\
kind: board
id: some-board
name: some board
terminals:
  - {mark: R, function: 24 V supply, role: source}
connectors:
  - name: some socket
    end: socket
    columns: 3
    circuits:
      - {cavity: 1, function: cooling stage 1 call, role: source}
      - {cavity: 2, function: cooling stage 1 to compressor, role: sink}
jumper_plugs:
  - {connector: some socket, joins: [[1, 2]]}
"""


def refused(model: type[Entry], text: str) -> list[str]:
    """The sentences with which a file is refused."""
    data, lines = read_document(text, "some.yaml")
    with pytest.raises(Refused) as caught:
        validated(model, data, lines=lines, inside="some.yaml")
    return [one.sentence for one in caught.value.refusals]


def test_the_files_are_in_order_before_anything_is_changed() -> None:
    """What is planted below is the only mistake."""
    for model, text in ((Adapter, ADAPTER), (Board, BOARD)):
        data, lines = read_document(text, "some.yaml")
        assert isinstance(validated(model, data, lines=lines), model)


@pytest.mark.parametrize(
    ("model", "old", "new", "sentences"),
    [
        pytest.param(Adapter, "{kit_side: 2, unit_side: 2}", "{kit_side: 1, unit_side: 2}", [
            'line 8, some.yaml.wires[2].kit_side: "1" is used twice; accepted: every cavity once; wires[1].kit_side has it already.',
        ], id="a pin used twice"),
        pytest.param(Adapter, "{kit_side: 2, unit_side: 2}", "{kit_side: 4, unit_side: 2}", [
            'line 8, some.yaml.wires[2].kit_side: "4" is no cavity of this connector; accepted: 1 to 3.',
        ], id="a cavity that is not there"),
        pytest.param(Adapter, "{kit_side: 2, unit_side: 2}", "{kit_side: 1, unit_side: 1}", [
            'line 8, some.yaml.wires[2].kit_side: "1" is used twice; accepted: every cavity once; wires[1].kit_side has it already.',
            'line 8, some.yaml.wires[2].unit_side: "1" is used twice; accepted: every cavity once; wires[1].unit_side has it already.',
        ], id="two pins used twice"),
        pytest.param(Adapter, "end: socket", "end: scoket", [
            ('line 4, some.yaml.kit_side.end: "scoket" is not one of the words for this (did you mean socket?); '
            "accepted: plug, socket, loose wires, screw terminals."),
        ], id="an end misspelt"),
        pytest.param(Adapter, "  - {kit_side: 1, unit_side: 1}\n  - {kit_side: 2, unit_side: 2}\n", "  []\n", [
            "line 6, some.yaml.wires: joins nothing; accepted: at least one wire or loop.",
        ], id="no wire at all"),
        pytest.param(Adapter, "  - {kit_side: 2, unit_side: 2}\n", "loops:\n  - {side: unit side, cavities: [2, 2]}\n", [
            'line 9, some.yaml.loops[1].cavities[2]: "2" is used twice; accepted: every cavity once; loops[1].cavities[1] has it already.',
        ], id="a loop to itself"),
        pytest.param(Board, "{cavity: 2, function: cooling stage 1 to", "{cavity: 1, function: cooling stage 1 to", [
            'line 12, some.yaml.connectors[1].circuits[2].cavity: "1" is used twice; accepted: every cavity once; circuits[1].cavity has it already.',
        ], id="a cavity of a board used twice"),
        pytest.param(Board, "connector: some socket", "connector: another socket", [
            'line 14, some.yaml.jumper_plugs[1].connector: "another socket" is no connector of this board; accepted: some socket.',
        ], id="a jumper plug in no connector"),
        pytest.param(Board, "joins: [[1, 2]]", "joins: [[1, 3]]", [
            'line 14, some.yaml.jumper_plugs[1].joins[1]: "3" has no contact there; accepted: cavities with one: 1, 2.',
        ], id="a jumper plug on an empty cavity"),
        pytest.param(Board, "{mark: R, function: 24 V supply, role: source}", "{mark: R, function: 24 V supply, role: source, lift_from: Q}", [
            'line 5, some.yaml.terminals[1].lift_from: "Q" is no terminal of this board; accepted: R.',
        ], id="a wire lifted from nowhere"),
        pytest.param(Board, "role: sink}", "role: sink, voltage: 24 VAC}", [
            ('line 12, some.yaml.connectors[1].circuits[2].voltage: "24 VAC" is not one of the words for this (did you mean 24 V AC?); '
            "accepted: 24 V AC, 0-10 V DC, dry contact, sensor, common, line voltage."),
        ], id="a voltage misspelt"),
    ],
)  # fmt: skip
def test_a_mistake_in_a_file_is_explained(
    model: type[Entry], old: str, new: str, sentences: list[str]
) -> None:
    """Line, place, what was given, what is accepted; all mistakes at once."""
    text = ADAPTER if model is Adapter else BOARD
    assert text.count(old) == 1

    assert refused(model, text.replace(old, new)) == sentences


def test_an_unknown_function_names_the_nearest() -> None:
    """A function nobody knows is refused at its line with the nearest and the whole list."""
    (sentence,) = refused(
        Board, BOARD.replace("function: cooling stage 1 call", "function: cooling stge 1 call")
    )

    assert sentence.startswith(
        'line 11, some.yaml.connectors[1].circuits[1].function: "cooling stge 1 call" is not one of the words for this '
        "(did you mean cooling stage 1 call?); accepted: 24 V supply, 24 V common, cooling stage 1 call,"
    )


def test_two_connectors_of_one_name() -> None:
    """A kit's connectors are told apart by their names."""
    connector = {
        "name": "plug",
        "end": "plug",
        "circuits": [{"cavity": 1, "function": "fan call", "role": "sink"}],
    }
    with pytest.raises(Refused, match='"plug" is the name of two connectors'):
        validated(KitHarness, {"connectors": [connector, connector]})


def test_a_board_of_nothing() -> None:
    """Neither terminals nor connectors: there is nothing to join to."""
    with pytest.raises(Refused, match="has nothing to join to; accepted: terminals, connectors or both"):
        validated(Board, {"kind": "board", "id": "some-board", "name": "some board"})


SEEN: dict[str, Any] = {"name": "odd socket", "end": "socket", "rows": 1, "columns": 3}


@pytest.mark.parametrize(
    ("connector", "sentence"),
    [
        (SEEN | {"readings": [{"between": [1, 4], "reads": "24 V"}]},
         'seen_board.connector.readings[1].between[2]: "4" is no cavity of this connector; accepted: 1 to 3.'),
        (SEEN | {"readings": [{"between": [2, 2], "reads": "24 V"}]},
         'seen_board.connector.readings[1].between: "2" is one point twice; accepted: two points.'),
        (SEEN | {"joined_by_plug": [[1, 9]]},
         'seen_board.connector.joined_by_plug[1][2]: "9" is no cavity of this connector; accepted: 1 to 3.'),
    ],
)  # fmt: skip
def test_what_was_seen_has_to_be_there(connector: dict[str, Any], sentence: str) -> None:
    """Readings and loops name cavities that the connector has."""
    with pytest.raises(Refused) as caught:
        validated(Harness, {"seen_board": {"name": "old board", "connector": connector}})

    assert [one.sentence for one in caught.value.refusals] == [sentence]


def test_a_reading_without_a_unit() -> None:
    """25 may be volts or ohms: the unit is asked for."""
    connector = SEEN | {"readings": [{"between": [1, 2], "reads": "25"}]}
    with pytest.raises(Refused, match="has no unit"):
        validated(Harness, {"seen_board": {"name": "old board", "connector": connector}})


def test_two_boards_are_one_too_many() -> None:
    """A board from a file and a board as seen contradict one another."""
    seen = {"name": "old board", "connector": SEEN}
    with pytest.raises(
        Refused, match="seen_board: is given beside a board of a file; accepted: one of the two"
    ):
        validated(Harness, {"board": "plain-two-stage", "seen_board": seen})


@pytest.mark.parametrize(
    ("other", "sentence"),
    [
        ({"truck": ["nine-way-leed"]}, 'facts.truck[1]: "nine-way-leed" is not on the shelf of adapters'),
        ({"harness": {"adapters": ["nine-way-lead", "nothing"]}}, 'facts.harness.adapters[2]: "nothing" is not on the shelf of adapters'),
        ({"harness": {"board": "nothing"}}, 'facts.harness.board: "nothing" is not on the shelf of boards'),
        ({"harness": {"board": "plain-two-stage", "adapters": ["nine-way-to-loose-wires"], "landed": [{"wire": 3, "on": "Y7"}]}},
         'facts.harness.landed[1].on: "Y7" is not a terminal of this board'),
    ],
)  # fmt: skip
def test_a_job_that_names_what_is_not_there(other: dict[str, Any], sentence: str) -> None:
    """Adapters, boards and terminals are refused with their place in the job."""
    job = facts(**{"unit": {"sheet": "ten-ton-two-speed-gas"}} | other)
    with pytest.raises(Refused) as caught:
        make_plan(job)

    assert str(caught.value).startswith(sentence)


def test_an_adapter_file_of_ones_own_is_found_beside_the_job(tmp_path: Path) -> None:
    """A .yaml beside the job is read; its mistakes come with the name of the file."""
    own = ADAPTER.replace("{kit_side: 2, unit_side: 2}", "{kit_side: 1, unit_side: 2}")
    (tmp_path / "own.yaml").write_text(own, encoding="utf-8")
    job = facts(unit={"sheet": "ten-ton-two-speed-gas"}, truck=["own.yaml"])
    with pytest.raises(Refused, match=r'own\.yaml\.wires\[2\]\.kit_side: "1" is used twice'):
        make_plan(job, beside=tmp_path)


def test_too_many_alike_adapters_give_up_and_say_so(monkeypatch: pytest.MonkeyPatch) -> None:
    """A search without end is cut off, and the plan says that it was."""
    monkeypatch.setattr("ventwright.plan.wiring.chain.MOST_TRIED", 2)
    from ventwright.tables.kit import Kit

    harness = find("kits", "two-speed-dry-bulb", Kit).harness
    assert harness is not None
    truck = tuple(
        find("adapters", name, Adapter)
        for name in ("nine-way-to-twelve-way", "nine-way-lead", "twelve-way-to-nine-way")
    )
    plan = wire(Parts(harness.connectors, find("boards", "variable-fan-two-sockets", Board), at_hand=truck))

    assert plan.remedy is not None
    assert (
        plan.remedy.text == "there are too many adapters that fit one another to try every chain; name fewer"
    )
