"""Words for what a log shows: days of the place and hours as people say them."""

from __future__ import annotations

from datetime import UTC, datetime
from zoneinfo import ZoneInfo


def day(seconds: int | None, zone: str | None) -> str:
    """Return the day of a moment at the place, such as 2026-03-08; UTC where no zone is known."""
    return "nothing" if seconds is None else f"{at_place(seconds, zone):%Y-%m-%d}"


def at_place(seconds: int, zone: str | None) -> datetime:
    """Return a moment by the clock of the place."""
    return datetime.fromtimestamp(seconds, UTC if zone is None else ZoneInfo(zone))


def hours_words(hours: float) -> str:
    """Return hours as people say them, such as "8,760 h"; a few of them to a tenth."""
    return f"{hours:,.1f} h" if 0.0 < hours < 10.0 else f"{hours:,.0f} h"


def moment(seconds: int | None) -> str | None:
    """Return a time in UTC as programs read it."""
    return (
        None if seconds is None else datetime.fromtimestamp(seconds, UTC).isoformat().replace("+00:00", "Z")
    )
