"""The state of moist air: everything about it, from its dry bulb, one quantity more and the pressure.

``state`` answers for one air and needs nothing but ``math``; ``states`` answers for columns of them and imports
NumPy when it is called. Both put the same formulas together in the same way.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, Generic, NamedTuple

from ventwright.errors import Refusal, Refused
from ventwright.physics import moist_air, saturation
from ventwright.physics import wet_bulb as wick
from ventwright.physics.moist_air import STANDARD_PRESSURE
from ventwright.physics.saturation import Number
from ventwright.physics.second_quantity import can_be_asked, refusal, the_one

if TYPE_CHECKING:
    from numpy import bool_, float64
    from numpy.typing import ArrayLike, NDArray

    Column = NDArray[float64]
    Formula = Callable[..., Column]

ROUNDING = 1e-4
"""Share of the saturation pressure by which a given quantity may miss dry or saturated air and be taken for it: that
is what is lost when it is written with four or five digits. [-]"""

BLOCK = 16_384
"""Rows worked on at a time: what lies between two formulas then stays in the processor's cache."""

_LARGE = 2_000_000
"""Numbers in an array that is made and dropped before work on columns starts. Having seen a block of that size
freed, glibc keeps freed memory at hand; else it returns it to the system after each formula and takes it back for
the next, which more than doubles the time for a year of hours. Elsewhere it does nothing."""


class AirState(NamedTuple):
    """One state of moist air; what is "per kilogram" counts the dry air in it."""

    dry_bulb: float
    """[°C]"""
    relative_humidity: float
    """Over ice below 0.01 °C, over liquid water above. [-]"""
    humidity_ratio: float
    """[kg/kg dry air]"""
    dew_point: float
    """The frost point below 0.01 °C; -100 for any air drier than that. [°C]"""
    wet_bulb: float
    """Thermodynamic; of the liquid film wherever it has a root at or above 0 °C, else of the ice film. [°C]"""
    enthalpy: float
    """From dry air and liquid water at 0 °C. [J/kg dry air]"""
    specific_volume: float
    """[m3/kg dry air]"""
    density: float
    """Of the moist air. [kg/m3]"""
    vapour_pressure: float
    """[Pa]"""
    pressure: float
    """[Pa]"""


class AirStates(NamedTuple):
    """Many states of moist air: the fields of an ``AirState``, each an array of one common shape."""

    dry_bulb: Column
    relative_humidity: Column
    humidity_ratio: Column
    dew_point: Column
    wet_bulb: Column
    enthalpy: Column
    specific_volume: Column
    density: Column
    vapour_pressure: Column
    pressure: Column


def state(
    dry_bulb: float,
    *,
    relative_humidity: float | None = None,
    dew_point: float | None = None,
    wet_bulb: float | None = None,
    humidity_ratio: float | None = None,
    enthalpy: float | None = None,
    pressure: float = STANDARD_PRESSURE,
) -> AirState:
    """Everything about moist air, from its dry bulb, exactly one quantity more and the pressure.

    Holds from -40 to 60 °C and 50 to 110 kPa, for ideal gases: real air at saturation carries 0.4 to 0.5 % more
    water. Below 0.01 °C saturation is over ice; weather stations report relative humidity over liquid water there
    too (from memory), so give their dew point only where it is a frost point. A wet bulb below 0 °C is read off
    an iced wick; in the two-film band the state's own wet bulb is that of the liquid film.

    Parameters
    ----------
    dry_bulb
        -40 to 60. [°C]
    relative_humidity
        0 to 1. [-]
    dew_point
        -100 to the dry bulb; the frost point below 0.01. [°C]
    wet_bulb
        From that of air without water to the dry bulb. [°C]
    humidity_ratio
        0 to that of saturated air. [kg/kg dry air]
    enthalpy
        From that of air without water to that of saturated air, datum 0 °C. [J/kg dry air]
    pressure
        Of the moist air, 50 000 to 110 000; see ``moist_air.pressure_at_elevation``. [Pa]

    Returns
    -------
    AirState
        Dew point to 1e-8 K, wet bulb to 2e-5 K, the rest as exact as the formulas.

    Raises
    ------
    Refused
        Something is outside its range or not a number, or not exactly one second quantity was given.

    References
    ----------
    ASHRAE Handbook - Fundamentals 2017 (SI), chapter 1, equations 5, 6, 20, 26, 30, 33 and 35.
    """
    name, value = the_one(relative_humidity, dew_point, wet_bulb, humidity_ratio, enthalpy)
    if not can_be_asked(name, value, dry_bulb, pressure):
        raise Refused(refusal(name, value, dry_bulb, pressure))
    saturated = saturation.saturation_pressure(dry_bulb)
    vapour = _vapour_pressure(_FOR_NUMBERS, name, value, dry_bulb, saturated, pressure)
    if not 0.0 <= vapour <= saturated:
        if not -ROUNDING * saturated <= vapour <= (1.0 + ROUNDING) * saturated:
            raise Refused(refusal(name, value, dry_bulb, pressure))
        vapour = min(max(vapour, 0.0), saturated)
    return AirState._make(_complete(_FOR_NUMBERS, dry_bulb, vapour, saturated, pressure))


