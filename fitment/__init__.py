"""Decisions, evidence and answers: what fits which car, and how well that is known."""
