"""Fit the starting polynomials of ``ventwright.physics.wet_bulb`` and find the worst errors over the whole range.

Run from the repository: ``python -m benchmarks.fit_wet_bulb_start``. It prints seven coefficients for each film
to paste, the worst error of the start and the worst error after the one Halley step.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

from ventwright.physics import air, wet_bulb

STATES = 200_000
ROUNDS = 200
BISECTIONS = 55


def main() -> None:
    """Fit each film to roots found by bisection, at states spread over the range and crowded on its edges."""
    dice = np.random.default_rng(20261125)
    dry_bulb = dice.uniform(-40.0, 60.0, STATES)
    relative_humidity = np.clip(dice.uniform(-0.1, 1.1, STATES), 0.0, 1.0)
    pressure = np.clip(dice.uniform(45e3, 115e3, STATES), 50e3, 110e3)
    known = air.states(dry_bulb, relative_humidity=relative_humidity, pressure=pressure)
    liquid = known.enthalpy >= wet_bulb.least_enthalpy_over_liquid(pressure)
    for name, film, rows, ratio_of, root_of in (
        ("LIQUID", wet_bulb.LIQUID, liquid, wet_bulb.humidity_ratio_over_liquid, wet_bulb.over_liquid),
        ("ICE", wet_bulb.ICE, ~liquid, wet_bulb.humidity_ratio_over_ice, wet_bulb.over_ice),
    ):
        t, w, h, p = (column[rows] for column in (dry_bulb, known.humidity_ratio, known.enthalpy, pressure))
        truth = bisect(ratio_of, t, w, p)
        heat = h + (wet_bulb.HEAT_OF_FUSION * w if film is wet_bulb.ICE else 0.0)
        u, v = heat / (heat + 180e3), (p - 90e3) / (p + 90e3)  # as in wet_bulb.start
        terms = np.stack([u**0, u, u**2, u**3, v, v * u, v * u**2], axis=1)
        k0, k1, k2, k3, k4, k5, k6 = (float(f"{k:.7g}") for k in least_worst(terms, truth))
        start = (k0, k1, k2, k3, k4, k5, k6)
        setattr(wet_bulb, name, film._replace(start=start))  # so that the step below starts from it
        worst_start = np.abs(terms @ start - truth).max()
        worst_root = np.abs(root_of(h, w, p, np.log, np.exp) - truth).max()
        print(f"{name} start {start}  # off at worst {worst_start:.3f} K, after the step {worst_root:.1e} K")


def bisect(ratio_of: Callable[..., Any], dry_bulb: Any, humidity_ratio: Any, pressure: Any) -> Any:
    """Find the wet bulb at which an equation gives this humidity ratio, which grows with it."""
    low, high = np.full_like(dry_bulb, -45.0), dry_bulb + 0.1
    for _ in range(BISECTIONS):
        middle = 0.5 * (low + high)
        above = ratio_of(middle, dry_bulb, pressure, np.log, np.exp) > humidity_ratio
        low, high = np.where(above, low, middle), np.where(above, middle, high)
    return 0.5 * (low + high)


def least_worst(terms: Any, truth: Any) -> Any:
    """Fit with the least worst error: least squares, weighted again and again by the error left (Lawson)."""
    weights = np.ones(len(truth))
    best, best_error = None, np.inf
    for _ in range(ROUNDS):
        root = np.sqrt(weights)
        coefficients = np.linalg.lstsq(terms * root[:, None], truth * root, rcond=None)[0]
        error = np.abs(terms @ coefficients - truth)
        if error.max() < best_error:
            best, best_error = coefficients, error.max()
        weights = np.maximum(weights * error / error.max(), 1e-7)
        weights /= weights.mean()
    return best


if __name__ == "__main__":
    main()
