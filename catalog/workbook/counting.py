"""How many rows each sheet has."""

from django.db import connection
from psycopg import sql

from catalog.workbook.sheets import Sheets
from catalog.workbook.storage import Table


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
    return {sheet.name: found[sheet.name] for sheet in sheets if sheet.name in found}
