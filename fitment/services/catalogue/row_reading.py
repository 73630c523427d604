"""Rows of a sheet as they stand, found by their keys."""

from collections.abc import Sequence
from typing import Any

from django.db.models import Q, QuerySet

from catalog.sheets.kinds import DecimalKind
from catalog.sheets.sheet import Key, Row, Sheet, key_text
from catalog.workbook.storage import Table
from fitment.sheets import SHEETS


def row_by_key(sheet: Sheet, key: Sequence[str]) -> Row | None:
    """The standing row with a key, given as the texts of its columns."""
    if len(key) != len(sheet.key_at) or any("\0" in text for text in key):
        return None
    compared = tuple(sheet.columns[at].kind.compare(text) for at, text in zip(sheet.key_at, key, strict=True))
    table = Table(sheet, SHEETS)
    try:
        found = table.read(table.filter(dict(zip(sheet.key_names, compared, strict=True))))
    except ValueError:  # a text that is no date of the key
        return None
    return found[compared][1] if compared in found else None


def row_by_key_text(sheet: Sheet, text: str) -> Row | None:
    """The standing row with a key, given in one line as history writes it."""
    key = text.split(" / ")
    if len(key) == len(sheet.key_at):
        return row_by_key(sheet, key)
    # A value of the key holds the sign between values itself: the rows are looked through.
    rows = Table(sheet, SHEETS).read().items()
    return next((row for key, (_, row) in rows if key_text(key) == text), None)


def keys_holding(sheet: Sheet, words: str) -> "QuerySet[Any, int]":
    """The primary keys of the rows in some text of whose key every word stands, in the order of their keys."""
    table = Table(sheet, SHEETS)
    texts = [column.name for column in sheet.columns if column.key and not isinstance(column.kind, DecimalKind)]
    chosen = Q()
    for word in words.replace("\0", "").split():
        somewhere = Q(pk__in=())
        for name in texts:
            somewhere |= Q(**{f"{table.path(name)}__icontains": word})
        chosen &= somewhere
    return table.rows.filter(chosen).order_by(*map(table.path, sheet.key_names), "pk").values_list("pk", flat=True)


def rows_of_keys(sheet: Sheet, pks: Sequence[int]) -> list[tuple[Key, Row]]:
    """Rows by their primary keys, in that order."""
    place = {pk: at for at, pk in enumerate(pks)}
    found = Table(sheet, SHEETS).read(Q(pk__in=pks)).items()
    return [(key, row) for key, (_, row) in sorted(found, key=lambda item: place[item[1][0]])]
