"""The rows of a sheet to look through, and the history of one row."""

from typing import Any

from django.forms import SearchInput
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render

from catalog.codes import Role
from catalog.selectors.editions import row_history
from catalog.sheets.kinds import ConditionsKind, GroupsKind, ListKind, TextKind
from catalog.sheets.sheet import Sheet, key_text
from catalog.workbook.history import RowDifference
from fitment.pages.catalogue.shared import EDITABLE, edit_address, history_address, new_address, paged
from fitment.pages.shared.forms import PageForm
from fitment.pages.shared.page import page
from fitment.services.catalogue.rows import keys_holding, row_by_key_text, rows_of_keys
from fitment.sheets import SHEETS

ROWS_A_PAGE = 100
VERSIONS_A_PAGE = 40
MOST_COLUMNS = 4  # beside the key: a line that can be read at one glance
LONG_KINDS = TextKind | ConditionsKind | GroupsKind | ListKind  # their texts are broken into lines


@page(role=Role.EDITOR)
def rows(request: HttpRequest, name: str) -> HttpResponse:
    """Every row of a sheet by its key, found by words that stand in the key."""
    sheet = _sheet(name)
    words = request.GET.get("q", "")
    form = PageForm(initial={"q": words})
    form.add("q", "Find", help_text="Words of the key.")
    form.fields["q"].widget = SearchInput({"autocomplete": "off"})
    page = paged(request, keys_holding(sheet, words), ROWS_A_PAGE)
    shown = [*sheet.key_at, *[at for at, column in enumerate(sheet.columns) if not column.key][:MOST_COLUMNS]]
    lines = [
        {
            "cells": [(row[at], isinstance(sheet.columns[at].kind, LONG_KINDS)) for at in shown],
            "mend": edit_address(sheet, row) if name in EDITABLE else "",
            "history": history_address(name, key_text(key)),
        }
        for key, row in rows_of_keys(sheet, list(page["rows"]))
    ]
    context: dict[str, Any] = {
        "name": name,
        "heads": [sheet.columns[at].name for at in shown],
        "page": {**page, "rows": lines},
        "search": form,
        "searched": bool(words),
        "new": new_address(name, {}) if name in EDITABLE else "",
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
    versions = [(one.edition, RowDifference(name, key, one.before, one.after)) for one in page["rows"]]
    context = {
        "name": name,
        "key": key,
        "page": {**page, "rows": versions},
        "standing": [(column, text) for column, text in sheet.named(standing).items() if text] if standing else None,
        "mend": edit_address(sheet, standing) if standing and name in EDITABLE else "",
        "title_rows": [{"label": "Row", "value": f"{name}: {key}"}],
    }
    return render(request, "catalogue/row.html", context)


def _sheet(name: str) -> Sheet:
    if name not in SHEETS or name == "catalogue":
        raise Http404
    return SHEETS[name]
