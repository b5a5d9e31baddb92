"""Readings of the airstreams beside temperature: outdoor airflow, carbon dioxide, humidity; and probes held side by side."""

from __future__ import annotations

import math
from enum import StrEnum
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from ventwright.entry import Airflow, Entry, RelativeHumidity, Signal, Temperature, Typed
from ventwright.errors import Refusal, Refused
from ventwright.physics.moist_air import humidity_ratio
from ventwright.physics.saturation import ZERO_CELSIUS, ln_pressure_over_liquid
from ventwright.quantity import CONCENTRATION, TEMPERATURE, Quantity, System
from ventwright.readings.noted import Noted

StreamConcentration = Annotated[Quantity, Typed((CONCENTRATION,), 200.0, 40_000.0)]
"""Carbon dioxide in an airstream: no air outdoors holds less than 200 ppm, and at 40,000 ppm nobody would stand there to
read it (both from memory)."""

StreamDryBulb = Annotated[Quantity, Typed((TEMPERATURE,), -40.0, 60.0)]
"""Dry bulb of an airstream whose humidity is read: the range of the formulas of moist air."""


class OutdoorMethod(StrEnum):
    """How an outdoor airflow was measured directly."""

    HOOD_TRAVERSE = "traverse of the hood"
    FLOW_STATION = "flow station"
    FLOW_HOOD = "flow hood"


class VolumeShown(StrEnum):
    """What volume an airflow instrument shows."""

    AS_IT_FLOWS = "as it flows"
    STANDARD_AIR = "standard air"


class OutdoorAirflow(Noted):
    """Outdoor airflow measured directly, at one fan speed and one damper signal."""

    what: Literal["outdoor airflow"]
    speed: str = Field(description="name of the fan speed, such as high")
    damper_signal: Signal = Field(description='damper signal held, such as "21 %" or "3.7 V"')
    airflow: Airflow = Field(
        description='outdoor airflow, such as "1120 cfm ± 15 %"; without ±, the method\'s usual one'
    )
    method: OutdoorMethod = Field(description="how it was measured")
    outdoor_air: Temperature | None = Field(
        None, description="temperature of that air; left out, the nearest reading of temperatures tells it"
    )
    volume: VolumeShown | None = Field(
        None,
        description="what the instrument shows: as it flows, or standard air (1.2 kg/m3); left out, the ± reaches to both",
    )
    instrument: str | None = None

    @model_validator(mode="after")
    def _nothing_has_a_band(self) -> Self:
        if self.airflow.value == 0.0 and not self.airflow.uncertainty:
            problem = "has no ± of its own, and the usual one is a share of the reading, which of nothing is nothing"
            accepted = 'the airflow with its ±, such as "0 cfm ± 30 cfm"'
            raise Refused(Refusal(problem, accepted, "airflow", self.airflow.typed))
        return self

    def taken_with(self, field: str) -> tuple[str, ...]:  # noqa: ARG002 - there is one
        """Name the kinds of instrument that measure an airflow: a pressure gauge does by the plate or tube before it."""
        return ("airflow", "pressure")

    @property
    def says_its_density(self) -> bool:
        """Whether it says alone how the volume that it shows becomes one of standard air."""
        flows = self.volume is VolumeShown.AS_IT_FLOWS and self.outdoor_air is not None
        return flows or self.volume is VolumeShown.STANDARD_AIR

    def subject(self, system: System) -> str:
        """Say the airflow, how it was measured, and where the damper stood."""
        warmth = "" if self.outdoor_air is None else f", at {self.outdoor_air.show(system)}"
        shown = "" if self.volume is None else f", {self.volume.value}"
        found = f"outdoor air {self.airflow.show(system)} by {self.method.value}{warmth}{shown}"
        return f"{self.speed} speed, damper {self.damper_signal}: {found}"


class CarbonDioxide(Noted):
    """Carbon dioxide of outdoor, return and mixed air at one fan speed and one damper signal, read together."""

    what: Literal["carbon dioxide"]
    speed: str = Field(description="name of the fan speed, such as high")
    damper_signal: Signal = Field(description='damper signal held, such as "21 %" or "3.7 V"')
    outdoor_concentration: StreamConcentration
    return_concentration: StreamConcentration
    mixed_concentration: StreamConcentration
    instrument: str | None = Field(None, description="the instrument, where one was used for all three")
    outdoor_instrument: str | None = None
    return_instrument: str | None = None
    mixed_instrument: str | None = None

    def taken_with(self, field: str) -> tuple[str, ...]:  # noqa: ARG002 - all of one kind
        """Name the kind of instrument that reads carbon dioxide."""
        return ("carbon dioxide",)

    def subject(self, system: System) -> str:
        """Say the three concentrations and where the damper stood."""
        outdoor, returned, mixed = (
            one.show(system)
            for one in (self.outdoor_concentration, self.return_concentration, self.mixed_concentration)
        )
        streams = f"carbon dioxide outdoor {outdoor}, return {returned}, mixed {mixed}"
        return f"{self.speed} speed, damper {self.damper_signal}: {streams}"


