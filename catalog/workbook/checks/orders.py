"""Least and most: sizes, minutes, windows and batches that must stand in order."""

from decimal import Decimal
from itertools import pairwise

from catalog.sheets.kinds import DateKind
from catalog.sheets.sheet import Key, Row, Sheet
from catalog.stamps import batch_order
from catalog.workbook.draft import Draft
from catalog.workbook.faults import Findings


def check_orders(draft: Draft, findings: Findings, /) -> None:
    """Every figure or day that has a fellow behind it is at most that one."""
    for sheet in draft.sheets:
        for columns in sheet.ordered:
            for key, row in draft.touched_rows(sheet.name):
                _check(draft, findings, sheet, columns, key, row)
    for key, row in draft.touched_rows("holds"):
        low, high = (draft.sheets["holds"].get(row, name) for name in ("batch_from", "batch_to"))
        if low and high and batch_order(low) > batch_order(high):
            draft.fault(
                findings.faults,
                "holds",
                key,
                "batch_from",
                f"'{low}' comes after batch_to '{high}'",
                "write the first batch in batch_from; batches order by length, then text",
            )


def _check(draft: Draft, findings: Findings, sheet: Sheet, columns: tuple[str, ...], key: Key, row: Row) -> None:
    filled = [name for name in columns if sheet.get(row, name)]
    for low, high in pairwise(filled):
        if _value(sheet, row, low) > _value(sheet, row, high):
            is_date = isinstance(sheet.column(low).kind, DateKind)
            draft.fault(
                findings.faults,
                sheet.name,
                key,
                low,
                f"{sheet.get(row, low)} is {'later than' if is_date else 'above'} {high} {sheet.get(row, high)}",
                f"{low} must be at most {high}",
            )


def _value(sheet: Sheet, row: Row, name: str):  # type: ignore[no-untyped-def]
    kind, text = sheet.column(name).kind, sheet.get(row, name)
    return kind.parse(text) if isinstance(kind, DateKind) else Decimal(text)
