"""A connector that is in no file: which circuit is in which cavity, told from meter readings, and what to read next.

The supply is what stands at 24 V with nothing called; the common is what everything is read against; a call is what
comes on with one letter and is off without it. A plug found in the connector joins each call with its compressor.
Where the readings do not tell, nothing is named: neither a colour nor a habit of numbering names a circuit.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from ventwright.facts.harness import MeterReading, Point, SeenConnector
from ventwright.quantity import VOLTAGE
from ventwright.tables.circuit import LETTERS, PASSED_ON, Function
from ventwright.tables.meter import thresholds
from ventwright.words import Words


@dataclass(frozen=True, slots=True)
class NamedCircuit:
    """One cavity that was told, by what, and whether a meter proved it."""

    cavity: int
    colour: str
    function: Function
    because: Words
    proved: bool


@dataclass(frozen=True, slots=True)
class ToMeasure:
    """One thing to do with the meter: how, what to expect, and with what care."""

    do: Words
    expect: Words
    care: Words


@dataclass(frozen=True, slots=True)
class CircuitsTold:
    """What the readings on a connector tell, what they contradict, and what to read next."""

    circuits: tuple[NamedCircuit, ...]
    contradictions: tuple[Words, ...]
    to_measure: tuple[ToMeasure, ...]


def tell(seen: SeenConnector, wanted: Sequence[Function]) -> CircuitsTold:
    """Name the circuits of a connector from what was seen and metered.

    Parameters
    ----------
    seen
        The connector, its wires, and the readings on it.
    wanted
        Functions that the kit needs: what is missing of them is asked for next.
    """
    telling = _Telling(seen)
    telling.common_and_supply()
    telling.calls()
    telling.printed()
    telling.compressors()
    missing = [function for function in wanted if function not in telling.named.values()]
    return CircuitsTold(
        tuple(telling.circuits[cavity] for cavity in sorted(telling.circuits)),
        tuple(telling.contradictions),
        tuple(_to_measure(seen, telling, missing)),
    )


class _Telling:
    """The readings of one connector while they are made sense of."""

    def __init__(self, seen: SeenConnector) -> None:
        self.seen = seen
        self.colours = {wire.cavity: wire.colour for wire in seen.wires}
        self.circuits: dict[int, NamedCircuit] = {}
        self.contradictions: list[Words] = []
        self.common: int | None = None

    @property
    def named(self) -> dict[int, Function]:
        """Cavity to function, as far as told."""
        return {cavity: one.function for cavity, one in self.circuits.items()}

    @property
    def cavities(self) -> list[int]:
        """Every cavity that has a wire or was metered."""
        metered = (point for one in self.seen.readings for point in one.between if isinstance(point, int))
        return sorted({*self.colours, *metered})

    def name(self, cavity: int, function: Function, because: str, *, proved: bool = True) -> None:
        """Note what a cavity is; a second, different answer is a contradiction."""
        before = self.circuits.get(cavity)
        if before is not None and before.function is not function:
            self.contradictions.append(Words(
                f"cavity {cavity} would be {before.function} ({before.because.text}) and {function} ({because}): read it again"))  # fmt: skip
            return
        if before is None:
            colour = self.colours.get(cavity, "")
            self.circuits[cavity] = NamedCircuit(cavity, colour, function, Words(because), proved)

    def live(self, one: Point, other: Point, call: str) -> bool | None:
        """Whether there is 24 V between two points with one call on; None where it was not read, or reads in between.

        Of several readings the last one counts: whoever reads again has a reason.
        """
        limits = thresholds()
        for reading in reversed(self.seen.readings):
            if {one, other} != set(reading.between) or reading.call != call or not _in_volts(reading):
                continue
            volts = reading.reads.value if not isinstance(reading.reads, str) else 0.0
            return True if volts >= limits.live else False if volts <= limits.dead else None
        return None

    def common_and_supply(self) -> None:
        """Tell the common from the supply: both stand at 24 V to one another, and only one of them to the cabinet or a call."""
        pairs = [
            (one, other)
            for one in self.cavities
            for other in self.cavities
            if one != other and self.live(one, other, "none")
        ]
        for common, supply in pairs:
            because = self._common_because(common, supply)
            if because and (self.common is None or self.common == common):
                self.common = common
                self.name(common, Function.COMMON, because)
                self.name(supply, Function.SUPPLY, f"24 V to cavity {common} with nothing called")
        for number, letter in self._marks():
            if letter == "C" and self.common is None:
                self.common = number

    def _common_because(self, common: int, supply: int) -> str:
        """Say why one cavity of a live pair is the common; empty where the readings do not tell."""
        if self.live(common, "cabinet", "none") is False and self.live(supply, "cabinet", "none"):
            return f"nothing to the cabinet, and cavity {supply} has 24 V to it"
        for cavity in self.cavities:
            for call in ("G", "Y1", "Y2", "W1", "W2", "O", "B"):
                if self.live(cavity, common, call) and self.live(cavity, supply, call) is False:
                    return f"with {call} called, cavity {cavity} has 24 V to it and none to cavity {supply}"
        return ""

    def calls(self) -> None:
        """Name every cavity that one letter brings to 24 V and that is dead without."""
        if self.common is None:
            return
        for cavity in self.cavities:
            if cavity == self.common or cavity in self.circuits:
                continue
            calls = [call for call in LETTERS if call not in "RC" and self.live(cavity, self.common, call)]
            resting = self.live(cavity, self.common, "none")
            if len(calls) == 1 and resting is False:
                self.name(
                    cavity, LETTERS[calls[0]], f"24 V to the common with {calls[0]} called, none without"
                )
            elif len(calls) > 1:
                self.contradictions.append(Words(
                    f"cavity {cavity} comes on with {' and with '.join(calls)}: these are joined somewhere; lift one and read again"))  # fmt: skip

    def printed(self) -> None:
        """Take the letter printed beside a cavity where no reading told; it is not proved."""
        for cavity, letter in self._marks():
            function = LETTERS[letter]
            if cavity in self.circuits:
                self.name(cavity, function, f"{letter} is printed beside it")
            elif function not in self.named.values():
                self.name(cavity, function, f"{letter} is printed beside it; not metered", proved=False)

    def _marks(self) -> Iterator[tuple[int, str]]:
        return ((wire.cavity, wire.marked) for wire in self.seen.wires if wire.marked)

    def compressors(self) -> None:
        """Name what the plug found in the connector joins with a call: the way on to the compressor."""
        joined = [*self.seen.joined_by_plug]
        for pair in joined:
            for call, other in (pair, pair[::-1]):
                function = PASSED_ON.get(self.named.get(call, Function.LINE))
                if function is not None and other not in self.circuits:
                    proved = self.circuits[call].proved
                    self.name(
                        other, function, f"the plug joins it with cavity {call}, the call", proved=proved
                    )


def _in_volts(reading: MeterReading) -> bool:
    return not isinstance(reading.reads, str) and reading.reads.dimension == VOLTAGE


LOW_VOLTAGE = Words(
    "power on: the 24 V side shares the box with line voltage; insulated probes, one hand; change nothing with power on"
)
RESTORE = Words(
    "the wire from R to the letter is a temporary change: one letter at a time, never heating and cooling together, off again at once, "
    "and written down as restored"
)
LOCKED = Words("power off, locked and tried; the plug goes back exactly where it was")


def _to_measure(seen: SeenConnector, telling: _Telling, missing: Sequence[Function]) -> Iterator[ToMeasure]:
    """Yield what to read next, in an order in which each step uses the one before."""
    unnamed = [
        cavity for cavity in telling.cavities or range(1, seen.count + 1) if cavity not in telling.circuits
    ]
    if not missing or not unnamed:
        return
    listed = ", ".join(str(cavity) for cavity in unnamed)
    if telling.common is None:
        yield ToMeasure(
            Words(f"thermostat off, nothing called: read volts from each of {listed} to bare metal of the cabinet, then "
                  "between the one that is live and each of the others"),
            Words("one cavity stands at about 24 V to the cabinet and to one other: that is the supply, the other the common. "
                  "Where nothing reads to the cabinet the transformer is not grounded: read between the cavities with a call on"),
            LOW_VOLTAGE,
        )  # fmt: skip
        return
    yield from _calls_to_make(telling, missing, unnamed)
    if any(one in PASSED_ON.values() for one in missing) and not seen.joined_by_plug:
        yield ToMeasure(
            Words(f"{seen.name}: take out the plug that sits in it and read ohms between its own contacts"),
            Words("each pair below 2 ohms is a call and its way on to the compressor: write the pairs down as joined_by_plug"),
            LOCKED,
        )  # fmt: skip


def _calls_to_make(
    telling: _Telling, missing: Sequence[Function], unnamed: Iterable[int]
) -> Iterator[ToMeasure]:
    calls = {function: letter for letter, function in LETTERS.items() if letter not in {"R", "C"}}
    resting = [cavity for cavity in unnamed if telling.live(cavity, telling.common or 0, "none") is None]
    if resting:
        yield ToMeasure(
            Words(f"nothing called: read volts from each of {', '.join(map(str, resting))} to cavity {telling.common}, the common"),
            Words("what is live now is a supply, what is dead may be a call"),
            LOW_VOLTAGE,
        )  # fmt: skip
    for function in missing:
        letter = calls.get(function)
        if letter is None:
            continue
        yield ToMeasure(
            Words(f"join R to {letter} at the thermostat, no other letter, and read volts from each of "
                  f"{', '.join(map(str, unnamed))} to cavity {telling.common}, the common"),
            Words(f"the cavity that comes on is {function}"),
            RESTORE,
        )  # fmt: skip
