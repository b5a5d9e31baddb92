"""A sensor that comes with a kit: where it stands, and the curve or the signal by which the controller reads it."""

from __future__ import annotations

from typing import Literal, Self

from pydantic import Field, model_validator

from ventwright.entry import Entry, Written
from ventwright.errors import Refused
from ventwright.tables.sensor_curve import SensorCurve, sensor_curve

Sensing = Literal["outdoor air", "return air", "mixed air", "supply air"]

NO_RESISTOR = ("4-20 mA", "0-10 V", "2-10 V", "digital")
"""Kinds of sensor that no resistor can imitate: the controller is sent a signal, not asked for ohms."""


class KitSensor(Entry):
    """One sensor of a kit."""

    at: Sensing = Field(description="outdoor air, return air, mixed air or supply air")
    kind: Written = Field(
        description=f"id of its resistance curve (ventwright sensor --list), or {', '.join(NO_RESISTOR)}"
    )

    @model_validator(mode="after")
    def _known(self) -> Self:
        if self.kind not in NO_RESISTOR:
            try:
                sensor_curve(self.kind)
            except Refused as refused:
                raise Refused(*(one.at("kind") for one in refused.refusals)) from None
        return self

    @property
    def curve(self) -> SensorCurve | None:
        """The curve of a resistance sensor; None for one that no resistor can imitate."""
        return None if self.kind in NO_RESISTOR else sensor_curve(self.kind)
