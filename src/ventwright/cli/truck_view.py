"""What to take along, and whether the harness goes together, for a terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ventwright.plan import Plan
    from ventwright.quantity import System

AT_HAND = {True: "yes", False: "NO", None: "not said"}


def print_truck(plan: Plan, system: System) -> None:
    """Print the pick list, and the wiring in one line."""
    from ventwright.cli import show

    show.heading("For the truck, the evening before")
    rows = [(one.what.show(system), one.why.show(system), AT_HAND[one.at_hand]) for one in plan.pick_list]
    show.table(("take", "for", "at hand"), rows)
    if plan.wiring is not None:
        state = plan.wiring.state.value.upper()
        show.line(f"Wiring {state}: {plan.wiring.sentence.show(system)} (`ventwright harness JOB`).")
