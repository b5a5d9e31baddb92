"""The control power as it is or will be: transformers, what hangs on them, the wire to it, and how sources are joined."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from functools import partial
from typing import Annotated, Literal, Self

from pydantic import BeforeValidator, Field, model_validator

from ventwright.entry import Entry, Temperature, Typed
from ventwright.errors import Attempt, Refusal, Refused, refuse_every, refuse_those, refuse_word
from ventwright.quantity import APPARENT_POWER, CURRENT, FOOT, LENGTH, VOLTAGE, Quantity
from ventwright.tables.wire import wire

ApparentPower = Annotated[Quantity, Typed((APPARENT_POWER,), 0.01, 1000.0)]
SupplyVoltage = Annotated[Quantity, Typed((VOLTAGE,), 24.0, 600.0)]
SecondaryVoltage = Annotated[Quantity, Typed((VOLTAGE,), 5.0, 60.0)]
MeteredVoltage = Annotated[Quantity, Typed((VOLTAGE,), 0.0, 600.0)]
Current = Annotated[Quantity, Typed((CURRENT,), 0.01, 100.0)]
RunLength = Annotated[Quantity, Typed((LENGTH,), FOOT, 5000 * FOOT)]
"""From one foot, below which no drop is worth a sum, to what no 24 V run reaches: a wrong unit falls outside."""


class Metered(Entry):
    """What a meter showed across the secondary, power on."""

    idle: MeteredVoltage | None = Field(
        None, description='with only what is always on, such as "26.3 V" or "26.3 V ± 1 %"'
    )
    loaded: MeteredVoltage | None = Field(
        None, description='with every load on and the actuator moving, such as "24.9 V"'
    )
    instrument: str | None = Field(
        None, description="the meter's id in instruments; its accuracy then stands for a ± that is not typed"
    )


class Transformer(Entry):
    """One source of control power."""

    name: str = Field(min_length=1, description="what it is called, such as unit transformer")
    rating: ApparentPower | None = Field(
        None,
        description='apparent power on its nameplate, such as "40 VA"; left out, it is guessed and says so',
    )
    supply: SupplyVoltage | None = Field(None, description='voltage at its primary, such as "208 V"')
    tap: SupplyVoltage | None = Field(None, description='primary tap that is connected, such as "208 V"')
    taps: tuple[SupplyVoltage, ...] = Field(
        (), description='primary taps that it has, such as ["208 V", "240 V"]'
    )
    secondary: SecondaryVoltage | None = Field(
        None, description='rated secondary voltage, such as "24 V" (left out: 24 V)'
    )
    class_2: Literal["inherently limited", "not inherently limited", "not class 2", "unknown"] = Field(
        "unknown",
        description="inherently limited, not inherently limited, not class 2 or unknown, by its marking",
    )
    fused: Literal["fused", "not fused", "unknown"] = Field(
        "unknown", description="fuse or breaker on its secondary: fused, not fused or unknown"
    )
    fuse: Current | None = Field(None, description='rating of that fuse or breaker, such as "3 A"')
    metered: Metered = Metered()

    @model_validator(mode="after")
    def _fuse_fits(self) -> Self:
        if self.fuse is not None and self.fused == "not fused":
            problem = "is the rating of a fuse, and fused says there is none"
            raise Refused(Refusal(problem, "one of the two", "fuse", self.fuse.typed))
        return self


class Load(Entry):
    """Something that draws control power."""

    name: str = Field(min_length=1, description="what it is, such as damper actuator")
    apparent_power: ApparentPower = Field(description='while it runs or holds, such as "8 VA"')
    power_factor: float | None = Field(
        None, gt=0.0, le=1.0, description="such as 0.6; left out, the load counts in full"
    )
    inrush: ApparentPower | None = Field(
        None, description='while it strokes or pulls in, such as "20 VA"; never below what it holds with'
    )
    when: Literal["always on", "while stroking", "on call"] | None = Field(
        None, description="always on, while stroking (an actuator) or on call (a relay, a contactor, a valve)"
    )
    rectifier: Literal["none", "half wave", "full wave", "unknown"] = Field(
        "unknown", description="how it makes direct current of it: none, half wave, full wave or unknown"
    )
    transformer: str | None = Field(
        None, description="name of its transformer; may be left out where there is only one"
    )

    @model_validator(mode="after")
    def _inrush_is_more(self) -> Self:
        if self.inrush is not None and self.inrush.value < self.apparent_power.value - 1e-9:
            accepted = f"at least the {self.apparent_power} that it holds with"
            raise Refused(
                Refusal("is an inrush below what the load holds with", accepted, "inrush", self.inrush.typed)
            )
        return self


def _gauge(given: object) -> object:
    """Read a gauge as people write it: 18, "18 AWG", "#18"."""
    found = re.fullmatch(
        r"(?:AWG|#|no\.?)?\s*(\d{1,2})\s*(?:AWG|ga\.?|gauge)?", str(given).strip(), re.IGNORECASE
    )
    if found is None:
        raise Refused(Refusal("is no wire gauge", "an American wire gauge, such as 18", given=str(given)))
    return int(found[1])


class WireRun(Entry):
    """A pair of wires from a transformer to one or more loads at its far end."""

    name: str = Field("", description="what the run is called; left out, the loads it feeds")
    gauge: Annotated[int, BeforeValidator(_gauge)] = Field(description="American wire gauge, such as 18")
    conductor: Literal["solid", "stranded"] = Field("solid", description="solid or stranded")
    length: RunLength = Field(description='length one way, such as "60 ft"')
    temperature: Temperature | None = Field(
        None, description='of the wire at its hottest, such as "110 F" (left out: 75 °C, the careful end)'
    )
    loads: tuple[str, ...] = Field(description="names of the loads at its far end")

    @model_validator(mode="after")
    def _in_the_tables(self) -> Self:
        wire(self.gauge, self.conductor, "gauge")
        if not self.loads:
            raise Refused(Refusal("is empty", "the name of at least one load", "loads"))
        return self


class Join(Entry):
    """Two transformers whose circuits are, or are to be, wired together."""

    transformers: tuple[str, str] = Field(description="the names that its two transformers have above")
    tied: Literal["commons", "commons and hots", "not yet"] = Field(
        description="what is tied: commons, commons and hots, or not yet"
    )
    phase: Literal["in phase", "out of phase", "unknown"] = Field(
        "unknown", description="in phase, out of phase or unknown"
    )
    between_hots: MeteredVoltage | None = Field(
        None, description='what a meter showed between the two hots, commons tied, such as "0.4 V"'
    )
    instrument: str | None = Field(None, description="the meter's id in instruments")
    listed: Literal["listed for interconnection", "not listed", "unknown"] = Field(
        "unknown", description="listed for interconnection, not listed or unknown, by their marking"
    )


class Power(Entry):
    """The control power of a unit."""

    transformers: tuple[Transformer, ...] = Field(description="sources of control power")
    loads: tuple[Load, ...] = Field((), description="what hangs on them")
    runs: tuple[WireRun, ...] = Field((), description="runs of wire long enough to lose voltage")
    joined: tuple[Join, ...] = Field((), description="transformers that are wired together, or to be")

    @model_validator(mode="after")
    def _parts_know_one_another(self) -> Self:
        if not self.transformers:  # told here: a least length would be missed by every mistake inside one
            raise Refused(Refusal("is empty", "at least one transformer with its name", "transformers"))
        refuse_every((
            lambda: refuse_those(self._twice()),
            lambda: refuse_every(self._strangers()),
            lambda: refuse_those(self._spread_runs()),
        ))  # fmt: skip
        return self

    def transformer_of(self, load: Load) -> str:
        """Return the name of the transformer that a load hangs on."""
        return load.transformer or self.transformers[0].name

    def load(self, name: str) -> Load:
        """Return a load by its name; raises StopIteration for one that is not there."""
        return next(load for load in self.loads if load.name == name)

    def _twice(self) -> Iterator[Refusal]:
        for field, parts in (("transformers", self.transformers), ("loads", self.loads)):
            names = [part.name for part in parts]
            for name in sorted({name for name in names if names.count(name) > 1}):
                yield Refusal(f"names two {field}", "a name of its own for each", field, name)

    def _strangers(self) -> Iterator[Attempt]:
        for number, load in enumerate(self.loads, start=1):
            yield partial(self._refuse_strange_source, load, f"loads[{number}].transformer")
        for number, run in enumerate(self.runs, start=1):
            yield partial(self._refuse_strange_loads, run, f"runs[{number}].loads")
        for number, join in enumerate(self.joined, start=1):
            yield partial(self._refuse_strange_join, join, f"joined[{number}].transformers")

    def _refuse_strange_source(self, load: Load, where: str) -> None:
        if load.transformer is not None:
            refuse_those(_stranger(load.transformer, self._sources, "a transformer of this job", where))
        elif len(self.transformers) > 1:
            problem = "does not say which transformer it hangs on"
            raise Refused(Refusal(problem, " or ".join(self._sources), where, load.name))

    def _refuse_strange_loads(self, run: WireRun, where: str) -> None:
        known = [load.name for load in self.loads]
        named = enumerate(run.loads, start=1)
        refuse_those(
            refusal
            for place, name in named
            for refusal in _stranger(name, known, "a load of this job", f"{where}[{place}]")
        )

    def _refuse_strange_join(self, join: Join, where: str) -> None:
        mistakes = [
            refusal
            for name in join.transformers
            for refusal in _stranger(name, self._sources, "a transformer of this job", where)
        ]
        if len(set(join.transformers)) < 2:
            problem, accepted = "is joined to itself", "two different transformers"
            mistakes.append(Refusal(problem, accepted, where, join.transformers[0]))
        refuse_those(mistakes)

    def _spread_runs(self) -> Iterator[Refusal]:
        on = {load.name: self.transformer_of(load) for load in self.loads}
        for number, run in enumerate(self.runs, start=1):
            if len({on[name] for name in run.loads if name in on}) > 1:
                where = f"runs[{number}].loads"
                yield Refusal("hang on two transformers", "a run for each", where, ", ".join(run.loads))

    @property
    def _sources(self) -> list[str]:
        return [transformer.name for transformer in self.transformers]


def _stranger(given: str, known: Sequence[str], what: str, where: str) -> tuple[Refusal, ...]:
    return () if given in known else refuse_word(given, known, what, where).refusals
