"""An invented year of weather as a file of measured hours: for tests that hand one over."""

from __future__ import annotations

from ventwright.tables.invented_year import invented_year


def year_file() -> bytes:
    """An invented year as measured hours."""
    year = invented_year("3C")
    rows = [
        f"2025-{month:02}-{day:02} {hour - 1:02}:00, {dry}, {100 * (humid or 0.5):.0f}"
        for (month, day, hour), dry, humid in zip(
            year.stamps, year.dry_bulb, year.relative_humidity, strict=True
        )
    ]
    head = ["# place: roof of nowhere", "# elevation: 60 ft", "# latitude: 37.6", ""]
    return "\n".join([*head[:3], "time, outdoor air [°C], relative humidity [%]", *rows]).encode()
