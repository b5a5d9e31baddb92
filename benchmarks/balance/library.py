"""A broad library of curves from physics, for somebody who knows no family of the units and is honest about it.

Two sets of blades on one signal, each with a stroke and a crank of its own: the outdoor one may be open before the return
one begins to close, and the return one may never close. Behind each a fixed resistance, beside each a gap, and a pressure
in the return plenum. Losses are those of research project 825-RP as in the package; the ranges contain what its tables
hold of dampers and boxes (`tables/priors/damper_guess.toml`, `balance.toml`, `software_unit.toml`) and go beyond, evenly.
No curve is exactly true: a smooth departure is added, and a smaller one for the fan speed; a closed damper has none
but its leak. The eleven families that the units are drawn from are no part of it, but for the blades' losses that both
take from the same source.
"""

from __future__ import annotations

from statistics import NormalDist

import numpy as np
from benchmarks.balance.air_path import Array, Family, between, between_logs, blade_loss, divided

DEPARTS, DEPARTS_OVER = 0.05, 0.25
"""Standard deviation of a curve's departure from physics, and the share of stroke over which it stays alike; as the package
allows of its own smooth rises (`tables/priors/balance.toml`). [-]"""
OF_SPEED, OF_SPEED_OVER = 0.03, 0.5
"""The same of the curve of another fan speed from that of the high one, beyond what the plenum's pressure does; likewise. [-]"""
CLOSED = 0.1
"""Signal at which the departures have half their size, as the package assumes. [-]"""
PHYSICS = 15
NODES, OF_SPEED_NODES = np.linspace(0.0, 1.0, 6), np.linspace(0.0, 1.0, 3)

_CHANCES = (np.arange(20001) + 0.5) / 20001
_NORMAL = np.array([NormalDist().inv_cdf(float(chance)) for chance in _CHANCES])


def _from_physics(cube: Array, signal: Array, flow: float) -> Array:
    """The share without any departure."""
    kind, return_kind = between(cube, 0, 0.0, 1.0), between(cube, 1, 0.0, 1.0)
    begins = np.maximum(between(cube, 2, -0.05, 0.25), 0.0)
    ends = np.minimum(begins + between(cube, 3, 0.1, 1.6), 1.0)
    return_begins, return_ends = np.maximum(between(cube, 4, -0.6, 0.6), 0.0), between(cube, 5, 0.8, 1.05)
    bend, return_bend = between_logs(cube, 6, 0.6, 1.7), between_logs(cube, 7, 0.6, 1.7)
    stays_open = np.maximum(between(cube, 8, -1.0, 1.0), 0.0)
    size = between_logs(cube, 9, 0.5, 3.0)
    hood, duct = between_logs(cube, 10, 0.1, 5.0), between_logs(cube, 11, 0.1, 5.0)
    leak, gap = between_logs(cube, 12, 0.005, 0.3), between_logs(cube, 13, 0.005, 0.3)
    pressure = between(cube, 14, -0.2, 0.2)
    opening = np.clip((signal - begins) / (ends - begins), 0.0, 1.0) ** bend
    closing = np.clip((signal - return_begins) / (return_ends - return_begins), 0.0, 1.0) ** return_bend
    outdoor = (blade_loss(opening, kind) + hood) ** -0.5 + leak
    left_open = 1.0 - (1.0 - stays_open) * closing
    returned = size * ((blade_loss(left_open, return_kind) + duct) ** -0.5 + gap)
    head = pressure * (size * ((0.45 + duct) ** -0.5 + gap)) ** -2.0 / flow**2
    return divided(outdoor, returned, head)


def _smooth(cube: Array, signal: Array, nodes: Array, over: float) -> Array:
    """A smooth normal process of unit standard deviation at the nodes, a number of the cube for each of them."""
    covariance = np.exp(-0.5 * ((nodes[:, None] - nodes[None, :]) / over) ** 2)
    root = np.linalg.cholesky(covariance + 1e-9 * np.eye(len(nodes)))
    weights = np.linalg.solve(root.T, np.interp(cube, _CHANCES, _NORMAL).T)
    process = np.zeros(np.broadcast_shapes((len(cube), 1), signal.shape))
    for node, weight in zip(nodes, weights, strict=True):
        process += np.exp(-0.5 * ((signal - node) / over) ** 2) * weight[:, None]
    return process


def _library(cube: Array, signal: Array, flow: float) -> Array:
    """A curve of the library, as it departs from physics."""
    ends = PHYSICS + len(NODES)
    departs = DEPARTS * _smooth(cube[:, PHYSICS:ends], signal, NODES, DEPARTS_OVER)
    if flow != 1.0:
        departs = departs + OF_SPEED * _smooth(cube[:, ends:], signal, OF_SPEED_NODES, OF_SPEED_OVER)
    share: Array = np.clip(_from_physics(cube, signal, flow) + departs * signal / (signal + CLOSED), 0.0, 1.0)
    return share


LIBRARY = Family("library", PHYSICS + len(NODES) + len(OF_SPEED_NODES), _library)
"""For those who know dampers in general, and neither the unit nor the kind of units."""
