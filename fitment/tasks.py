"""What the worker does for editors: checks and loads of workbooks handed in, workbooks to take away."""

import asyncio
import logging
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import timedelta
from uuid import UUID

from django.db import connections
from django.utils import timezone
from procrastinate import JobContext, RetryStrategy
from procrastinate.contrib.django import app
from procrastinate.exceptions import ConnectorException
from procrastinate.jobs import Job, Status

from catalog.models import Download, Upload
from fitment.services.catalogue.downloads import WRITE, download_write, downloads_give_up
from fitment.services.catalogue.queue_work import DATABASE_WENT
from fitment.services.catalogue.uploads import CHECK, LOAD, upload_check, upload_load, uploads_give_up

KEPT, DOWNLOADS_KEPT = timedelta(days=90), timedelta(days=1)
MOST_ATTEMPTS = 5  # work that ends its worker each time must not keep all other work from being done
AGAIN = RetryStrategy(max_attempts=MOST_ATTEMPTS, linear_wait=10, retry_exceptions=DATABASE_WENT)
_log = logging.getLogger("jointbook.uploads")


@contextmanager
def own_connections() -> Iterator[None]:
    """A task runs in a thread that outlives it: the connections it opened must not, or they go stale there."""
    try:
        yield
    finally:
        connections.close_all()


@app.task(name=CHECK, retry=AGAIN)
@own_connections()
def check(upload_id: str) -> None:
    """Check a workbook handed in; every error and every answer that would change goes into its report."""
    upload_check(upload_id=UUID(upload_id))


@app.task(name=LOAD, retry=AGAIN)
@own_connections()
def load(upload_id: str) -> None:
    """Load a workbook exactly as it was checked."""
    upload_load(upload_id=UUID(upload_id))


@app.task(name=WRITE, retry=AGAIN)
@own_connections()
def write_download(download_id: str) -> None:
    """Write a workbook that is large, to be taken away when it is ready."""
    download_write(download_id=UUID(download_id))


@app.periodic(cron="* * * * *")
@app.task(name="revive", queueing_lock="revive", pass_context=True)
async def revive(context: JobContext, timestamp: int) -> None:
    """Every minute: work whose worker was killed is done again from its beginning, a few times at most."""
    for job in await context.app.job_manager.get_stalled_jobs():
        try:
            await _take_up(context, job)
        except ConnectorException as error:  # it ended meanwhile, or another of its kind waits already
            _log.warning("%s cannot be done again: %s", job.task_name, error)
    for given_up in await asyncio.to_thread(_give_up):
        _log.error("the work on %s is given up", given_up)


async def _take_up(context: JobContext, job: Job) -> None:
    jobs = context.app.job_manager
    if job.attempts < MOST_ATTEMPTS:
        _log.warning("%s was left by its worker; it is done again", job.task_name)
        await jobs.retry_job(job)
    else:
        _log.error("%s was left by its worker too often", job.task_name)
        await jobs.finish_job(job, Status.FAILED, delete_job=False)


@own_connections()
def _give_up() -> list[UUID]:
    return [*uploads_give_up(), *downloads_give_up()]


@app.periodic(cron="43 3 * * *")
@app.task(name="uploads_tidy", queueing_lock="uploads_tidy")
@own_connections()
def uploads_tidy(timestamp: int) -> None:
    """Every night: files handed in long ago go, and those to take away; what they changed stays in the history."""
    Upload.objects.filter(made_at__lt=timezone.now() - KEPT).delete()
    Download.objects.filter(made_at__lt=timezone.now() - DOWNLOADS_KEPT).delete()
