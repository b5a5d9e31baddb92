"""The instruments in the bag: how far each can be trusted, and since when."""

from __future__ import annotations

from typing import Literal, Self

from pydantic import Field, model_validator

from ventwright.entry import Accuracy, Day, Entry
from ventwright.errors import Refusal, Refused
from ventwright.quantity import CONCENTRATION, FRACTION, PRESSURE, TEMPERATURE_DIFFERENCE, VOLTAGE, Dimension
from ventwright.words import Amount, Words, words

BANDS: dict[str, tuple[Dimension, ...]] = {
    "temperature": (TEMPERATURE_DIFFERENCE,),
    "humidity": (FRACTION,),
    "carbon dioxide": (CONCENTRATION, FRACTION),
    "airflow": (FRACTION,),
    "pressure": (PRESSURE, FRACTION),
    "electrical": (FRACTION, VOLTAGE),
}
"""In what the accuracy of each kind of instrument is given."""


CALLED = {
    "temperature": "temperature probe", "humidity": "humidity probe", "carbon dioxide": "carbon dioxide meter",
    "airflow": "airflow instrument", "pressure": "pressure gauge", "electrical": "electrical meter", "other": "instrument",
}  # fmt: skip
"""What an instrument is called that has no name."""


class Instrument(Entry):
    """One instrument. Its accuracy is a fixed offset that stays between readings; repeatability is what changes."""

    id: str = Field(min_length=1, description="short name used in the readings, such as probe-1")
    kind: Literal[
        "temperature", "humidity", "carbon dioxide", "airflow", "pressure", "electrical", "other"
    ] = Field(description="temperature, humidity, carbon dioxide, airflow, pressure, electrical or other")
    name: str = Field("", description="what it is, in plain words")
    serial: str = ""
    accuracy: Accuracy = Field(description='the maker\'s ±, such as "± 0.5 F" or "± 3 %" (95 % coverage)')
    repeatability: Accuracy | None = Field(
        None, description='scatter between two readings of one thing, such as "± 0.1 F"'
    )
    calibrated: Day | None = Field(None, description="day of the last calibration, such as 2026-03-01")

    @property
    def called(self) -> Words:
        """What a person calls it: its name; without one, what it is and how closely it reads."""
        if self.name:
            return Words(self.name)
        band = Amount(self.accuracy.value, self.accuracy.dimension)
        return words("{kind} of ± {band}", kind=Words(CALLED[self.kind]), band=band)

    @model_validator(mode="after")
    def _bands_fit(self) -> Self:
        fitting = BANDS.get(self.kind)
        for name, band in (("accuracy", self.accuracy), ("repeatability", self.repeatability)):
            if fitting and band is not None and band.dimension not in fitting:
                accepted = " or ".join(dimension.example for dimension in fitting)
                problem = f"is {band.dimension.one}, and the instrument is for {self.kind}"
                raise Refused(Refusal(problem, accepted, name, band.typed))
        return self
