"""From the clock on the wall to UTC: summer time skips one hour and shows another one twice."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from functools import lru_cache
from typing import Final
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from ventwright.errors import Refusal, Refused

DAY: Final = 86_400


def zone_named(name: str, where: str = "--zone") -> ZoneInfo:
    """Return a time zone by its name.

    Raises
    ------
    Refused
        There is none of this name.
    """
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        accepted = (
            "a name of the IANA data base, such as America/Chicago or Etc/GMT+6 (six hours behind, all year)"
        )
        raise Refused(Refusal("is no time zone", accepted, where, name)) from None


@lru_cache(maxsize=8192)
def offset_of_day(day: int, zone: ZoneInfo) -> int | None:
    """Return how far the clocks of a zone are ahead of UTC on a day, in seconds; None on a day on which they change."""
    midnights = (datetime(1970, 1, 1) + timedelta(days=day + more) for more in (0, 1))  # noqa: DTZ001 - wall clock
    offsets = {
        midnight.replace(tzinfo=zone, fold=fold).utcoffset() for midnight in midnights for fold in (0, 1)
    }
    only = offsets.pop()
    return int(only.total_seconds()) if not offsets and only is not None else None


def to_utc(seconds: int, zone: ZoneInfo | None, before: int | None, *, falling: bool = False) -> int | None:
    """Return the UTC of a moment of the wall clock, in seconds since 1970; None for an hour that the clock skips.

    Parameters
    ----------
    seconds
        The wall clock, in seconds since 1970 by that clock.
    zone
        Whose clock; None for a clock that is taken for UTC.
    before
        UTC of the row before: it tells which of the two hours is meant when the clock shows one twice.
    falling
        Whether the newest row comes first.
    """
    if zone is None:
        return seconds
    offset = offset_of_day(seconds // DAY, zone)
    if offset is not None:
        return seconds - offset
    wall = datetime(1970, 1, 1) + timedelta(seconds=seconds)  # noqa: DTZ001 - wall clock
    both = [_utc(wall.replace(tzinfo=zone, fold=fold)) for fold in (0, 1)]
    real = [one for one in both if _wall(one, zone) == seconds]
    if not real:
        return None
    early, late = min(real), max(real)
    if falling:
        return late if before is None or late < before else early
    return early if before is None or early > before else late


def _utc(moment: datetime) -> int:
    return int(moment.timestamp())


def _wall(utc: int, zone: ZoneInfo) -> int:
    shown = datetime.fromtimestamp(utc, UTC).astimezone(zone).replace(tzinfo=UTC)
    return int(shown.timestamp())
