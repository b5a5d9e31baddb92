"""A refused entry: where it stands, what was given, and what would be accepted."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from difflib import get_close_matches


@dataclass(frozen=True, slots=True)
class Refusal:
    """One entry that was refused, as fields, so that every screen can word it in its own way.

    ``where`` is the place as the person knows it (``facts.unit.cooling_capacity``, an option, a line of
    a file), ``problem`` completes the sentence "<given> ...", ``accepted`` says what to write instead. ``missing`` is
    true where nothing that was given is wrong, and more has to be given.
    """

    problem: str
    accepted: str
    where: str = ""
    given: str = ""
    line: int | None = None
    missing: bool = False

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
        return Refusal(self.problem, self.accepted, where, self.given, line, self.missing)


class Refused(ValueError):
    """One or more entries were refused; carries every refusal found, not just the first.

    ``more`` says that something hangs on what was refused and could not be looked at: more may follow once it is mended.
    """

    def __init__(self, *refusals: Refusal, more: bool = False) -> None:
        self.refusals = refusals
        self.more = more
        super().__init__(" ".join(refusal.sentence for refusal in refusals))

    def __reduce__(self) -> tuple[type[Refused], tuple[Refusal, ...], dict[str, bool]]:
        """Travel between processes with the refusals, not with their sentences alone."""
        return Refused, self.refusals, {"more": self.more}


class Unread(Exception):
    """Something was asked for that was refused itself: what hangs on it can neither be refused nor passed."""


Attempt = Callable[[], object]


def refuse_every(attempts: Iterable[Attempt]) -> None:
    """Make every attempt, whatever the others meet; one that hangs on a refused part is left out.

    Raises
    ------
    Refused
        Every refusal that any of them meets, each once.
    Unread
        None was refused, and at least one was left out.
    """
    found: dict[Refusal, None] = {}
    more, waiting = False, iter(attempts)
    while True:
        try:
            attempt = next(waiting, None)
            if attempt is None:
                break
            attempt()
        except Refused as refused:
            found |= dict.fromkeys(refused.refusals)
            more = more or refused.more
        except Unread:
            more = True
    _refuse(found, more=more)


def _refuse(found: Iterable[Refusal], *, more: bool) -> None:
    """Refuse what was found; where nothing was and more may follow, say that something stayed unseen."""
    refusals = tuple(found)
    if refusals:
        raise Refused(*refusals, more=more)
    if more:
        raise Unread


def refuse_those(refusals: Iterable[Refusal]) -> None:
    """Refuse what a check yields, as far as it comes before it asks for a refused part.

    Raises
    ------
    Refused
        Every refusal yielded.
    Unread
        None was, and something was asked for that was refused itself.
    """
    found: list[Refusal] = []
    more = False
    try:
        found.extend(refusals)
    except Unread:
        more = True
    _refuse(found, more=more)


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


def refuse_word(given: str, known: Iterable[str] | Mapping[str, str], what: str, where: str = "") -> Refused:
    """Build the refusal of a word that is not on a list, naming the nearest word that is.

    Parameters
    ----------
    known
        What may be typed; where that is an id, with the words by which people know it. Who gave the words is told the id.
    """
    said = dict(known) if isinstance(known, Mapping) else dict.fromkeys(known, "")
    near = nearest(given, [*said, *filter(None, said.values())])
    meant = next((one for one, name in said.items() if near is not None and near in (one, name)), None)
    hint = f" (did you mean {meant}?)" if meant else ""
    parted = "; " if any(said.values()) else ", "
    listed = parted.join(f"{one}: {name}" if name and name != one else one for one, name in said.items())
    return Refused(Refusal(f"is not {what}{hint}", listed or "one that is listed there first", where, given))
