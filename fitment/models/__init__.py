"""Decisions, evidence and demand, a table a sheet of the workbook."""

from fitment.models.evidence import (
    Enquiry,
    FitDecision,
    Hardpoint,
    JobTime,
    JobTimePart,
    Measurement,
    Stance,
    TestFit,
    Wheel,
)
