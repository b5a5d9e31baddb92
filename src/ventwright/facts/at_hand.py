"""What is at hand for the functional tests: people, and the resistors that may stand in for a sensor."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from ventwright.entry import Count, Entry, Typed
from ventwright.quantity import RESISTANCE, Quantity

Resistor = Annotated[Quantity, Typed((RESISTANCE,), 1.0)]


class AtHand(Entry):
    """People and things carried to the roof. What is not named here, no test is simulated with."""

    people: Count = Field(
        1, ge=1, le=9, description="how many come: some steps are for two, with a way for one"
    )
    decade_box: bool = Field(False, description="a box of switched resistors that makes any ohms")
    packs: bool = Field(
        False, description="warm and cold packs to hold to a sensor that no resistor imitates"
    )
    resistors: tuple[Resistor, ...] = Field(
        (), description='fixed resistors that may stand in for a sensor, such as "12k ohm"'
    )
