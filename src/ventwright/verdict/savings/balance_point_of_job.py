"""The balance point of a job: given, from hours that compressors were seen to run, from internal gains, else a range."""

from __future__ import annotations

from math import hypot

from ventwright.errors import Refusal, Refused
from ventwright.facts.running import Running
from ventwright.physics.moist_air import HEAT_CAPACITY_OF_DRY_AIR, specific_volume
from ventwright.physics.year.balance_point import from_gains, of_the_space, stops_at
from ventwright.plan import Plan
from ventwright.quantity import TEMPERATURE, TEMPERATURE_DIFFERENCE, Quantity
from ventwright.tables import savings_prior
from ventwright.verdict.savings.known_input import Input

NAME = "balance_point"

LINE_BENDS = 0.5
"""Standard uncertainty of where compressors stop, since water on the coil and the heat outdoors bend the line. [K]"""


def balance_point(
    running: Running, plan: Plan, load: tuple[float, float], design: float, returned: float, fan: float
) -> Input:
    """Find the balance point by the best that is known.

    Parameters
    ----------
    running, plan
        Of the job.
    load
        Sensible load of the space on the hottest day, and its standard uncertainty. [W]
    design
        Outdoor air of that day. [°C]
    returned
        Return air. [°C]
    fan
        Power of the supply fan. [W]

    Raises
    ------
    Refused
        The gains are more than the load of the hottest day.
    """
    guess = savings_prior.assumed(NAME, TEMPERATURE, TEMPERATURE_DIFFERENCE)
    usual = savings_prior.assumed("balance_point_given", TEMPERATURE, TEMPERATURE_DIFFERENCE)
    given, gains = running.balance_point, running.internal_gains
    if given is not None:
        u = usual.uncertainty if given.uncertainty is None else given.uncertainty
        return Input(NAME, guess.words, given.value, u, True, "given")
    seen = _from_hours(running, plan, load, design, returned, fan)
    if seen is not None and seen[1] < guess.uncertainty:
        middle, u = seen
        u = max(u, 0.5 * usual.uncertainty)
        return Input(NAME, guess.words, middle, u, True, "from the hours that compressors were seen to run")
    told = None if gains is None else _from_gains(gains, load, design, returned)
    if told is not None and told[1] < guess.uncertainty:
        middle, u = told
        u = max(u, 0.5 * usual.uncertainty)
        return Input(NAME, guess.words, middle, u, True, "from what people and things give off")
    return Input(NAME, guess.words, guess.value, guess.uncertainty, False, guess.source)


def _from_hours(
    running: Running, plan: Plan, load: tuple[float, float], design: float, returned: float, fan: float
) -> tuple[float, float] | None:
    """Balance point by the hours that compressors were seen to run, and its standard uncertainty.

    At the temperature where they stop the space, the fan and the ventilation together ask for nothing; how far that lies
    from the balance point of the space alone grows with the outdoor air, and so does the uncertainty.
    """
    stop = stops_at([(one.outdoor_air.value, one.share_running.value) for one in running.compressor_seen])
    if stop is None:
        return None
    density = 1.0 / specific_volume(returned, 0.0, plan.basis.pressure)
    per_kelvin = density * HEAT_CAPACITY_OF_DRY_AIR * plan.ventilation.required

    def at(crossing: float, watts: float) -> float:
        return of_the_space(crossing, watts, design, fan, per_kelvin * (crossing - returned))

    middle = at(stop.value, load[0])
    crossing_u = hypot(stop.uncertainty, LINE_BENDS)
    of_crossing = 0.5 * (at(stop.value + crossing_u, load[0]) - at(stop.value - crossing_u, load[0]))
    of_load = 0.5 * (at(stop.value, load[0] + load[1]) - at(stop.value, load[0] - load[1]))
    return middle, hypot(of_crossing, of_load)


def _from_gains(
    gains: Quantity, load: tuple[float, float], design: float, returned: float
) -> tuple[float, float] | None:
    """Balance point by the gains, and its standard uncertainty from theirs and the load's; None where no line is told."""
    middle_load, load_u = load
    if gains.value >= middle_load:
        accepted = f"less than the load of the hottest day, {middle_load / 1e3:.1f} kW (facts.running.load_at_design)"
        problem = "is more heat than the space has to lose on the hottest day"
        raise Refused(Refusal(problem, accepted, "facts.running.internal_gains", f"{gains.value / 1e3:g} kW"))
    relative = savings_prior.assumed("gains_given").uncertainty
    gains_u = gains.value * relative if gains.uncertainty is None else gains.uncertainty
    middle = from_gains(gains.value, middle_load, design, returned)
    if middle is None:
        return None
    through = middle_load - gains.value
    warmer = design - returned
    of_gains = warmer * middle_load / through**2 * gains_u
    of_load = warmer * gains.value / through**2 * load_u
    return middle, hypot(of_gains, of_load)
