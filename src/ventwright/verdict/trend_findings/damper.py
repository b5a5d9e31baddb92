"""What the shares of outdoor air say of the damper: whether it follows, is stuck, reversed or leaking, and how sure that is.

Shares are pooled over a day, a few days and more, so that evidence adds up while a fault lasts; what all days have in
common, the sensors' errors, does not add up. A fault is named only where its effect exceeds its expanded uncertainty the
number of times that the data file asks for.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from ventwright.tables.fault_rule import Figures, RuleSet
from ventwright.verdict.trend_findings.change import changes
from ventwright.verdict.trend_findings.compared import (
    Candidate,
    accepted_share,
    at_one,
    between,
    ln_beyond,
    probability,
    stretch,
    worth_keeping,
)
from ventwright.verdict.trend_findings.day_sums import DaySums
from ventwright.verdict.trend_findings.pool import (
    ClassShare,
    Days,
    LastingErrors,
    Pool,
    errors,
    pooled,
    roughly,
)
from ventwright.verdict.trend_findings.shape import COVERAGE, KnownUnit
from ventwright.verdict.trend_findings.signal_classes import HIGH, LOW, MIDDLE, PER_DAY, SHUT, merge_of

STUCK = "outdoor_air_damper_stuck"
REVERSED = "outdoor_air_damper_actuator_reversed"
LEAKING = "outdoor_air_damper_leaking"
EXCESS = "excess_outdoor_air"
SHORT = "outdoor_air_short_when_open"
TOO_LOW, TOO_HIGH = "minimum_position_too_low", "minimum_position_too_high"


@dataclass(frozen=True, slots=True)
class DamperSeen:
    """All that the shares say."""

    candidates: tuple[Candidate, ...]
    """Every window, those with most to say first."""
    sound: frozenset[str]
    """Faults that are ruled out."""
    pool: Pool | None
    """Of all days."""
    fine: Pool | None
    """The same by fine classes of signal."""
    hours: float


def damper_seen(sums: DaySums, rules: RuleSet, known: KnownUnit, *, of_supply: bool) -> DamperSeen:
    """Judge the damper by the shares of all days and of stretches of them.

    Parameters
    ----------
    sums
        The log by day; without shares nothing is said.
    rules
        Thresholds, and the first probability of every fault.
    known
        Of the unit: its shares as left, as designed, and the accuracy of its sensors.
    of_supply
        Whether the shares are from supply air, none of mixed air being logged.
    """
    figures = rules.figures
    days = Days(sums.shares, merge_of(figures))
    if not len(days):
        return DamperSeen((), frozenset(), None, None, 0.0)
    judge = _Judge(days, rules, known, errors(figures, known, of_supply=of_supply))
    whole = judge.pool(0, len(days))
    found = [one for start, end in _windows(len(days), figures) for one in judge.candidates(start, end)]
    found = worth_keeping([*found, *changes(sums, rules, judge.sensor)])
    fine = Days(sums.shares, range(PER_DAY // 2))
    return DamperSeen(
        tuple(found),
        judge.sound_now(),
        whole,
        pooled(fine.between(0, len(fine)), figures, judge.sensor),
        whole.hours,
    )


def _windows(count: int, figures: Figures) -> Iterator[tuple[int, int]]:
    """Yield stretches of the days on which anything could be judged: all, and every one of the lengths asked for."""
    yield 0, count
    for length in figures.named.windows:
        if length < count:
            for end in range(length, count + 1, max(1, length // 3)):
                yield end - length, end


class _Judge:
    def __init__(self, days: Days, rules: RuleSet, known: KnownUnit, sensor: LastingErrors) -> None:
        self.days, self.rules, self.known, self.sensor = days, rules, known, sensor
        self.figures = rules.figures
        self.sound = rules.figures.damper
        self._ruled_out: dict[str, int] = {}
        self._suspected: dict[str, int] = {}
        self._end = 0

    def pool(self, start: int, end: int) -> Pool:
        return pooled(self.days.between(start, end), self.figures, self.sensor)

    def candidates(self, start: int, end: int) -> Iterator[Candidate]:
        for one in self._compared(start, end):
            chance = probability(self.rules.fault(one.fault).prior, one.ln_odds, self.figures)
            if chance > self.figures.named.suspected:
                self._suspected[one.fault] = max(end, self._suspected.get(one.fault, 0))
            yield stretch(one, chance, self.days, start, end)

    def sound_now(self) -> frozenset[str]:
        """Return the faults that are ruled out, and not suspected since."""
        return frozenset(
            fault for fault, end in self._ruled_out.items() if end >= self._suspected.get(fault, 0)
        )

    def _rule_out(self, *faults: str) -> None:
        for fault in faults:
            self._ruled_out[fault] = max(self._end, self._ruled_out.get(fault, 0))

    def _compared(self, start: int, end: int) -> Iterator[Candidate]:
        self._end = end
        cells = self.days.between(start, end)
        if sum(row[2] for row in cells.values()) < 3600.0 * self.sound.least_hours:
            return
        pool = pooled(cells, self.figures, self.sensor)
        able = {name: one for name, one in pool.classes.items() if one.hours >= self.sound.least_class_hours}
        if sum(one.hours for one in able.values()) < self.sound.least_hours:
            return
        flat = False
        for one in self._moved(pool, able, start, end):
            flat = flat or one.named
            yield one
        if not flat:
            yield from self._shut(able, start, end)
            yield from self._low(able)
            yield from self._open(able)

    def _pair(self, pool: Pool, able: dict[int, ClassShare]) -> tuple[int, int] | None:
        """Return the two classes whose comparison says most of the way between them."""
        pairs = [
            (pool.rise(low, high)[1] / (able[high].signal - able[low].signal), low, high)
            for low in able
            for high in able
            if able[high].signal - able[low].signal >= self.sound.apart
        ]
        return min(pairs)[1:] if pairs else None

    def _expected(self, signal: float) -> float | None:
        """Share that was left at a signal, straight between those that were read; None where none was."""
        curve = sorted(self.known.as_left)
        if len(curve) < 2:
            return None
        for (low, one), (high, other) in pairwise(curve):
            if signal <= high or (high, other) == curve[-1]:
                return one + (other - one) * (min(max(signal, low), high) - low) / (high - low)
        return None

    def _moved(self, whole: Pool, able: dict[int, ClassShare], start: int, end: int) -> Iterator[Candidate]:
        """Compare the damper told to open with the damper told to close, on the same days."""
        pair = self._pair(whole, able)
        if pair is None:
            return
        pool = pooled(self.days.common(start, end, pair), self.figures, self.sensor)
        if set(pair) != set(pool.classes) or pool.hours < self.sound.least_hours:
            return
        low, high = (pool.classes[name] for name in pair)
        if min(low.hours, high.hours) < self.sound.least_class_hours:
            return
        rise, u = pool.rise(*pair)
        way = high.signal - low.signal
        left = self._expected(high.signal), self._expected(low.signal)
        least = self.sound.least_rise * way
        if left[0] is not None and left[1] is not None:
            least = max(self.sound.least_left_rise, self.sound.of_left_rise * (left[0] - left[1]))
        flat = self.sound.flat * least
        effect = least - rise
        odds = ln_beyond(effect, u) - 0.5 * (max(rise, 0.0) / u) ** 2
        named = rise + COVERAGE * u <= flat and effect >= self._asked(u)
        what = "{share} of outdoor air with the damper told to open, {other} with it told to close"
        stuck = named and rise > -max(COVERAGE * u, 0.5 * flat)
        yield between(STUCK, what, effect, u, odds, stuck, pool, pair)
        backwards = named and -rise >= self._asked(u) and -rise >= flat
        reverse = ln_beyond(least - rise, u)
        yield between(REVERSED, what, -rise, u, reverse, backwards, pool, pair)
        if rise - COVERAGE * u >= flat:
            self._rule_out(STUCK, REVERSED)

    def _asked(self, u: float) -> float:
        """Effect that is asked for before a fault is named. [-]"""
        return self.figures.named.times_expanded * COVERAGE * u

    def _alone(self, one: ClassShare) -> float:
        """Effect that is asked for where nothing is compared with: no error that codes accept may explain it. [-]"""
        return max(self._asked(one.u), accepted_share(one, self.known, self.figures))

    def _shut(self, able: dict[int, ClassShare], start: int, end: int) -> Iterator[Candidate]:
        """Judge what comes in past the shut damper: beyond what a sound one lets in, or beyond what it was."""
        if SHUT not in able:
            return
        one = able[SHUT]
        left = self._expected(0.0)
        usual = self.sound.usual_shut if left is None else left
        limit = self.sound.most_shut if left is None else left + self.sound.changed
        effect = one.share - usual
        odds = ln_beyond(effect, one.u)
        beyond = one.share - limit >= (COVERAGE if left is None else 0.0) * one.u
        named = beyond and effect >= self._alone(one)
        what = "{share} of outdoor air with the damper told to shut, where {other} is usual"
        fault = LEAKING if self._moves(start, end, limit) else EXCESS
        yield at_one(fault, what, effect, one.u, odds, named, one, usual)
        if limit - one.share >= COVERAGE * one.u:
            self._rule_out(LEAKING)
        for before in ((0, start), (end, len(self.days))):
            change = self._change(one, start, end, *before)
            if change is not None:
                grown, u, was = change
                odds = ln_beyond(grown, u)
                named = grown >= self._asked(u) and one.share >= usual + self.sound.changed
                what = (
                    "{share} of outdoor air with the damper told to shut, where it was {other} on other days"
                )
                yield at_one(fault, what, grown, u, odds, named, one, was)

    def _moves(self, start: int, end: int, limit: float) -> bool:
        """Whether the damper is seen to move on days on which more than a limit comes past it when shut.

        Of these days first; where none of them says anything, of all: a leak does not end with the days looked at, but
        days before a damper stuck say nothing of the days after.
        """
        for days in ((start, end), (0, len(self.days))):
            seen = False
            for name in (LOW, MIDDLE, HIGH):
                both = self.days.shared(*days, (SHUT, name))
                places = [one for one in both if roughly(self.days.of([one], (SHUT,)).values()) > limit]
                cells = self.days.of(places, (SHUT, name))
                if cells:
                    seen = True
                    rise, u = pooled(cells, self.figures, self.sensor).rise(SHUT, name)
                    if rise >= max(COVERAGE * u, self.sound.usual_shut):
                        return True
            if seen:
                return False
        return False

    def _change(
        self, now: ClassShare, start: int, end: int, first: int, last: int
    ) -> tuple[float, float, float] | None:
        """Return how much more comes in past the shut damper than on other days; the sensors' errors are the same."""
        if last <= first:
            return None
        own = {key: sums for key, sums in self.days.between(start, end).items() if key[0] == SHUT}
        others = {key: sums for key, sums in self.days.between(first, last).items() if key[0] == SHUT}
        if not others or sum(sums[2] for sums in others.values()) < 3600.0 * self.sound.least_hours:
            return None
        if now.hours < self.sound.least_hours:
            return None
        moved = {(1, sign): sums for (_, sign), sums in own.items()} | others
        both = pooled(moved, self.figures, self.sensor)
        grown, u = both.rise(SHUT, 1)
        return grown, u, both.classes[SHUT].share

    def _low(self, able: dict[int, ClassShare]) -> Iterator[Candidate]:
        """Judge the share at low signals: beyond what any damper gives there, or off the design."""
        if LOW not in able:
            return
        one = able[LOW]
        fixed, slope = self.sound.most_at_signal
        left = self._expected(one.signal)
        usual = max(self.sound.least_low, one.signal) if left is None else left
        limit = fixed + slope * one.signal if left is None else left + self.sound.off_left
        odds = ln_beyond(one.share - usual, one.u)
        named = one.share - limit >= COVERAGE * one.u and one.share - usual >= self._alone(one)
        what = "{share} of outdoor air at a damper signal near the minimum, where {other} is usual"
        yield at_one(EXCESS, what, one.share - usual, one.u, odds, named, one, usual)
        if limit - one.share >= COVERAGE * one.u:
            self._rule_out(EXCESS)
        if self.known.minimum_share:
            yield from self._design(one)

    def _open(self, able: dict[int, ClassShare]) -> Iterator[Candidate]:
        """Judge the share of a damper told to open: below what any gives there, or below what it gave."""
        if HIGH not in able:
            return
        one = able[HIGH]
        left = self._expected(one.signal)
        usual = self.sound.least_open if left is None else left
        limit = self.sound.flat * usual if left is None else left - self.sound.off_left
        effect = usual - one.share
        named = limit - one.share >= COVERAGE * one.u and effect >= self._alone(one)
        what = "{share} of outdoor air with the damper told to open, where at least {other} is usual"
        yield at_one(SHORT, what, effect, one.u, ln_beyond(effect, one.u), named, one, usual)
        if one.share - limit >= COVERAGE * one.u:
            self._rule_out(SHORT)

    def _design(self, one: ClassShare) -> Iterator[Candidate]:
        """Judge the share at minimum against the least and the most that were designed, by the speeds of the fan."""
        low, high = min(self.known.minimum_share.values()), max(self.known.minimum_share.values())
        what = "{share} of outdoor air at minimum, where {other} was designed"
        for fault, effect, design in ((TOO_LOW, low - one.share, low), (TOO_HIGH, one.share - high, high)):
            accepted = self.sound.off_design * design
            odds = ln_beyond(effect - accepted, one.u)
            named = effect >= self._asked(one.u) and effect - accepted >= COVERAGE * one.u
            yield at_one(fault, what, effect, one.u, odds, named, one, design)
            if accepted - effect >= COVERAGE * one.u:
                self._rule_out(fault)
