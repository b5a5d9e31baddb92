"""Who stands for the record."""

from __future__ import annotations

import re
from typing import Annotated

from pydantic import AfterValidator, Field

from ventwright.entry import Day, Entry
from ventwright.errors import Refusal, Refused

BOX = (300, 100)
"""Width and height of the box in which a signature is drawn, in its own units."""

MOST_STROKES = 20_000
"""Letters of a drawn signature: more is no signature."""

_STROKES = re.compile(r"(M\d{1,3} \d{1,3}(?: L\d{1,3} \d{1,3})*(?: (?=M)|$))*")


def _strokes(drawn: str) -> str:
    """Refuse what is not made of strokes: the text goes into a drawing."""
    if len(drawn) > MOST_STROKES or not _STROKES.fullmatch(drawn):
        accepted = 'strokes within 300 by 100, such as "M10 50 L40 20 L70 60"'
        raise Refused(Refusal("is no drawn signature", accepted, given=drawn))
    return drawn


class Signature(Entry):
    """A person who signs, in what role, and for what."""

    name: str = Field(min_length=2, description="name of the person")
    role: str = Field(min_length=2, description="technician, reviewer, owner")
    on: Day = Field(description="day, such as 2026-11-25")
    certificate: str = Field("", description="licence or certification number, where the law asks for one")
    statement: str = Field("", description="what the signature stands for")
    drawn: Annotated[str, AfterValidator(_strokes)] = Field(
        "", description='drawn by finger: strokes within 300 by 100, such as "M10 50 L40 20 L70 60"'
    )

    def strokes(self) -> list[list[tuple[float, float]]]:
        """Return what was drawn: each stroke as points, x to the right and y down."""
        return [
            [(float(x), float(y)) for x, y in re.findall(r"(\d+) (\d+)", one)]
            for one in self.drawn.split("M")
            if one.strip()
        ]
