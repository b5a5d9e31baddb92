"""The kinds of value a document holds: quantities as typed, numbers, days and times."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING, Annotated, Any

from pydantic import AfterValidator, AwareDatetime, BeforeValidator, Field
from pydantic_core import core_schema

from ventwright.errors import Refusal, Refused
from ventwright.quantity import (
    AIRFLOW,
    AREA,
    CONCENTRATION,
    FRACTION,
    HEAT_RATE,
    LENGTH,
    PRESSURE,
    TEMPERATURE,
    TEMPERATURE_DIFFERENCE,
    VOLTAGE,
    Dimension,
    Quantity,
    has_unit_of,
    read,
)
from ventwright.quantity.dimension import SIGNAL_CURRENT

if TYPE_CHECKING:
    from pydantic import GetJsonSchemaHandler
    from pydantic.json_schema import JsonSchemaValue
    from pydantic_core.core_schema import CoreSchema


def as_written(given: object) -> str:
    """Return a single value as it stands in a document, nothing for a blank, a list or a part."""
    if isinstance(given, bool):
        return str(given).lower()
    return str(given) if isinstance(given, (str, int, float, date)) else ""


@dataclass(frozen=True, slots=True)
class Typed:
    """Reads a quantity of one of the given dimensions, within SI bounds, and keeps what was typed."""

    dimensions: tuple[Dimension, ...]
    at_least: float | None = None
    at_most: float | None = None
    signed: bool = False  # a "±" may stand before the number, as instruments print their accuracy

    def __call__(self, given: object) -> Quantity:
        """Read what stands in the document; a number without a unit is refused with what to write."""
        if isinstance(given, Quantity) and self._takes(given):
            return given
        text = self._text(given)
        number = _PLUS_MINUS.sub("", text) if self.signed else text
        dimension = next((known for known in self.dimensions if has_unit_of(number, known)), None)
        try:
            quantity = read(
                number, dimension or self.dimensions[0], at_least=self.at_least, at_most=self.at_most
            )
        except Refused as refused:
            if dimension is not None or len(self.dimensions) == 1:
                raise
            problem = refused.refusals[0].problem.replace(self.dimensions[0].one, self.one)
            raise Refused(Refusal(problem, self.example, given=text)) from None
        return replace(quantity, typed=text)

    def _takes(self, given: Quantity) -> bool:
        """Whether a quantity that was read before is one of those wanted here."""
        low = -math.inf if self.at_least is None else self.at_least
        high = math.inf if self.at_most is None else self.at_most
        return given.dimension in self.dimensions and low <= given.value <= high

    def _text(self, given: object) -> str:
        """Return what was typed; a list or a part of the document is no quantity."""
        if isinstance(given, (list, tuple, Mapping)):
            what = "several keys" if isinstance(given, Mapping) else "a list"
            raise Refused(Refusal(f"is {what}, and {self.one} is wanted", self.example))
        return given.typed if isinstance(given, Quantity) else as_written(given).strip()

    @property
    def one(self) -> str:
        """What is read, with its article: "a fraction or a voltage"."""
        *others, last = (dimension.one for dimension in self.dimensions)
        return f"{', '.join(others)} or {last}" if others else last

    @property
    def example(self) -> str:
        """What may be written, for help and refusals."""
        return " or ".join(dimension.example for dimension in self.dimensions)

    def __get_pydantic_core_schema__(self, source: Any, handler: Any) -> CoreSchema:
        """Validate by reading, serialize as typed."""
        return core_schema.no_info_plain_validator_function(
            self, serialization=core_schema.plain_serializer_function_ser_schema(str, when_used="always")
        )

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        """Publish a string with the dimension it must have."""
        return {
            "type": "string",
            "description": f"{self.dimensions[0].one} with its unit: {self.example}",
            "x-dimension": [dimension.name for dimension in self.dimensions],
        }


_PLUS_MINUS = re.compile(r"^(?:±|\+/-|\+-)\s*")


def _within_stroke(signal: Quantity) -> Quantity:
    if signal.dimension == FRACTION and signal.value > 1.0:
        raise Refused(Refusal("is more than full stroke", "at most 100 %", given=signal.typed))
    return signal


WIDEST = {TEMPERATURE_DIFFERENCE: 20.0, FRACTION: 1.0, PRESSURE: 1e4}
"""The widest ± of an instrument: what is off by more shows nothing of the air here (our own assumption). [SI]"""


def _of_an_instrument(accuracy: Quantity) -> Quantity:
    problem = "is the accuracy of no instrument"
    if accuracy.value == 0.0:
        raise Refused(Refusal(problem, "what its maker prints, above zero", given=accuracy.typed))
    widest = WIDEST.get(accuracy.dimension)
    if widest is not None and accuracy.value > widest:
        most = f"{widest:g} {accuracy.dimension.si.names[0]}" if accuracy.dimension != FRACTION else "100 %"
        raise Refused(Refusal(problem, f"what its maker prints, at most {most}", given=accuracy.typed))
    return accuracy


Temperature = Annotated[Quantity, Typed((TEMPERATURE,), -90.0, 120.0)]
Difference = Annotated[Quantity, Typed((TEMPERATURE_DIFFERENCE,))]

MOST_AIR = 500.0
"""No unit on a roof, and no fan of one, moves as much: a slip of digits or of the unit (our own assumption). [m3/s]"""

LEAST_SUPPLY_AIR = 0.001
"""A supply fan that runs moves more (our own assumption). [m3/s]"""

MOST_HEAT = 1e7
"""No unit on a roof cools or heats as much (our own assumption). [W]"""

MOST_AREA = 9e4
"""No unit serves as much floor (our own assumption). [m2]"""

Airflow = Annotated[Quantity, Typed((AIRFLOW,), at_most=MOST_AIR)]


def _moves_air(airflow: Quantity) -> Quantity:
    """Refuse a supply airflow of nothing: shares of it would be without end."""
    if airflow.value < LEAST_SUPPLY_AIR:
        accepted = (
            f"more than nothing, such as {AIRFLOW.example}; a fan that stands still is a note, not an airflow"
        )
        raise Refused(Refusal("is no supply airflow", accepted, given=airflow.typed))
    return airflow


SupplyAirflow = Annotated[Quantity, Typed((AIRFLOW,), at_most=MOST_AIR), AfterValidator(_moves_air)]
"""An airflow that is divided by: more than nothing."""

HeatRate = Annotated[Quantity, Typed((HEAT_RATE,), at_most=MOST_HEAT)]
Area = Annotated[Quantity, Typed((AREA,), at_most=MOST_AREA)]
Elevation = Annotated[Quantity, Typed((LENGTH,), -500.0, 6000.0)]
Pressure = Annotated[Quantity, Typed((PRESSURE,))]
Share = Annotated[Quantity, Typed((FRACTION,), 0.0, 1.0)]
RelativeHumidity = Annotated[Quantity, Typed((FRACTION,), 0.0, 1.0)]
Concentration = Annotated[Quantity, Typed((CONCENTRATION,))]
OF_A_SIGNAL = (FRACTION, VOLTAGE, SIGNAL_CURRENT)
"""In what a damper signal is typed: per cent of its range, volts, milliamperes."""
Signal = Annotated[Quantity, Typed(OF_A_SIGNAL, 0.0), AfterValidator(_within_stroke)]
"""A damper signal, in per cent of its range, in volts or in milliamperes."""

_ACCURACIES = (TEMPERATURE_DIFFERENCE, FRACTION, PRESSURE, CONCENTRATION, VOLTAGE)
Accuracy = Annotated[Quantity, Typed(_ACCURACIES, 0.0, signed=True), AfterValidator(_of_an_instrument)]
"""An instrument's ±: a difference in its unit, or per cent of reading; 95 % coverage (k = 2)."""


