"""Faults of the data file in software, as the diagnosis takes them; what they are stands beside the unit in software."""

from __future__ import annotations

from ventwright.plan.software_fault import CALLS, can_have, made, two_speeds

__all__ = ["CALLS", "can_have", "made", "two_speeds"]
