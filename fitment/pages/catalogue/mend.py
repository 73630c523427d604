"""One fact mended without a workbook: first what answers change, then, on another word, it is stored.

What is stored is exactly what was previewed: where another edition came meanwhile it is refused, with what changed.
"""

from collections.abc import Mapping, Sequence
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
from catalog.workbook.report import Report
from fitment.errors import BadParameters
from fitment.pages.catalogue.changed import LINES_A_PAGE, Sought, changed
from fitment.pages.catalogue.csv_files import changes_file
from fitment.pages.catalogue.mending import MENDABLE, fields_of, label_of, row_by_key
from fitment.pages.catalogue.paging import Page, page_of
from fitment.pages.catalogue.row_lines import RowLine, history_address, row_line
from fitment.pages.shared.addresses import address, edition_number
from fitment.pages.shared.page import page
from fitment.services.catalogue.row_writing import row_edit
from fitment.sheets import SHEETS

STEPS = ("preview", "save", "preview_removal", "remove")
# Beside the columns of the row a preview takes what is sought in it; no column has a hyphen in its name.
SOUGHT, AS_CSV = "sought-", "as-csv"


class Mending:
    """One fact under the pen: the row it was (None: a new one), and what was typed."""

    def __init__(self, request: HttpRequest, sheet: Sheet) -> None:
        self.request, self.sheet = request, sheet
        self.is_new = request.GET.get("new") == "yes"
        self.key = None if self.is_new else request.GET.getlist("key")
        self.row: Row | None = None if self.key is None else row_by_key(sheet, self.key)
        self.step = request.POST.get("step", "preview")
        self.errors: list[tuple[str, str]] = []
        self.seen = self._seen()
        standing = sheet.named(self.row) if self.row is not None else {}
        given = request.POST if request.method == "POST" else request.GET
        self.values = {name: _typed(given, name, standing.get(name, "")) for name in sheet.index}

    @property
    def removes(self) -> bool:
        return self.step in ("preview_removal", "remove")

    def _seen(self) -> int:
        """The edition that the form was written at."""
        now = current_catalogue().edition
        written = edition_number(self.request.POST.get("edition", ""))
        return now if written is None else min(written, now)

    def later(self) -> RowLine | None:
        """What others did to this very row since the form was written."""
        if self.key is None:
            return None
        changes = list(row_history(self.sheet.name, self.key_text, since=self.seen))
        if not changes:
            return None
        return row_line(self.sheet.name, self.key_text, changes[-1].before, changes[0].after)

    @property
    def key_text(self) -> str:
        kinds = [self.sheet.columns[at].kind for at in self.sheet.key_at]
        key = self.key or [self.values[self.sheet.columns[at].name] for at in self.sheet.key_at]
        return key_text(tuple(kind.compare(text) for kind, text in zip(kinds, key, strict=False)))

    def apply(self, *, check: bool, at_edition: int | None = None) -> Report:
        """Tries or stores. Raises BadParameters, Moved, Busy."""
        return row_edit(
            sheet=self.sheet.name, key=self.key, values=None if self.removes else dict(self.values),
            actor=self.request.user, role=role_of(self.request.user), check=check, at_edition=at_edition,
        )  # fmt: skip

    def difference(self) -> RowLine:
        """What becomes of the row itself."""
        before = self.sheet.named(self.row) if self.row is not None else None
        after = None if self.removes else {name: self._canonical(name) for name in self.sheet.index}
        return row_line(self.sheet.name, self.key_text, before, after)

    def _canonical(self, name: str) -> str:
        column, text = self.sheet.column(name), self.values[name]
        try:
            return column.kind.read(text) if text else column.default
        except BadCell:
            return text


def _typed(given: Any, name: str, otherwise: str) -> str:
    """What was typed, without blanks around it; spreadsheets are read so too."""
    return given[name].strip().replace("\r\n", "\n") if name in given else otherwise


@page(role=Role.EDITOR, methods="GET HEAD POST", writes=True)
def mend(request: HttpRequest, name: str) -> HttpResponse:
    if name not in MENDABLE:
        raise Http404
    mending = Mending(request, SHEETS[name])
    if mending.row is None and not mending.is_new:
        return _gone(mending)
    if request.method != "POST" or mending.step not in STEPS:
        return _page(mending)
    try:
        return _step(mending)
    except BadParameters as bad:
        mending.errors = bad.errors
        return _page(mending, status=422)
    except Busy as busy:
        mending.errors = [("", f"{busy}.")]
        return _page(mending, status=503)


