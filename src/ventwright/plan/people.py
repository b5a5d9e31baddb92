"""How many people a space is reckoned with: those given, the standard's default, or the fewest that a code allows."""

from __future__ import annotations

from collections.abc import Iterable

from ventwright.errors import Refusal, Refused
from ventwright.facts.space import Space
from ventwright.plan.basis import Guess
from ventwright.tables.data_file import ROUNDING
from ventwright.tables.ventilation import Rate
from ventwright.words import Words, words


def people_in(space: Space, rate: Rate) -> float:
    """Return the people to reckon with.

    Raises
    ------
    Refused
        Nobody is given and the standard has no default for this use.
    """
    if space.people is not None:
        return _default(space, rate) if _is_raised(space, rate) else space.people
    if rate.default_density is None and rate.people_rate > 0:
        raise Refused(
            Refusal(
                "has no default density in the standard",
                "people: a number",
                f"facts.spaces ({space.name})",
                rate.name,
            )
        )
    return _default(space, rate)


def guesses_about_people(rows: Iterable[tuple[Space, Rate]]) -> tuple[Guess, ...]:
    """Say where nobody gave the people, and where the code reckons with more than were given."""
    every = list(rows)
    missing = [
        _guess(space, rate) for space, rate in every if space.people is None and _default(space, rate) > 0
    ]
    raised = [_raised(space, rate) for space, rate in every if _is_raised(space, rate)]
    return (*missing, *raised)


def _default(space: Space, rate: Rate) -> float:
    return (rate.default_density or 0.0) * space.floor_area.value


def _is_raised(space: Space, rate: Rate) -> bool:
    """Whether the code reckons with more people than were given."""
    if not rate.half_of_egress_counts or space.people is None:
        return False
    return space.people < _default(space, rate) * (1 - ROUNDING)


def _guess(space: Space, rate: Rate) -> Guess:
    return Guess(f"spaces.{space.name}.people", words(
        f"no number of people is given for {{name}}: {_default(space, rate):.0f} are assumed by the standard's default density",
        name=Words(space.name)))  # fmt: skip


def _raised(space: Space, rate: Rate) -> Guess:
    return Guess(f"spaces.{space.name}.people", words(
        f"{space.people:g} people are given for {{name}}: {{code}} reckons with at least half of those of the way out, "
        f"{_default(space, rate):.0f}, unless the seats are fixed", name=Words(space.name), code=Words(rate.edition)))  # fmt: skip
