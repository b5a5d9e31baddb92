"""What readings without end at one place of the damper can carry, to somebody who knows nothing of the curve.

To whom the share may be anything at any other place and speed, only readings at the place itself tell of it. Their noise
averages out; the probes' offsets and the error from layers do not, since the damper stays. So no method passes a speed of
a smaller share than this allows, unless it knows how the share goes between places: the closed form is that of the package
(`ventwright.physics.inference.attainable`), with the estimate in the very middle of what is accepted.
"""

from __future__ import annotations

import math

from benchmarks.balance.roof import KELVIN_PER_FAHRENHEIT, TOLERANCE
from benchmarks.balance.run import NOISE_U
from benchmarks.balance.score import Scored

from ventwright.physics.inference.attainable import ProbeErrors, attainable, relative_u_that_passes

PROBE_U = 0.25 * KELVIN_PER_FAHRENHEIT
"""Standard uncertainty of a probe's offset in the studies that compare with a bound: ±0.5 °F at k = 2. [K]"""


def carried(verdict: Scored, *, check: bool, layers: float, supply: float) -> bool:
    """Whether readings at one place could carry this verdict; what no signal can deliver is not ruled out by it."""
    if verdict.kind != "passes":
        return True
    at_best = attainable(
        verdict.target, verdict.difference * KELVIN_PER_FAHRENHEIT, probes=ProbeErrors(PROBE_U, repeatability_u=NOISE_U),
        layers=layers, supply_u=0.5 * supply, tolerance=TOLERANCE, checked=check, readings=1,
    ).outdoor_air_fraction_u_limit  # fmt: skip
    whole = math.hypot(at_best, 0.5 * supply * verdict.target)
    return whole <= verdict.target * relative_u_that_passes(TOLERANCE)
