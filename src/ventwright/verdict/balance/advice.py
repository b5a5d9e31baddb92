"""What to do next at a fan speed, and why, in words; where nothing helps today, the cheapest way out."""

from __future__ import annotations

from dataclasses import dataclass

from ventwright.physics.inference import Asked, Do, Posterior, Step, beyond_supply
from ventwright.physics.inference.attainable import Attainable, ProbeErrors, attainable
from ventwright.plan import Plan, least_difference
from ventwright.plan.assumed_space import ENTER_THE_SPACES
from ventwright.quantity import AIRFLOW, FRACTION, TEMPERATURE_DIFFERENCE, VOLTAGE
from ventwright.tables.balance_prior import balance_prior
from ventwright.tables.kit import Kit
from ventwright.verdict.balance.observed import probe_errors
from ventwright.verdict.balance.reading_to_come import USUAL_DIFFERENCE, ReadingToCome
from ventwright.verdict.balance.standing import SpeedAsRead
from ventwright.words import Amount, Words, chance, measured, words


@dataclass(frozen=True, slots=True)
class Advice:
    """The next step: what, at which signal, why; ``way_out`` where no further reading of this kind can settle it."""

    do: Do
    because: Words
    signal: float | None = None
    signal_voltage: float | None = measured(VOLTAGE, default=None)
    way_out: Words | None = None

    @property
    def final(self) -> bool:
        """Whether no further reading is asked for."""
        return self.do not in {Do.READ, Do.COMPARE}


def volts(kit: Kit, signal: float) -> float | None:
    """Voltage of a signal, where the kit's signal is one. [V]"""
    return kit.signal_at(signal) if kit.damper_signal.closed.dimension == VOLTAGE else None


def advise(
    plan: Plan, standing: SpeedAsRead, asked: Asked, step: Step, posterior: Posterior, to_come: ReadingToCome
) -> Advice:
    """Put the next step into words.

    Parameters
    ----------
    plan, standing, asked
        What is wanted of the speed, and where it stands.
    step
        What the search found worth doing.
    posterior
        What the readings have taught.
    to_come
        How one would read next.
    """
    amounts: dict[str, Amount | Words] = {
        "name": Words(standing.speed.name),
        "signal": Amount(step.signal, FRACTION),
        "chance": Words(chance(step.chance)),
        "required": Amount(plan.ventilation.required, AIRFLOW),
    }
    if step.do is Do.CANNOT:
        return _cannot(plan, standing, asked, step, posterior, amounts)
    if step.do is Do.STOP:
        because = Words("another reading like these cannot settle {name} speed today", amounts)
        return Advice(step.do, because, way_out=way_out(plan, standing, asked, to_come))
    text = {
        Do.HOLD: "leave {name} speed at {signal}: the chance that it brings in {required} within what is accepted is {chance}",
        Do.SET: "set {name} speed to {signal}: the readings beside it carry it with a chance of {chance}, no further reading is needed",
        Do.COMPARE: "hold the probes side by side in one air, in the shade, and read them: what they differ by is what keeps {name} speed from being told",
        Do.READ: _why_read(standing, step),
    }[step.do]
    signal = None if step.do is Do.COMPARE else step.signal
    return Advice(step.do, Words(text, amounts), signal, None if signal is None else volts(plan.kit, signal))


def _why_read(standing: SpeedAsRead, step: Step) -> str:
    if not standing.usable:
        return "hold the damper at {signal} at {name} speed and read outdoor, return and mixed air: a first guess, to start from"
    if step.signal in {0.0, 1.0}:
        end = "fully open" if step.signal else "closed"
        return f"hold the damper {end} at {{name}} speed and read: it shows whether any signal brings in {{required}}"
    return "hold the damper at {signal} at {name} speed and read: of all signals, this one most probably settles it ({chance} within so far)"


