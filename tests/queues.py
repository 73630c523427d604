"""The queue of the tests' database."""

from django.db import connection


def empty_queue() -> None:
    """Takes every job and worker out; the flush after a test that commits passes over their tables."""
    connection.close_if_unusable_or_obsolete()
    with connection.cursor() as cursor:
        cursor.execute("TRUNCATE procrastinate_jobs, procrastinate_workers CASCADE")
