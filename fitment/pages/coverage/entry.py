"""A row written on a page: first what answers it changes, then, on another word, it is stored as previewed."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from hashlib import sha256
from typing import Any

from django.http import HttpRequest

from catalog.roles import role_of
from catalog.selectors import current_catalogue
from catalog.workbook.errors import Busy, Moved
from fitment.coverage.counting import CellKey
from fitment.errors import BadParameters
from fitment.pages.catalogue.changes import by_place, touched
from fitment.pages.catalogue.mending import fields_of, label_of
from fitment.pages.coverage.cell_lines import cell_lines
from fitment.pages.shared.addresses import edition_number
from fitment.readers.names import names
from fitment.services.catalogue.row_writing import row_edit, row_save
from fitment.services.coverage.cells import row_preview
from fitment.sheets import SHEETS

LINES_SHOWN = 60
COUNTED = "job_times"  # rows that make no edition: they are added, not mended


class Entry:
    """One row under the pen: what was typed is kept, errors stand at their fields.

    `typed` are the columns that the form asks for, `given` those that the page knows; `cell` is the cell of coverage
    that the page is about.
    """

    def __init__(
        self,
        request: HttpRequest,
        sheet: str,
        typed: Sequence[str],
        given: Mapping[str, str],
        cell: CellKey | None = None,
    ) -> None:
        self.cell = cell
        self.request, self.sheet, self.typed = request, SHEETS[sheet], tuple(typed)
        self.is_posted = request.method == "POST" and request.POST.get("sheet") == sheet
        source = request.POST if self.is_posted else request.GET
        self.values = {name: source.get(name, given.get(name, "")).strip() for name in self.typed}
        self.given = {name: value for name, value in given.items() if name not in self.typed}
        self.errors: list[tuple[str, str]] = []
        self.preview: dict[str, Any] | None = None
        self.seen = ""
        self.status = 200
        self.moved = False
        self.edition = current_catalogue().edition

    @property
    def row(self) -> dict[str, str]:
        return {**self.given, **self.values}

    def refuse(self, column: str, message: str) -> None:
        """Notes what is wrong with a field before the row is looked at as a whole."""
        self.errors.append((column, message))
        self.status = 422

    @property
    def lines(self) -> list[tuple[str, str]]:
        """What is filled in of the row, as a reader reads it."""
        return [(label_of(name), value) for name, value in self.row.items() if value]

    def take(self) -> bool:
        """Previews or stores what was posted; True when it is stored."""
        try:
            if self.request.POST.get("step") == "save":
                return self._take_word()
            self._preview()
        except BadParameters as bad:
            self.errors, self.status = bad.errors, 422
        except Busy as busy:
            self.errors, self.status = [("", f"{busy}.")], 503
        return False

    def _take_word(self) -> bool:
        """Stores what was previewed; where another edition came between, only if it still changes the very same.

        A row that stands already was stored before, and only the answer got lost on the way.
        """
        at = edition_number(self.request.POST.get("edition", ""))
        try:
            self._save(at)
            return True
        except Moved:
            self._preview()
        if self.preview and not self.preview["changes"]:
            return True
        if self.request.POST.get("seen") == self.seen:
            try:
                self._save(self.edition)
                return True
            except Moved:
                self._preview()
        self.moved, self.status = True, 409
        return False

    def _save(self, at: int | None) -> None:
        actor, role = self.request.user, role_of(self.request.user)
        if self.sheet.name == COUNTED:
            row_save(sheet=COUNTED, values=self.row, actor=actor, role=role)
        else:
            row_edit(sheet=self.sheet.name, key=None, values=self.row, actor=actor, role=role, at_edition=at)

    def _preview(self) -> None:
        report, cells = row_preview(
            sheet=self.sheet.name, values=self.row, actor=self.request.user, role=role_of(self.request.user)
        )
        answers = [asdict(one) for one in report.differences.answers]
        minutes = [asdict(one) for one in report.differences.minutes]
        self.edition = report.edition_before
        said = [report.counts.get(self.sheet.name), report.warnings, answers, minutes]
        self.seen = sha256(json.dumps(said, default=str, sort_keys=True).encode()).hexdigest()
        self.preview = {
            "changes": report.has_changes,
            "new": report.counts.get(self.sheet.name, {}).get("added", 0) > 0,
            "warnings": [str(warning) for warning in report.warnings],
            "touched": touched(answers, report.differences.reach()["answers"]),
            "answers": by_place(answers[:LINES_SHOWN], names().locations),
            "more": max(0, len(answers) - LINES_SHOWN),
            "minutes": by_place(minutes[:LINES_SHOWN], names().locations, minutes=True),
            "minutes_count": len(minutes),
            "cells": cell_lines(cells, self.cell),
        }

    @property
    def hidden(self) -> list[tuple[str, str]]:
        """What the confirming form carries."""
        return [("sheet", self.sheet.name), ("edition", str(self.edition)), ("seen", self.seen), *self.values.items()]

    def fields(self, choices: Mapping[str, Sequence[tuple[str, str]]] | None = None) -> list[dict[str, Any]]:
        """The fields in the order of the form; a column with `choices` is a list to choose from."""
        wrong: dict[str, str] = {}
        for column, message in self.errors:
            wrong.setdefault(column, message[:1].upper() + message[1:])
        by_name = {field["name"]: field for field in fields_of(self.sheet, self.values, wrong)}
        found = []
        for name in self.typed:
            field = by_name[name]
            if choices and name in choices:
                field |= {"kind": "select", "choices": choices[name], "empty": "choose"}
                if self.values[name] and self.values[name] not in dict(choices[name]):
                    field["choices"] = [*choices[name], (self.values[name], self.values[name])]
            found.append(field)
        return found

    def on_top(self) -> list[dict[str, str]]:
        """The errors, each leading to its field."""
        return [
            {
                "label": label_of(field) if field in self.sheet.index else field,
                "href": f"#f-{field}" if field in self.values else "",
                "message": message,
            }
            for field, message in self.errors
        ]
