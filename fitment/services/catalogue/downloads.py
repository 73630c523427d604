"""Workbooks to take away: a small catalogue's at once, a large one's by the worker, which tells how far it has come."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.db import transaction
from procrastinate.contrib.django import app

from catalog.codes import DownloadState, WorkbookFormat
from catalog.models import Download
from catalog.models.uploads import DOWNLOADS_AT_WORK
from catalog.selectors import current_catalogue
from catalog.sheets.sheet import Row, Sheet, Sheets
from catalog.workbook.dumping import Read, csv_files, one_snapshot, rows_of, spreadsheet, zipped
from catalog.workbook.history import rows_at
from catalog.workbook.loading import Progress
from catalog.workbook.storage import row_counts
from fitment.services.catalogue.queue_work import DATABASE_WENT, telling, without_job
from fitment.sheets import SHEETS

WRITE = "download_write"
AT_ONCE = 20_000  # rows; to write more takes some seconds
TELL_AFTER = 500
FIRST_WAY = ("operations", "ways")


@dataclass(frozen=True, slots=True)
class WorkbookFile:
    """A file and the name it goes by."""

    name: str
    content: bytes


def is_long(rows: int) -> bool:
    """Whether a workbook of so many rows is better written by the worker."""
    return rows > AT_ONCE


def workbook_write(*, ending: str, edition: int | None = None, progress: Progress | None = None) -> WorkbookFile:
    """The workbook of now, or as an edition left it, all of it from one moment."""
    with one_snapshot():
        now = current_catalogue()
        read = rows_of if edition is None else rows_at(edition)
        if progress is not None:
            read = _told(read, progress, sum(row_counts(SHEETS).values()))
        content = spreadsheet(SHEETS, read) if ending == WorkbookFormat.XLSX else zipped(csv_files(SHEETS, read))
    return WorkbookFile(f"{now.code or 'catalogue'}-{now.edition if edition is None else edition}.{ending}", content)


def first_way_write(*, axle: str, location: str) -> WorkbookFile:
    """A workbook to fill in: a place's first operations and the way they make."""
    begun = {"axle": axle, "location": location}

    def read(sheet: Sheet, sheets: Sheets) -> Iterator[Row]:
        if any(begun.values()):
            yield tuple(begun.get(name, "") for name in sheet.index)

    return WorkbookFile("first-way.xlsx", spreadsheet(Sheets(SHEETS[name] for name in FIRST_WAY), read))


def _told(read: Read, progress: Progress, total: int) -> Read:
    """The same rows, telling how many were written of about as many as there are now."""
    done = 0
    last = SHEETS.names()[-1]

    def told(sheet: Sheet, sheets: Sheets) -> Iterator[Row]:
        nonlocal done
        for row in read(sheet, sheets):
            done += 1
            if done % TELL_AFTER == 0:
                progress("rows written", done, max(done, total))
            yield row
        if sheet.name == last:
            progress("file packed", 0, 0)

    return told


@transaction.atomic
def download_ask(*, ending: WorkbookFormat, edition: int | None, actor: Any) -> Download:
    """Queues the writing of a workbook."""
    download = Download.objects.create(ending=ending, edition=edition, actor=actor)
    app.configure_task(WRITE).defer(download_id=str(download.pk))
    return download


def download_of(pk: UUID) -> Download | None:
    """A workbook asked for, without the file."""
    return Download.objects.defer("content").filter(pk=pk).first()


def download_file(pk: UUID) -> WorkbookFile | None:
    """The file, when it is ready."""
    found = Download.objects.filter(pk=pk, state=DownloadState.READY).first()
    return None if found is None else WorkbookFile(found.name, bytes(found.content or b""))


def download_write(*, download_id: UUID) -> None:
    """The worker's part. May be run again after a crash."""
    rows = Download.objects.filter(pk=download_id, state__in=DOWNLOADS_AT_WORK)
    if not rows.update(state=DownloadState.WRITING, stage="", done=0, total=0):
        return
    download = Download.objects.get(pk=download_id)
    try:
        with telling(rows) as tell:
            file = workbook_write(ending=download.ending, edition=download.edition, progress=tell)
    except DATABASE_WENT:
        raise
    except Exception:
        # What nobody expected is shown as such, not as work that never ends.
        rows.update(state=DownloadState.FAILED)
        raise
    rows.update(state=DownloadState.READY, name=file.name, content=file.content, size=len(file.content))


def downloads_give_up() -> list[UUID]:
    """Downloads at work for which nothing waits or runs in the queue any more are shown as failed; returns them."""
    left = without_job(Download.objects.filter(state__in=DOWNLOADS_AT_WORK), argument="download_id")
    Download.objects.filter(pk__in=left, state__in=DOWNLOADS_AT_WORK).update(state=DownloadState.FAILED)
    return left
