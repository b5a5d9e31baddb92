"""A refused entry: where it stands, what was given, and what would be accepted."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from difflib import get_close_matches


@dataclass(frozen=True, slots=True)
class Refusal:
    """One entry that was refused, as fields, so that every screen can word it in its own way.

    ``where`` is the place as the person knows it (``facts.unit.cooling_capacity``, an option, a line of
    a file), ``problem`` completes the sentence "<given> ...", ``accepted`` says what to write instead.
    """

    problem: str
    accepted: str
    where: str = ""
    given: str = ""
    line: int | None = None

    @property
    def sentence(self) -> str:
        """The refusal in one sentence: where, what is wrong, what would be accepted."""
        place = self.where
        if self.line is not None:
            place = f"line {self.line}, {place}" if place else f"line {self.line}"
        given = f'"{shortened(self.given)}" ' if self.given else ""
        head = f"{place}: " if place else ""
        return f"{head}{given}{self.problem}; accepted: {self.accepted}."

    def at(self, where: str, line: int | None = None) -> Refusal:
        """Return the same refusal, placed."""
        return Refusal(self.problem, self.accepted, where, self.given, line)


class Refused(ValueError):
    """One or more entries were refused; carries every refusal found, not just the first."""

    def __init__(self, *refusals: Refusal) -> None:
        self.refusals = refusals
        super().__init__(" ".join(refusal.sentence for refusal in refusals))

    def __reduce__(self) -> tuple[type[Refused], tuple[Refusal, ...]]:
        """Travel between processes with the refusals, not with their sentences alone."""
        return Refused, self.refusals


def every_refusal(attempts: Iterable[Callable[[], object]]) -> tuple[Refusal, ...]:
    """Every refusal that any of the attempts meets, each once; none where all go through."""
    found: dict[Refusal, None] = {}
    for attempt in attempts:
        try:
            attempt()
        except Refused as refused:
            found |= dict.fromkeys(refused.refusals)
    return tuple(found)


LONGEST = 200
"""Letters of a given text that a sentence repeats."""


def shortened(text: str) -> str:
    """Return a text as a sentence can hold it: on one line, not too long, without signs that steer a terminal."""
    start = " ".join(text[: LONGEST + 1].split())
    line = start if len(text) <= LONGEST else f"{start[: LONGEST - 1]}…"
    return "".join(letter if letter.isprintable() else "\N{REPLACEMENT CHARACTER}" for letter in line)


def nearest(given: str, known: Iterable[str]) -> str | None:
    """Return the known word most like the one given, if any comes near (case does not matter)."""
    by_lower = {word.lower(): word for word in known}
    found = get_close_matches(given.lower(), by_lower, n=1, cutoff=0.6)
    return by_lower[found[0]] if found else None


def refuse_word(given: str, known: Iterable[str], what: str, where: str = "") -> Refused:
    """Build the refusal of a word that is not on a list, naming the nearest word that is."""
    words = list(known)
    near = nearest(given, words)
    hint = f" (did you mean {near}?)" if near else ""
    return Refused(
        Refusal(f"is not {what}{hint}", ", ".join(words) or "one that is listed there first", where, given)
    )
