"""Whether an instrument can vouch for a temperature: one whose accuracy is in per cent or pascals cannot."""

from __future__ import annotations

from ventwright.evidence import Shortfall
from ventwright.facts import Instrument
from ventwright.quantity import TEMPERATURE_DIFFERENCE
from ventwright.words import Words, words


def reads_temperature(instrument: Instrument) -> bool:
    """Whether the accuracy that is given says anything about a temperature."""
    return (
        instrument.kind in {"temperature", "other"}
        and instrument.accuracy.dimension == TEMPERATURE_DIFFERENCE
    )


def no_thermometer(name: str, instrument: Instrument) -> Shortfall:
    """Why readings taken with this instrument carry no verdict."""
    return Shortfall(
        name,
        words(
            "{probe} is for {kind} ({accuracy}), so how well it reads a temperature is not known",
            probe=Words(instrument.id), kind=Words(instrument.kind), accuracy=Words(str(instrument.accuracy)),
        ),
        Words("correct it by a new entry that names the temperature probe"),
    )  # fmt: skip
