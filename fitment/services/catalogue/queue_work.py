"""What all work of the queue needs that takes long: how far it has come, told while its transaction shows nothing yet,
and whether anybody still does it."""

from collections.abc import Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import contextmanager
from time import monotonic
from typing import Any
from uuid import UUID

import psycopg
from django.db import InterfaceError, OperationalError, connection
from django.db.models import Exists, OuterRef, QuerySet, TextField
from django.db.models.fields.json import KT
from django.db.models.functions import Cast
from procrastinate.contrib.django.models import ProcrastinateJob

from catalog.workbook.loading import Progress

TELL_EVERY = 0.3
DATABASE_WENT = (OperationalError, InterfaceError, psycopg.OperationalError, psycopg.InterfaceError)
"""The connection or the server went away (COPY raises the driver's own): the work is done again."""


class _Teller:
    """Writes stage, done and total into rows, on a connection of its own."""

    def __init__(self, rows: QuerySet[Any]) -> None:
        self._rows = rows
        self._writer = ThreadPoolExecutor(max_workers=1)
        self._told = ("", 0.0)
        self._last: Future[None] | None = None

    def __call__(self, stage: str, done: int, total: int) -> None:
        before, at = self._told
        busy = self._last is not None and not self._last.done()
        if stage == before and (busy or monotonic() - at < TELL_EVERY):
            return
        self._told = stage, monotonic()
        self._last = self._writer.submit(self._write, stage, done, total)

    def _write(self, stage: str, done: int, total: int) -> None:
        self._rows.update(stage=stage, done=done, total=total)

    def close(self) -> None:
        self._writer.submit(lambda: connection.close())  # looked up there: each thread has its own
        self._writer.shutdown()


@contextmanager
def telling(rows: QuerySet[Any]) -> Iterator[Progress]:
    """Tells how far the work on rows with `stage`, `done` and `total` has come."""
    teller = _Teller(rows)
    try:
        yield teller
    finally:
        teller.close()


def without_job(rows: QuerySet[Any], *, argument: str) -> list[UUID]:
    """The keys of the rows for which nothing waits or runs in the queue; jobs name them by an argument."""
    jobs = ProcrastinateJob.objects.annotate(of=KT(f"args__{argument}")).filter(
        status__in=("todo", "doing"), of=Cast(OuterRef("pk"), TextField())
    )
    return list(rows.filter(~Exists(jobs)).values_list("pk", flat=True))
