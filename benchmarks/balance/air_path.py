"""Families of air paths: share of outdoor air against damper signal and fan speed, none of them the fitting model's.

A family is a function of a cube: each unit is one point of the unit cube, uniformly drawn, so that whoever knows the
family knows the exact distribution of its units. Signals and shares run from 0 to 1. All functions work on columns:
``cube`` has one row a unit, ``signal`` one row a unit and one column a signal; ``flow`` is the supply airflow over
that of the high fan speed.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from ventwright.physics.damper import Blades, loss_coefficient

Array = npt.NDArray[np.float64]
Curve = Callable[[Array, Array, float], Array]

GRID = np.linspace(0.0, 1.0, 2001)


@dataclass(frozen=True, slots=True)
class Family:
    """One kind of air path: how many numbers a unit of it has, and its share at a signal."""

    name: str
    numbers: int
    shares: Curve


def between(cube: Array, column: int, low: float, high: float) -> Array:
    """One number of every unit, uniform between two ends, as a column."""
    drawn: Array = low + (high - low) * cube[:, column : column + 1]
    return drawn


def between_logs(cube: Array, column: int, low: float, high: float) -> Array:
    """One number of every unit, uniform in its logarithm, as a column."""
    drawn: Array = np.exp(between(cube, column, math.log(low), math.log(high)))
    return drawn


def _stroke(signal: Array, begins: Array, ends: Array) -> Array:
    """Share of the blades' travel at a signal: nothing below a dead band, all of it from an early end on."""
    travel: Array = np.clip((signal - begins) / (ends - begins), 0.0, 1.0)
    return travel


def _at_flow(share: Array, cube: Array, first_column: int, flow: float) -> Array:
    """Another fan speed shifts the curve by a few points, smoothly and without turning it back.

    Nobody measured it for these families; our own assumption. The slope of what is added stays above -0.3.
    """
    if flow == 1.0:
        return share
    bow = between(cube, first_column, -0.04, 0.04)
    wave = between(cube, first_column + 1, -0.015, 0.015)
    shifted: Array = share + bow * 4.0 * share * (1.0 - share) + wave * np.sin(2.0 * np.pi * share)
    return shifted


# Losses of opposed and of single (here: parallel) blades; coefficients of the 825-RP model as documented in the
# Modelica Buildings library, Fluid.Actuators.Dampers.Exponential, closed loss for a leakage of 1e-4 of the open one.
_OPPOSED = Blades(-1.51, 9.45, 15 / 90, 55 / 90, 0.45, 0.45e8)
_PARALLEL = Blades(-1.51, 7.578, 15 / 90, 65 / 90, 0.45, 0.45e8)
_LOG_OPPOSED, _LOG_PARALLEL = (
    np.log([loss_coefficient(float(position), blades) for position in GRID])
    for blades in (_OPPOSED, _PARALLEL)
)


def _linked(cube: Array, signal: Array, flow: float, blend: tuple[float, float]) -> Array:
    """Outdoor and return damper linked, each behind a fixed resistance, with gaps, and a pressure in the return plenum.

    Lengths and pressures are in faces of the outdoor damper and velocity heads of the whole flow at high speed in it.
    With q the flow, x the share: p_mixed = -R_outdoor (x q)^2 and p_return - p_mixed = R_return ((1 - x) q)^2, hence
    R_return (1 - x)^2 - R_outdoor x^2 = p_return / q^2: a return pressure that does not scale with the square of
    the flow (space pressure held by relief, wind at the hood) moves the curve with the fan speed. It is drawn as
    a share of what the open return path takes at high speed. Ranges are our own assumption.
    """
    kind = between(cube, 0, *blend)
    begins, ends = between(cube, 1, -0.02, 0.2), between(cube, 2, 0.8, 1.02)
    crank = between(cube, 3, -0.4, 0.4)
    size = between_logs(cube, 4, 0.5, 3.0)
    hood, duct = between_logs(cube, 5, 0.1, 5.0), between_logs(cube, 6, 0.1, 5.0)
    leak, gap = between_logs(cube, 7, 0.005, 0.12), between_logs(cube, 8, 0.005, 0.08)
    pressure = between(cube, 9, -0.2, 0.2)
    opening = np.clip((signal - begins) / (ends - begins), 0.0, 1.0)
    opening = opening + crank * np.sin(2.0 * np.pi * opening) / (2.0 * np.pi)
    outdoor = (blade_loss(opening, kind) + hood) ** -0.5 + leak
    returned = size * ((blade_loss(1.0 - opening, kind) + duct) ** -0.5 + gap)
    head = pressure * (size * ((0.45 + duct) ** -0.5 + gap)) ** -2.0 / flow**2
    return divided(outdoor, returned, head)


