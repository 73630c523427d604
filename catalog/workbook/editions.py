"""The edition a load stands on, the one it makes, and the history it leaves."""

import secrets
import time
from collections.abc import Callable, Iterator
from json.encoder import encode_basestring as _quoted
from typing import Any

from django.db import connection

from catalog.codes import ChangeAction
from catalog.models import AnswerChange, Catalogue, Change, Edition, MinutesChange
from catalog.sheets.sheet import Key, Row, Sheets, key_text
from catalog.workbook.applying import copy_rows
from catalog.workbook.draft import Draft, RowChange, SheetChanges
from catalog.workbook.faults import Busy, Faults
from catalog.workbook.report import AnswerDifference, Differences, MinutesDifference
from catalog.workbook.rows import FileSheet

LOCK = 0x4A6F696E74626F6F & 0x7FFFFFFFFFFFFFFF
_LOOK_EVERY = 0.1
_BATCH = 2_000


def catalogue_lock(*, wait: float) -> None:
    """Has the catalogue for this transaction; all that writes facts takes it.

    Raises Busy when another transaction has held it for `wait` seconds.
    """
    until = time.monotonic() + wait
    while True:
        with connection.cursor() as cursor:
            cursor.execute("SELECT pg_try_advisory_xact_lock(%s)", [LOCK])
            if cursor.fetchone()[0]:
                return
        if time.monotonic() >= until:
            raise Busy("another load or edit is under way; try again when it is done")
        time.sleep(_LOOK_EVERY)


def catalogue_now() -> Catalogue:
    """The row of the catalogue, a new one (not yet stored) before the first load."""
    return Catalogue.objects.filter(pk=1).first() or Catalogue(pk=1)


def merge_catalogue(
    draft: Draft, file: FileSheet | None, *, empty: bool, replace: bool, force: bool, faults: Faults
) -> None:
    """What the sheet `catalogue` says: whose file it is, the edition it was written at, and `as_of`.

    Puts the one row as it would be into the draft, with an empty edition: that is the load's to give.
    """
    kept = catalogue_now()
    sheet = draft.sheets["catalogue"]
    before: Row | None = (kept.code, "", kept.as_of.isoformat() if kept.as_of else "") if kept.code else None
    code, as_of = kept.code, before[2] if before else ""
    number = None
    if file is not None:
        for row in list(file.rows.values())[1:]:
            faults.add(sheet.name, row.number, "catalogue", "there is more than one row", "keep one row")
        for row in list(file.rows.values())[:1]:
            number = row.number
            if row.remove:
                faults.add(sheet.name, number, "remove", "the catalogue itself cannot be removed", "leave it out")
            said, _, said_as_of = row.values
            if empty or not code:
                code = said or ""
            elif said != code and not force:
                faults.add(
                    sheet.name,
                    number,
                    "catalogue",
                    f"the file is of the catalogue '{said}', this is '{code}'",
                    "load it where it belongs, or use --force",
                )
            elif replace:
                code = said or code
            as_of = as_of if said_as_of is None else said_as_of
    code = code or f"catalogue-{secrets.token_hex(4)}"
    after: Row = (code, "", as_of)
    changes = SheetChanges()
    if before is None:
        changes.added.append(RowChange((code,), None, after))
    elif before == after:
        changes.unchanged = 1
    else:
        changes.changed.append(RowChange((code,), before, after))
    delta: dict[Key, Row | None] = {} if before is None else {(before[0],): None}
    draft.put(sheet.name, {(code,): number} if number else {}, {**delta, (code,): after}, changes)


def file_edition(file: FileSheet | None) -> int | None:
    """The edition the file was written at, None where it says none."""
    for row in list(file.rows.values())[:1] if file else []:
        if row.values[1]:
            return int(row.values[1])
    return None


def refuse_stale(draft: Draft, *, since: int, faults: Faults) -> None:
    """Rows that the file would change and that an edition after `since` has changed."""
    for name, changes in draft.changes.items():
        if not changes or name == "catalogue":
            continue
        later = dict(
            Change.objects.filter(edition__number__gt=since, sheet=name)
            .order_by("edition__number")
            .values_list("row_key", "edition__number")
        )
        if not later:
            continue
        for change in changes:
            edition = later.get(key_text(change.key))
            if edition is not None:
                draft.fault(
                    faults,
                    name,
                    change.key,
                    draft.sheets[name].columns[0].name,
                    f"{key_text(change.key)} was changed in edition {edition}, after the file's {since}",
                    "dump the catalogue anew and make the change there, or use --force",
                )


def edition_make(
    draft: Draft, *, actor: Any, actor_name: str, source: str, counts: dict[str, dict[str, int]]
) -> Edition:
    """Stores the catalogue's row and the next edition with every row that changes."""
    code, _, as_of = next(iter(draft.rows("catalogue").values()))
    number = catalogue_now().edition + 1
    # Only these columns: the counters are advanced by others meanwhile.
    Catalogue.objects.update_or_create(pk=1, defaults={"code": code, "as_of": as_of or None, "edition": number})
    edition = Edition.objects.create(number=number, actor=actor, actor_name=actor_name, source=source, counts=counts)
    columns = ("edition_id", "sheet", "row_key", "action", "before", "after")
    copy_rows(Change, columns, (record for name in draft.changes for record in _history(draft, name, edition)))
    return edition


def _history(draft: Draft, name: str, edition: Edition) -> Iterator[tuple[object, ...]]:
    heads = [_quoted(column) for column in draft.sheets[name].index]
    for change in draft.changes[name]:
        before, after = (_json(heads, row) for row in (change.before, change.after))
        yield edition.pk, name, key_text(change.key), _action(change).value, before, after


def _json(heads: list[str], row: Row | None) -> str | None:
    if row is None:
        return None
    return "{" + ", ".join(f"{head}: {_quoted(cell)}" for head, cell in zip(heads, row, strict=True)) + "}"


def _action(change: RowChange) -> ChangeAction:
    if change.before is None:
        return ChangeAction.ADDED
    return ChangeAction.REMOVED if change.after is None else ChangeAction.CHANGED


def differences_keep(edition: Edition, found: Differences) -> None:
    """Keeps the answers and the job minutes that an edition changed, and how far that reaches."""
    Edition.objects.filter(pk=edition.pk).update(reach=found.reach())
    answers = (
        AnswerChange(edition=edition, before=one.before, after=one.after, **_place(one)) for one in found.answers
    )
    AnswerChange.objects.bulk_create(answers, batch_size=_BATCH)
    minutes = (
        MinutesChange(edition=edition, before=one.before, after=one.after, **_place(one)) for one in found.minutes
    )
    MinutesChange.objects.bulk_create(minutes, batch_size=_BATCH)


def _place(one: AnswerDifference | MinutesDifference) -> dict[str, Any]:
    return {
        "axle": one.axle, "end": one.end, "location": one.location, "part": one.part,
        "variants": list(one.variants), "in_operation": one.in_operation,
    }  # fmt: skip


def is_empty(sheets: Sheets, exists: Callable[[str], bool]) -> bool:
    """Whether no sheet has a row but the catalogue's own and those that a service gathers."""
    return not any(exists(sheet.name) for sheet in sheets if sheet.name != "catalogue" and not sheet.counted_only)
