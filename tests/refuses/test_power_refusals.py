"""What the facts of control power and the command refuse, in the exact sentence a person reads."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from tests.invented import facts

from ventwright import cli
from ventwright.entry import validated
from ventwright.errors import Refused
from ventwright.facts.power import Power
from ventwright.physics import circuit
from ventwright.plan import make_plan
from ventwright.tables.wire import wire

SOURCE: dict[str, Any] = {"name": "unit", "rating": "40 VA"}
KIT: dict[str, Any] = {"name": "kit", "rating": "20 VA"}
BOARD: dict[str, Any] = {"name": "board", "apparent_power": "12 VA"}
RUN: dict[str, Any] = {"gauge": 18, "length": "60 ft", "loads": ["board"]}


def power(
    source: dict[str, Any] | None = None,
    load: dict[str, Any] | None = None,
    run: dict[str, Any] | None = None,
    **other: Any,
) -> Power:
    """Read the facts of one transformer, one load and one run, each with what a test wants otherwise."""
    given = {
        "transformers": [SOURCE | (source or {})],
        "loads": [BOARD | (load or {})],
        "runs": [RUN | (run or {})],
    }
    return validated(Power, given | other)


CASES: dict[str, tuple[Callable[[], object], str]] = {
    "length in volts": (
        lambda: power(run={"length": "60 V"}),
        'runs[1].length: "60 V" is a voltage, and a length is wanted; accepted: "5300 ft" or "1615 m".',
    ),
    "length without a unit": (
        lambda: power(run={"length": "60"}),
        'runs[1].length: "60" has no unit, and a length needs one; accepted: "5300 ft" or "1615 m".',
    ),
    "length in millimetres": (
        lambda: power(run={"length": "60 mm"}),
        'runs[1].length: "60 mm" is not possible for a length here; accepted: at least 1 ft (0.3048 m) and at most 5000 ft (1524 m).',
    ),
    "no length": (
        lambda: power(run={"length": "0 ft"}),
        'runs[1].length: "0 ft" is not possible for a length here; accepted: at least 1 ft (0.3048 m) and at most 5000 ft (1524 m).',
    ),
    "length below nothing": (
        lambda: power(run={"length": "-60 ft"}),
        'runs[1].length: "-60 ft" is not possible for a length here; accepted: at least 1 ft (0.3048 m) and at most 5000 ft (1524 m).',
    ),
    "length of a town": (
        lambda: power(run={"length": "6000 ft"}),
        'runs[1].length: "6000 ft" is not possible for a length here; accepted: at least 1 ft (0.3048 m) and at most 5000 ft (1524 m).',
    ),
    "gauge of no table": (
        lambda: power(run={"gauge": 19}),
        'runs[1].gauge: "19" is no wire gauge of these tables; accepted: 24, 22, 20, 18, 16, 14, 12 AWG.',
    ),
    "gauge in square millimetres": (
        lambda: power(run={"gauge": "0.75 mm2"}),
        'runs[1].gauge: "0.75 mm2" is no wire gauge; accepted: an American wire gauge, such as 18.',
    ),
    "stranded wire without a row": (
        lambda: power(run={"gauge": 22, "conductor": "stranded"}),
        (
            'runs[1].gauge: "22 AWG" has no row for stranded wire here; '
            "accepted: 22 AWG solid, within a few per cent of it."
        ),
    ),
    "a load of nothing": (
        lambda: power(load={"apparent_power": "0 VA"}),
        (
            'loads[1].apparent_power: "0 VA" is not possible for an apparent power here; '
            "accepted: at least 0.01 VA and at most 1000 VA."
        ),
    ),
    "a load below nothing": (
        lambda: power(load={"apparent_power": "-8 VA"}),
        (
            'loads[1].apparent_power: "-8 VA" is not possible for an apparent power here; '
            "accepted: at least 0.01 VA and at most 1000 VA."
        ),
    ),
    "a load in amperes": (
        lambda: power(load={"apparent_power": "0.5 A"}),
        'loads[1].apparent_power: "0.5 A" is a current, and an apparent power is wanted; accepted: "40 VA".',
    ),
    "inrush below holding": (
        lambda: power(load={"inrush": "8 VA"}),
        (
            'loads[1].inrush: "8 VA" is an inrush below what the load holds with; '
            "accepted: at least the 12 VA that it holds with."
        ),
    ),
    "a transformer nobody named": (
        lambda: power(load={"transformer": "unti"}),
        'loads[1].transformer: "unti" is not a transformer of this job (did you mean unit?); accepted: unit.',
    ),
    "which of two transformers": (
        lambda: power(transformers=[SOURCE, KIT]),
        'loads[1].transformer: "board" does not say which transformer it hangs on; accepted: unit or kit.',
    ),
    "two transformers of one name": (
        lambda: power(transformers=[SOURCE, SOURCE], loads=[], runs=[]),
        'transformers: "unit" names two transformers; accepted: a name of its own for each.',
    ),
    "two loads of one name": (
        lambda: power(loads=[BOARD, BOARD]),
        'loads: "board" names two loads; accepted: a name of its own for each.',
    ),
    "a run to no load": (
        lambda: power(run={"loads": ["bord"]}),
        'runs[1].loads[1]: "bord" is not a load of this job (did you mean board?); accepted: board.',
    ),
    "a run to loads of two transformers": (
        lambda: power(
            transformers=[SOURCE, KIT],
            loads=[
                BOARD | {"transformer": "unit"},
                {"name": "relay", "apparent_power": "7 VA", "transformer": "kit"},
            ],
            runs=[RUN | {"loads": ["board", "relay"]}],
        ),
        'runs[1].loads: "board, relay" hang on two transformers; accepted: a run for each.',
    ),
    "joined to itself": (
        lambda: power(joined=[{"transformers": ["unit", "unit"], "tied": "commons"}]),
        'joined[1].transformers: "unit" is joined to itself; accepted: two different transformers.',
    ),
    "a fuse that is not there": (
        lambda: power(source={"fused": "not fused", "fuse": "3 A"}),
        'transformers[1].fuse: "3 A" is the rating of a fuse, and fused says there is none; accepted: one of the two.',
    ),
    "a supply on the secondary": (
        lambda: power(source={"secondary": "208 V"}),
        'transformers[1].secondary: "208 V" is not possible for a voltage here; accepted: at least 5 V and at most 60 V.',
    ),
    "no transformer": (
        lambda: power(transformers=[], loads=[], runs=[]),
        "transformers: is empty; accepted: at least one transformer with its name.",
    ),
    "a run to nowhere": (
        lambda: power(run={"loads": []}),
        "runs[1].loads: is empty; accepted: the name of at least one load.",
    ),
    "a power factor in per cent": (
        lambda: power(load={"power_factor": 60}),
        'loads[1].power_factor: "60" does not fit; accepted: at most 1.',
    ),
    "no voltage to reckon a current with": (
        lambda: circuit.current(20.0, 0.0),
        '"0 V" is no supply voltage; accepted: a voltage above 0 V.',
    ),
    "no current to be too long for": (
        lambda: circuit.longest_run(2.4, 0.02, 0.0),
        '"0.02 ohm/m at 0 A" loses no voltage at any length; accepted: a resistance and a current above 0.',
    ),
    "power factor of a formula": (
        lambda: circuit.phase_angle(1.2),
        '"1.2" is no power factor; accepted: a number from 0 to 1.',
    ),
    "gauge asked of the table": (
        lambda: wire(19, where="--wire"),
        '--wire: "19" is no wire gauge of these tables; accepted: 24, 22, 20, 18, 16, 14, 12 AWG.',
    ),
}


@pytest.mark.parametrize(("ask", "sentence"), CASES.values(), ids=CASES)
def test_refusal_names_what_is_accepted(ask: Callable[[], object], sentence: str) -> None:
    """The sentence says where, what was given, what is wrong and what to write instead."""
    with pytest.raises(Refused) as refused:
        ask()
    assert str(refused.value) == sentence


def test_every_mistake_is_told_at_once() -> None:
    """Two wrong loads and a wrong run are three refusals, not one."""
    with pytest.raises(Refused) as refused:
        power(load={"transformer": "x"}, run={"loads": ["y", "z"]})
    assert [one.where for one in refused.value.refusals] == [
        "loads[1].transformer", "runs[1].loads[1]", "runs[1].loads[2]",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("instruments", "sentence"),
    [
        ([], '"meter" is no instrument of this job; accepted: one entered in facts.instruments.'),
        (
            [{"id": "metre", "kind": "electrical", "accuracy": "1 %"}],
            '"meter" is not an instrument of this job (facts.instruments) (did you mean metre?); accepted: metre.',
        ),
        (
            [{"id": "meter", "kind": "airflow", "accuracy": "5 %"}],
            '"meter" measures airflow; accepted: an electrical instrument.',
        ),
    ],
    ids=["none at all", "misspelt", "of another kind"],
)
def test_the_meter_has_to_be_one_of_the_job(instruments: list[dict[str, Any]], sentence: str) -> None:
    """A voltage can only lean on the accuracy of an electrical instrument that the job knows."""
    source = SOURCE | {"metered": {"idle": "26 V", "instrument": "meter"}}
    with pytest.raises(Refused) as refused:
        make_plan(facts(power={"transformers": [source]}, instruments=instruments))
    assert str(refused.value) == f"facts.power.transformers[1].metered.instrument: {sentence}"


COMMANDS: dict[str, tuple[list[str], str]] = {
    "nothing": (
        [],
        (
            '"nothing" is nothing to look at; accepted: a JOB, or --wire with --length and --load, '
            "or --transformer with --loads."
        ),
    ),
    "two questions": (
        ["--wire", "18", "--transformer", "40 VA"],
        (
            '"--wire and --transformer" is more than one question at a time; accepted: a JOB, '
            "or --wire with --length and --load, or --transformer with --loads."
        ),
    ),
    "half a wire": (
        ["--wire", "18", "--length", "60 ft"],
        '--load: is missing; accepted: --wire 18 --length "60 ft" --load "20 VA".',
    ),
    "wire of no table": (
        ["--wire", "13", "--length", "60 ft", "--load", "20 VA"],
        '--wire: "13" is no wire gauge of these tables; accepted: 24, 22, 20, 18, 16, 14, 12 AWG.',
    ),
    "length in pounds": (
        ["--wire", "18", "--length", "60 lb", "--load", "20 VA"],
        '--length: "60 lb" has a unit that is not known for a length: "lb"; accepted: "5300 ft" or "1615 m".',
    ),
    "load of nothing": (
        ["--wire", "18", "--length", "60 ft", "--load", "0 VA"],
        '--load: "0 VA" is not possible for an apparent power here; accepted: at least 0.01 VA and at most 1000 VA.',
    ),
    "a load without its power": (
        ["--loads", "board 12 VA, controller"],
        (
            '--loads: "controller" is no load; accepted: NAME and VA, then if known "inrush 20 VA", "pf 0.6", '
            '"half wave" or "full wave", "always on", "while stroking" or "on call", '
            'such as "actuator 8 VA inrush 20 VA".'
        ),
    ),
    "a rating in watts": (
        ["--transformer", "40 W", "--loads", "board 12 VA"],
        '--transformer: "40 W" is a heat rate, and an apparent power is wanted; accepted: "40 VA".',
    ),
}


@pytest.mark.parametrize(("arguments", "sentence"), COMMANDS.values(), ids=COMMANDS)
def test_command_refuses(arguments: list[str], sentence: str, capsys: pytest.CaptureFixture[str]) -> None:
    """The command ends with code 2 and one sentence that names the option."""
    assert cli.main(["power", *arguments]) == 2
    assert capsys.readouterr().err == f"ventwright: {sentence}\n"