def states(
    dry_bulb: ArrayLike,
    *,
    relative_humidity: ArrayLike | None = None,
    dew_point: ArrayLike | None = None,
    wet_bulb: ArrayLike | None = None,
    humidity_ratio: ArrayLike | None = None,
    enthalpy: ArrayLike | None = None,
    pressure: ArrayLike = STANDARD_PRESSURE,
) -> AirStates:
    """Everything about many airs at once: ``state`` for arrays, which are broadcast against each other.

    Holds where ``state`` does and takes the same quantities.

    Returns
    -------
    AirStates
        As exact as ``state``, in arrays of the common shape.

    Raises
    ------
    Refused
        The arrays have no common shape; or, naming the first such row, ``state`` would refuse a row.
    """
    import numpy as np

    name, second = the_one(relative_humidity, dew_point, wet_bulb, humidity_ratio, enthalpy)
    given = [np.asarray(column, dtype=np.float64) for column in (dry_bulb, second, pressure)]
    try:
        shape = np.broadcast_shapes(*(column.shape for column in given))
    except ValueError:
        shapes = ", ".join(str(column.shape) for column in given)
        problem = (
            f"are the shapes of dry bulb, {name.replace('_', ' ')} and pressure, which have none in common"
        )
        raise Refused(Refusal(problem, "columns of one length, or single numbers", given=shapes)) from None
    rows = [np.broadcast_to(column, shape).reshape(-1) for column in given]
    size = rows[0].size
    np.empty(_LARGE)  # dropped at once, see there
    result = np.empty((len(AirStates._fields), size))
    kind = _for_columns()
    for start in range(0, size, BLOCK):
        block = slice(start, start + BLOCK)
        t, value, p = (column[block] for column in rows)
        if not all(can_be_asked(name, end(value), end(t), end(p)) for end in (np.min, np.max)):
            _refuse_first(name, rows, start, shape)
        saturated = kind.saturation_pressure(t)
        vapour = _vapour_pressure(kind, name, value, t, saturated, p)
        if not np.all((vapour >= 0.0) & (vapour <= saturated)):
            if not np.all((vapour >= -ROUNDING * saturated) & (vapour <= (1.0 + ROUNDING) * saturated)):
                _refuse_first(name, rows, start, shape)
            vapour = np.clip(vapour, 0.0, saturated)
        for column, values in zip(result, _complete(kind, t, vapour, saturated, p), strict=True):
            column[block] = values
    return AirStates(*(column.reshape(shape) for column in result))


class _Kind(NamedTuple, Generic[Number]):
    """The formulas that choose between liquid water and ice, for one kind of number."""

    saturation_pressure: Callable[[Number], Number]
    dew_point: Callable[[Number], Number]
    wet_bulb: Callable[[Number, Number, Number], Number]
    humidity_ratio_of_wet_bulb: Callable[[Number, Number, Number], Number]


_FOR_NUMBERS: _Kind[float] = _Kind(
    saturation.saturation_pressure, saturation.dew_point, wick.wet_bulb, wick.humidity_ratio
)