def _no_truth_value(given: object) -> object:
    """Refuse true and false, which would pass for one and zero."""
    if isinstance(given, bool):
        raise Refused(Refusal("is no number", "a number", given=as_written(given)))
    return given


Count = Annotated[int, BeforeValidator(_no_truth_value)]
"""A whole number."""

Number = Annotated[float, BeforeValidator(_no_truth_value)]
"""A number without a unit, such as a number of people, of which an average is no whole number."""


def _number_as_text(given: object) -> object:
    """Let a number without a unit through as text: whoever reads it then says which unit it needs."""
    return as_written(given) if isinstance(given, (int, float)) and not isinstance(given, bool) else given


Written = Annotated[str, BeforeValidator(_number_as_text)]
"""A value with its unit that is read where it is known what it measures, such as a setting of a kit."""

ShortName = Annotated[
    str,
    Field(pattern=r"^[a-z0-9][a-z0-9-]*$", description="short name in small letters, digits and hyphens"),
]
"""The id of an equipment file, by which jobs name it."""

A_DAY = "a date such as 2026-11-25"
A_MOMENT = 'a time with its offset from UTC, such as "2026-11-25T09:40-08:00"'

_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_MOMENT = re.compile(
    r"[0-9]{4}-[0-9]{2}-[0-9]{2}[Tt ][0-9]{2}:[0-9]{2}(?::[0-9]{2}(?:\.[0-9]+)?)?(?P<offset>[Zz]|[-+][0-9]{2}:?[0-9]{2})?"
)


def _written_day(given: object) -> object:
    """Refuse what is not written as a date: a bare number would pass for seconds since 1970."""
    if isinstance(given, date) or (isinstance(given, str) and _DAY.fullmatch(given.strip())):
        return given
    raise Refused(Refusal("is not a date", A_DAY, given=as_written(given)))


def _written_moment(given: object) -> object:
    """Refuse what is not written as a time with its offset from UTC, for the same reason."""
    if isinstance(given, date):
        return given
    found = _MOMENT.fullmatch(given.strip()) if isinstance(given, str) else None
    if found is None:
        raise Refused(Refusal("is not a time with its offset", A_MOMENT, given=as_written(given)))
    if found["offset"] is None:
        raise Refused(Refusal("has no offset from UTC", A_MOMENT, given=as_written(given)))
    return given


Day = Annotated[date, BeforeValidator(_written_day)]
"""A calendar day, as 2026-11-25."""

Moment = Annotated[AwareDatetime, BeforeValidator(_written_moment)]
"""A time with its offset from UTC, as "2026-11-25T09:40-08:00"."""
