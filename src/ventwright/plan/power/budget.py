"""What hangs on a transformer: apparent power idle, running, while the actuator strokes and while a coil pulls in."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from operator import attrgetter

from ventwright.evidence import Estimate
from ventwright.facts.instrument import Instrument
from ventwright.facts.power import Load, Transformer
from ventwright.physics.circuit import current, phase_angle, vector_sum
from ventwright.plan.basis import Guess
from ventwright.plan.power.ends import Ends, ends_of
from ventwright.plan.power.secondary import (
    Secondary,
    VoltageBasis,
    is_dead,
    metered_pair,
    rated_secondary,
    rose_under_load,
    secondary_of,
)
from ventwright.quantity import APPARENT_POWER, CURRENT, FRACTION, VOLTAGE
from ventwright.tables import control_power
from ventwright.tables.class_2 import class_2
from ventwright.words import NO_KEY, Amount, Words, measured, words


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadShare:
    """One load as the budget counts it."""

    name: str
    when: str
    rectifier: str
    apparent_power: float = measured(APPARENT_POWER)
    power_factor: float | None
    inrush: Amount
    inrush_is_guess: bool

    @property
    def more(self) -> float:
        """What it draws more while it strokes or pulls in. [VA]"""
        return self.inrush.value - self.apparent_power

    @property
    def more_ends(self) -> tuple[float, float]:
        """The same at both ends of what is usual, where nobody gave the inrush. [VA]"""
        half = math.sqrt(3.0) * (self.inrush.uncertainty or 0.0)
        return self.more - half, self.more + half


@dataclass(frozen=True, slots=True, kw_only=True)
class TransformerBudget:
    """A transformer, what it is asked for and what it gives. Sums are plain sums unless they say otherwise."""

    name: str
    rating: float = measured(APPARENT_POWER)
    rating_is_guess: bool
    supply: float | None = measured(VOLTAGE)
    tap: float | None = measured(VOLTAGE)
    rated_secondary: float = measured(VOLTAGE)
    loads: tuple[LoadShare, ...]
    idle_power: float = measured(APPARENT_POWER)
    running_power: float = measured(APPARENT_POWER)
    vector_power: float = measured(APPARENT_POWER)
    stroking_power: float = measured(APPARENT_POWER)
    worst_power: Amount
    pulls_in: str | None
    loading_fraction: float = measured(FRACTION)
    vector_fraction: float = measured(FRACTION)
    stroking_fraction: float = measured(FRACTION)
    worst_fraction: float = measured(FRACTION)
    rated_current: float = measured(CURRENT)
    running_current: float = measured(CURRENT)
    metered_idle: Amount | None = measured(VOLTAGE)  # noqa: RUF009 - a field that may be empty still names its unit
    metered_loaded: Amount | None = measured(VOLTAGE)  # noqa: RUF009 - a field that may be empty still names its unit
    voltages_known_from: VoltageBasis
    no_load_voltage: Amount
    idle_voltage: Amount
    running_voltage: Amount
    worst_voltage: Amount
    fuse_at_least: float = measured(CURRENT)
    fuse_at_most: float | None = measured(CURRENT)
    fuse_suggested: float | None = measured(CURRENT)
    secondary: Secondary = field(metadata=NO_KEY)

    @property
    def pulling(self) -> tuple[LoadShare, ...]:
        """The loads of which one pulls in at the worst moment, on top of every stroke."""
        return tuple(one for one in self.loads if one.when != "while stroking" and one.more > 0.0)

    @property
    def no_load_ends(self) -> Ends:
        """Voltage without load, at both ends of what nobody gave."""
        return ends_of(line.at(0.0) for line in self.secondary.lines())

    @property
    def running_ends(self) -> Ends:
        """Voltage with everything running, at both ends of what nobody gave."""
        if self.metered_loaded is not None:
            return ends_of([self.metered_loaded])
        return ends_of(line.at(self.stroking_power) for line in self.secondary.lines())

    @property
    def worst_ends(self) -> Ends:
        """Voltage at the worst moment, at both ends of what nobody gave."""
        drawn = [
            self.stroking_power + max((one.more_ends[end] for one in self.pulling), default=0.0)
            for end in (0, 1)
        ]
        return ends_of(line.at(one) for line in self.secondary.lines() for one in drawn)

    @property
    def voltages_are_guess(self) -> bool:
        """Whether a voltage stands on a rating nobody read: only two metered points do without it."""
        return self.rating_is_guess and self.voltages_known_from != "metered"

    @property
    def nothing_comes_out(self) -> Amount | None:
        """The metered voltage that is none; None where nothing was metered, or something was there."""
        metered = [one for one in (self.metered_idle, self.metered_loaded) if one is not None]
        return next((one for one in metered if is_dead(one.value)), None)

    @property
    def voltage_is_not_told(self) -> bool:
        """Whether the metered voltages contradict what any transformer does: nothing is then known of those under load."""
        return self.nothing_comes_out is not None or rose_under_load((self.metered_idle, self.metered_loaded))


def budget_of(
    transformer: Transformer, loads: Sequence[Load], instruments: Sequence[Instrument], where: str
) -> TransformerBudget:
    """Add up what hangs on a transformer and work out its voltages.

    Worst is everything on, every actuator stroking, and of the coils on call the one with the largest inrush
    pulling in: calls come one after another (common practice, no published source).

    Raises
    ------
    Refused
        A meter that is no instrument of the job.
    """
    shares = tuple(_share(load) for load in loads)
    rating = transformer.rating.value if transformer.rating else control_power.assumed("rating").value
    rated = rated_secondary(transformer)
    idle = math.fsum(one.apparent_power for one in shares if one.when == "always on")
    running = math.fsum(one.apparent_power for one in shares)
    stroking = running + math.fsum(one.more for one in shares if one.when == "while stroking")
    pulling = max(
        (one for one in shares if one.when != "while stroking"), key=attrgetter("more"), default=None
    )
    if pulling is not None and pulling.more <= 0.0:
        pulling = None
    worst = Amount(
        stroking + (pulling.more if pulling else 0.0),
        APPARENT_POWER,
        pulling.inrush.uncertainty if pulling else None,
    )
    metered = metered_pair(transformer, instruments, where)
    secondary = secondary_of(transformer, rating, idle, stroking, metered)
    metered_idle, metered_loaded = (_volts(one) for one in metered)
    vector = _vector(shares)
    no_load = secondary.at(0.0)
    fuse_at_least, fuse_at_most = current(stroking, rated), _largest_fuse(no_load, rated)
    return TransformerBudget(
        name=transformer.name,
        rating=rating,
        rating_is_guess=transformer.rating is None,
        supply=transformer.supply.value if transformer.supply else None,
        tap=transformer.tap.value if transformer.tap else None,
        rated_secondary=rated,
        loads=shares,
        idle_power=idle,
        running_power=running,
        vector_power=vector,
        stroking_power=stroking,
        worst_power=worst,
        pulls_in=pulling.name if pulling else None,
        loading_fraction=running / rating,
        vector_fraction=vector / rating,
        stroking_fraction=stroking / rating,
        worst_fraction=worst.value / rating,
        rated_current=current(rating, rated),
        running_current=current(running, rated),
        metered_idle=metered_idle,
        metered_loaded=metered_loaded,
        voltages_known_from=secondary.known,
        no_load_voltage=no_load,
        idle_voltage=metered_idle or secondary.at(idle),
        running_voltage=metered_loaded or secondary.at(stroking),
        worst_voltage=secondary.at(worst.value, worst.uncertainty or 0.0),
        fuse_at_least=fuse_at_least,
        fuse_at_most=fuse_at_most,
        fuse_suggested=_fuse(fuse_at_least, fuse_at_most, current(rating, rated)),
        secondary=secondary,
    )


def _volts(estimate: Estimate | None) -> Amount | None:
    return Amount(estimate.value, VOLTAGE, estimate.uncertainty) if estimate else None


def _share(load: Load) -> LoadShare:
    """Count a load; the inrush of a coil on call that nobody gave is guessed, that of anything else is none."""
    when = load.when or ("while stroking" if load.inrush else "always on")
    power = load.apparent_power.value
    guessed = load.inrush is None and when == "on call"
    if guessed:
        times = control_power.assumed("inrush")
        inrush = Amount(times.value * power, APPARENT_POWER, times.uncertainty * power)
    else:
        inrush = Amount(load.inrush.value if load.inrush else power, APPARENT_POWER)
    return LoadShare(
        name=load.name, when=when, rectifier=load.rectifier, apparent_power=power, power_factor=load.power_factor,
        inrush=inrush, inrush_is_guess=guessed,
    )  # fmt: skip


def _vector(shares: Sequence[LoadShare]) -> float:
    """Vector sum; a load without a power factor is added in full, as if in step with the rest. [VA]"""
    known = [
        (one.apparent_power, phase_angle(one.power_factor)) for one in shares if one.power_factor is not None
    ]
    return vector_sum(known) + math.fsum(one.apparent_power for one in shares if one.power_factor is None)


def _largest_fuse(no_load: Amount, rated: float) -> float | None:
    """Largest protection at the careful end of the highest voltage; None where the source is not Class 2. [A]

    The limit is meant at rated supply: on a wrong tap, which one day is put right, the voltage is no lower for it.
    """
    as_rated = rated * (1.0 + control_power.assumed("regulation").value)
    careful = max(no_load.value + 2.0 * (no_load.uncertainty or 0.0), as_rated)
    limits = class_2(careful) or class_2(as_rated)
    return limits.fuse if limits else None


def _fuse(at_least: float, at_most: float | None, rated_current: float) -> float | None:
    """Largest usual fuse that protects the transformer, keeps within Class 2 and carries the load; None where none does."""
    protects = rated_current * (control_power.accepted("fuse").most or 1.0)
    most = protects if at_most is None else min(protects, at_most)
    fitting = [fuse for fuse in control_power.usual_fuses() if at_least < fuse <= most + 1e-9]
    return fitting[-1] if fitting else None


def guesses_of(budget: TransformerBudget) -> list[Guess]:
    """Say what was assumed about a transformer and its loads because nobody gave it."""
    found = []
    what, name = f"power.{budget.name}", Words(budget.name)
    if budget.rating_is_guess:
        source = control_power.assumed("rating").source
        found.append(Guess(f"{what}.rating", words(
            "{name}: rating taken as {rating}, since nobody read its nameplate ({source})",
            name=name, rating=Amount(budget.rating, APPARENT_POWER), source=Words(source))))  # fmt: skip
    if budget.voltages_known_from != "metered":
        usual = control_power.assumed("regulation")
        found.append(Guess(f"{what}.regulation", words(
            "{name}: its voltage taken to rise by {usual} from rated load to none ({source}); "
            "two metered voltages, idle and with everything running, would settle it",
            name=name, usual=Amount(usual.value, FRACTION, usual.uncertainty), source=Words(usual.source))))  # fmt: skip
    if not budget.loads:
        nothing = words("{name}: nothing is taken to hang on it, since no load was given", name=name)
        found.append(Guess(f"{what}.loads", nothing))
    for one in budget.loads:
        if one.inrush_is_guess:
            source = control_power.assumed("inrush").source
            found.append(Guess(f"{what}.{one.name}.inrush", words(
                "{load}: inrush taken as {inrush} ({source})",
                load=Words(one.name), inrush=one.inrush, source=Words(source))))  # fmt: skip
    return found