def divided(outdoor: Array, returned: Array, head: Array) -> Array:
    """Share of the flow that comes through the outdoor one of two openings, the return one under a pressure of its own."""
    resists, return_resists = outdoor**-2.0, returned**-2.0
    drives = return_resists - head
    root = np.sqrt(np.maximum(return_resists**2 - (return_resists - resists) * drives, 0.0))
    share: Array = np.clip(drives / (return_resists + root), 0.0, 1.0)
    return share


def blade_loss(position: Array, kind: Array) -> Array:
    """Loss between that of opposed (kind 0) and of parallel blades (kind 1), in velocity heads."""
    place = np.clip(position, 0.0, 1.0) * (len(GRID) - 1)
    below = np.minimum(place.astype(np.int64), len(GRID) - 2)
    rest = place - below
    opposed = _LOG_OPPOSED[below] * (1.0 - rest) + _LOG_OPPOSED[below + 1] * rest
    parallel = _LOG_PARALLEL[below] * (1.0 - rest) + _LOG_PARALLEL[below + 1] * rest
    loss: Array = np.exp(opposed + kind * (parallel - opposed))
    return loss


def _opposed(cube: Array, signal: Array, flow: float) -> Array:
    return _linked(cube, signal, flow, (0.0, 0.3))


def _parallel(cube: Array, signal: Array, flow: float) -> Array:
    return _linked(cube, signal, flow, (0.7, 1.0))


def _smoothed(signals: list[float], shares: list[float]) -> Array:
    """A measured table as a smooth rising curve on the grid: straight between the points, then a running mean."""
    straight = np.interp(GRID, signals, np.maximum.accumulate(shares))
    reach = 40
    padded = np.concatenate([np.full(reach, straight[0]), straight, np.full(reach, straight[-1])])
    kernel = np.hanning(2 * reach + 3)[1:-1]
    smooth: Array = np.convolve(padded, kernel / kernel.sum(), mode="valid")
    return smooth


# Air handler of the Energy Resource Station, Iowa (ASHRAE RP-1312), fault-free days, outdoor, return and exhaust
# dampers on one signal: medians of the steady minutes. Below 25 % nothing was measured: level with the first point.
_STATION = _smoothed(
    [0.0, 0.25, 0.35, 0.40, 0.45, 0.55, 0.65, 0.70, 0.75, 0.80, 0.85, 0.90, 0.95, 1.0],
    [0.028, 0.033, 0.072, 0.211, 0.364, 0.547, 0.650, 0.708, 0.729, 0.775, 0.802, 0.854, 0.860, 0.865],
)
# Single-zone air handler of LBNL's FLEXLAB, March 2017. Outdoor damper with the return damper open: medians of the
# days with an imposed or a minimum position. Then the return damper closes: medians of the moving minutes, of
# which the first lie on their way from 0.28.
_OUTDOOR_FIRST = _smoothed([0.0, 0.10, 0.15, 0.50, 1.0], [0.018, 0.175, 0.245, 0.270, 0.285])
_RETURN_AFTER = _smoothed(
    [0.0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0],
    [0.285, 0.340, 0.400, 0.448, 0.479, 0.482, 0.501, 0.589, 0.789, 0.815, 0.948],
)


def _on(table: Array, place: Array) -> Array:
    found: Array = np.interp(place, GRID, table)
    return found


def _measured_station(cube: Array, signal: Array, flow: float) -> Array:
    """The Iowa curve, its signal stretched and shifted, its ends moved."""
    stretch, shift = between(cube, 0, 0.88, 1.12), between(cube, 1, -0.06, 0.06)
    adds, scale = between(cube, 2, -0.01, 0.04), between(cube, 3, 0.85, 1.08)
    place = np.clip(0.5 + (signal - 0.5) * stretch + shift, 0.0, 1.0)
    return _at_flow(adds + scale * _on(_STATION, place), cube, 4, flow)


def _measured_in_turn(cube: Array, signal: Array, flow: float) -> Array:
    """The FLEXLAB curve: the outdoor damper opens over the first part of the signal, the return damper closes over the rest."""
    turn, bend = between(cube, 0, 0.35, 0.65), between(cube, 1, 0.75, 1.4)
    adds, scale = between(cube, 2, -0.01, 0.02), between(cube, 3, 0.85, 1.03)
    first = _on(_OUTDOOR_FIRST, np.clip(signal / turn, 0.0, 1.0) ** bend)
    after = _on(_RETURN_AFTER, np.clip((signal - turn) / (1.0 - turn), 0.0, 1.0))
    return _at_flow(adds + scale * (first + after - _OUTDOOR_FIRST[-1]), cube, 4, flow)


def _measured_return_open(cube: Array, signal: Array, flow: float) -> Array:
    """The FLEXLAB curve with a return damper that never closes: it saturates near 0.28."""
    bend, adds, scale = (
        between(cube, 0, 0.7, 1.5),
        between(cube, 1, -0.01, 0.04),
        between(cube, 2, 0.85, 1.1),
    )
    return _at_flow(adds + scale * _on(_OUTDOOR_FIRST, signal**bend), cube, 3, flow)


