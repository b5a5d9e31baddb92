"""What is wrong with a unit: likely faults, singly and in pairs, with the readings for and against each."""

from __future__ import annotations

from ventwright.verdict.diagnose.diagnosis import (
    Diagnosis,
    Evidence,
    Found,
    NextMeasurement,
    NotTold,
    Progress,
    Together,
    diagnose,
    diagnosing,
)

__all__ = [
    "Diagnosis",
    "Evidence",
    "Found",
    "NextMeasurement",
    "NotTold",
    "Progress",
    "Together",
    "diagnose",
    "diagnosing",
]
