"""Arguments that several commands share, and quantities typed on the command line."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path
from typing import Any, get_args

from ventwright.errors import Refused
from ventwright.quantity import Dimension, Quantity, System, read


def add_job(parser: argparse.ArgumentParser) -> None:
    """Add the job file."""
    parser.add_argument("job", type=Path, metavar="JOB", help="job file, .yaml or .json")


def add_units(parser: argparse.ArgumentParser) -> None:
    """Add the choice of units."""
    parser.add_argument("--units", choices=("us", "si"), help="units to show (else the job's own)")


def add_json(parser: argparse.ArgumentParser) -> None:
    """Add output for programs."""
    parser.add_argument("--json", action="store_true", help="print JSON: SI values, units in the key names")


def units(arguments: argparse.Namespace, otherwise: System) -> System:
    """Return the units to show."""
    chosen: System = arguments.units or otherwise
    return chosen


def quantity(text: str | None, dimension: Dimension, option: str, **bounds: float) -> Quantity | None:
    """Read a quantity that may be given as an option; a refusal names the option."""
    return None if text is None else typed(text, dimension, option, **bounds)


def typed(text: str, dimension: Dimension, option: str, **bounds: float) -> Quantity:
    """Read a quantity that was given as an option; a refusal names the option."""
    try:
        return read(text, dimension, **bounds)
    except Refused as refused:
        raise Refused(*(refusal.at(option) for refusal in refused.refusals)) from None


def as_entered(text: str | None, entry: Any, option: str) -> Quantity | None:
    """Read an option as the document would read it: a quantity of that kind, within its bounds."""
    if text is None:
        return None
    typed: Callable[[str], Quantity] = get_args(entry)[1]
    try:
        return typed(text)
    except Refused as refused:
        raise Refused(*(refusal.at(option) for refusal in refused.refusals)) from None


def without_empty(entry: dict[str, Any]) -> dict[str, Any]:
    """Drop what was not given."""
    return {key: value for key, value in entry.items() if value not in (None, "", [])}
