"""Single rows, written through the same checks as a workbook: evidence over HTTP, facts mended on a page.

A row adds or changes by its key and never replaces a group. It makes an edition, but for recorded times, which
advance a counter.
"""

from collections.abc import Callable, Mapping, Sequence
from decimal import Decimal
from typing import Any

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.db.models import F, Q, QuerySet

from catalog.codes import Role
from catalog.models import Catalogue
from catalog.nearest import unknown
from catalog.sheets.kinds import DecimalKind
from catalog.sheets.sheet import REMOVE, Key, Row, Sheet, key_text
from catalog.workbook import editions
from catalog.workbook.cells import Cell, RawSheet
from catalog.workbook.draft import Draft
from catalog.workbook.errors import Findings, Refused, RowErrors
from catalog.workbook.loading import LoadOptions, load_files, merge_and_check
from catalog.workbook.report import Report
from catalog.workbook.rows import FileSheet, read_sheet
from catalog.workbook.storage import Stored, Table
from catalog.workbook.writing import Writer, constraints_check
from fitment.errors import BadParameters
from fitment.services.catalogue.loading import ENGINE
from fitment.sheets import SHEETS

COUNTED = "job_times"  # rows that make no edition
REFS = {"test_fits": "TF", "job_times": "JT"}
WAIT = 10.0  # seconds for which an edit waits for a load

Values = Mapping[str, Any]


def row_save(*, sheet: str, values: Values, actor: Any, role: Role) -> tuple[bool, dict[str, str]]:
    """Adds a row or changes the one of the same key: (created, the row as the workbook writes it).

    `values` by column: texts, numbers, booleans, lists, None for an empty cell; a column left out stays as it is.
    Raises BadParameters by field, PermissionDenied, and `catalog.workbook.errors.Busy` during a long load.
    """
    _allow(sheet, role)
    found, findings = SHEETS[sheet], Findings()
    try:
        with transaction.atomic():
            editions.catalogue_lock(wait=WAIT)
            file = _file(found, _with_ref(found, values), findings)
            if not file.rows:
                findings.errors.refuse()
            if sheet == COUNTED:
                draft = _save_counted(file, findings)
            else:
                options = LoadOptions(groups=False, actor=actor, actor_name=_name(actor), wait=WAIT)
                draft = load_files(ENGINE, {sheet: file}, options, findings, Report(f"one row of {sheet}"))
            (key,) = file.rows
            return bool(draft.changes[sheet].added), found.named(draft.rows(sheet)[key])
    except Refused as refused:
        raise _by_field(refused) from refused


def row_edit(
    *,
    sheet: str,
    key: Sequence[str] | None,
    values: Values | None,
    actor: Any,
    role: Role,
    check: bool = False,
    at_edition: int | None = None,
    then: Callable[[], None] | None = None,
) -> Report:
    """Puts a row in place of the one with a key, which may change with it; tells what answers change.

    `key` None: the row is new; `values` None: the row goes. With `check` nothing is stored. `then` runs in the same
    transaction when the row is written: it sees the catalogue with it. Raises as `row_save`, and Moved where the
    catalogue stands elsewhere than `at_edition`.
    """
    _allow(sheet, role)
    found, findings = SHEETS[sheet], Findings()
    file = FileSheet(found, frozenset()) if values is None else _file(found, values, findings)
    if key is not None:
        _remove(found, file, key)
    report = Report(f"page: {sheet}", check=check)
    options = LoadOptions(
        check=check,
        groups=False,
        at_edition=at_edition,
        actor=actor,
        actor_name=_name(actor),
        wait=WAIT,
        then=None if then is None else lambda _: then(),
    )
    try:
        load_files(ENGINE, {sheet: file}, options, findings, report)
    except Refused as refused:
        raise _by_field(refused) from refused
    report.warnings, report.notes = list(findings.warnings), findings.notes
    return report


def _allow(sheet: str, role: Role) -> None:
    needed = SHEETS[sheet].writer
    if not role.at_least(needed):
        raise PermissionDenied(f"writing {sheet} needs the role {needed}")


def _save_counted(file: FileSheet, findings: Findings) -> Draft:
    """A row that makes no edition: the counter of its kind moves on."""
    draft = Draft(Stored(SHEETS), findings)
    merge_and_check(ENGINE, draft, {file.sheet.name: file}, LoadOptions(groups=False), empty=False)
    if draft.changes[file.sheet.name]:
        Writer(draft).write()
        constraints_check()
        Catalogue.objects.update(job_time_count=F("job_time_count") + 1)
    return draft


def _file(sheet: Sheet, values: Values, findings: Findings) -> FileSheet:
    """A row as a sheet of a file would hold it; errors of single cells are added to the findings.

    Raises BadParameters for unknown and missing columns.
    """
    errors = [(name, unknown("column", name, sheet.index)) for name in values if name not in sheet.index]
    if errors:
        raise BadParameters(errors)
    raw = RawSheet(sheet.name, list(values), [(2, [_cell(value) for value in values.values()])])
    found = read_sheet(raw, sheet, findings.errors, groups=False)
    if found is None:
        raise _by_field(Refused(findings.errors))
    if not found.rows and not findings.errors:
        findings.errors.add("the row is empty", "fill its columns", sheet=sheet.name, row=2)
    return found


def _remove(sheet: Sheet, file: FileSheet, key: Sequence[str]) -> None:
    """Marks the row with a key as gone, unless the file has it anew."""
    errors = RowErrors()
    raw = RawSheet(sheet.name, [*sheet.key_names, REMOVE], [(3, [*key, "yes"])])
    gone = read_sheet(raw, sheet, errors, groups=False)
    if errors or gone is None:
        raise _by_field(Refused(errors))
    for old, row in gone.rows.items():
        file.rows.setdefault(old, row)


def _cell(value: Any) -> Cell:
    if value is None:
        return ""
    if isinstance(value, bool):
        return value
    if isinstance(value, list | tuple):
        return " ".join(str(item) for item in value)
    if isinstance(value, float | Decimal):
        return f"{Decimal(str(value)):f}"
    return str(value)


def _with_ref(sheet: Sheet, values: Values) -> Values:
    """The values, with the next free `ref` where none is given."""
    prefix = REFS.get(sheet.name)
    if prefix is None or values.get("ref") not in (None, ""):
        return values
    taken = Table(sheet, SHEETS).rows.filter(ref__startswith=prefix).values_list("ref", flat=True)
    numbers = [int(rest) for ref in taken if (rest := ref[len(prefix) :].lstrip("-")).isdecimal()]
    return {**values, "ref": f"{prefix}-{max(numbers, default=0) + 1:04d}"}


def _by_field(refused: Refused) -> BadParameters:
    """The errors by field; an error elsewhere names its sheet."""
    return BadParameters(
        [
            (error.column or error.sheet, f"{error.wrong}; {error.right}" if error.right else error.wrong)
            for error in refused.errors
        ]
    )


def _name(actor: Any) -> str:
    return actor.get_username() if actor is not None and hasattr(actor, "get_username") else ""


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