class Humidity(Noted):
    """Dry bulb and relative humidity of outdoor, return and mixed air at one fan speed and one damper signal."""

    what: Literal["humidity"]
    speed: str = Field(description="name of the fan speed, such as high")
    damper_signal: Signal = Field(description='damper signal held, such as "21 %" or "3.7 V"')
    outdoor_dry_bulb: StreamDryBulb
    outdoor_relative_humidity: RelativeHumidity
    return_dry_bulb: StreamDryBulb
    return_relative_humidity: RelativeHumidity
    mixed_dry_bulb: StreamDryBulb
    mixed_relative_humidity: RelativeHumidity
    instrument: str | None = Field(
        None, description="the humidity instrument, where one was used for all three"
    )
    outdoor_instrument: str | None = None
    return_instrument: str | None = None
    mixed_instrument: str | None = None
    thermometer: str | None = Field(None, description="the temperature probe that read the dry bulbs")

    def taken_with(self, field: str) -> tuple[str, ...]:
        """Name the kind of instrument: for the dry bulbs one for temperature, else one for humidity."""
        return ("temperature",) if field == "thermometer" else ("humidity",)

    def humidity_ratios(self, pressure: float) -> tuple[float, float, float]:
        """Humidity ratio of outdoor, return and mixed air. [kg/kg dry air]

        An instrument shows relative humidity over liquid water, in frost too; the state of air counts it over ice
        there, so that the vapour pressure is worked out here.

        Parameters
        ----------
        pressure
            Barometric pressure at the site. [Pa]

        Returns
        -------
        tuple
            As the air flows: outdoor, return, mixed.

        References
        ----------
        ASHRAE Handbook - Fundamentals 2017 (SI), chapter 1, equations 6 and 20. Relative humidity over liquid water at
        all temperatures: convention of the World Meteorological Organization (from memory).
        """
        outdoor, returned, mixed = (
            humidity_ratio(_vapour_pressure(dry_bulb.value, humidity.value), pressure)
            for dry_bulb, humidity in self.streams
        )
        return outdoor, returned, mixed

    @property
    def streams(self) -> tuple[tuple[Quantity, Quantity], ...]:
        """Dry bulb and relative humidity of each stream, as the air flows."""
        return (
            (self.outdoor_dry_bulb, self.outdoor_relative_humidity),
            (self.return_dry_bulb, self.return_relative_humidity),
            (self.mixed_dry_bulb, self.mixed_relative_humidity),
        )

    def subject(self, system: System) -> str:
        """Say dry bulb and relative humidity of each stream and where the damper stood."""
        said = [f"{dry_bulb.show(system)} {humidity.show(system)}" for dry_bulb, humidity in self.streams]
        streams = f"outdoor {said[0]}, return {said[1]}, mixed {said[2]}"
        return f"{self.speed} speed, damper {self.damper_signal}: {streams}"


def _vapour_pressure(dry_bulb: float, relative_humidity: float) -> float:
    """Partial pressure of the water vapour, of a relative humidity over liquid water. [Pa]"""
    return relative_humidity * math.exp(ln_pressure_over_liquid(dry_bulb + ZERO_CELSIUS, math.log))


class ProbeShows(Entry):
    """One probe, held beside others in the same air."""

    instrument: str = Field(min_length=1, description="id of the probe")
    shows: Temperature


TWO_PROBES = "two or more probes, each with its instrument and what it shows"


class ProbesSideBySide(Noted):
    """Two or more probes read in the same air at the same moment: what they differ by is theirs, not the air's."""

    what: Literal["probes side by side"]
    probes: tuple[ProbeShows, ...] = Field(description=TWO_PROBES)

    @model_validator(mode="after")
    def _two_or_more(self) -> Self:
        if len(self.probes) < 2:
            raise Refused(Refusal("is no pair of probes", TWO_PROBES, "probes"))
        named = [one.instrument for one in self.probes]
        twice = [
            Refusal("is held beside itself", "another probe", f"probes[{number}].instrument", name)
            for number, name in enumerate(named, start=1)
            if name in named[: number - 1]
        ]
        if twice:
            raise Refused(*twice)
        return self

    @property
    def spread(self) -> float:
        """Between the probe that shows most and the one that shows least. [K]"""
        shown = [one.shows.value for one in self.probes]
        return max(shown) - min(shown)

    def instruments_used(self) -> dict[str, str]:
        """Name the probes, by their place in the entry."""
        return {
            f"probes[{number}].instrument": one.instrument for number, one in enumerate(self.probes, start=1)
        }

    def taken_with(self, field: str) -> tuple[str, ...]:  # noqa: ARG002 - all of one kind
        """Name the kind of instrument that reads a temperature."""
        return ("temperature",)

    def subject(self, system: System) -> str:
        """Say what each probe shows."""
        said = ", ".join(f"{one.instrument} {one.shows.show(system)}" for one in self.probes)
        return f"probes side by side: {said}"


AtDamper = OutdoorAirflow | CarbonDioxide | Humidity
"""Readings at one fan speed and one damper signal, those of temperature aside."""
