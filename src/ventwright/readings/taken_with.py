"""Whether a reading can have been taken with the instrument that it names."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ventwright.errors import Refusal
from ventwright.facts import Instrument
from ventwright.facts.instrument import BANDS
from ventwright.readings.noted import Noted


def wrong_instrument(entry: Noted, instruments: Sequence[Instrument], where: str) -> Iterator[Refusal]:
    """Yield a refusal for each instrument of an entry that is listed and is for something else.

    One of kind "other" is taken where its accuracy is given as that of a fitting kind is.
    """
    listed = {one.id: one for one in instruments}
    for field, name in entry.instruments_used().items():
        kinds, named = entry.taken_with(field), listed.get(name)
        if named is None or not kinds or _fits(named, kinds):
            continue
        fitting = [one.id for one in instruments if _fits(one, kinds)]
        wanted = " or ".join(kinds)
        accepted = ", ".join(fitting) or f"an instrument for {wanted}, listed under facts.instruments"
        is_for = (
            f"of kind other with an accuracy of {named.accuracy}"
            if named.kind == "other"
            else f"for {named.kind}"
        )
        problem = f"is {is_for}, and this reading is taken with an instrument for {wanted}"
        yield Refusal(problem, accepted, f"{where}.{field}", name)


def _fits(instrument: Instrument, kinds: Sequence[str]) -> bool:
    """Whether an instrument is of one of these kinds, or of no kind and as accurate in the units of one."""
    if instrument.kind != "other":
        return instrument.kind in kinds
    return any(instrument.accuracy.dimension in BANDS[kind] for kind in kinds)
