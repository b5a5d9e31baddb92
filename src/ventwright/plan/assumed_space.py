"""What the unit is taken to serve where no spaces are given, so that a plan can be made; nothing is settled by it."""

from __future__ import annotations

from collections.abc import Callable

from ventwright.facts.space import Space
from ventwright.plan.basis import TON, Basis, Guess
from ventwright.quantity import AIRFLOW, AREA, HEAT_RATE, Quantity
from ventwright.tables import prior
from ventwright.tables.assumed_space import assumed_space
from ventwright.words import Amount, Words, words

ENTER_THE_SPACES = Words("enter the spaces, or the airflow on the drawings")
"""What to do where the required outdoor air is only assumed."""


def space_assumed(basis: Basis, intake_of: Callable[[Space], float]) -> tuple[Space, Guess]:
    """Return one space as large as the unit's cooling is usually good for, and what is said of it.

    Parameters
    ----------
    basis
        With the cooling capacity; else the cooling that its supply airflow usually goes with counts.
    intake_of
        Outdoor airflow that a space needs, in proportion to its area. [m3/s]
    """
    usual = assumed_space()
    fastest, slowest = basis.speeds[0].supply_air, basis.speeds[-1].supply_air
    by_air = fastest / prior.usual("air_per_ton", AIRFLOW).value
    tons = by_air if basis.cooling_capacity is None else basis.cooling_capacity / TON
    space = _space(usual.use, tons * usual.area_per_ton)
    carried = usual.share_of_slowest * slowest / intake_of(space)
    if carried < 1.0:
        space = _space(usual.use, carried * space.floor_area.value)
        why = "so much that its slowest fan speed can carry the air"
    else:
        why = "{each} for every ton ({ton}) of cooling, in use are {least} to {most}, common practice"
    return space, Guess("spaces", words(
        f"what the unit serves is not known: {{area}} of {{use}} is assumed until the spaces are entered ({why}); "
        "no outdoor airflow passes or fails by it",
        area=Amount(space.floor_area.value, AREA), use=Words(usual.use), each=Amount(usual.area_per_ton, AREA),
        ton=Amount(TON, HEAT_RATE), least=Amount(usual.least_per_ton, AREA), most=Amount(usual.most_per_ton, AREA)))  # fmt: skip


def _space(use: str, floor: float) -> Space:
    return Space(name="assumed", use=use, floor_area=Quantity(f"{floor:.6g} m2", AREA, floor))
