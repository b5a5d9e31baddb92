"""How closely an instrument reads a temperature: one whose accuracy is in per cent or pascals cannot vouch for any."""

from __future__ import annotations

from collections.abc import Iterable
from math import hypot

from ventwright.evidence import Shortfall
from ventwright.facts import Instrument
from ventwright.plan import probe_uncertainty
from ventwright.quantity import TEMPERATURE_DIFFERENCE
from ventwright.words import Words, words


def reads_temperature(instrument: Instrument) -> bool:
    """Whether the accuracy that is given says anything about a temperature."""
    return (
        instrument.kind in {"temperature", "other"}
        and instrument.accuracy.dimension == TEMPERATURE_DIFFERENCE
    )


def probe_u(instruments: Iterable[Instrument], named: str | None) -> float | None:
    """Return the standard uncertainty of a probe; None where none for temperatures is named. [K]"""
    probe = next((one for one in instruments if one.id == named), None)
    return None if probe is None or not reads_temperature(probe) else hypot(*probe_uncertainty(probe))


def no_thermometer(name: str, instrument: Instrument) -> Shortfall:
    """Why readings taken with this instrument carry no verdict."""
    return Shortfall(
        name,
        words(
            "{probe} is for {kind} ({accuracy}), so how well it reads a temperature is not known",
            probe=instrument.called, kind=Words(instrument.kind), accuracy=Words(str(instrument.accuracy)),
        ),
        Words("correct it by a new entry that names the temperature probe"),
    )  # fmt: skip
