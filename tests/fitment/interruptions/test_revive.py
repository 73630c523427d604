"""What is done every minute: work that its worker left is taken up again, all other work is left alone."""

import threading

import pytest
from django.db import connection
from procrastinate.contrib.django import app
from procrastinate.contrib.django.models import ProcrastinateJob

from catalog.models import Edition, Upload
from fitment import tasks
from fitment.services.catalogue import uploads
from fitment.services.catalogue.uploads import upload_check, upload_load
from tests.fitment.interruptions.conftest import a_minute_later, left_in_queue, work_off
from tests.fitment.interruptions.stages import OVER, RULES, staged
from tests.queues import empty_queue

pytestmark = pytest.mark.django_db(transaction=True)


def worker(*, silent_for: str) -> int:
    """A worker that gave its last sign of life some time ago, such as `1 minute`."""
    with connection.cursor() as cursor:
        cursor.execute(
            "INSERT INTO procrastinate_workers (last_heartbeat) VALUES (now() - %s::interval) RETURNING id",
            [silent_for],
        )
        return int(cursor.fetchone()[0])


def job_begun_by(worker: int | None, upload: Upload, *, attempts: int = 0) -> None:
    """The job of an upload is under way at a worker (None: one that the queue knows no more)."""
    with connection.cursor() as cursor:
        cursor.execute(
            "UPDATE procrastinate_jobs SET status = 'doing', worker_id = %s, attempts = %s "
            "WHERE args->>'upload_id' = %s",
            [worker, attempts, str(upload.pk)],
        )


def revive() -> None:
    """That task alone, in a worker that works off nothing else."""
    tasks.revive.configure(queue="revival", queueing_lock="revival").defer(timestamp=0)
    with app.replace_connector(app.connector.get_worker_connector()) as working:
        working.run_worker(wait=False, install_signal_handlers=False, listen_notify=False, queues=["revival"])


def job_of(upload: Upload) -> tuple[str, int]:
    job = ProcrastinateJob.objects.get(args__upload_id=str(upload.pk))
    return job.status, job.attempts


@pytest.mark.parametrize("silent_for", ["1 minute", "1 day", None])
def test_work_of_a_silent_worker_is_taken_up(silent_for: str | None, waiting: Upload):
    job_begun_by(worker(silent_for=silent_for) if silent_for else None, waiting)
    revive()
    assert job_of(waiting) == ("todo", 1)


def test_work_of_a_worker_that_lives_is_left_alone(waiting: Upload):
    job_begun_by(worker(silent_for="10 seconds"), waiting)
    revive()
    assert job_of(waiting) == ("doing", 0)


def test_work_that_waits_is_left_alone(waiting: Upload):
    revive()
    assert job_of(waiting) == ("todo", 0)
    waiting.refresh_from_db()
    assert waiting.state == "waiting"


def test_twice_is_once(waiting: Upload):
    job_begun_by(worker(silent_for="1 minute"), waiting)
    revive()
    revive()
    assert job_of(waiting) == ("todo", 1)
    work_off()
    assert left_in_queue() == []
    waiting.refresh_from_db()
    assert waiting.state == "checked"


def test_work_that_ends_every_worker_is_given_up(waiting: Upload):
    job_begun_by(worker(silent_for="1 minute"), waiting, attempts=tasks.MOST_ATTEMPTS)
    revive()
    assert job_of(waiting)[0] == "failed"
    waiting.refresh_from_db()
    assert waiting.state == "failed"


@pytest.mark.parametrize("state", ["waiting", "checking", "loading"])
def test_an_upload_without_work_in_the_queue_is_shown_as_failed(state: str, waiting: Upload):
    empty_queue()
    Upload.objects.update(state=state)
    revive()
    waiting.refresh_from_db()
    assert waiting.state == "failed"


@pytest.mark.parametrize("state", ["checked", "refused", "loaded", "moved", "failed"])
def test_an_upload_whose_work_is_done_is_left_alone(state: str, waiting: Upload):
    empty_queue()
    Upload.objects.update(state=state)
    revive()
    waiting.refresh_from_db()
    assert (waiting.state, waiting.ended_at) == (state, None)


def test_work_that_cannot_be_taken_up_keeps_no_other_back(waiting: Upload):
    """Another of its kind waits already, and of these only one may."""
    silent = worker(silent_for="1 minute")
    with connection.cursor() as cursor:
        cursor.execute(
            "INSERT INTO procrastinate_jobs (queue_name, task_name, queueing_lock, status, worker_id) "
            "VALUES ('default', 'tidy', 'tidy', 'doing', %s), ('default', 'tidy', 'tidy', 'todo', NULL)",
            [silent],
        )
    job_begun_by(silent, waiting)
    revive()
    assert job_of(waiting) == ("todo", 1)
    # In whichever order they came, it went through all of them.
    assert ProcrastinateJob.objects.get(queue_name="revival").status == "succeeded"


def test_a_worker_that_was_only_thought_dead_spoils_nothing(asked: Upload, monkeypatch):
    """The load is done once more while the first worker is still at it, then the first comes to its end."""
    load, again = uploads.catalogue_load, []

    def at(stage: str) -> None:
        if stage == RULES and not again:
            second = threading.Thread(target=done_once_more)
            again.append(second)
            second.start()

    def done_once_more() -> None:
        upload_load(upload_id=asked.pk)
        connection.close()

    monkeypatch.setattr(uploads, "catalogue_load", staged(load, at))
    upload_load(upload_id=asked.pk)
    again[0].join(60)
    asked.refresh_from_db()
    assert (asked.state, asked.edition_loaded) == ("loaded", 2)
    assert Edition.objects.count() == 2
    assert Upload.objects.count() == 1, "a fresh check of what is loaded was queued"


def test_a_check_that_comes_late_does_not_undo_the_load(waiting: Upload, monkeypatch):
    load = uploads.catalogue_load

    def at(stage: str) -> None:
        if stage == OVER:
            Upload.objects.update(state="loaded", edition_loaded=2)

    monkeypatch.setattr(uploads, "catalogue_load", staged(load, at))
    upload_check(upload_id=waiting.pk)
    waiting.refresh_from_db()
    assert (waiting.state, waiting.edition_loaded) == ("loaded", 2)


def test_a_failure_of_the_file_is_no_lost_database(waiting: Upload, monkeypatch):
    """It is shown at once and not done again."""

    def at(stage: str) -> None:
        raise RuntimeError("the machine broke")

    monkeypatch.setattr(uploads, "catalogue_load", staged(uploads.catalogue_load, at))
    work_off()
    waiting.refresh_from_db()
    assert waiting.state == "failed"
    assert left_in_queue() == [("upload_check", "failed")]
    a_minute_later()
    assert left_in_queue() == [("upload_check", "failed")]
