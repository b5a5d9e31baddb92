"""The kits on the shelf that fit a unit's fan and heating, best first: what a job begins with until somebody chooses."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from ventwright.tables.kit import Heating, Kit
from ventwright.tables.shelf import find, names

COMMONEST_HEATING: Heating = "gas"
"""Heating that a kit should be for where nobody said which the unit has (our own assumption)."""


@dataclass(frozen=True, slots=True)
class FittingKit:
    """A kit that fits, and why it stands where it does in the list."""

    id: str
    name: str
    reason: str


def fitting_kits(
    *, fan_speeds: int | None = None, variable: bool = False, heating: Heating | None = None
) -> tuple[FittingKit, ...]:
    """Return the kits that fit, best first; none where none on the shelf does.

    As many fan speeds as the unit has go before more, a kit for the commonest heating before one for another where the
    unit's is not known, one whose damper can be sent to a signal by hand before one whose cannot.

    Parameters
    ----------
    fan_speeds
        Speeds of the supply fan; None where nobody said.
    variable
        Whether the fan runs at any speed between its slowest and its fastest.
    heating
        Heating of the unit; None where nobody said.
    """
    shelf = [find("kits", name, Kit) for name in names("kits")]
    fitting = [
        kit for kit in shelf if _fits_fan(kit, fan_speeds or 1, variable=variable) and _is_for(kit, heating)
    ]
    fitting.sort(key=lambda kit: (
        0 if variable or fan_speeds is None else abs(kit.fan_speeds - fan_speeds),
        not _is_for(kit, heating or COMMONEST_HEATING),
        not kit.manual_mode,
        -len(kit.settings_file),
    ))  # fmt: skip
    return tuple(FittingKit(kit.id, kit.name, "; ".join(_reasons(kit))) for kit in fitting)


def _fits_fan(kit: Kit, speeds: int, *, variable: bool) -> bool:
    return kit.variable_fan or (not variable and kit.fan_speeds >= speeds)


def _is_for(kit: Kit, heating: Heating | None) -> bool:
    return heating is None or not kit.heating or heating in kit.heating


def _reasons(kit: Kit) -> Iterator[str]:
    """What of a kit decides its place in the list."""
    yield "follows a fan of any speed" if kit.variable_fan else f"for a fan of {_speeds(kit.fan_speeds)}"
    yield f"for units with {' or '.join(kit.heating)}" if kit.heating else "for units with any heating"
    if kit.manual_mode:
        yield "its damper can be sent to a signal by hand"


def _speeds(count: int) -> str:
    return "one speed" if count == 1 else f"up to {count} speeds"
