"""Reads of the facts."""

from .editions import CurrentCatalogue, current_catalogue

__all__ = ["CurrentCatalogue", "current_catalogue"]
