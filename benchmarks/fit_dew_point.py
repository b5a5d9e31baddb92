"""Fit the explicit dew point of ``ventwright.physics.saturation``: 1/T as a polynomial in ln p, over ice and water.

Run from the repository: ``python -m benchmarks.fit_dew_point``. It prints the coefficients to paste and the
worst error over the range, found on a grid that the fit has not seen.
"""

from __future__ import annotations

from functools import partial

import numpy as np

from ventwright.physics import saturation

DEGREE = 9
POINTS = 2000


def main() -> None:
    """Fit both phases at Chebyshev points, where a least-squares fit is nearly the best possible one."""
    nodes = np.cos(np.pi * (np.arange(POINTS) + 0.5) / POINTS)
    for name, ln_pressure, least, greatest, centre in (
        ("ICE", partial(saturation.ln_pressure_over_ice, log=np.log), saturation.LEAST, 0.01, 0.0),
        ("LIQUID", partial(saturation.ln_pressure_over_liquid, log=np.log), 0.01, saturation.GREATEST, 9.0),
    ):
        kelvin = 0.5 * (least + greatest) + 0.5 * (greatest - least) * nodes + saturation.ZERO_CELSIUS
        fit = np.polynomial.Polynomial.fit(ln_pressure(kelvin) - centre, 1.0 / kelvin, DEGREE, w=kelvin**2)
        coefficients = [float(f"{coefficient:.11e}") for coefficient in fit.convert().coef]
        unseen = np.linspace(least, greatest, 100_001) + saturation.ZERO_CELSIUS
        found = 1.0 / np.polynomial.Polynomial(coefficients)(ln_pressure(unseen) - centre)
        print(
            f"{name}_INVERSE = {coefficients}  # in ln p - {centre:g}; worst {np.abs(found - unseen).max():.1e} K"
        )


if __name__ == "__main__":
    main()
