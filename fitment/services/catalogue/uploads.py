"""Workbooks handed in by editors: taken, checked by the worker, and loaded exactly as they were checked."""

import logging
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.db import transaction
from django.utils import timezone
from procrastinate.contrib.django import app
from procrastinate.exceptions import AlreadyEnqueued

from catalog.codes import UploadState
from catalog.models import Upload
from catalog.models.uploads import UPLOADS_AT_WORK
from catalog.selectors import current_catalogue
from catalog.workbook.cells import MOST_BYTES
from catalog.workbook.errors import Moved
from catalog.workbook.reading import Source
from catalog.workbook.report import Report
from fitment.errors import FitmentError
from fitment.services.catalogue.loading import catalogue_load
from fitment.services.catalogue.queue_work import DATABASE_WENT, telling, without_job

CHECK, LOAD = "upload_check", "upload_load"
WAIT = 600.0  # seconds for which a check waits for a load that runs outside the queue
_log = logging.getLogger("jointbook.uploads")


class TooLarge(FitmentError):
    """The file is larger than an upload may be."""

    def __init__(self) -> None:
        super().__init__(f"The file is larger than {MOST_BYTES // 1_000_000} MB")


class NotChecked(FitmentError):
    """Only a file whose check found nothing wrong, and that is not loaded yet, can be loaded."""

    def __init__(self, upload: Upload) -> None:
        super().__init__(f"This file cannot be loaded: it is {upload.state}")


@dataclass(frozen=True, slots=True)
class LoadAsked:
    """`fresh` is the new check of the same file where the catalogue has moved since; nothing is loaded then."""

    upload: Upload
    fresh: Upload | None = None


@transaction.atomic
def upload_take(*, name: str, content: bytes, replace: bool, force: bool, actor: Any) -> Upload:
    """Keeps a workbook and queues its check. Raises TooLarge."""
    if len(content) > MOST_BYTES:
        raise TooLarge
    who = {"actor": actor, "actor_name": actor.get_username() if actor is not None else ""}
    file = {"name": name[:200] or "workbook", "size": len(content), "content": content}
    upload = Upload.objects.create(**file, **who, replace=replace, force=force)
    _queue(CHECK, upload)
    return upload


@transaction.atomic
def upload_load_ask(*, upload_id: UUID) -> LoadAsked:
    """Queues the load of exactly the file that was checked.

    Where another edition was made since its check, a fresh check of it is queued instead. Raises NotChecked.
    """
    upload = Upload.objects.select_for_update().get(pk=upload_id)
    if upload.state != UploadState.CHECKED:
        raise NotChecked(upload)
    if current_catalogue().edition != upload.edition_checked:
        return LoadAsked(upload, _fresh(upload))
    upload.state, upload.stage = UploadState.LOADING, ""
    upload.save(update_fields=["state", "stage"])
    _queue(LOAD, upload)
    return LoadAsked(upload)


@transaction.atomic
def upload_again(*, upload_id: UUID, actor: Any) -> Upload:
    """Queues one more check of the same file, as an upload of its own."""
    return _take_again(Upload.objects.get(pk=upload_id), actor)


def upload_check(*, upload_id: UUID) -> None:
    """The worker's check: everything is done and rolled back, and the report kept. May be run again after a crash."""
    upload = _begin(upload_id, UploadState.WAITING, UploadState.CHECKING)
    if upload is None:
        return
    with telling(Upload.objects.filter(pk=upload.pk)) as tell, _failing(upload):
        report = catalogue_load(**_as_asked(upload), check=True, progress=tell)
    state = UploadState.REFUSED if report.refused else UploadState.CHECKED
    _end(upload, state, report=report.to_json(), edition_checked=report.edition_before)


def upload_load(*, upload_id: UUID) -> None:
    """The worker's load. That it is done is stored with it, so that running it again after a crash does nothing."""
    upload = _begin(upload_id, UploadState.LOADING)
    if upload is None:
        return

    def done(report: Report) -> None:
        _end(upload, UploadState.LOADED, edition_loaded=report.edition_after)

    try:
        with telling(Upload.objects.filter(pk=upload.pk)) as tell, _failing(upload):
            at = upload.edition_checked
            report = catalogue_load(**_as_asked(upload), progress=tell, at_edition=at, then=done)
    except Moved:
        with transaction.atomic():
            _fresh(upload)
        return
    if report.refused:
        _end(upload, UploadState.REFUSED, report=report.to_json())


def uploads_give_up() -> list[UUID]:
    """Uploads at work for which nothing waits or runs in the queue any more are shown as failed; returns them."""
    left = without_job(Upload.objects.filter(state__in=UPLOADS_AT_WORK), argument="upload_id")
    Upload.objects.filter(pk__in=left, state__in=UPLOADS_AT_WORK).update(
        state=UploadState.FAILED, ended_at=timezone.now()
    )
    return left


def _as_asked(upload: Upload) -> dict[str, Any]:
    who = {"actor": upload.actor, "actor_name": upload.actor_name}
    source = Source(upload.name, data=bytes(upload.content))
    return {"source": source, "replace": upload.replace, "force": upload.force, "wait": WAIT, **who}


def _begin(upload_id: UUID, *states: UploadState) -> Upload | None:
    """The upload in the state of work, the last of these, or None where it is in none of them (any more)."""
    wanted = Upload.objects.filter(pk=upload_id, state__in=states)
    if not wanted.update(state=states[-1], stage="", done=0, total=0):
        return None
    return Upload.objects.select_related("actor").get(pk=upload_id)


def _end(upload: Upload, state: UploadState, **found: Any) -> bool:
    """Ends the work on an upload, unless it has ended: a worker that was only thought dead may have done it."""
    at_work = Upload.objects.filter(pk=upload.pk, state=upload.state)
    return bool(at_work.update(state=state, ended_at=timezone.now(), **found))


def _fresh(upload: Upload) -> Upload | None:
    """One more check of the same file, as an upload of its own, where the work on this one has not ended."""
    return _take_again(upload, upload.actor) if _end(upload, UploadState.MOVED) else None


def _take_again(upload: Upload, actor: Any) -> Upload:
    content = bytes(upload.content)
    return upload_take(name=upload.name, content=content, replace=upload.replace, force=upload.force, actor=actor)


def _queue(task: str, upload: Upload) -> None:
    """One after another: loads and checks of all machines wait for each other."""
    try:
        app.configure_task(task, lock="catalogue", queueing_lock=f"{task} {upload.pk}").defer(upload_id=str(upload.pk))
    except AlreadyEnqueued:
        _log.info("%s of %s is queued already", task, upload.pk)


@contextmanager
def _failing(upload: Upload) -> Iterator[None]:
    """What nobody expected is shown as such, not as work that never ends."""
    try:
        yield
    except (Moved, *DATABASE_WENT):
        raise
    except Exception:
        _end(upload, UploadState.FAILED)
        raise
