"""What is wrong with a unit: likely faults, singly and in pairs, with the readings for and against each."""

from __future__ import annotations

from ventwright.verdict.diagnose.diagnosis import (
    Diagnosis,
    Found,
    NextMeasurement,
    NotTold,
    Progress,
    ReadingEvidence,
    Together,
    diagnose,
    diagnosing,
)

__all__ = [
    "Diagnosis",
    "Found",
    "NextMeasurement",
    "NotTold",
    "Progress",
    "ReadingEvidence",
    "Together",
    "diagnose",
    "diagnosing",
]
