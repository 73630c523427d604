"""Where rows and differences of editions have their pages."""

from collections.abc import Mapping

from django.urls import reverse

from catalog.sheets.sheet import Row, Sheet
from fitment.pages.shared.addresses import address
from fitment.sheets import SHEETS

# The catalogue's own row is the loads', recorded times make no edition, enquiries are gathered by the service.
EDITABLE = frozenset(SHEETS.names()) - {"catalogue", "job_times", "enquiries"}


def compare_address(first: int, last: int) -> str:
    """What lies between two editions."""
    return address(reverse("catalogue-compare"), {"from": [str(first)], "to": [str(last)]})


def edit_address(sheet: Sheet, row: Row) -> str:
    """The page that edits a row; its key stands in the address, a value a parameter."""
    return address(reverse("catalogue-mend", args=[sheet.name]), {"key": [row[at] for at in sheet.key_at]})


def new_address(sheet: str, values: Mapping[str, str]) -> str:
    """The page that adds a row, some columns filled."""
    query = {"new": ["yes"]} | {name: [value] for name, value in values.items()}
    return address(reverse("catalogue-mend", args=[sheet]), query)


def history_address(sheet: str, key: str) -> str:
    """What became of a row; its key as history writes it."""
    return address(reverse("catalogue-row", args=[sheet]), {"key": [key]})
