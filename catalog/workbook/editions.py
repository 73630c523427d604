"""The edition a load stands on, the one it makes, and the history it leaves."""

import secrets
import time
from collections.abc import Iterator
from dataclasses import asdict
from json.encoder import encode_basestring as _quoted
from typing import Any

from django.db import connection

from catalog.models import AnswerChange, Catalogue, Change, Edition, MinutesChange
from catalog.sheets.sheet import Key, Row, key_text
from catalog.workbook.draft import Draft, RowChange, SheetChanges
from catalog.workbook.errors import Busy
from catalog.workbook.report import Report
from catalog.workbook.rows import FileSheet
from catalog.workbook.storage import Table
from catalog.workbook.writing import copy_rows

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


def merge_catalogue(draft: Draft, file: FileSheet | None, *, empty: bool, replace: bool, force: bool) -> None:
    """What the sheet `catalogue` says: whose file it is, the edition it was written at, and `as_of`.

    Puts the one row as it would be into the draft, with an empty edition: that is the load's to give.
    """
    stored, errors = catalogue_now(), draft.findings.errors
    before: Row | None = None
    if stored.code:
        before = stored.code, "", stored.as_of.isoformat() if stored.as_of else ""
    code, as_of = stored.code, before[2] if before else ""
    number = None
    for at, row in enumerate(file.rows.values() if file else ()):
        if at:
            errors.add(
                "there is more than one row", "keep one row", sheet="catalogue", row=row.number, column="catalogue"
            )
            continue
        number = row.number
        if row.remove:
            wrong = "the catalogue itself cannot be removed"
            errors.add(wrong, "leave it out", sheet="catalogue", row=number, column="remove")
        file_code, _, file_as_of = row.values
        if empty or not code:
            code = file_code or ""
        elif file_code != code and not force:
            wrong = f"the file is of the catalogue '{file_code}', this is '{code}'"
            right = "load it where it belongs, or use --force"
            errors.add(wrong, right, sheet="catalogue", row=number, column="catalogue")
        elif replace:
            code = file_code or code
        as_of = as_of if file_as_of is None else file_as_of
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
    draft.put("catalogue", {(code,): number} if number else {}, {**delta, (code,): after}, changes)


def file_edition(file: FileSheet | None) -> int | None:
    """The edition the file was written at, None where it says none."""
    first = next(iter(file.rows.values()), None) if file else None
    return int(first.values[1]) if first and first.values[1] else None


def refuse_stale(draft: Draft, *, since: int) -> None:
    """Rows that the file would change and that an edition after `since` has changed."""
    for name, changes in draft.changes.items():
        if not changes or name == "catalogue":
            continue
        history = Change.objects.filter(edition__number__gt=since, sheet=name).order_by("edition__number")
        later = dict(history.values_list("row_key", "edition__number"))
        for change in changes if later else ():
            key = key_text(change.key)
            if key in later:
                wrong = f"{key} was changed in edition {later[key]}, after the file's {since}"
                right = "dump the catalogue anew and make the change there, or use --force"
                draft.error(name, change.key, draft.sheets[name].columns[0].name, wrong, right)


def edition_make(draft: Draft, report: Report, *, actor: Any, actor_name: str) -> Edition:
    """Stores the catalogue's row and the next edition: every row that changes, the answers that change with them."""
    code, _, as_of = next(iter(draft.rows("catalogue").values()))
    found, number = report.differences, catalogue_now().edition + 1
    # Only these columns: the counters are advanced by others meanwhile.
    Catalogue.objects.update_or_create(pk=1, defaults={"code": code, "as_of": as_of or None, "edition": number})
    who = {"actor": actor, "actor_name": actor_name, "source": report.source}
    edition = Edition.objects.create(number=number, counts=report.counts, reach=found.reach(), **who)
    columns = ("edition_id", "sheet", "row_key", "action", "before", "after")
    copy_rows(Change, columns, (record for name in draft.changes for record in _history(draft, name, edition)))
    answers = (AnswerChange(edition=edition, **asdict(one)) for one in found.answers)
    AnswerChange.objects.bulk_create(answers, batch_size=_BATCH)
    minutes = (MinutesChange(edition=edition, **asdict(one)) for one in found.minutes)
    MinutesChange.objects.bulk_create(minutes, batch_size=_BATCH)
    return edition


def _history(draft: Draft, name: str, edition: Edition) -> Iterator[tuple[object, ...]]:
    heads = [_quoted(column) for column in draft.sheets[name].index]
    for change in draft.changes[name]:
        before, after = (_json(heads, row) for row in (change.before, change.after))
        yield edition.pk, name, key_text(change.key), change.action.value, before, after


def _json(heads: list[str], row: Row | None) -> str | None:
    if row is None:
        return None
    return "{" + ", ".join(f"{head}: {_quoted(cell)}" for head, cell in zip(heads, row, strict=True)) + "}"


def is_empty(draft: Draft) -> bool:
    """Whether no sheet has a row but the catalogue's own and those that a service gathers."""
    gathered = ("catalogue", *(sheet.name for sheet in draft.sheets if sheet.counted_only))
    return not any(Table(sheet, draft.sheets).rows.exists() for sheet in draft.sheets if sheet.name not in gathered)
