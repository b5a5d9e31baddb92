"""Each fan speed: the share of outdoor air it needs, a first guess of the damper signal, today's mixed air."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from statistics import median

from ventwright.physics.damper import linked_share, position_for
from ventwright.plan.basis import Basis, BasisSpeed
from ventwright.quantity import AIRFLOW, FRACTION, TEMPERATURE, VOLTAGE
from ventwright.tables import prior
from ventwright.tables.kit import Kit
from ventwright.words import Amount, Words, measured, words


@dataclass(frozen=True, slots=True)
class SpeedPlan:
    """What one fan speed should do. ``first_signal`` is a share of full stroke: where to start reading, a guess."""

    name: str
    supply_air: float = measured(AIRFLOW)
    supply_basis: str = ""
    supply_is_guess: bool = False
    target_outdoor_air_fraction: float = measured(FRACTION, default=0.0)
    can_deliver: bool = True
    first_signal: float | None = None
    first_signal_low: float | None = None
    first_signal_high: float | None = None
    first_signal_voltage: float | None = measured(VOLTAGE, default=None)
    target_mixed_air: float | None = measured(TEMPERATURE, default=None)
    remark: Words | None = None


def plan_speeds(
    basis: Basis, required: float, kit: Kit, outdoor: float | None, returned: float | None
) -> tuple[SpeedPlan, ...]:
    """Plan every fan speed, fastest first.

    Parameters
    ----------
    required
        Outdoor airflow the spaces need. [m3/s]
    outdoor, returned
        Temperatures expected today; None where not known. [°C]
    """
    return tuple(_plan_speed(speed, required, kit, outdoor, returned) for speed in basis.speeds)


def _plan_speed(
    speed: BasisSpeed, required: float, kit: Kit, outdoor: float | None, returned: float | None
) -> SpeedPlan:
    share = required / speed.supply_air if speed.supply_air > 0 else float("inf")
    possible = share <= 1.0
    signals = first_signals(share) if possible else ()
    guess = median(signals) if signals else None
    mixed = (
        returned + share * (outdoor - returned)
        if possible and outdoor is not None and returned is not None
        else None
    )
    return SpeedPlan(
        name=speed.name,
        supply_air=speed.supply_air,
        supply_basis=speed.basis,
        supply_is_guess=speed.guess,
        target_outdoor_air_fraction=share,
        can_deliver=possible,
        first_signal=guess,
        first_signal_low=min(signals, default=None),
        first_signal_high=max(signals, default=None),
        first_signal_voltage=_volts(guess, kit),
        target_mixed_air=mixed,
        remark=_remark(speed, share, required) or _cold(speed, mixed),
    )


def _volts(share: float | None, kit: Kit) -> float | None:
    in_volts = kit.damper_signal.closed.dimension == VOLTAGE
    return kit.signal_at(share) if share is not None and in_volts else None


def first_signals(share: float) -> tuple[float, ...]:
    """Damper positions at which boxes of different blades, tightness and size let in a share, from small to large. [-]"""
    priors = prior.damper()
    boxes = [
        partial(linked_share, blades=blades, return_size=size, leak=leak)
        for blades in priors.blades
        for size in priors.return_sizes
        for leak in priors.leaks
    ]
    found = [position_for(share, box) for box in boxes]
    return tuple(sorted(position for position in found if position is not None))


def _remark(speed: BasisSpeed, share: float, required: float) -> Words | None:
    """What to do where a speed cannot, or may not, bring in the air."""
    name, need = Words(speed.name), Amount(required, AIRFLOW)
    if share > 1.0:
        return words(
            "{name} speed moves {supply}, less than the {need} of outdoor air required: raise this speed until it can carry it",
            name=name, supply=Amount(speed.supply_air, AIRFLOW), need=need,
        )  # fmt: skip
    reach = prior.damper().reach
    if share > reach:
        return words(
            "{name} speed would need {share} outdoor air, and few units reach {reach} even fully open: be ready to raise this speed",
            name=name, share=Amount(share, FRACTION), reach=Amount(reach, FRACTION),
        )  # fmt: skip
    return None


def _cold(speed: BasisSpeed, mixed: float | None) -> Words | None:
    """Where the required air alone makes the mixture too cold, no limit of the damper helps: it is at its minimum already."""
    freeze = prior.usual("freeze_protection", TEMPERATURE).value
    if mixed is None or mixed >= freeze:
        return None
    return words(
        "at {name} speed the required outdoor air alone makes the mixed air {mixed} today, below the {freeze} of freeze protection: "
        "see that heat runs before the damper opens, and keep the test short", name=Words(speed.name),
        mixed=Amount(mixed, TEMPERATURE), freeze=Amount(freeze, TEMPERATURE),
    )  # fmt: skip
