"""The signal that moves a damper: the range a kit sends, and what was typed of it as a share of the stroke."""

from __future__ import annotations

from dataclasses import replace
from typing import Self

from pydantic import Field, model_validator

from ventwright.entry import Entry, Signal, Typed
from ventwright.entry.typed import OF_A_SIGNAL
from ventwright.errors import Refusal, Refused
from ventwright.quantity import FRACTION, Dimension, Quantity, has_unit_of
from ventwright.words import Amount


def is_sent(text: str) -> bool:
    """Whether a signal is typed in volts or milliamperes, as a kit sends it, and not in per cent."""
    return any(has_unit_of(text, one) for one in OF_A_SIGNAL if one != FRACTION)


class DamperSignal(Entry):
    """The signal that moves the damper: closed at one end, fully open at the other."""

    closed: Signal = Field(description='signal at which the damper is closed, such as "2 V" or "4 mA"')
    open: Signal = Field(description='signal at which it is fully open, such as "10 V" or "20 mA"')

    @model_validator(mode="after")
    def _rises(self) -> Self:
        if self.closed.dimension != self.open.dimension or self.closed.value >= self.open.value:
            given = f"{self.closed} to {self.open}"
            raise Refused(
                Refusal("is no range of signal", "two ends in one unit, closed below open", given=given)
            )
        return self

    @property
    def dimension(self) -> Dimension:
        """In what the kit sends it: a voltage, a current, or per cent where its file says no more."""
        return self.closed.dimension

    @property
    def typed_in(self) -> tuple[Dimension, ...]:
        """In what a person may type it: per cent of the stroke, and what the kit sends."""
        return (FRACTION,) if self.dimension == FRACTION else (FRACTION, self.dimension)

    @property
    def range_words(self) -> str:
        """What is accepted of this kit's signal."""
        sent = "" if self.dimension == FRACTION else f"{self.closed} to {self.open}, or "
        return f"{sent}0 % to 100 %"

    def share(self, signal: Quantity) -> Quantity:
        """Return a signal as a share of full stroke, with its ± and as it was typed; it may lie beyond the ends. [-]

        Raises
        ------
        Refused
            It is neither in per cent nor in what the kit sends.
        """
        if signal.dimension == FRACTION:
            return signal
        if signal.dimension != self.dimension:
            raise Refused(Refusal("is not a signal of this kit", self.range_words, given=signal.typed))
        span = self.open.value - self.closed.value
        u = None if signal.uncertainty is None else signal.uncertainty / span
        return replace(
            signal, dimension=FRACTION, value=(signal.value - self.closed.value) / span, uncertainty=u
        )

    def read(self, text: str) -> Quantity:
        """Read what a person typed of it, as a share of full stroke. [-]

        Raises
        ------
        Refused
            It is no signal, or none of this kit's; one beyond the ends of its range too.
        """
        share = self.share(Typed(OF_A_SIGNAL, 0.0)(text))
        if not -1e-9 <= share.value <= 1.0 + 1e-9:
            raise Refused(
                Refusal("is outside the kit's range of signal", self.range_words, given=share.typed)
            )
        return replace(share, value=min(max(share.value, 0.0), 1.0))

    def sent(self, share: float, u: float | None = None) -> Amount | None:
        """Return what a meter shows at a share of the stroke; None where the kit's file says only per cent.

        Parameters
        ----------
        share
            Share of full stroke. [-]
        u
            Its standard uncertainty, where it is known. [-]
        """
        if self.dimension == FRACTION:
            return None
        span = self.open.value - self.closed.value
        return Amount(self.closed.value + share * span, self.dimension, None if u is None else u * span)
