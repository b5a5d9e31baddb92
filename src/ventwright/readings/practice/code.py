"""The code of a practice roof: eight letters and digits that stand for difficulty, weather and everything hidden.

The same code gives the same unit, faults and errors of instruments wherever it is typed. The last sign is a check: any
one wrong sign, and any two that changed places, are noticed.
"""

from __future__ import annotations

from dataclasses import dataclass

from ventwright.errors import Refusal, Refused
from ventwright.tables.practice import practice_table

ALPHABET = "3479CDFHJKMNPQRTWXY"
"""Nineteen signs, none like another: no 0 O, 1 I L, 2 Z, 5 S, 6 G, 8 B, U V, and no vowel, so that no word comes about.
Nineteen is a prime, which the check needs."""
LENGTH = 8
BASE = len(ALPHABET)
SEEDS = BASE**5
"""Different units for one difficulty and weather."""
EDITION = 0
"""Of what a code stands for: units drawn in another way get another one."""
EXAMPLE = "3FMJ-FN3P"

WEIGHTS = range(1, LENGTH + 1)
"""The sum of the signs' values, each times its weight, is a multiple of nineteen."""


@dataclass(frozen=True, slots=True)
class PracticeCode:
    """What a code stands for."""

    difficulty: int
    """Place in the list of difficulties, from 0."""
    weather: int
    """Place in the list of weathers, from 0."""
    seed: int

    def __post_init__(self) -> None:
        """Refuse what no code stands for."""
        table = practice_table()
        known = (len(table.difficulties), len(table.weathers), SEEDS)
        for name, value, count in zip(
            ("difficulty", "weather", "seed"), (self.difficulty, self.weather, self.seed), known, strict=True
        ):
            if not 0 <= value < count:
                raise Refused(
                    Refusal(f"is no {name} of a practice roof", f"0 to {count - 1}", name, str(value))
                )

    def __str__(self) -> str:
        """Write it in two groups of four."""
        values = [EDITION, self.difficulty * len(practice_table().weathers) + self.weather]
        rest = self.seed
        for _ in range(5):
            rest, value = divmod(rest, BASE)
            values.append(value)
        weighed = sum(weight * value for weight, value in zip(WEIGHTS, values, strict=False))
        values.append(-weighed * pow(LENGTH, -1, BASE) % BASE)
        text = "".join(ALPHABET[value] for value in values)
        return f"{text[:4]}-{text[4:]}"


def read_code(typed: str) -> PracticeCode:
    """Read a code as somebody typed it; spaces, hyphens and small letters make no difference.

    Raises
    ------
    Refused
        It is no code, has a sign that no code has, was mistyped, or is of a newer version.
    """
    signs = "".join(typed.split()).replace("-", "").upper()
    if not signs:
        raise Refused(Refusal("nothing was given", f"a code of eight letters and digits, such as {EXAMPLE}"))
    strange = next((sign for sign in signs if sign not in ALPHABET), None)
    if strange is not None:
        accepted = f"only the signs {ALPHABET}, which look like no other"
        raise Refused(Refusal(f'has "{strange}" in it, which no code has', accepted, given=typed))
    if len(signs) != LENGTH:
        count = "one sign" if len(signs) == 1 else f"{len(signs)} signs"
        raise Refused(
            Refusal(f"has {count}, and a code has eight", f"all eight, such as {EXAMPLE}", given=typed)
        )
    values = [ALPHABET.index(sign) for sign in signs]
    if sum(weight * value for weight, value in zip(WEIGHTS, values, strict=True)) % BASE:
        accepted = "the code as it was given: a sign is wrong, or two have changed places"
        raise Refused(Refusal("is no code", accepted, given=typed))
    edition, kind, *places, _ = values
    weathers = len(practice_table().weathers)
    difficulty, weather = divmod(kind, weathers)
    if edition != EDITION or difficulty >= len(practice_table().difficulties):
        accepted = "a code of this version, or an update of Ventwright"
        raise Refused(Refusal("was made by a newer Ventwright", accepted, given=typed))
    seed = sum(value * BASE**power for power, value in enumerate(places))
    return PracticeCode(difficulty, weather, seed)
