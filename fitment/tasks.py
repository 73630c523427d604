"""What the worker does for editors: checks and loads of workbooks handed in."""

import logging
from datetime import timedelta
from uuid import UUID

from django.utils import timezone
from procrastinate import JobContext
from procrastinate.contrib.django import app

from catalog.models import Upload
from catalog.tasks import own_connections
from fitment.services.uploads import CHECK, LOAD, upload_check, upload_load

KEPT = timedelta(days=90)
_log = logging.getLogger("jointbook.uploads")


@app.task(name=CHECK)
def check(upload_id: str) -> None:
    """Check a workbook handed in; every error and every answer that would change goes into its report."""
    with own_connections():
        upload_check(upload_id=UUID(upload_id))


@app.task(name=LOAD)
def load(upload_id: str) -> None:
    """Load a workbook exactly as it was checked."""
    with own_connections():
        upload_load(upload_id=UUID(upload_id))


@app.periodic(cron="* * * * *")
@app.task(name="revive", queueing_lock="revive", pass_context=True)
async def revive(context: JobContext, timestamp: int) -> None:
    """Every minute: work whose worker was killed is done again from its beginning."""
    jobs = context.app.job_manager
    for job in await jobs.get_stalled_jobs():
        _log.warning("%s was left by its worker; it is done again", job.task_name)
        await jobs.retry_job(job)


@app.periodic(cron="43 3 * * *")
@app.task(name="uploads_tidy", queueing_lock="uploads_tidy")
def uploads_tidy(timestamp: int) -> None:
    """Every night: files handed in long ago go; what they changed stays in the history."""
    with own_connections():
        Upload.objects.filter(made_at__lt=timezone.now() - KEPT).delete()
