"""Which curve a sensor follows, from pairs of ohms and temperature: one curve, no curve, or cannot tell and what would settle it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from ventwright.errors import Refusal, Refused
from ventwright.evidence import ACCEPTED_RISK
from ventwright.physics.sensor import in_ohms, wire_resistance
from ventwright.physics.sensor_match import Candidate, Match, Pair, matches, told_apart
from ventwright.quantity import RESISTANCE, TEMPERATURE, TEMPERATURE_DIFFERENCE
from ventwright.tables.sensor_curve import SensorCurve, assumed, curves
from ventwright.words import Amount, Words, measured, words


class CurveVerdict(StrEnum):
    """What pairs of ohms and temperature show about a sensor's curve."""

    ONE_CURVE = "one_curve"
    NO_CURVE = "no_curve"
    CANNOT_TELL = "cannot_tell"


@dataclass(frozen=True, slots=True)
class CurveResistance:
    """What would be metered if the sensor followed one curve."""

    curve: str
    resistance: float = measured(RESISTANCE)


@dataclass(frozen=True, slots=True)
class NextPair:
    """The pair to take next, and what each curve still open would show there."""

    expected: tuple[CurveResistance, ...]
    temperature: float = measured(TEMPERATURE)


@dataclass(frozen=True, slots=True)
class CurveFinding:
    """Which curve a sensor follows, as far as the pairs show."""

    finding: CurveVerdict
    curve: str | None
    reason: Words
    matches: tuple[Match, ...]
    next_pair: NextPair | None


def which_curve(pairs: Sequence[Pair], among: Sequence[SensorCurve] | None = None) -> CurveFinding:
    """Find the curve that a sensor follows.

    A curve is found where, of all curves here, it is this one with at least 95 % probability, the pairs fit it and
    lie far enough apart to show its shape. No curve is found where the pairs fit none of them.

    Parameters
    ----------
    pairs
        Ohms of the sensor, with the temperature that a probe beside it shows.
    among
        Curves that could be meant; all of them where None.

    Returns
    -------
    CurveFinding
        One curve, no curve, or cannot tell with the pair to take next.

    Raises
    ------
    Refused
        No pair at all.
    """
    if not pairs:
        raise Refused(
            Refusal("is no pair", "ohms and the temperature of the sensor, at two temperatures or more")
        )
    given, meant = assumed(), {curve.id: curve for curve in (among or curves())}
    candidates = {name: _candidate(curve, pairs) for name, curve in meant.items()}
    found = matches(pairs, list(candidates.values()), 0.5 * given.beside)
    fitting = [match for match in found if match.chance >= ACCEPTED_RISK]
    if not fitting:
        return CurveFinding(CurveVerdict.NO_CURVE, None, _none_fits(found), found, None)
    best = found[0]
    spread = max(pair.temperature for pair in pairs) - min(pair.temperature for pair in pairs)
    shaped = len(pairs) > 1 and spread >= given.apart
    if shaped and best is fitting[0] and best.probability >= 1.0 - ACCEPTED_RISK:
        reason = words("the pairs fit {name} within {off}, and no other curve here", name=Words(best.name),
                       off=Amount(max(map(abs, best.residuals)), TEMPERATURE_DIFFERENCE))  # fmt: skip
        return CurveFinding(CurveVerdict.ONE_CURVE, best.name, reason, found, None)
    return _cannot_tell(found, candidates, spread, shaped=shaped)


def _candidate(curve: SensorCurve, pairs: Sequence[Pair]) -> Candidate:
    widest = max(curve.tolerance.half_width(pair.temperature) for pair in pairs)
    return Candidate(curve.id, curve.curve, 0.5 * widest)


NEAR = 20.0
"""Kelvins beyond which the nearest curve says nothing."""


def _none_fits(found: Sequence[Match]) -> Words:
    nearest = min(found, key=lambda match: match.misfit)
    if nearest.misfit > NEAR:
        return Words(
            "no curve here comes near these ohms: a short, an open circuit, or another kind of sensor"
        )
    return words("the pairs fit no curve here; the nearest, {name}, is off by up to {off}: a faulty or wet sensor, another "
                 "resistor in the circuit, a probe that stood elsewhere, or a curve that is not here",
                 name=Words(nearest.name), off=Amount(max(map(abs, nearest.residuals)), TEMPERATURE_DIFFERENCE))  # fmt: skip


def _listed(names: Sequence[str]) -> str:
    return " and ".join(filter(None, (", ".join(names[:-1]), names[-1])))


def _cannot_tell(
    found: Sequence[Match], candidates: dict[str, Candidate], spread: float, *, shaped: bool
) -> CurveFinding:
    """Say what is left open and which pair would settle it: at the reachable temperature that parts the curves best."""
    given = assumed()
    still = [match.name for match in found if match.probability > ACCEPTED_RISK] or [found[0].name]
    rivals = [candidates[name] for name in (still if len(still) > 1 else [match.name for match in found[:2]])]
    at = told_apart(rivals, (given.ice_bath, given.warm_water))
    next_pair = NextPair(
        tuple(CurveResistance(one.name, wire_resistance(at, one.curve)) for one in rivals), at
    )
    if len(still) > 1:
        said = words("these pairs cannot tell {names} apart", names=Words(_listed(still)))
    elif shaped:
        said = words("{name} is likeliest, and the pairs fit it badly", name=Words(still[0]))
    else:
        said = words("{name} is likeliest, and readings {spread} apart show one point of it, not its shape",
                     name=Words(still[0]), spread=Amount(spread, TEMPERATURE_DIFFERENCE))  # fmt: skip
    how = "in an ice bath" if at == given.ice_bath else "in warm water"
    shows = _listed([f"{in_ohms(one.resistance)} would be {one.curve}" for one in next_pair.expected])
    reason = words("{said}; take one more pair at {at} {how}, leads kept dry: {shows}",
                   said=said, at=Amount(at, TEMPERATURE), how=Words(how), shows=Words(shows))  # fmt: skip
    return CurveFinding(CurveVerdict.CANNOT_TELL, None, reason, tuple(found), next_pair)
