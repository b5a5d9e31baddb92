"""Sensor curves as published: an id in plain words, coefficients, range, tolerance, source. Never just ohms."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from typing import Any

from ventwright.errors import Refusal, Refused, refuse_word
from ventwright.physics.sensor import Curve, in_ohms, wire_resistance
from ventwright.quantity import RESISTANCE, TEMPERATURE, TEMPERATURE_DIFFERENCE, read
from ventwright.tables.data_file import names, read_toml
from ventwright.tables.source import CONFIRMED

ICE, WARM = 0.0, 100.0 / 1.8 - 32.0 / 1.8
"""Two temperatures a person can make, at which a list of curves shows what tells them apart: ice water and 100 °F."""


@dataclass(frozen=True, slots=True)
class Tolerance:
    """Half-width within which sensors of one curve agree with it [K]: at 0 °C, and for each degree above and below."""

    name: str
    at_zero: float
    per_degree: float
    per_degree_below: float
    coldest: float | None  # None where the maker set no limit
    hottest: float | None

    def half_width(self, temperature: float) -> float:
        """Return the half-width at a temperature. [K]"""
        per_degree = self.per_degree if temperature >= 0.0 else self.per_degree_below
        return self.at_zero + per_degree * abs(temperature)

    def published_at(self, temperature: float) -> bool:
        """Whether the maker says it for this temperature."""
        return (self.coldest is None or temperature >= self.coldest) and (
            self.hottest is None or temperature <= self.hottest
        )


@dataclass(frozen=True, slots=True)
class SensorCurve:
    """One curve with its id and where it was found."""

    id: str
    name: str
    material: str
    nominal: float
    curve: Curve
    tolerance: Tolerance
    coefficients_are: str
    source: str
    confirmed: str
    others: str  # curves with the same ohms that are not here
    note: str

    @property
    def doubt(self) -> str:
        """What to say so that nobody takes the curve for more than it is; empty where nothing is due."""
        fitted = "coefficients fitted here to printed resistances"
        said = [
            fitted if self.coefficients_are != "published" else "",
            "" if self.confirmed in {"read", "open data"} else CONFIRMED[self.confirmed],
        ]
        return "; ".join(part for part in said if part)

    @property
    def told_by(self) -> str:
        """The resistances by which a person tells this curve from its neighbours."""
        ice, warm = (in_ohms(wire_resistance(at, self.curve)) for at in (ICE, WARM))
        return "; ".join(
            part for part in (f"{ice} in ice water, {warm} at 100 °F (37.8 °C)", self.others) if part
        )


@cache
def tolerance_classes() -> tuple[Tolerance, ...]:
    """Return the tolerance classes of platinum sensors, the narrowest first."""
    return tuple(
        _tolerance(row["name"], row) for row in read_toml("sensor_curves", "platinum.toml")["tolerance_class"]
    )


def tolerance_class(named: str, where: str = "") -> Tolerance:
    """Return a tolerance class by its letter or name.

    Raises
    ------
    Refused
        There is no such class.
    """
    wanted = f"class {named.lower().removeprefix('class').strip()}"
    for known in tolerance_classes():
        if known.name.lower() == wanted:
            return known
    accepted = ", ".join(known.name.removeprefix("class ") for known in tolerance_classes())
    raise Refused(Refusal("is no tolerance class of platinum sensors", accepted, where, named))


@cache
def curves() -> tuple[SensorCurve, ...]:
    """Return every curve, metals first, each group by its ohms."""
    rows = [
        row
        for name in names("sensor_curves", ".toml")
        for row in read_toml("sensor_curves", f"{name}.toml")["curve"]
    ]
    found = [_curve(row) for row in rows]
    order = {"platinum": 0, "nickel": 1, "thermistor": 2}
    return tuple(sorted(found, key=lambda curve: (order[curve.material], curve.nominal, curve.id)))


def _curve(row: dict[str, Any]) -> SensorCurve:
    tolerance = row["tolerance"]
    across = row.get("parallel")
    return SensorCurve(
        row["id"], row["name"], row["material"], read(row["nominal"], RESISTANCE).value,
        Curve(
            row["law"], tuple(row["coefficients"]), _degrees(row["coldest"]), _degrees(row["hottest"]),
            read(row["nominal"], RESISTANCE).value, _degrees(row["nominal_at"]),
            read(across, RESISTANCE).value if across else None,
        ),
        tolerance_class(tolerance) if isinstance(tolerance, str) else _tolerance("", tolerance),
        row["coefficients_are"], row["source"], row["confirmed"], row.get("others", ""), row.get("note", ""),
    )  # fmt: skip


def _tolerance(name: str, row: dict[str, Any]) -> Tolerance:
    per_degree = row.get("per_degree", 0.0)
    ends = [_degrees(row[end]) if end in row else None for end in ("from", "to")]
    return Tolerance(name, row["at_zero"], per_degree, row.get("per_degree_below", per_degree), *ends)


def _degrees(text: str) -> float:
    return read(text, TEMPERATURE).value


MATERIALS = {"pt": "platinum", "platinum": "platinum", "rtd": "", "ni": "nickel", "nickel": "nickel",
             "ntc": "thermistor", "thermistor": "thermistor"}  # fmt: skip
_OHMS = re.compile(r"(?P<number>\d+(?:[.,]\d+)?)\s*(?P<thousand>k)?", re.IGNORECASE)


def sensor_curve(named: str, where: str = "") -> SensorCurve:
    """Return the curve with an id.

    Raises
    ------
    Refused
        There is no such id; where only ohms are given, with every curve that has them and what tells them apart.
    """
    known = {curve.id: curve for curve in curves()}
    wanted = "-".join(named.lower().split())
    if wanted in known:
        return known[wanted]
    meant = _with_those_ohms(named)
    if meant:
        fit = (
            "one curve here, name it" if len(meant) == 1 else f"{len(meant)} curves here, name the one meant"
        )
        accepted = "; ".join(f"{curve.id} ({curve.told_by})" for curve in meant)
        raise Refused(Refusal(f"names no curve: its ohms fit {fit}", accepted, where, named))
    raise refuse_word(named, {curve.id: curve.name for curve in known.values()}, "a sensor curve", where)


def _with_those_ohms(text: str) -> list[SensorCurve]:
    """Return the curves whose ohms stand in a text such as "10k", "Pt1000" or "20 kohm", of its material if it names one."""
    found = _OHMS.search(text)
    if found is None:
        return []
    ohms = float(found["number"].replace(",", "")) * (1000.0 if found["thousand"] else 1.0)
    said = {MATERIALS.get(word, "") for word in re.findall(r"[a-z]+", text.lower())} - {""}
    return [
        curve
        for curve in curves()
        if abs(_sold_as(curve) - ohms) < NEAR * ohms and (not said or curve.material in said)
    ]


NEAR = 0.03
"""2.2k is said of 2252 ohm, 1.8k of 1800."""


def _sold_as(curve: SensorCurve) -> float:
    """Ohms that people call a sensor by: with a resistor across it, still those of the element."""
    if curve.curve.parallel_resistance is None:
        return curve.nominal
    return round(1.0 / (1.0 / curve.nominal - 1.0 / curve.curve.parallel_resistance), -3)


@dataclass(frozen=True, slots=True)
class SensorPrior:
    """What is assumed of a sensor that is metered."""

    coldest_air: float
    hottest_air: float
    beside: float  # half-widths and differences in K
    apart: float
    ice_bath: float
    warm_water: float
    restored: float
    probe: float


@cache
def assumed() -> SensorPrior:
    """Return what is assumed, from the file of priors."""
    data = read_toml("priors", "sensor_reading.toml")
    return SensorPrior(
        _degrees(data["air"]["coldest"]), _degrees(data["air"]["hottest"]), _kelvins(data["beside"]["half_width"]),
        _kelvins(data["apart"]["least"]), _degrees(data["reach"]["ice_bath"]), _degrees(data["reach"]["warm_water"]),
        _kelvins(data["restored"]["half_width"]), _kelvins(data["probe"]["half_width"]),
    )  # fmt: skip


def _kelvins(text: str) -> float:
    return read(text, TEMPERATURE_DIFFERENCE).value