def _for_columns() -> _Kind[Column]:
    """Build the formulas for arrays, each taking the rows over liquid water and those over ice in turn."""
    import numpy as np

    def each(liquid: NDArray[bool_], over_liquid: Formula, over_ice: Formula, *columns: Column) -> Column:
        rows = np.flatnonzero(liquid)
        if rows.size == liquid.size:
            return over_liquid(*columns)
        if rows.size == 0:
            return over_ice(*columns)
        result = np.empty(liquid.shape)
        result[rows] = over_liquid(*(column[rows] for column in columns))
        rows = np.flatnonzero(~liquid)
        result[rows] = over_ice(*(column[rows] for column in columns))
        return result

    def saturation_pressure(temperature: Column) -> Column:
        kelvin = temperature + saturation.ZERO_CELSIUS
        return np.exp(each(temperature >= saturation.TRIPLE_POINT, ln_liquid, ln_ice, kelvin))

    def dew_point(vapour_pressure: Column) -> Column:
        ln_pressure = np.log(np.maximum(vapour_pressure, saturation.LEAST_PRESSURE))
        return each(
            vapour_pressure >= saturation.TRIPLE_POINT_PRESSURE,
            saturation.dew_point_over_liquid,
            saturation.dew_point_over_ice,
            ln_pressure,
        )

    def wet_bulb(enthalpy: Column, humidity_ratio: Column, pressure: Column) -> Column:
        liquid = enthalpy >= wick.least_enthalpy_over_liquid(pressure)
        return each(liquid, wet_bulb_liquid, wet_bulb_ice, enthalpy, humidity_ratio, pressure)

    def humidity_ratio(dry_bulb: Column, wet_bulb: Column, pressure: Column) -> Column:
        return each(wet_bulb >= 0.0, ratio_liquid, ratio_ice, wet_bulb, dry_bulb, pressure)

    ln_liquid = partial(saturation.ln_pressure_over_liquid, log=np.log)
    ln_ice = partial(saturation.ln_pressure_over_ice, log=np.log)
    wet_bulb_liquid = partial(wick.over_liquid, log=np.log, exp=np.exp)
    wet_bulb_ice = partial(wick.over_ice, log=np.log, exp=np.exp)
    ratio_liquid = partial(wick.humidity_ratio_over_liquid, log=np.log, exp=np.exp)
    ratio_ice = partial(wick.humidity_ratio_over_ice, log=np.log, exp=np.exp)
    return _Kind(saturation_pressure, dew_point, wet_bulb, humidity_ratio)


def _vapour_pressure(
    kind: _Kind[Number], name: str, value: Number, dry_bulb: Number, saturated: Number, pressure: Number
) -> Number:
    """Vapour pressure, whatever the second quantity is."""
    if name == "relative_humidity":
        return value * saturated
    if name == "dew_point":
        return kind.saturation_pressure(value)
    if name == "wet_bulb":
        value = kind.humidity_ratio_of_wet_bulb(dry_bulb, value, pressure)
    elif name == "enthalpy":
        value = moist_air.humidity_ratio_of_enthalpy(value, dry_bulb)
    return moist_air.vapour_pressure(value, pressure)


def _complete(
    kind: _Kind[Number], dry_bulb: Number, vapour: Number, saturated: Number, pressure: Number
) -> tuple[Number, ...]:
    """The fields of a state, in their order."""
    ratio = moist_air.humidity_ratio(vapour, pressure)
    heat = moist_air.enthalpy(dry_bulb, ratio)
    volume = moist_air.specific_volume(dry_bulb, ratio, pressure)
    return (
        dry_bulb,
        vapour / saturated,
        ratio,
        kind.dew_point(vapour),
        kind.wet_bulb(heat, ratio, pressure),
        heat,
        volume,
        (1.0 + ratio) / volume,
        vapour,
        pressure,
    )


def _refuse_first(name: str, rows: list[Column], start: int, shape: tuple[int, ...]) -> None:
    """Raise the refusal of the first row, from one row on, that ``state`` refuses."""
    import numpy as np

    for index in range(start, rows[0].size):
        dry_bulb, value, pressure = (float(column[index]) for column in rows)
        try:
            state(dry_bulb, pressure=pressure, **{name: value})
        except Refused as refused:
            place = ", ".join(str(position) for position in np.unravel_index(index, shape))
            (found,) = refused.refusals
            raise Refused(found.at(f"row {place}, {found.where}")) from None
