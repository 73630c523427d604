"""How many rows each sheet has."""

from collections.abc import Mapping
from typing import TypeVar

from django.db import connection
from psycopg import sql

from catalog.sheets.sheet import Sheets
from catalog.workbook.storage import Table

T = TypeVar("T")


def row_counts(sheets: Sheets) -> dict[str, int]:
    """Rows by sheet, without the sheet of the catalogue itself (one query)."""
    counts = [
        sql.SQL("SELECT {}, count(*) FROM {}").format(
            sql.Literal(sheet.name), sql.Identifier(Table(sheet, sheets).model._meta.db_table)
        )
        for sheet in sheets
        if sheet.name != "catalogue"
    ]
    with connection.cursor() as cursor:
        cursor.execute(sql.SQL(" UNION ALL ").join(counts))
        found = dict(cursor.fetchall())
    return dict(in_sheet_order(found, sheets))


def in_sheet_order(counts: Mapping[str, T], sheets: Sheets) -> list[tuple[str, T]]:
    """Counts by sheet in the order of the workbook, which a JSON column of the database does not keep."""
    return [(name, counts[name]) for name in sheets.names() if name in counts]
