"""Decisions, evidence and demand, a table a sheet of the workbook."""

from fitment.models.decisions import FitDecision, Stance
from fitment.models.demand import Enquiry
from fitment.models.evidence import Hardpoint, JobTime, JobTimePart, Measurement, TestFit, Wheel