def _step(mending: Mending) -> HttpResponse:
    later = mending.later()
    if later is not None:
        return _page(mending, status=409, later=later)
    if mending.step in ("save", "remove"):
        try:
            report = mending.apply(check=False, at_edition=mending.seen)
        except Moved as moved:
            return _preview(mending, status=409, moved=moved)
        if report.has_changes:
            made = reverse("catalogue-edition", args=[report.edition_after])
            return HttpResponseRedirect(f"{made}?mended=yes", status=303)
    return _preview(mending)


def _preview(mending: Mending, *, status: int = 200, moved: Moved | None = None) -> HttpResponse:
    """The page with what would change; it may then be stored as long as no other edition comes."""
    report = mending.apply(check=True)
    answers = [asdict(one) for one in report.differences.answers]
    minutes = [asdict(one) for one in report.differences.minutes]
    if AS_CSV in mending.request.POST:
        return changes_file("answers", answers, minutes)
    return _page(
        mending,
        status=status,
        edition=report.edition_before,
        moved=moved,
        moved_href=_compare(moved.wished, moved.now) if moved else "",
        preview={
            "changes": report.has_changes,
            "row": mending.difference(),
            "removes": mending.removes,
            "step": "preview_removal" if mending.removes else "preview",
            "warnings": [str(warning) for warning in report.warnings],
            "notes": report.notes,
            "changed": _changed(mending, answers, minutes, report.differences.reach()),
        },
    )


def _changed(
    mending: Mending, answers: list[dict[str, Any]], minutes: list[dict[str, Any]], reach: Mapping[str, Any]
) -> dict[str, Any]:
    """The changes sought, a page at a time; each turn of a page posts the row and previews it once more."""
    given = mending.request.POST

    def turn(rows: Sequence[Any], name: str) -> Page:
        return page_of(rows, LINES_A_PAGE, given.get(f"{name}-page"))

    return changed(answers, minutes, reach, sought=Sought.of(given, prefix=SOUGHT), turn=turn, prefix=SOUGHT)


def _page(mending: Mending, *, status: int = 200, edition: int | None = None, **more: Any) -> HttpResponse:
    sheet = mending.sheet
    by_field: dict[str, str] = {}
    for field, message in mending.errors:
        by_field.setdefault(field, message[:1].upper() + message[1:])
    context: dict[str, Any] = {
        "name": sheet.name,
        "new": mending.is_new,
        "key": "" if mending.is_new else mending.key_text,
        "fields": fields_of(sheet, mending.values, by_field),
        "values": mending.values.items(),
        "edition": current_catalogue().edition if edition is None else edition,
        "errors": _on_top(sheet, mending.errors),
        "action": mending.request.get_full_path(),
        "history": "" if mending.is_new else history_address(sheet.name, mending.key_text),
        "title_rows": [{"label": "Mend", "value": sheet.name}],
    }
    return render(mending.request, "catalogue/mend.html", context | more, status=status)


def _on_top(sheet: Sheet, errors: list[tuple[str, str]]) -> list[Mapping[str, str]]:
    return [
        {
            "label": label_of(field) if field in sheet.index else field,
            "href": f"#f-{field}" if field in sheet.index else "",
            "message": message,
        }
        for field, message in errors
    ]


def _gone(mending: Mending) -> HttpResponse:
    """The row does not stand (any more): what became of it, and the way to a new one."""
    last = row_history(mending.sheet.name, mending.key_text).first()
    if last is None and mending.request.method != "POST":
        raise Http404
    context = {
        "name": mending.sheet.name,
        "key": mending.key_text,
        "last": last,
        "history": history_address(mending.sheet.name, mending.key_text) if last else "",
        "rows": reverse("catalogue-sheet", args=[mending.sheet.name]),
        "new": address(mending.request.path, {"new": ["yes"]} | {n: [v] for n, v in mending.values.items() if v}),
    }
    return render(mending.request, "catalogue/gone.html", context, status=409 if last else 404)


def _compare(first: int, last: int) -> str:
    return address(reverse("catalogue-compare"), {"from": [str(first)], "to": [str(last)]})
