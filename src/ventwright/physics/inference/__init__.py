"""From readings to belief: one probabilistic estimate of the outdoor-air share, and what is worth reading next."""

from __future__ import annotations

from ventwright.physics.inference.belief import ShareBelief
from ventwright.physics.inference.curve_prior import CurvePrior, Follows, Shape
from ventwright.physics.inference.next_step import beyond_supply, next_step, settled_at
from ventwright.physics.inference.observation import Layers, Observation, merged, of_one_thing, tracer_share
from ventwright.physics.inference.posterior import Posterior, condition
from ventwright.physics.inference.step import Asked, DamperNow, Do, Means, Rules, Step

__all__ = [
    "Asked", "CurvePrior", "DamperNow", "Do", "Follows", "Layers", "Means", "Observation", "Posterior", "Rules",
    "Shape", "ShareBelief", "Step", "beyond_supply", "condition", "merged", "next_step", "of_one_thing", "settled_at",
    "tracer_share",
]  # fmt: skip
