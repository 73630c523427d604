"""Single rows, written through the same checks as a workbook: evidence over HTTP, facts mended on a page.

A row adds or changes by its key and never replaces a group. It makes an edition, but for recorded times, which
advance a counter.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.db.models import F

from catalog.codes import Role
from catalog.models import Catalogue
from catalog.nearest import unknown
from catalog.sheets.sheet import REMOVE, Key, Sheet
from catalog.workbook import editions
from catalog.workbook.applying import Writer, constraints_check
from catalog.workbook.cells import Cell, RawSheet
from catalog.workbook.draft import Draft
from catalog.workbook.faults import Faults, Findings, Refused
from catalog.workbook.loading import Wishes, merge_all, stay_at, store
from catalog.workbook.report import Report
from catalog.workbook.rows import FileSheet, read_sheet
from catalog.workbook.storage import Kept, Table
from fitment.errors import BadParameters
from fitment.services.catalogue.loading import ENGINE
from fitment.sheets import SHEETS

EVIDENCE = ("fit_decisions", "test_fits", "job_times", "measurements", "stances")
COUNTED = "job_times"  # rows that make no edition
REFS = {"test_fits": "TF", "job_times": "JT"}
WAIT = 10.0  # seconds for which an edit waits for a load

Values = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Saved:
    """A row as it now stands, by column, whether it is new, and the edition that it made (or found)."""

    created: bool
    row: dict[str, str]
    edition: int


def row_save(*, sheet: str, values: Values, actor: Any, role: Role) -> tuple[bool, dict[str, str]]:
    """Adds a row or changes the one of the same key: (created, the row as the workbook writes it).

    `values` by column: texts, numbers, booleans, lists, None for an empty cell; a column left out stays as it is.
    Raises BadParameters by field, PermissionDenied, and `catalog.workbook.faults.Busy` during a long load.
    """
    saved = _save(SHEETS[sheet], values, actor, role)
    return saved.created, saved.row


def row_mend(
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
    found = SHEETS[sheet]
    rows: list[tuple[Values, bool]] = []
    if values is not None:
        rows.append((values, False))
    findings = Findings()
    file = _file(found, rows, findings) if rows else FileSheet(found, frozenset())
    if key is not None:
        _put_away(found, file, key)
    report = Report(f"page: {sheet}", check=check)
    try:
        with transaction.atomic():
            editions.catalogue_lock(wait=WAIT)
            stay_at(at_edition)
            store(
                engine=ENGINE, files={sheet: file}, wishes=Wishes(check=check, groups=False), findings=findings,
                report=report, actor=actor, actor_name=_name(actor), source=report.source,
            )  # fmt: skip
            if then is not None:
                then()
            if check:
                transaction.set_rollback(True)
    except Refused as refused:
        raise _by_field(refused) from refused
    report.warnings, report.notes = list(findings.warnings), findings.notes
    return report


def _allow(sheet: str, role: Role) -> None:
    needed = Role.DEVELOPMENT if sheet in EVIDENCE else Role.EDITOR
    if not role.at_least(needed):
        raise PermissionDenied(f"writing {sheet} needs the role {needed}")


def _save(sheet: Sheet, values: Values, actor: Any, role: Role) -> Saved:
    _allow(sheet.name, role)
    try:
        with transaction.atomic():
            editions.catalogue_lock(wait=WAIT)
            findings = Findings()
            file = _file(sheet, [(_with_ref(sheet, values), False)], findings)
            if not file.rows:
                findings.faults.refuse()
            (key,) = file.rows
            if sheet.name == COUNTED:
                return _save_counted(file, key, findings)
            report = Report("api")
            draft = store(
                engine=ENGINE, files={sheet.name: file}, wishes=Wishes(groups=False), findings=findings,
                report=report, actor=actor, actor_name=_name(actor), source=f"one row of {sheet.name}",
            )  # fmt: skip
            created = bool(draft.changes[sheet.name].added)
            return Saved(created, sheet.named(draft.rows(sheet.name)[key]), report.edition_after)
    except Refused as refused:
        raise _by_field(refused) from refused


def _save_counted(file: FileSheet, key: Key, findings: Findings) -> Saved:
    """A row that makes no edition: the counter of its kind moves on."""
    kept = Kept(SHEETS)
    draft = Draft(SHEETS, kept.rows)
    merge_all(draft, {file.sheet.name: file}, Wishes(groups=False), findings, empty=False)
    for check in ENGINE.checks:
        check(draft, findings)
    findings.faults.refuse()
    changes = draft.changes[file.sheet.name]
    if changes:
        Writer(draft, kept).write()
        constraints_check()
        Catalogue.objects.update(job_time_count=F("job_time_count") + 1)
    edition = editions.catalogue_now().edition
    return Saved(bool(changes.added), file.sheet.named(draft.rows(file.sheet.name)[key]), edition)


def _file(sheet: Sheet, rows: Sequence[tuple[Values, bool]], findings: Findings) -> FileSheet:
    """The rows as a sheet of a file would hold them; faults of single cells are added to the findings.

    Raises BadParameters for unknown and missing columns.
    """
    errors = [
        (name, unknown("column", name, sheet.index)) for values, _ in rows for name in values if name not in sheet.index
    ]
    if errors:
        raise BadParameters(errors)
    heads = list(dict.fromkeys(name for values, _ in rows for name in values))
    cells: list[list[Cell]] = [[_cell(values.get(name)) for name in heads] for values, _ in rows]
    raw = RawSheet(sheet.name, heads, list(enumerate(cells, start=2)))
    found = read_sheet(raw, sheet, findings.faults, groups=False)
    if found is None:
        raise _by_field(Refused(findings.faults))
    if not found.rows and not findings.faults:
        findings.faults.add(sheet.name, 2, None, "the row is empty", "fill its columns")
    return found


def _put_away(sheet: Sheet, file: FileSheet, key: Sequence[str]) -> None:
    """Marks the row with a key as gone, unless the file has it anew."""
    names = [sheet.columns[at].name for at in sheet.key_at]
    faults = Faults()
    cells: list[Cell] = [*key, "yes"]
    raw = RawSheet(sheet.name, [*names, REMOVE], [(3, cells)])
    gone = read_sheet(raw, sheet, faults, groups=False)
    if faults or gone is None:
        raise _by_field(Refused(faults))
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
    taken = Table(sheet, SHEETS).model._default_manager.values_list("ref", flat=True)
    numbers = [int(ref[len(prefix) :].lstrip("-")) for ref in taken if ref[len(prefix) :].lstrip("-").isdecimal()
               and ref.startswith(prefix)]  # fmt: skip
    return {**values, "ref": f"{prefix}-{max(numbers, default=0) + 1:04d}"}


def _by_field(refused: Refused) -> BadParameters:
    """The faults by field; a fault elsewhere names its sheet."""
    return BadParameters(
        [
            (fault.column or fault.sheet, f"{fault.wrong}; {fault.right}" if fault.right else fault.wrong)
            for fault in refused.faults
        ]
    )


def _name(actor: Any) -> str:
    return actor.get_username() if actor is not None and hasattr(actor, "get_username") else ""
