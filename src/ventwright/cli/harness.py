"""Whether the kit's harness and the unit go together, where every wire lands, and what to do before power.

example: ventwright harness JOB
         ventwright harness JOB --have nine-way-lead,nine-way-to-loose-wires --drawing wiring.svg
         ventwright harness --kit two-speed-dry-bulb --board twelve-way-with-jumper-plug --adapters nine-way-to-twelve-way
"""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from ventwright.cli.arguments import add_json

if TYPE_CHECKING:
    from ventwright.plan.wiring import WiringPlan

ONE_OF_TWO = "a job, or --kit and --board"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add what is to be joined, and how to show it."""
    parser.add_argument("job", nargs="?", type=Path, metavar="JOB", help="job file, .yaml or .json")
    parser.add_argument("--kit", metavar="K", help="kit, by its id or a .yaml file")
    parser.add_argument("--board", metavar="B", help="the unit's control board, by its id or a .yaml file")
    parser.add_argument(
        "--adapters",
        metavar="A,B",
        help='the adapters in use, in order from the kit to the unit; "" for none (else they are looked for)',
    )
    parser.add_argument(
        "--have",
        metavar="A,B,C",
        help='the adapters at hand; "" for none (else the shelf shows what to take along)',
    )
    parser.add_argument("--drawing", type=Path, metavar="FILE.svg", help="write the drawing too")
    parser.add_argument("--units", choices=("us", "si"), default="us", help="units to show")
    add_json(parser)


def run(arguments: argparse.Namespace) -> int:
    """Show the wiring; anything but whole is a failure, and what is not told yet cannot be told."""
    from ventwright.cli import CANNOT_TELL, DONE, FAILS, show
    from ventwright.cli.harness_view import print_wiring
    from ventwright.cli.pictures import refuse_other_picture
    from ventwright.plan import WiringState
    from ventwright.words import plain

    refuse_other_picture(arguments.drawing, "--drawing")
    kit, invented, wiring = _of_job(arguments) if arguments.job else _of_parts(arguments)
    if arguments.drawing is not None:
        from ventwright.record.wiring_drawing import draw_wiring
        from ventwright.store import write

        write(arguments.drawing, draw_wiring(wiring, kit).encode())
    if arguments.json:
        show.as_json({"kit": kit, "invented": invented, **plain(wiring)})
    else:
        print_wiring(kit, wiring, arguments.units, invented=invented)
        if arguments.drawing is not None:
            show.line(f"\n{arguments.drawing} written.")
    if wiring.state is WiringState.WHOLE:
        return DONE
    return CANNOT_TELL if wiring.state is WiringState.PUT_IT_BACK and wiring.to_measure else FAILS


def _listed(text: str | None) -> tuple[str, ...] | None:
    """Return the names of a list with commas; None where none was given."""
    return None if text is None else tuple(name.strip() for name in text.split(",") if name.strip())


def _of_job(arguments: argparse.Namespace) -> tuple[str, bool, WiringPlan]:
    """Return kit, whether it is all invented, and the wiring of a job, with the adapters of the command line in place of its own."""
    from ventwright.errors import Refusal, Refused
    from ventwright.facts import Harness
    from ventwright.plan.wiring.from_facts import plan_wiring
    from ventwright.store import load
    from ventwright.tables.kit import Kit
    from ventwright.tables.shelf import find

    if arguments.kit is not None or arguments.board is not None:
        raise Refused(Refusal("is given beside a job, which names its own", ONE_OF_TWO, "--kit and --board"))
    kept = load(arguments.job)
    facts = kept.job.facts
    laid, have = _listed(arguments.adapters), _listed(arguments.have)
    if laid is not None:
        told = facts.harness or Harness()
        facts = facts.model_copy(update={"harness": told.model_copy(update={"adapters": laid})})
    if have is not None:
        facts = facts.model_copy(update={"truck": have})
    kit = find("kits", facts.kit, Kit, kept.beside)
    wiring = plan_wiring(facts, kit, kept.beside)
    if wiring is None:
        accepted = "a kit file with a harness, and the unit's board: facts.harness.board, facts.harness.seen_board or a data sheet that names it"
        raise Refused(Refusal("does not say what is to be joined", accepted, str(arguments.job)))
    return kit.name, kept.job.invented or kit.invented, wiring


def _of_parts(arguments: argparse.Namespace) -> tuple[str, bool, WiringPlan]:
    """Return kit, whether it is all invented, and the wiring of a kit and a board that were named."""
    from ventwright.errors import Refusal, Refused
    from ventwright.plan.wiring import Parts, wire
    from ventwright.plan.wiring.from_facts import adapters_named, on_shelf
    from ventwright.tables.board import Board
    from ventwright.tables.kit import Kit
    from ventwright.tables.shelf import find_at

    if arguments.kit is None or arguments.board is None:
        raise Refused(Refusal("nothing to join was given", ONE_OF_TWO))
    kit = find_at("kits", arguments.kit, Kit, "--kit")
    board = find_at("boards", arguments.board, Board, "--board")
    if kit.harness is None:
        raise Refused(
            Refusal("has no harness in its file", "a kit file with harness: connectors", "--kit", kit.id)
        )
    laid, have = _listed(arguments.adapters), _listed(arguments.have)
    parts = Parts(
        kit.harness.connectors, board,
        None if laid is None else adapters_named(laid, {}, "--adapters", None),
        None if have is None else adapters_named(have, {}, "--have", None),
        on_shelf,
    )  # fmt: skip
    return kit.name, kit.invented or board.invented, wire(parts)
