"""One fact edited without a workbook: first what answers change, then, on another word, it is stored.

What is stored is exactly what was previewed: where another edition came meanwhile it is refused, with what changed.
"""

from dataclasses import asdict
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse

from catalog.codes import Role
from catalog.roles import role_of
from catalog.selectors import current_catalogue
from catalog.selectors.editions import row_history
from catalog.sheets.kinds import BadCell
from catalog.sheets.sheet import Row, Sheet, key_text
from catalog.workbook.errors import Busy, Moved
from catalog.workbook.history import RowDifference
from catalog.workbook.report import Report
from fitment.errors import BadParameters
from fitment.pages.catalogue.changes import changed, changes_file
from fitment.pages.catalogue.shared import EDITABLE, compare_address, history_address, new_address
from fitment.pages.shared.addresses import edition_number
from fitment.pages.shared.forms import SheetForm
from fitment.pages.shared.page import page
from fitment.services.catalogue import rows
from fitment.services.catalogue.rows import row_by_key
from fitment.sheets import SHEETS

STEPS = ("preview", "save", "preview_removal", "remove")
AS_CSV = "as-csv"  # no column has a hyphen in its name


class RowEdit:
    """One row in a form: as it was (None: a new one), and what was typed."""

    def __init__(self, request: HttpRequest, sheet: Sheet) -> None:
        self.request, self.sheet = request, sheet
        self.is_new = request.GET.get("new") == "yes"
        self.key = None if self.is_new else request.GET.getlist("key")
        self.row: Row | None = None if self.key is None else row_by_key(sheet, self.key)
        self.step = request.POST.get("step", "preview")
        self.removes = self.step in ("preview_removal", "remove")
        now = current_catalogue().edition
        written = edition_number(request.POST.get("edition", ""))
        self.edition_seen = now if written is None else min(written, now)
        stored = sheet.named(self.row) if self.row is not None else {}
        given = request.POST if request.method == "POST" else request.GET
        # Without blanks around them; spreadsheets are read so too.
        typed = {name: given[name].strip().replace("\r\n", "\n") for name in sheet.index if name in given}
        self.values = {name: typed.get(name, stored.get(name, "")) for name in sheet.index}
        self.form = SheetForm(sheet, initial=self.values)

    @property
    def key_text(self) -> str:
        key = self.key or [self.values[name] for name in self.sheet.key_names]
        kinds = [self.sheet.columns[at].kind for at in self.sheet.key_at]
        return key_text(tuple(kind.compare(text) for kind, text in zip(kinds, key, strict=False)))

    def later(self) -> RowDifference | None:
        """What others did to this very row since the form was written."""
        if self.key is None:
            return None
        changes = list(row_history(self.sheet.name, self.key_text, since=self.edition_seen))
        return RowDifference(self.sheet.name, self.key_text, changes[-1].before, changes[0].after) if changes else None

    def apply(self, *, check: bool, at_edition: int | None = None) -> Report:
        """Tries or stores. Raises BadParameters, Moved, Busy."""
        return rows.row_edit(
            sheet=self.sheet.name,
            key=self.key,
            values=None if self.removes else dict(self.values),
            actor=self.request.user,
            role=role_of(self.request.user),
            check=check,
            at_edition=at_edition,
        )

    def difference(self) -> RowDifference:
        """What becomes of the row itself."""
        before = self.sheet.named(self.row) if self.row is not None else None
        after = None if self.removes else {name: self._canonical(name) for name in self.sheet.index}
        return RowDifference(self.sheet.name, self.key_text, before, after)

    def _canonical(self, name: str) -> str:
        column, text = self.sheet.column(name), self.values[name]
        try:
            return column.kind.read(text) if text else column.default
        except BadCell:
            return text


@page(role=Role.EDITOR, methods="GET HEAD POST", writes=True)
def row_edit(request: HttpRequest, name: str) -> HttpResponse:
    if name not in EDITABLE:
        raise Http404
    edit = RowEdit(request, SHEETS[name])
    if edit.row is None and not edit.is_new:
        return _gone(edit)
    if request.method != "POST" or edit.step not in STEPS:
        return _page(edit)
    try:
        return _step(edit)
    except BadParameters as bad:
        edit.form.refuse(bad.errors)
        return _page(edit, status=422)
    except Busy as busy:
        edit.form.refuse([("", f"{busy}.")])
        return _page(edit, status=503)


def _step(edit: RowEdit) -> HttpResponse:
    later = edit.later()
    if later is not None:
        return _page(edit, status=409, later=later)
    if edit.step in ("save", "remove"):
        try:
            report = edit.apply(check=False, at_edition=edit.edition_seen)
        except Moved as moved:
            return _preview(edit, status=409, moved=moved)
        if report.has_changes:
            made = reverse("catalogue-edition", args=[report.edition_after])
            return HttpResponseRedirect(f"{made}?mended=yes", status=303)
    return _preview(edit)


def _preview(edit: RowEdit, *, status: int = 200, moved: Moved | None = None) -> HttpResponse:
    """The page with what would change; it may then be stored as long as no other edition comes."""
    report = edit.apply(check=True)
    answers = [asdict(one) for one in report.differences.answers]
    minutes = [asdict(one) for one in report.differences.minutes]
    if AS_CSV in edit.request.POST:
        return changes_file("answers", answers, minutes)
    return _page(
        edit,
        status=status,
        edition=report.edition_before,
        moved=moved,
        moved_href=compare_address(moved.wished, moved.now) if moved else "",
        preview={
            "changes": report.has_changes,
            "row": edit.difference(),
            "removes": edit.removes,
            "step": "preview_removal" if edit.removes else "preview",
            "warnings": [str(warning) for warning in report.warnings],
            # Each turn of a page posts the row and previews it once more.
            "changed": changed(edit.request, answers, minutes, report.differences.reach(), by_post=True),
        },
    )


def _page(edit: RowEdit, *, status: int = 200, edition: int | None = None, **more: Any) -> HttpResponse:
    name = edit.sheet.name
    context: dict[str, Any] = {
        "name": name,
        "new": edit.is_new,
        "key": "" if edit.is_new else edit.key_text,
        "form": edit.form,
        "values": edit.values.items(),
        "edition": current_catalogue().edition if edition is None else edition,
        "errors": edit.form.summary,
        "action": edit.request.get_full_path(),
        "history": "" if edit.is_new else history_address(name, edit.key_text),
        "title_rows": [{"label": "Mend", "value": name}],
    }
    return render(edit.request, "catalogue/row_edit.html", context | more, status=status)


def _gone(edit: RowEdit) -> HttpResponse:
    """The row does not stand (any more): what became of it, and the way to a new one."""
    name = edit.sheet.name
    last = row_history(name, edit.key_text).first()
    if last is None and edit.request.method != "POST":
        raise Http404
    context = {
        "name": name,
        "key": edit.key_text,
        "last": last,
        "history": history_address(name, edit.key_text) if last else "",
        "rows": reverse("catalogue-sheet", args=[name]),
        "new": new_address(name, {column: text for column, text in edit.values.items() if text}),
    }
    return render(edit.request, "catalogue/gone.html", context, status=409 if last else 404)
