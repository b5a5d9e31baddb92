"""Carbon dioxide as a sign of people: how far a room rises above outdoors, and what a sensor that errs does."""

from __future__ import annotations

from ventwright.errors import Refusal, Refused

PARTS_PER_MILLION = 1e6


def steady_rise(generation: float, outdoor_airflow: float) -> float:
    """How far a room's carbon dioxide stands above outdoors once it no longer changes.

    Holds for air that is well mixed, people who stay long enough (hours, where there is little air) and no other
    source of carbon dioxide.

    Parameters
    ----------
    generation
        What the people give off. [m3/s]
    outdoor_airflow
        Outdoor air that reaches them. [m3/s]

    Returns
    -------
    float
        Rise above outdoors. [ppm]

    Raises
    ------
    Refused
        No outdoor air.

    References
    ----------
    Mass balance of the room; ASHRAE 62.1-2016, informative appendix D (from memory).
    """
    if not outdoor_airflow > 0.0:
        raise Refused(
            Refusal("is not possible", "above zero", "outdoor airflow to the people", f"{outdoor_airflow:g}")
        )
    return generation / outdoor_airflow * PARTS_PER_MILLION


def shortfall_of_low_reading(rise: float, reading_error: float) -> float:
    """Share of the outdoor air that is missing where a sensor that controls it reads low.

    Parameters
    ----------
    rise
        Of the set point above outdoors. [ppm]
    reading_error
        By which the sensor reads low, at least 0. [ppm]

    Returns
    -------
    float
        Missing outdoor air over the air wanted. [-]

    References
    ----------
    Mass balance of the room: the true rise is the set point's and the error, and the airflow falls by their ratio.
    """
    return reading_error / (rise + reading_error)
