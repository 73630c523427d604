"""The rows of a sheet to look through, and the history of one row."""

from typing import Any

from django.db.models import Q
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse

from catalog.codes import Role
from catalog.selectors.editions import row_history
from catalog.sheets.kinds import ConditionsKind, DecimalKind, GroupsKind, ListKind, TextKind
from catalog.sheets.sheet import Sheet, key_text
from catalog.workbook.storage import Table
from fitment.pages.catalogue.mending import MENDABLE, mend_address, row_by_key_text
from fitment.pages.catalogue.paging import paged
from fitment.pages.catalogue.row_lines import history_address, row_line
from fitment.pages.shared.addresses import address
from fitment.pages.shared.page import page
from fitment.sheets import SHEETS

ROWS_A_PAGE = 100
VERSIONS_A_PAGE = 40
MOST_COLUMNS = 4  # beside the key: a line that can be read at one glance


@page(role=Role.EDITOR)
def rows(request: HttpRequest, name: str) -> HttpResponse:
    """Every row of a sheet by its key, found by words that stand in the key."""
    sheet = _sheet(name)
    table = Table(sheet, SHEETS)
    words = request.GET.get("q", "")
    paths = [table.path(sheet.columns[at].name) for at in sheet.key_at]
    keys = table.model._default_manager.filter(_holding(table, words)).order_by(*paths, "pk")
    page = paged(request, keys.values_list("pk", flat=True), ROWS_A_PAGE)
    found = table.read(Q(pk__in=list(page["rows"])))
    place = {pk: at for at, pk in enumerate(page["rows"])}
    ordered = sorted(found.items(), key=lambda item: place[item[1][0]])
    shown = [at for at, column in enumerate(sheet.columns) if not column.key][:MOST_COLUMNS]
    context: dict[str, Any] = {
        "name": name,
        "heads": [sheet.columns[at].name for at in (*sheet.key_at, *shown)],
        "page": {
            **page,
            "rows": [
                {
                    "cells": [(row[at], _is_long(sheet, at)) for at in (*sheet.key_at, *shown)],
                    "mend": mend_address(sheet, row) if name in MENDABLE else "",
                    "history": history_address(name, key_text(key)),
                }
                for key, (_, row) in ordered
            ],
        },
        "search": [{"name": "q", "label": "Find", "value": words, "kind": "search", "hint": "Words of the key."}],
        "searched": bool(words),
        "new": address(reverse("catalogue-mend", args=[name]), {"new": ["yes"]}) if name in MENDABLE else "",
        "sheets": [one.name for one in SHEETS if one.name != "catalogue"],
        "title_rows": [{"label": "Sheet", "value": name}],
    }
    return render(request, "catalogue/rows.html", context)


@page(role=Role.EDITOR)
def row(request: HttpRequest, name: str) -> HttpResponse:
    """What became of one row, edition by edition; `key` as history writes it."""
    sheet = _sheet(name)
    key = request.GET.get("key", "")
    page = paged(request, row_history(name, key), VERSIONS_A_PAGE)
    standing = row_by_key_text(sheet, key)
    if not page["total"] and standing is None:
        raise Http404
    context = {
        "name": name,
        "key": key,
        "page": {**page, "rows": [(one.edition, row_line(name, key, one.before, one.after)) for one in page["rows"]]},
        "standing": [(column, text) for column, text in sheet.named(standing).items() if text] if standing else None,
        "mend": mend_address(sheet, standing) if standing and name in MENDABLE else "",
        "title_rows": [{"label": "Row", "value": f"{name}: {key}"}],
    }
    return render(request, "catalogue/row.html", context)


def _sheet(name: str) -> Sheet:
    if name not in SHEETS or name == "catalogue":
        raise Http404
    return SHEETS[name]


def _is_long(sheet: Sheet, at: int) -> bool:
    """Whether the texts of a column are broken into lines."""
    return isinstance(sheet.columns[at].kind, TextKind | ConditionsKind | GroupsKind | ListKind)


def _holding(table: Table, words: str) -> Q:
    """The rows in some text of whose key every word stands."""
    texts = [column.name for column in table.sheet.columns if column.key and not isinstance(column.kind, DecimalKind)]
    chosen = Q()
    for word in words.replace("\0", "").split():
        somewhere = Q(pk__in=())
        for name in texts:
            somewhere |= Q(**{f"{table.path(name)}__icontains": word})
        chosen &= somewhere
    return chosen
