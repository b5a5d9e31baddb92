"""What was read, seen or said while a fault is looked for: one measurement of the list, with each of its parts."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal, Self

from pydantic import Field, model_validator

from ventwright.entry import Entry, Written
from ventwright.errors import Refusal, Refused, refuse_word
from ventwright.quantity import System
from ventwright.readings.noted import Noted
from ventwright.tables.damper_signal import DamperSignal, is_sent
from ventwright.tables.measurement import Measurement, measurements

COMPLAINT = "complaint"
"""Stands in place of a measurement where somebody said something."""
NOBODY = "none"
"""The complaint of a routine visit."""


class Found(Entry):
    """One part of a measurement, and what it gave."""

    reads: str = Field(
        "", description="which part of the measurement; may be left out where there is only one"
    )
    value: Written = Field(description='a quantity such as "42 %" or "-3 F", or a word of the list')


class FaultFinding(Noted):
    """One measurement on the way to a fault."""

    what: Literal["fault finding"]
    measurement: str = Field(
        min_length=1, description="id of the measurement, as `ventwright diagnose` names it; or complaint"
    )
    found: tuple[Found, ...] = Field(min_length=1, description="each part that was read")
    instrument: str | None = None

    @model_validator(mode="after")
    def _on_the_list(self) -> Self:
        if self.measurement == COMPLAINT:
            _refuse_other_complaint(self.found)
            return self
        parts = [part.reads for part in measurement_named(self.measurement).parts]
        mistakes: list[Refusal] = []
        for number, one in enumerate(self.found, start=1):
            where = f"found[{number}]"
            try:
                reads = _part(one, parts)
            except Refused as refused:
                mistakes += [refusal.at(f"{where}.reads") for refusal in refused.refusals]
                continue
            try:
                measurements().entered[reads].read(one.value)
            except Refused as refused:
                mistakes += [refusal.at(f"{where}.value") for refusal in refused.refusals]
        if mistakes:
            raise Refused(*mistakes)
        return self

    @property
    def complaint(self) -> str | None:
        """Id of the complaint, empty for a routine visit; None where this is no complaint."""
        if self.measurement != COMPLAINT:
            return None
        return "" if self.found[0].value == NOBODY else self.found[0].value

    def values(self, signal: DamperSignal | None = None) -> tuple[float | str | None, ...]:
        """What each part of the measurement gave, in SI or in words; None for a part that was not read.

        Parameters
        ----------
        signal
            Of the kit: a damper signal in what it sends becomes a share of the stroke.
        """
        parts = [part.reads for part in measurement_named(self.measurement).parts]
        read = {_part(one, parts): one.value for one in self.found}
        return tuple(
            measurements().entered[reads].read(read[reads], signal) if reads in read else None
            for reads in parts
        )

    def signal_mistakes(self, signal: DamperSignal, where: str) -> Iterator[Refusal]:
        """Yield what is wrong with damper signals that are typed in what a kit sends."""
        parts = (
            [part.reads for part in measurement_named(self.measurement).parts]
            if self.complaint is None
            else []
        )
        for number, one in enumerate(self.found, start=1):
            if parts and is_sent(one.value) and measurements().entered[_part(one, parts)].signal:
                try:
                    signal.read(one.value)
                except Refused as refused:
                    yield from (refusal.at(f"{where}.found[{number}].value") for refusal in refused.refusals)

    def subject(self, system: System) -> str:  # noqa: ARG002 - said as it was typed
        """Say what was found."""
        shown = "; ".join(f"{one.reads} {one.value}".strip() for one in self.found)
        if self.measurement == COMPLAINT:
            return f"{COMPLAINT}: {shown}"
        one = measurement_named(self.measurement)
        named = one.state is not None and any(part.reads for part in self.found)
        return f"{one.state.words if named and one.state else one.sentence}: {shown}"


def measurement_named(named: str) -> Measurement:
    """Return a measurement of the list; refuse another, naming the nearest."""
    known = {one.id: one for one in measurements().offered}
    if named not in known:
        said = {one.id: one.sentence for one in known.values()} | {COMPLAINT: "what somebody inside says"}
        raise Refused(
            *(
                refusal.at("measurement")
                for refusal in refuse_word(named, said, "a measurement that is known here").refusals
            )
        )
    return known[named]


def _part(one: Found, parts: list[str]) -> str:
    if not one.reads and len(parts) == 1:
        return parts[0]
    if one.reads not in parts:
        raise refuse_word(one.reads or "nothing", parts, "a part of this measurement")
    return one.reads


def _refuse_other_complaint(found: tuple[Found, ...]) -> None:
    known = {one.id: one.words for one in measurements().complaints} | {NOBODY: "nobody complained"}
    for number, one in enumerate(found, start=1):
        if one.value not in known:
            refused = refuse_word(one.value, known, "a complaint that is known here")
            raise Refused(*(refusal.at(f"found[{number}].value") for refusal in refused.refusals))
