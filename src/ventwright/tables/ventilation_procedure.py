"""The ventilation rate procedure of ASHRAE 62.1: from people and floor area to the outdoor-air intake.

SI in, SI out. Which rates, effectiveness and coefficients an edition prints is looked up in
``tables.ventilation`` and handed in. All airflows are at standard air density (62.1, 6.2.1, from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from ventwright.errors import Refusal, Refused

if TYPE_CHECKING:
    from collections.abc import Iterable


@dataclass(frozen=True, slots=True)
class Space:
    """A space of one use: people, floor area [m2], people rate [m3/s per person], area rate [m3/s per m2]."""

    people: float
    floor_area: float
    people_rate: float
    area_rate: float
    larger_counts: bool = False
    """The larger of the two terms is the air needed, as in California, instead of their sum."""

    @property
    def outdoor_air(self) -> float:
        """Outdoor air for people and floor area [m3/s]."""
        terms = (self.people_term, self.area_term)
        return max(terms) if self.larger_counts else sum(terms)

    @property
    def people_term(self) -> float:
        """Outdoor air for the people [m3/s]."""
        return self.people * self.people_rate

    @property
    def area_term(self) -> float:
        """Outdoor air for the floor area [m3/s]."""
        return self.floor_area * self.area_rate


def breathing_zone_airflow(spaces: Iterable[Space]) -> float:
    """Return the outdoor air that must reach the breathing zone: people terms plus area terms, or the larger of each.

    A zone of mixed use is the sum over its spaces.

    Parameters
    ----------
    spaces
        Spaces of one zone, one entry a use.

    Returns
    -------
    float
        Vbz [m3/s].

    Raises
    ------
    Refused
        A negative number of people, area or rate.

    References
    ----------
    ASHRAE 62.1-2022, eq. 6-1; 62.1-2016, eq. 6.2.2.1; the larger of the two: California Title 24 Part 6, eq. 120.1-G
    (secondary).
    """
    total = 0.0
    for space in spaces:
        for what, value in (
            ("number of people", space.people),
            ("floor area", space.floor_area),
            ("people rate", space.people_rate),
            ("area rate", space.area_rate),
        ):
            if value < 0:
                raise Refused(impossible(what, value, "zero or more"))
        total += space.outdoor_air
    return total


def zone_outdoor_airflow(breathing_zone: float, effectiveness: float) -> float:
    """Return the outdoor air to supply to a zone so that enough reaches the breathing zone.

    Parameters
    ----------
    breathing_zone
        Vbz [m3/s].
    effectiveness
        Zone air distribution effectiveness Ez, above zero.

    Returns
    -------
    float
        Voz [m3/s].

    References
    ----------
    ASHRAE 62.1-2022, eq. 6-2 (secondary).
    """
    return breathing_zone / above_zero("zone air distribution effectiveness", effectiveness)


def single_zone_intake(zone_outdoor: float) -> float:
    """Return the outdoor-air intake of a unit that serves one zone, which is that of the zone.

    References
    ----------
    ASHRAE 62.1, 6.2.3 (from memory).
    """
    return zone_outdoor


def all_outdoor_air_intake(zone_outdoors: Iterable[float]) -> float:
    """Return the intake [m3/s] of a unit that supplies nothing but outdoor air: the sum of its zones' Voz.

    References
    ----------
    ASHRAE 62.1, 6.2.4 (from memory).
    """
    return sum(zone_outdoors)


def occupant_diversity(people_at_once: float, zone_people: Iterable[float]) -> float:
    """Return the share of the zones' peak people who are in the building at the same time.

    Parameters
    ----------
    people_at_once
        Ps, most people in all zones together at one time.
    zone_people
        Pz of every zone.

    Raises
    ------
    Refused
        More people at once than in the zones together, or nobody in them.

    References
    ----------
    ASHRAE 62.1-2022, 6.2.4 (secondary).
    """
    everybody = above_zero("number of people in all zones", sum(zone_people))
    if not 0 < people_at_once <= everybody * (1 + 1e-9):
        raise Refused(
            impossible("number of people at once", people_at_once, f"more than 0, at most {everybody:g}")
        )
    return min(people_at_once / everybody, 1.0)


def uncorrected_intake(diversity: float, spaces: Iterable[Space]) -> float:
    """Return the outdoor air that all zones use together, people at once counted.

    Parameters
    ----------
    diversity
        Occupant diversity D [fraction].
    spaces
        Every space of every zone.

    Returns
    -------
    float
        Vou [m3/s].

    References
    ----------
    ASHRAE 62.1-2022, 6.2.4 (secondary: addendum f to 62.1-2016, as quoted by a third party).
    """
    every = tuple(spaces)
    return diversity * sum(space.people_term for space in every) + sum(space.area_term for space in every)


def multiple_zone_intake(uncorrected: float, system_efficiency: float) -> float:
    """Return the intake of a multiple-zone recirculating system: Vot = Vou / Ev [m3/s].

    References
    ----------
    ASHRAE 62.1-2022, 6.2.4 (secondary).
    """
    return uncorrected / above_zero("system ventilation efficiency", system_efficiency)


def above_zero(what: str, value: float) -> float:
    """Return a value that has to lie above zero, or refuse it."""
    if not value > 0:
        raise Refused(impossible(what, value, "above zero"))
    return value


def impossible(what: str, value: float, accepted: str) -> Refusal:
    """Build the refusal of a SI value that cannot be."""
    return Refusal("is not possible", accepted, what, f"{value:g}")
