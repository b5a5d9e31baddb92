"""One air state in pure Python: ours against PsychroLib's call that returns the same quantities, without numba.

Run from the repository: ``python -m benchmarks.bench_air_state``; the exit status is 1 where the goal is missed.
"""

from __future__ import annotations

import random
import sys

from benchmarks import psychrolib_modes, timing

from ventwright.physics import air, wet_bulb

GOAL = 8.0


def main() -> int:
    """Check that the two agree, then compare their times."""
    theirs = psychrolib_modes.plain()
    dice = random.Random(20261125)
    asked = [(dice.uniform(-25, 45), dice.uniform(0.05, 1.0), dice.uniform(75e3, 104e3)) for _ in range(2000)]

    for dry_bulb, relative_humidity, pressure in asked:
        ours = air.state(dry_bulb, relative_humidity=relative_humidity, pressure=pressure)
        ratio, bulb, dew_point, vapour, enthalpy, volume, _ = theirs.CalcPsychrometricsFromRelHum(
            dry_bulb, relative_humidity, pressure
        )
        assert abs(ours.humidity_ratio / ratio - 1) < 1e-5
        assert abs(ours.dew_point - dew_point) < 0.01
        assert abs(ours.vapour_pressure / vapour - 1) < 1e-5
        assert abs(ours.enthalpy - enthalpy) < 5.0
        assert abs(ours.specific_volume / volume - 1) < 1e-5
        if not wet_bulb.has_two_films(dry_bulb, ratio, pressure):
            assert abs(ours.wet_bulb - bulb) < 0.01

    def ask_ours() -> None:
        for dry_bulb, relative_humidity, pressure in asked:
            air.state(dry_bulb, relative_humidity=relative_humidity, pressure=pressure)

    def ask_theirs() -> None:
        for dry_bulb, relative_humidity, pressure in asked:
            theirs.CalcPsychrometricsFromRelHum(dry_bulb, relative_humidity, pressure)

    ratio = timing.times_as_long(ask_ours, ask_theirs)
    return timing.report(
        "one air state, all quantities, no NumPy, no numba",
        [("PsychroLib, plain Python : ours", ratio, GOAL)],
    )


if __name__ == "__main__":
    sys.exit(main())
