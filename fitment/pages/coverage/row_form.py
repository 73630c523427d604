"""A row written on a page: first what answers and cells it changes, then, on another word, stored as previewed."""

import json
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass
from hashlib import sha256
from typing import Any

from django.http import HttpRequest

from catalog.roles import role_of
from catalog.selectors import current_catalogue
from catalog.workbook.errors import Busy, Moved
from fitment.coverage.counting import CellKey
from fitment.errors import BadParameters
from fitment.pages.catalogue.changes import by_place, touched
from fitment.pages.coverage.lists import CellView, cell_view
from fitment.pages.shared.addresses import edition_number
from fitment.pages.shared.forms import SheetForm, label_of
from fitment.readers.vocabulary import names
from fitment.services.catalogue.rows import COUNTED, row_edit, row_save
from fitment.services.coverage.cells import CellChange, row_preview
from fitment.sheets import SHEETS

ANSWERS_SHOWN, CELLS_SHOWN = 60, 12


@dataclass(frozen=True, slots=True)
class CellChanges:
    """The cells worth showing, and how many more change or stay."""

    shown: tuple[tuple[CellView, CellChange], ...]
    more: int
    stay: int


def cell_changes(changes: Iterable[CellChange], own: CellKey | None = None) -> CellChanges:
    """Those that change, and always the one that the reader stands at, first; of a single one always that."""
    several = list(changes)
    shown = [one for one in several if one.changes or one.before.key == own or len(several) == 1]
    shown.sort(key=lambda one: (one.before.key != own, -one.before.cars, one.before.key))
    views = tuple((cell_view(one.before), one) for one in shown[:CELLS_SHOWN])
    return CellChanges(views, len(shown) - len(views), len(several) - len(shown))


class RowForm(SheetForm):
    """One row under the pen: `names` are the columns that the form asks for, `given` those that the page knows.

    What was posted stands before what the address says, and that before what is given; `parsed` are values that the
    page made of several fields. `cell` is the cell of coverage that the page is about.
    """

    def __init__(
        self,
        request: HttpRequest,
        sheet: str,
        names: Iterable[str],
        given: Mapping[str, str],
        *,
        parsed: Mapping[str, str] | None = None,
        cell: CellKey | None = None,
    ) -> None:
        self.request, self.cell = request, cell
        self.is_posted = is_posted(request, sheet)
        source = request.POST if self.is_posted else request.GET
        self.values = {name: source.get(name, given.get(name, "")).strip() for name in names} | dict(parsed or {})
        self.given = {name: value for name, value in given.items() if name not in self.values}
        self.preview: dict[str, Any] | None = None
        self.seen = ""
        self.status = 200
        self.moved = False
        self.edition = current_catalogue().edition
        data = self.values if self.is_posted else None
        super().__init__(SHEETS[sheet], self.values, data, initial=self.values)

    @property
    def row(self) -> dict[str, str]:
        return {**self.given, **self.values}

    @property
    def lines(self) -> list[tuple[str, str]]:
        """What is filled in of the row, as a reader reads it."""
        return [(label_of(name), value) for name, value in self.row.items() if value]

    @property
    def hidden(self) -> list[tuple[str, str]]:
        """What the confirming form carries."""
        return [("sheet", self.sheet.name), ("edition", str(self.edition)), ("seen", self.seen), *self.values.items()]

    def take(self) -> bool:
        """Previews or stores what was posted; True when it is stored."""
        try:
            if self.request.POST.get("step") == "save":
                return self._save_as_previewed()
            self._preview()
        except BadParameters as bad:
            self.refuse(bad.errors)
            self.status = 422
        except Busy as busy:
            self.refuse([("", f"{busy}.")])
            self.status = 503
        return False

    def _save_as_previewed(self) -> bool:
        """Stores what was previewed; where another edition came between, only if it still changes the very same.

        A row that stands already was stored before, and only the answer got lost on the way.
        """
        at = edition_number(self.request.POST.get("edition", ""))
        if self._save(at):
            return True
        if self.preview and not self.preview["changes"]:
            return True
        if self.request.POST.get("seen") == self.seen and self._save(self.edition):
            return True
        self.moved, self.status = True, 409
        return False

    def _save(self, at: int | None) -> bool:
        """Stores the row; where the catalogue stands at another edition it is previewed anew."""
        actor, role = self.request.user, role_of(self.request.user)
        try:
            if self.sheet.name == COUNTED:
                row_save(sheet=COUNTED, values=self.row, actor=actor, role=role)
            else:
                row_edit(sheet=self.sheet.name, key=None, values=self.row, actor=actor, role=role, at_edition=at)
        except Moved:
            self._preview()
            return False
        return True

    def _preview(self) -> None:
        report, cells = row_preview(
            sheet=self.sheet.name, values=self.row, actor=self.request.user, role=role_of(self.request.user)
        )
        answers = [asdict(one) for one in report.differences.answers]
        minutes = [asdict(one) for one in report.differences.minutes]
        self.edition = report.edition_before
        seen = [report.counts.get(self.sheet.name), report.warnings, answers, minutes]
        self.seen = sha256(json.dumps(seen, default=str, sort_keys=True).encode()).hexdigest()
        self.preview = {
            "changes": report.has_changes,
            "new": report.counts.get(self.sheet.name, {}).get("added", 0) > 0,
            "warnings": [str(warning) for warning in report.warnings],
            "touched": touched(answers, report.differences.reach()["answers"]),
            "answers": by_place(answers[:ANSWERS_SHOWN], names().locations),
            "more": max(0, len(answers) - ANSWERS_SHOWN),
            "minutes": by_place(minutes[:ANSWERS_SHOWN], names().locations, minutes=True),
            "minutes_count": len(minutes),
            "cells": cell_changes(cells, self.cell),
        }


def is_posted(request: HttpRequest, sheet: str) -> bool:
    """Whether the form of this sheet was sent."""
    return request.method == "POST" and request.POST.get("sheet") == sheet
