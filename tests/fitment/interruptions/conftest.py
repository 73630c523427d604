"""An editor's upload at a small catalogue, and a worker in a process of its own that waits at a stage."""

import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

import pytest
from django.conf import settings
from django.db import connection
from procrastinate.contrib.django import app
from procrastinate.contrib.django.models import ProcrastinateJob
from procrastinate.exceptions import AlreadyEnqueued

from catalog.models import Upload
from catalog.workbook.dumping import csv_files, zipped
from catalog.workbook.reading import Source
from fitment import tasks
from fitment.services.catalogue.loading import catalogue_load
from fitment.services.catalogue.uploads import upload_check, upload_load_ask, upload_take
from fitment.sheets import SHEETS
from tests.catalog.workbook.small import small, write
from tests.fitment.interruptions.stages import THERE
from tests.processes import with_this_database
from tests.queues import empty_queue

Dump = dict[str, bytes]


def dump() -> Dump:
    """The catalogue as it stands, its edition among the rest."""
    return dict(csv_files(SHEETS))


def changed_book() -> bytes:
    """A workbook that changes answers of the small catalogue."""
    sheets = small()
    decisions = sheets["fit_decisions"]
    decisions[0]["decision"] = "rejected"
    rows = [",".join(decisions[0]), *(",".join(row.values()) for row in decisions)]
    return zipped([("fit_decisions.csv", "\n".join(rows).encode())])


@pytest.fixture
def before(tmp_path: Path) -> Dump:
    """The small catalogue loaded, as it is dumped."""
    assert not catalogue_load(source=Source.of_path(write(tmp_path / "small", small()))).refused
    return dump()


@pytest.fixture
def waiting(before: Dump) -> Upload:
    """An upload whose check waits in the queue."""
    return upload_take(name="book.zip", content=changed_book(), replace=False, force=False, actor=None)


@pytest.fixture
def asked(waiting: Upload) -> Upload:
    """An upload that was checked, and whose load waits in the queue."""
    upload_check(upload_id=waiting.pk)
    empty_queue()
    upload_load_ask(upload_id=waiting.pk)
    waiting.refresh_from_db()
    return waiting


def work_off() -> None:
    """What a worker does with all that is queued."""
    with app.replace_connector(app.connector.get_worker_connector()) as worker:
        worker.run_worker(wait=False, install_signal_handlers=False, listen_notify=False)


def a_minute_later() -> None:
    """No worker of before gives a sign of life any more, waits are over, and what is done every minute is done."""
    with connection.cursor() as cursor:
        cursor.execute("UPDATE procrastinate_workers SET last_heartbeat = now() - interval '1 minute'")
        cursor.execute("UPDATE procrastinate_jobs SET scheduled_at = now() WHERE status = 'todo'")
        cursor.execute("DELETE FROM procrastinate_periodic_defers")
    with suppress(AlreadyEnqueued):  # a worker queues it when it begins
        tasks.revive.defer(timestamp=0)
    work_off()


def left_in_queue() -> list[tuple[str, str]]:
    """Names and states of the jobs for uploads that are not done."""
    jobs = ProcrastinateJob.objects.filter(task_name__in=("upload_check", "upload_load"))
    return list(jobs.exclude(status="succeeded").values_list("task_name", "status"))


@contextmanager
def waiting_worker(stage: str, environment: dict[str, str] | None = None) -> Iterator["subprocess.Popen[str]"]:
    """A worker in a process of its own that has come to a stage; it goes on at a line, and is killed in the end.

    It has the database of the tests, unless the environment names another.
    """
    words = [sys.executable, "-m", "tests.fitment.interruptions.stages", stage]
    with subprocess.Popen(
        words, env=environment or with_this_database(), cwd=settings.ROOT, text=True,
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL,
    ) as worker:  # fmt: skip
        try:
            lines = iter(worker.stdout.readline, "")
            assert any(line.strip() == THERE for line in lines), "the worker ended before it came to the stage"
            yield worker
        finally:
            worker.kill()
