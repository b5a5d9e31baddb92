"""The range in which a value of the hardware must lie, and the sentence where it does not."""

from __future__ import annotations

import math

from ventwright.errors import Refusal, Refused


def within(where: str, value: float, least: float, most: float = math.inf, unit: str = "") -> None:
    """Refuse a value of the hardware that is not a finite number of its range.

    Parameters
    ----------
    where
        Part and value, as ``damper.face``.
    value
        As given, in SI.
    least, most
        Ends of its range, both allowed. [unit of the value]
    unit
        As it is written behind a number.

    Raises
    ------
    Refused
        The value lies outside, or is not a number.

    References
    ----------
    None: what no hardware can be.
    """
    if math.isfinite(value) and least <= value <= most:
        return
    behind = f" {unit}" if unit else ""
    accepted = f"{least:g} to {most:g}{behind}" if math.isfinite(most) else f"{least:g}{behind} or more"
    raise Refused(Refusal("is not possible", accepted, where, f"{value:g}{behind}"))


def above_zero(where: str, value: float, unit: str = "") -> None:
    """Refuse a value of the hardware that is not a finite number above 0.

    Parameters
    ----------
    where
        Part and value, as ``damper.face``.
    value
        As given, in SI.
    unit
        As it is written behind a number. [unit of the value]

    Raises
    ------
    Refused
        The value is 0 or below, or is not a finite number.

    References
    ----------
    None: what no hardware can be.
    """
    if not (math.isfinite(value) and value > 0.0):
        behind = f" {unit}" if unit else ""
        raise Refused(Refusal("is not possible", f"a number above 0{behind}", where, f"{value:g}{behind}"))


def rising(where: str, values: tuple[float, ...], unit: str = "") -> None:
    """Refuse values of stages that do not rise from one stage to the next.

    Parameters
    ----------
    where
        Part and values, as ``coil.capacities``.
    values
        The whole of one stage, of two, of three ..., each above 0 and above the one before.
    unit
        As it is written behind a number. [unit of the values]

    Raises
    ------
    Refused
        They do not rise.

    References
    ----------
    None: what no hardware can be.
    """
    for before, value in zip((0.0, *values), values, strict=False):
        if not (math.isfinite(value) and value > before):
            given = ", ".join(f"{one:g}" for one in values) + (f" {unit}" if unit else "")
            raise Refused(
                Refusal("does not rise from stage to stage", "more with every stage, above 0", where, given)
            )
