"""Voltage of a transformer's secondary at any load: from what a meter showed, else from its plate and what is usual."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from ventwright.errors import Refusal, Refused, refuse_word
from ventwright.evidence import Estimate, Limits, Verdict, verdict
from ventwright.facts.instrument import Instrument
from ventwright.facts.power import Transformer
from ventwright.physics.circuit import loaded_voltage, secondary_voltage
from ventwright.quantity import FRACTION, VOLTAGE, Quantity
from ventwright.tables import control_power
from ventwright.tables.meter import thresholds
from ventwright.words import Amount

VoltageBasis = Literal["metered", "one metered point and a guess", "guess"]


@dataclass(frozen=True, slots=True)
class Point:
    """A metered voltage and the apparent power that was drawn then. [V and VA]"""

    voltage: Estimate
    drawn: float


@dataclass(frozen=True, slots=True)
class Secondary:
    """A straight line of voltage over apparent power, and how well each is known."""

    rating: float
    full_load: Estimate
    regulation: Estimate
    points: tuple[Point, ...]

    @property
    def known(self) -> VoltageBasis:
        """What the voltages stand on."""
        match len(self.points):
            case 2:
                return "metered"
            case 1:
                return "one metered point and a guess"
            case _:
                return "guess"

    def at(self, drawn: float, drawn_u: float = 0.0) -> Amount:
        """Voltage while an apparent power [VA], with its standard uncertainty, is drawn."""
        value, uncertainty, slope = self._through_both(drawn) if len(self.points) == 2 else self._usual(drawn)
        return Amount(value, VOLTAGE, math.hypot(uncertainty, slope * drawn_u))

    def lines(self) -> tuple[Secondary, ...]:
        """The line where it is known, else those with the regulation at either end of what is usual."""
        if len(self.points) == 2:
            return (self,)
        return tuple(
            replace(self, regulation=Estimate(end, 0.0)) for end in control_power.assumed("regulation").ends
        )

    def _through_both(self, drawn: float) -> tuple[float, float, float]:
        """Value, uncertainty and slope on the line through two metered points, taken as independent."""
        low, high = self.points
        slope = (high.voltage.value - low.voltage.value) / (high.drawn - low.drawn)
        share = (drawn - low.drawn) / (high.drawn - low.drawn)
        uncertainty = math.hypot((1.0 - share) * low.voltage.uncertainty, share * high.voltage.uncertainty)
        return low.voltage.value + slope * (drawn - low.drawn), uncertainty, slope

    def _usual(self, drawn: float) -> tuple[float, float, float]:
        """Value, uncertainty and slope with the usual regulation, through the one metered point where there is one."""
        loading, regulation = drawn / self.rating, self.regulation.value
        value = loaded_voltage(self.full_load.value, regulation, loading)
        anchor, fixed_loading = self.full_load, 1.0
        if self.points:
            (point,) = self.points
            anchor, fixed_loading = point.voltage, point.drawn / self.rating
            value *= anchor.value / loaded_voltage(self.full_load.value, regulation, fixed_loading)
        whole = 1.0 + regulation * (1.0 - loading)
        fixed = 1.0 + regulation * (1.0 - fixed_loading)
        of_regulation = (1.0 - loading) / whole - (1.0 - fixed_loading) / fixed
        relative = math.hypot(anchor.uncertainty / anchor.value, of_regulation * self.regulation.uncertainty)
        return value, abs(value) * relative, -value / whole * regulation / self.rating


Pair = tuple[Estimate | None, Estimate | None]
"""Metered voltage idle, and with everything running."""


def secondary_of(
    transformer: Transformer, rating: float, idle: float, running: float, metered: Pair
) -> Secondary:
    """Work out what is known of a secondary.

    Parameters
    ----------
    rating
        Of the transformer, read or guessed. [VA]
    idle, running
        Apparent power drawn by what is always on, and by everything with the actuator moving. [VA]
    metered
        Voltages in these two states, where somebody metered them. [V]
    """
    rated, ratio = rated_secondary(transformer), 1.0
    if transformer.supply is not None and transformer.tap is not None:
        ratio = secondary_voltage(1.0, transformer.supply.value, transformer.tap.value)
    usual = control_power.assumed("regulation")
    points = [
        Point(one, drawn)
        for one, drawn in zip(metered, (idle, running), strict=True)
        if one is not None and not is_dead(one.value)
    ]
    if rose_under_load(metered):
        points = []  # swapped, or the supply moved: neither is known to be of its load
    if running - idle < 1e-9:
        points = points[:1]  # nothing was switched between the two: no line goes through one load
    found = Secondary(
        rating,
        Estimate(rated * ratio, rated * ratio * supply_uncertainty(transformer)),
        Estimate(usual.value, usual.uncertainty),
        tuple(points),
    )
    if found.at(0.0).value <= 0.0:
        return replace(found, points=found.points[:1])  # too little was switched for a line through both
    return found


def rose_under_load(metered: tuple[Estimate | Amount | None, Estimate | Amount | None]) -> bool:
    """Whether a metered voltage is higher with everything running than idle, beyond what the meter leaves open.

    Parameters
    ----------
    metered
        Voltages idle, and with everything running. [V]
    """
    idle, loaded = metered
    if idle is None or loaded is None:
        return False
    apart = Estimate(
        idle.value - loaded.value, math.hypot(idle.uncertainty or 0.0, loaded.uncertainty or 0.0)
    )
    return verdict(apart, Limits(0.0, None)) is Verdict.FAILS


def metered_pair(transformer: Transformer, instruments: Sequence[Instrument], where: str) -> Pair:
    """Return the voltages that were metered on a transformer.

    Raises
    ------
    Refused
        The meter is no instrument of the job, or one that measures something else.
    """
    metered, place = transformer.metered, f"{where}.metered"
    idle, loaded = (
        metered_voltage(voltage, metered.instrument, instruments, place) if voltage is not None else None
        for voltage in (metered.idle, metered.loaded)
    )
    return idle, loaded


def is_dead(voltage: float) -> bool:
    """Whether a metered voltage [V] is none: it then says nothing of what the transformer gives under load."""
    return voltage <= thresholds().dead


def rated_secondary(transformer: Transformer) -> float:
    """Rated secondary voltage, 24 V where none was given. [V]"""
    return transformer.secondary.value if transformer.secondary else control_power.assumed("secondary").value


def supply_uncertainty(transformer: Transformer) -> float:
    """Standard uncertainty of the supply voltage, as a share of it: as typed, else that of a nominal voltage. [-]"""
    supply = transformer.supply
    if supply is not None and supply.uncertainty is not None:
        return supply.uncertainty / supply.value
    return control_power.relative_uncertainty("supply")


def metered_voltage(
    voltage: Quantity, instrument: str | None, instruments: Sequence[Instrument], where: str
) -> Estimate:
    """Return a metered voltage with the typed ±, else the meter's, else that of an ordinary meter; never closer than it shows."""
    if voltage.uncertainty is not None:
        of_meter = voltage.uncertainty
    elif instrument is None:
        of_meter = voltage.value * control_power.relative_uncertainty("meter")
    else:
        meter = meter_named(instrument, instruments, f"{where}.instrument")
        share = voltage.value if meter.accuracy.dimension is FRACTION else 1.0
        of_meter = 0.5 * meter.accuracy.value * share
    return Estimate(voltage.value, max(of_meter, control_power.shown_u()))


def meter_named(instrument: str, instruments: Sequence[Instrument], place: str) -> Instrument:
    """Return the meter by its id.

    Raises
    ------
    Refused
        It is no instrument of the job, or measures something else.
    """
    ids = {one.id: one.name for one in instruments}
    if not ids:
        raise Refused(
            Refusal("is no instrument of this job", "one entered in facts.instruments", place, instrument)
        )
    if instrument not in ids:
        raise refuse_word(instrument, ids, "an instrument of this job (facts.instruments)", place)
    meter = instruments[list(ids).index(instrument)]
    if meter.kind != "electrical":
        raise Refused(Refusal(f"measures {meter.kind}", "an electrical instrument", place, instrument))
    return meter