def _beyond_supply(
    plan: Plan, standing: SpeedAsRead, step: Step, amounts: dict[str, Amount | Words]
) -> Advice:
    """More outdoor air is wanted than all the air the fan moves: no reading at the damper changes that."""
    moved = {**amounts, "supply": Amount(standing.supply.airflow, AIRFLOW)}
    return Advice(
        step.do,
        Words("no signal brings in {required} at {name} speed: the fan moves no more than {supply}", moved),
        step.signal,
        volts(plan.kit, step.signal),
        Words("raise this speed, or see whether the spaces need so much while it runs", moved),
    )


def _cannot(
    plan: Plan, standing: SpeedAsRead, asked: Asked, step: Step, posterior: Posterior,
    amounts: dict[str, Amount | Words],
) -> Advice:  # fmt: skip
    if beyond_supply(asked, balance_prior().rules) is not None:
        return _beyond_supply(plan, standing, step, amounts)
    flow = posterior.at(standing.speed.name, step.signal).mean * standing.supply.airflow
    found = {**amounts, "found": Amount(max(0.0, flow), AIRFLOW)}
    if step.short:
        because = Words("no signal brings in {required} at {name} speed: at {signal} it is {found}", found)
        way = Words("raise this speed, free hood and screen, and see that the return blades close", found)
    else:
        because = Words(
            "{name} speed brings in more than {required} at any signal: at {signal} it is {found}", found
        )
        way = Words(
            "seal what leaks past the outdoor damper, or lower this speed where the unit allows it", found
        )
    return Advice(step.do, because, step.signal, volts(plan.kit, step.signal), way)


def way_out(plan: Plan, standing: SpeedAsRead, asked: Asked, to_come: ReadingToCome) -> Words:
    """Name the cheapest thing that would let a further reading settle the speed."""
    supply, tolerance = standing.supply, plan.ventilation.tolerance
    if plan.ventilation.required_is_guess:
        return ENTER_THE_SPACES
    if supply.uncertainty is None:
        return Words("measure the supply airflow at this speed: a design value carries no verdict")
    if to_come.probes is None:
        return Words("use a temperature probe of known accuracy")
    if to_come.layers is not None and to_come.layers.way == "single point":
        return Words("read the mixed air at eight points or more: one point reads only its own lane")
    could = _attainable(asked.middle, to_come, supply.assumed_u / supply.airflow, tolerance)
    if could.difference_needed is not None:
        needed = Amount(max(could.difference_needed, least_difference()), TEMPERATURE_DIFFERENCE)
        return words(
            "come back when outdoor and return air are {needed} apart or more, or measure the outdoor airflow itself",
            needed=needed,
        )
    exact = _attainable(asked.middle, to_come, 0.0, tolerance)
    if could.supply_u_allowed is not None or exact.difference_needed is not None:
        allowed = could.supply_u_allowed if could.supply_u_allowed is not None else 0.5 * tolerance / 2.0
        return words(
            "measure the supply airflow to ± {allowed} or better: it is the weaker part",
            allowed=Amount(2.0 * allowed, FRACTION),
        )
    return Words(
        "read where the air has mixed: behind the fan with coil and heat off, less what the fan adds; or measure the outdoor airflow itself"
    )


def _attainable(share: float, to_come: ReadingToCome, supply_u: float, tolerance: float) -> Attainable:
    assert to_come.probes is not None  # noqa: S101 - the caller has asked
    errors = [probe_errors(one) for one in to_come.probes]
    offset_u, over_range_u, repeatability_u = (max(one[place] for one in errors) for place in range(3))
    probes = ProbeErrors(offset_u, over_range_u, repeatability_u, to_come.one_probe)
    layers = to_come.layers.share_u if to_come.layers else 0.0
    return attainable(
        min(share, 1.0), to_come.difference or USUAL_DIFFERENCE, probes=probes, layers=layers, supply_u=supply_u,
        tolerance=tolerance, checked=to_come.compared, readings=balance_prior().readings,
    )  # fmt: skip
