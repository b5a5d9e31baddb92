"""The kinds of reading that the balance takes: what each asks on a screen, and the entry that comes of the answers."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from ventwright.facts import Instrument
from ventwright.facts.instrument import BANDS
from ventwright.quantity import FRACTION, TEMPERATURE, System
from ventwright.readings import (
    CarbonDioxide,
    Humidity,
    MixedAir,
    Noted,
    OutdoorAirflow,
    ProbesSideBySide,
    SupplyAir,
)
from ventwright.web.form import Option, Question, answers, question

EACH = ("outdoor_instrument", "return_instrument", "mixed_instrument")
LABELS = {
    "outdoor_air": "Outdoor air",
    "return_air": "Return air",
    "mixed_air": "Mixed air, one or more points",
    "sensor_shows": "What the unit's own mixed-air sensor shows",
    "fan_heat": "What the fan adds, where it is known",
    "airflow": "Airflow",
    "band": "Its ±, where it is known",
    "method": "How it was measured",
    "volume": "What volume the instrument shows, where it is known",
    "outdoor_concentration": "Outdoor air",
    "return_concentration": "Return air",
    "mixed_concentration": "Mixed air",
    "outdoor_dry_bulb": "Outdoor air, dry bulb",
    "outdoor_relative_humidity": "Outdoor air, relative humidity",
    "return_dry_bulb": "Return air, dry bulb",
    "return_relative_humidity": "Return air, relative humidity",
    "mixed_dry_bulb": "Mixed air, dry bulb",
    "mixed_relative_humidity": "Mixed air, relative humidity",
    "instrument": "Read with",
    "outdoor_instrument": "Outdoor air read with",
    "return_instrument": "Return air read with",
    "mixed_instrument": "Mixed air read with",
    "thermometer": "Dry bulbs read with",
    "speed": "Fan speed",
    "damper_signal": "Damper signal held",
}


@dataclass(frozen=True, slots=True)
class ReadingKind:
    """One kind of reading: its name in addresses, the entry it makes, and what each of its screens asks."""

    name: str
    what: str
    model: type[Noted]
    title: str
    lead: str
    screens: tuple[tuple[str, ...], ...]
    instruments: tuple[str, ...] = ("instrument",)
    fixed: Mapping[str, Any] = field(default_factory=dict)

    @property
    def at_damper(self) -> bool:
        """Whether the damper stands at a signal while it is read."""
        return "damper_signal" in self.model.model_fields

    @property
    def of_speed(self) -> bool:
        """Whether it is read at one fan speed."""
        return "speed" in self.model.model_fields


KINDS = {
    one.name: one
    for one in (
        ReadingKind(
            "mixed-air", "mixed air", MixedAir, "Outdoor, return and mixed air",
            "Mixed air at eight points or more: one point reads only its own lane.",
            (("outdoor_air", "return_air", "mixed_air", "sensor_shows"),), ("instrument", *EACH),
        ),
        ReadingKind(
            "behind-fan", "mixed air", MixedAir, "Mixed air behind the fan",
            "Where the air has mixed: on the supply side, coil and heat off. What the fan adds is taken off.",
            (("outdoor_air", "return_air", "mixed_air", "fan_heat"),), ("instrument", *EACH), {"behind_fan": True},
        ),
        ReadingKind(
            "outdoor-airflow", "outdoor airflow", OutdoorAirflow, "Outdoor airflow itself",
            "For days when outdoor and return air are too alike.", (("airflow", "band", "method", "outdoor_air", "volume"),),
        ),
        ReadingKind(
            "supply-air", "supply air", SupplyAir, "Supply airflow",
            "A design value carries no verdict.", (("airflow", "band", "method"),),
        ),
        ReadingKind(
            "carbon-dioxide", "carbon dioxide", CarbonDioxide, "Carbon dioxide",
            "Outdoor, return and mixed air, with people in the building.",
            (("outdoor_concentration", "return_concentration", "mixed_concentration"),), ("instrument", *EACH),
        ),
        ReadingKind(
            "humidity", "humidity", Humidity, "Humidity",
            "Dry bulb and relative humidity of the three streams.",
            (
                ("outdoor_dry_bulb", "outdoor_relative_humidity", "return_dry_bulb", "return_relative_humidity"),
                ("mixed_dry_bulb", "mixed_relative_humidity"),
            ),
            ("instrument", *EACH, "thermometer"),
        ),
        ReadingKind(
            "side-by-side", "probes side by side", ProbesSideBySide, "Probes side by side",
            "All probes in one air, in the shade, until none of them moves any more.", ((),), (),
        ),
    )
}  # fmt: skip
"""By the name in addresses, the usual one first."""


def kind_of(entry: Noted) -> ReadingKind | None:
    """Return the kind of an entry, None for one that the balance does not take."""
    found = [one for one in KINDS.values() if one.model is type(entry)]
    behind = getattr(entry, "behind_fan", False)
    return next((one for one in found if bool(one.fixed.get("behind_fan")) == behind), None)


def fields_of(kind: ReadingKind, screen: int | None = None) -> tuple[str, ...]:
    """Return the fields of one screen, or of all."""
    return (
        kind.screens[screen] if screen is not None else tuple(one for names in kind.screens for one in names)
    )


def questions(
    kind: ReadingKind, names: Sequence[str], place: str, instruments: Sequence[Instrument], system: System
) -> list[Question]:
    """Ask for fields of a kind of reading.

    Parameters
    ----------
    names
        Which fields.
    place
        Where the entry will stand in the document.
    instruments
        Those listed in the job.
    """
    return [_question(kind, name, place, instruments, system) for name in names]


def _question(
    kind: ReadingKind, name: str, place: str, instruments: Sequence[Instrument], system: System
) -> Question:
    label = LABELS[name]
    if name == "band":  # asked apart, entered with the airflow
        return Question("band", label, f"{place}.band", "quantity", dimensions=(FRACTION,), system=system)
    if name in {"instrument", "thermometer", *EACH}:
        kinds = TAKEN_WITH["temperature" if name == "thermometer" else kind.what]
        options = tuple(Option(one.id, said(one)) for one in fitting(instruments, kinds))
        return Question(name, label, f"{place}.{name}", "choice", options=options)
    if name == "mixed_air":
        return question(
            kind.model, name, place=place, label=label, system=system, kind="quantity", dimensions=(TEMPERATURE,),
            help="Several points with commas between.",
        )  # fmt: skip
    return question(kind.model, name, place=place, label=label, system=system)


TAKEN_WITH = {
    "mixed air": ("temperature",),
    "temperature": ("temperature",),
    "probes side by side": ("temperature",),
    "outdoor airflow": ("airflow", "pressure"),
    "supply air": ("airflow", "pressure"),
    "carbon dioxide": ("carbon dioxide",),
    "humidity": ("humidity",),
}
"""Kinds of instrument offered for a kind of reading."""


def fits(instrument: Instrument, kinds: Sequence[str]) -> bool:
    """Whether an instrument is offered: of one of these kinds, or of no kind and as accurate in its units."""
    if instrument.kind != "other":
        return instrument.kind in kinds
    return any(instrument.accuracy.dimension in BANDS[kind] for kind in kinds)


def fitting(instruments: Sequence[Instrument], kinds: Sequence[str]) -> list[Instrument]:
    """Return the instruments that are offered: those of the kind named first before the others."""
    order = {kind: number for number, kind in enumerate(kinds)}
    offered = [one for one in instruments if fits(one, kinds)]
    return sorted(offered, key=lambda one: order.get(one.kind, len(order)))


def said(instrument: Instrument) -> str:
    """Name an instrument with its ±, as whoever holds it knows it."""
    accuracy = str(instrument.accuracy)
    band = accuracy if accuracy.startswith(("±", "+")) else f"± {accuracy}"
    return f"{instrument.name or instrument.id}, {band}"


def entered(kind: ReadingKind, asked: Sequence[Question], form: Mapping[str, str]) -> dict[str, Any]:
    """Return the fields of an entry from the answers."""
    found = {place.rpartition(".")[2]: value for place, value in answers(asked, form).items()}
    if found.get("mixed_air"):
        found["mixed_air"] = points(form.get("mixed_air", ""), form.get("mixed_air.unit", ""))
    band = found.pop("band", None)
    if found.get("airflow") and band and "±" not in str(found["airflow"]):
        found["airflow"] = f"{found['airflow']} ± {str(band).removeprefix('±').strip()}"
    return {name: value for name, value in {**found, **kind.fixed}.items() if value not in (None, "", [])}


_BETWEEN = re.compile(r"[;\n]|,\s")
_CLOSE = re.compile(r"[-+−–]?\d+\.\d*(?:,[-+−–]?\d+\.\d*)+")
"""Numbers with points in them and commas without blanks between: 64.1,63.7. Of "64,1" nobody knows which it is."""


def points(text: str, unit: str) -> list[str]:
    """Part the points of a traverse, each with its unit."""
    parts = [part.strip() for piece in _BETWEEN.split(text) for part in _closely(piece.strip())]
    return [part if re.search(r"[^\W\d_]|°", part) else f"{part} {unit}".strip() for part in parts if part]


def _closely(piece: str) -> list[str]:
    return piece.split(",") if _CLOSE.fullmatch(piece) else [piece]


def written_points(given: Sequence[str]) -> tuple[str, str]:
    """Return the points of a traverse as one field holds them, and their unit where they have the same."""
    parted = [re.fullmatch(r"\s*([-+−–]?[\d.]+)\s*(.*?)\s*", one) for one in given]
    units = {found[2] for found in parted if found}
    unit = TEMPERATURE.unit(next(iter(units))) if len(units) == 1 else None
    if unit is None or not all(parted):
        return ", ".join(given), ""
    return ", ".join(found[1] for found in parted if found), unit.names[0]


def probe_questions(
    instruments: Sequence[Instrument], place: str, form: Mapping[str, str], system: System
) -> list[Question]:
    """Ask what each probe shows; those left open are not part of the comparison."""
    probes = [one for one in instruments if fits(one, ("temperature",))]
    numbers = _numbered(probes, form)
    asked = question(MixedAir, "outdoor_air", place=place, label="", system=system, required=False)
    return [
        replace(
            asked, name=f"shows.{one.id}", label=said(one), place=f"{place}.probes[{numbers[one.id]}].shows"
        )
        for one in probes
    ]


def _numbered(probes: Sequence[Instrument], form: Mapping[str, str]) -> dict[str, int]:
    """Place of each probe among those that were read; one that was not stands beyond them."""
    read = [one.id for one in probes if form.get(f"shows.{one.id}", "").strip()]
    return {one.id: read.index(one.id) + 1 if one.id in read else 1000 + at for at, one in enumerate(probes)}


def probes_entered(asked: Sequence[Question], form: Mapping[str, str]) -> list[dict[str, str]]:
    """Return the probes of a comparison, each with what it shows."""
    return list(_shown(asked, form))


def _shown(asked: Sequence[Question], form: Mapping[str, str]) -> Iterator[dict[str, str]]:
    for place, value in answers(asked, form).items():
        if value is not None:
            name = next(one.name for one in asked if one.place == place)
            yield {"instrument": name.removeprefix("shows."), "shows": str(value)}
