"""What each measurement reads, as the diagnosis takes it; how that is read stands beside the unit in software."""

from __future__ import annotations

from ventwright.plan.software_reading import (
    IN_STATE,
    LEAST_DIFFERENCE,
    LOOKED_AT,
    NOTHING,
    Looked,
    Seen,
    Value,
)

__all__ = ["IN_STATE", "LEAST_DIFFERENCE", "LOOKED_AT", "NOTHING", "Looked", "Seen", "Value"]
