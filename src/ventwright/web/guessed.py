"""Where the fact is asked that would replace a guess."""

from __future__ import annotations

from ventwright.plan import Guess
from ventwright.web.fact_sections import SECTIONS

OTHERS = {"power.": "/wire/power", "weather": "/facts/today", "at_hand": "/facts/hand"}
"""Guesses whose facts are asked elsewhere than their names in the sections say, by how the name begins."""


def asked_at(guess: Guess) -> str:
    """Return the address, within the job, of the page that asks for what was guessed; the most special one."""
    places = [(start, f"/facts/{one.name}") for one in SECTIONS.values() for start in one.guesses]
    places += OTHERS.items()
    fitting = [(len(start), place) for start, place in places if guess.what.startswith(start)]
    return max(fitting)[1] if fitting else "/facts"
