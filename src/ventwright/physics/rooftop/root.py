"""The root of a falling or rising function between two points that lie on either side of it."""

from __future__ import annotations

import math
from collections.abc import Callable

from ventwright.errors import Refusal, Refused

MOST_STEPS = 200
"""A bisection of doubles is at its end long before."""


def root(function: Callable[[float], float], low: float, high: float) -> float:
    """Root of a continuous function, to the last digits of a double.

    Inverse quadratic interpolation wherever it can be trusted, else bisection: the flows behind a pressure bend like
    square roots, which stops a plain secant.

    Parameters
    ----------
    function
        Of opposite signs at the two ends.
    low, high
        The ends. [any one unit]

    Returns
    -------
    float
        Where the function is nearest 0. [unit of the ends]

    Raises
    ------
    Refused
        The function has one sign at both ends.

    References
    ----------
    T. R. Chandrupatla, A new hybrid quadratic/bisection algorithm for finding the zero of a nonlinear function without
    using derivatives, Advances in Engineering Software 28 (1997), 145-149 (from memory).
    """
    b, a = low, high
    fb, fa = function(b), function(a)
    if fa * fb > 0.0:
        raise Refused(Refusal("holds no balance of flows", "air paths that can balance", "the air path"))
    c, fc = a, fa
    share = 0.5
    for _ in range(MOST_STEPS):
        x = a + share * (b - a)
        fx = function(x)
        if (fx > 0.0) == (fa > 0.0):
            c, fc = a, fa
        else:
            c, b, fc, fb = b, a, fb, fa
        a, fa = x, fx
        best = a if abs(fa) < abs(fb) else b
        width = abs(b - a)
        tolerance = 2.0 * math.ulp(best) + 1e-300
        if fa == 0.0 or width <= 2.0 * tolerance:
            return best
        share = _next_share(a, b, c, (fa, fb, fc))
        share = min(max(share, tolerance / width), 1.0 - tolerance / width)
    return best


def _next_share(a: float, b: float, c: float, values: tuple[float, float, float]) -> float:
    """Where between a and b to look next, as a share of the way."""
    fa, fb, fc = values
    across = (a - b) / (c - b)
    down = (fa - fb) / (fc - fb)
    if 1.0 - math.sqrt(1.0 - across) < down < math.sqrt(across):
        return fa / (fb - fa) * fc / (fb - fc) + (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb)
    return 0.5
