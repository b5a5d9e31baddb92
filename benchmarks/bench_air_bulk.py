"""Columns of air states: ours (NumPy) against PsychroLib, in a plain loop and compiled by numba.

All three return humidity ratio, wet bulb, dew point, vapour pressure, enthalpy and volume. The plain loop is
slow, so it does a sample of the rows and its time is scaled by row; ours always does all rows.

Run from the repository: ``python -m benchmarks.bench_air_bulk``; the exit status is 1 where a goal is missed.
"""

from __future__ import annotations

import sys
from typing import Any

import numpy as np
from benchmarks import psychrolib_modes, timing

from ventwright.physics import air

ROWS = 262_144
SAMPLE = ROWS // 256
PLAIN_GOAL, COMPILED_GOAL = 300.0, 10.0
# Two films near 0 °C (see ventwright.physics.wet_bulb): there PsychroLib gives one of the two roots.
FILMS_APART = 1.05


def main() -> int:
    """Check that all three agree, then compare their times."""
    dice = np.random.default_rng(20261125)
    dry_bulb = dice.uniform(-25.0, 45.0, ROWS)
    relative_humidity = dice.uniform(0.05, 1.0, ROWS)
    pressure = dice.uniform(75e3, 104e3, ROWS)
    sample = [row.tolist() for row in (dry_bulb[:SAMPLE], relative_humidity[:SAMPLE], pressure[:SAMPLE])]
    plain, compiled = psychrolib_modes.plain(), psychrolib_modes.compiled()

    def ours() -> air.AirStates:
        return air.states(dry_bulb, relative_humidity=relative_humidity, pressure=pressure)

    def plain_loop() -> list[Any]:
        return [plain.CalcPsychrometricsFromRelHum(*row) for row in zip(*sample, strict=True)]

    def compiled_arrays() -> Any:
        return compiled.CalcPsychrometricsFromRelHum(dry_bulb, relative_humidity, pressure)

    answer = ours()
    check(answer, np.array(plain_loop()).T)
    check(answer, np.array(compiled_arrays()))
    return timing.report(
        f"{ROWS:,} air states, all quantities",
        [
            (
                "PsychroLib, plain loop : ours",
                timing.times_as_long(ours, plain_loop) * ROWS / SAMPLE,
                PLAIN_GOAL,
            ),
            ("PsychroLib, numba arrays : ours", timing.times_as_long(ours, compiled_arrays), COMPILED_GOAL),
        ],
    )


def check(ours: air.AirStates, theirs: Any) -> None:
    """Assert that the rows PsychroLib has done agree with ours."""
    ratio, wet_bulb, dew_point, vapour, enthalpy, volume, _ = theirs
    rows = slice(len(ratio))
    np.testing.assert_allclose(ours.humidity_ratio[rows], ratio, rtol=1e-5)
    np.testing.assert_allclose(ours.vapour_pressure[rows], vapour, rtol=1e-5)
    np.testing.assert_allclose(ours.specific_volume[rows], volume, rtol=1e-5)
    np.testing.assert_allclose(ours.dew_point[rows], dew_point, atol=0.01)
    np.testing.assert_allclose(ours.enthalpy[rows], enthalpy, atol=5.0)
    apart = np.abs(ours.wet_bulb[rows] - wet_bulb)
    assert np.all(apart[np.abs(ours.wet_bulb[rows]) > FILMS_APART] < 0.01)
    assert np.all(apart < FILMS_APART)


if __name__ == "__main__":
    sys.exit(main())
