"""Two players on the same practice roofs: one who always takes the advice, one who reads whatever comes to mind.

Both play through the entries that the pages make, and see of the unit what those show; what was hidden is looked up only
when the game is over. The second has as many minutes and puts right what is then held likelier than not, so that all that
he does without is being told what to read. Run: python -m benchmarks.practice --seeds 200 --seed 1
"""

from __future__ import annotations

import argparse
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from math import sqrt
from random import Random

from ventwright.readings.practice.code import SEEDS, PracticeCode
from ventwright.readings.practice.end import Ended, how_it_ended, minutes_of
from ventwright.readings.practice.hidden import hidden_unit
from ventwright.readings.practice.opening import outdoor_of, unit_of
from ventwright.readings.practice.shown import roof_of
from ventwright.tables.measurement import measurements
from ventwright.tables.practice import practice_table
from ventwright.verdict.diagnose import diagnose
from ventwright.verdict.diagnose.diagnosis import LIKELY
from ventwright.web.practice_job import hands, played
from ventwright.web.work import Steps

WANTED = 0.9
"""Share of the roofs on which the player who takes the advice ends with every hidden fault put right. [-]"""


def drawn(count: int, seed: int) -> list[PracticeCode]:
    """Draw codes: every difficulty and weather as often as any other."""
    dice, table = Random(f"practice bench {seed}"), practice_table()
    codes = [
        PracticeCode(
            number % len(table.difficulties), dice.randrange(len(table.weathers)), dice.randrange(SEEDS)
        )
        for number in range(count)
    ]
    # roofs that are alike to the tool follow one another: what it has worked out for one serves the next
    return sorted(codes, key=lambda code: (unit_of(code).sheet, outdoor_of(code)))


def to_the_end(steps: Steps[Ended]) -> Ended:
    """Play a game to its end."""
    while True:
        try:
            next(steps)
        except StopIteration as ended:
            result: Ended = ended.value
            return result


def ignoring(code: PracticeCode, minutes: float) -> Ended:
    """Play without being told what to read: measurements as they come to mind, as many minutes, then what is likely."""
    at_unit, dice = hands(code), Random(f"ignoring {code}")
    worked = at_unit.look()
    roof = roof_of(str(code), worked.job.facts, worked.plan, worked.job.readings)
    stages = roof.unit.meant.compressors
    able = [
        one
        for one in measurements().offered
        if not one.part_of
        and (one.state is None or one.state.cooling <= stages)
        and any(roof.unit.has(part.reads) for part in one.parts)
    ]
    order = dice.sample(able, len(able))
    while order and minutes_of(worked.job.readings) < minutes:
        at_unit.read(worked, order.pop().id)
        worked = at_unit.look()
    for _ in range(len(practice_table().difficulties)):
        worked = at_unit.look()
        top = diagnose(worked.job.facts, worked.plan, worked.job.readings).faults[:1]
        if not top or top[0].probability <= LIKELY:
            break
        at_unit.repair(top[0])
    return how_it_ended(hidden_unit(code), at_unit.look().job.readings)


@dataclass(slots=True)
class Count:
    """What came of the games of one player."""

    games: int = 0
    whole: int = 0
    """Games that ended with every hidden fault put right."""
    faults: int = 0
    put_right: int = 0
    for_nothing: int = 0
    minutes: list[float] = field(default_factory=list)

    def add(self, ended: Ended) -> None:
        """Count one game."""
        self.games += 1
        self.whole += not ended.missed
        self.faults += len(ended.there)
        self.put_right += len(ended.there) - len(ended.missed)
        self.for_nothing += len(ended.for_nothing)
        self.minutes.append(ended.minutes)

    def row(self, name: str) -> str:
        """Say it as a row of a table."""
        share = self.whole / self.games
        band = 2.0 * sqrt(share * (1.0 - share) / self.games)
        middle = sorted(self.minutes)[len(self.minutes) // 2]
        return (
            f"| {name} | {self.whole}/{self.games} = {100 * share:.1f} ± {100 * band:.1f} % | {self.put_right}/{self.faults} "
            f"| {self.for_nothing} | {middle:.0f} |"
        )


def table(counts: dict[str, Count]) -> str:
    """Write the table of results."""
    head = "| player, difficulty | every hidden fault put right | faults put right | repairs for nothing | median minutes |"
    return "\n".join(
        [head, "| --- | --- | --- | --- | --- |", *(one.row(name) for name, one in sorted(counts.items()))]
    )


def main(given: Sequence[str] | None = None) -> int:
    """Play, print the table, and say whether the aim is met."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--seeds", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    arguments = parser.parse_args(given)
    counts: dict[str, Count] = {}
    missed: Counter[str] = Counter()
    for number, code in enumerate(drawn(arguments.seeds, arguments.seed), start=1):
        advised = to_the_end(played(code))
        by = {"takes the advice": advised, "ignores it": ignoring(code, advised.minutes)}
        for name, ended in by.items():
            for group in ("all", practice_table().difficulties[code.difficulty].words):
                counts.setdefault(f"{name}, {group}", Count()).add(ended)
        missed.update(one.id for one in advised.missed)
        if advised.missed:
            print(f"missed on {code}: {', '.join(one.id for one in advised.missed)}", flush=True)
        if number % 20 == 0:
            print(f"after {number}\n{table(counts)}", flush=True)
    print(table(counts))
    print("missed:", dict(missed))
    first, second = counts["takes the advice, all"], counts["ignores it, all"]
    met = first.whole >= WANTED * first.games and second.whole < first.whole
    print("met" if met else "not met")
    return 0 if met else 1


if __name__ == "__main__":
    raise SystemExit(main())
