"""Reads of the facts."""

from catalog.selectors.editions import CurrentCatalogue, current_catalogue

__all__ = ["CurrentCatalogue", "current_catalogue"]