def _gate(cube: Array, signal: Array, flow: float) -> Array:
    """A gate or louvre: the squared sine of its angle, which a crank bends."""
    travel = _stroke(signal, between(cube, 0, -0.02, 0.15), between(cube, 1, 0.85, 1.02))
    bent = np.sin(0.5 * np.pi * travel ** between(cube, 2, 0.6, 1.5)) ** 2
    closed, opened = between(cube, 3, 0.0, 0.08), between(cube, 4, 0.6, 0.98)
    return _at_flow(closed + (opened - closed) * bent, cube, 5, flow)


def _power(cube: Array, signal: Array, flow: float) -> Array:
    """A power of the travel after a dead band."""
    travel = _stroke(signal, between(cube, 0, 0.0, 0.25), between(cube, 1, 0.8, 1.02))
    closed, opened = between(cube, 3, 0.0, 0.10), between(cube, 4, 0.5, 1.0)
    return _at_flow(closed + (opened - closed) * travel ** between(cube, 2, 0.7, 3.0), cube, 5, flow)


def _quick(cube: Array, signal: Array, flow: float) -> Array:
    """Quick opening: most of the flow at the first part of the travel."""
    travel, rate = (
        _stroke(signal, between(cube, 0, 0.0, 0.15), np.ones((len(cube), 1))),
        between(cube, 1, 3.0, 8.0),
    )
    opened_share = (1.0 - np.exp(-rate * travel)) / (1.0 - np.exp(-rate))
    closed, opened = between(cube, 2, 0.0, 0.08), between(cube, 3, 0.5, 0.95)
    return _at_flow(closed + (opened - closed) * opened_share, cube, 4, flow)


def _kinked(cube: Array, signal: Array, flow: float) -> Array:
    """Two straight pieces."""
    kink, height = between(cube, 0, 0.2, 0.8), between(cube, 1, 0.15, 0.85)
    pieces = np.where(
        signal < kink, height * signal / kink, height + (1.0 - height) * (signal - kink) / (1.0 - kink)
    )
    closed, opened = between(cube, 2, 0.0, 0.10), between(cube, 3, 0.5, 1.0)
    return _at_flow(closed + (opened - closed) * pieces, cube, 4, flow)


def _leaking(cube: Array, signal: Array, flow: float) -> Array:
    """A closed damper that lets in 10 to 25 %."""
    travel = _stroke(signal, between(cube, 0, 0.0, 0.15), between(cube, 1, 0.85, 1.02))
    rises = 0.5 - 0.5 * np.cos(np.pi * travel ** between(cube, 2, 0.7, 1.6))
    closed, opened = between(cube, 3, 0.10, 0.25), between(cube, 4, 0.55, 0.95)
    return _at_flow(closed + (opened - closed) * rises, cube, 5, flow)


def _return_stays_open(cube: Array, signal: Array, flow: float) -> Array:
    """Return blades that do not close: 30 to 60 % at most."""
    travel, steep = (
        _stroke(signal, between(cube, 0, 0.0, 0.15), np.ones((len(cube), 1))),
        between(cube, 1, 0.8, 2.2),
    )
    rises = travel**steep / (travel**steep + (1.0 - travel) ** steep)
    closed, opened = between(cube, 2, 0.0, 0.08), between(cube, 3, 0.30, 0.60)
    return _at_flow(closed + (opened - closed) * rises, cube, 4, flow)


FAMILIES = (
    Family("opposed", 10, _opposed),
    Family("parallel", 10, _parallel),
    Family("measured_station", 6, _measured_station),
    Family("measured_in_turn", 6, _measured_in_turn),
    Family("measured_return_open", 5, _measured_return_open),
    Family("gate", 7, _gate),
    Family("power", 7, _power),
    Family("quick", 6, _quick),
    Family("kinked", 6, _kinked),
    Family("leaking", 7, _leaking),
    Family("return_stays_open", 6, _return_stays_open),
)


def any_of(name: str, families: tuple[Family, ...]) -> Family:
    """Any of some families, each as likely: the first number of a unit says which."""

    def shares_of(cube: Array, signal: Array, flow: float) -> Array:
        which = np.minimum((cube[:, 0] * len(families)).astype(np.int64), len(families) - 1)
        shares = np.empty((len(cube), signal.shape[1]))
        for number, family in enumerate(families):
            rows = np.flatnonzero(which == number)
            if len(rows):
                of_rows = signal[rows] if len(signal) > 1 else signal
                shares[rows] = family.shares(cube[rows, 1 : 1 + family.numbers], of_rows, flow)
        return shares

    return Family(name, 1 + max(family.numbers for family in families), shares_of)


ANY = any_of("any", FAMILIES)
"""For those who do not know of which family a unit is."""


def all_but(own: Family) -> Family:
    """All families but one: for those who know everything except the kind of air path that they meet."""
    return any_of("any other", tuple(family for family in FAMILIES if family is not own))
