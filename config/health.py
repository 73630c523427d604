"""Whether the process lives and whether it can answer."""

from functools import cache

from django.db import DatabaseError, connection
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.recorder import MigrationRecorder
from django.http import HttpRequest, JsonResponse
from procrastinate.contrib.django.models import ProcrastinateJob


def healthz(request: HttpRequest) -> JsonResponse:
    """200 as long as the process answers at all."""
    return _plain({"status": "ok"}, 200)


def readyz(request: HttpRequest) -> JsonResponse:
    """200 when the database answers and is at the software's migrations, else 503 saying which is not."""
    try:
        behind = pending_migrations()
    except DatabaseError:
        return _plain({"status": "unavailable", "database": "no answer"}, 503)
    if behind:
        return _plain({"status": "unavailable", "database": "ok", "migrations": f"{behind} to apply"}, 503)
    return _plain({"status": "ok", "database": "ok", "migrations": "ok"}, 200)


def pending_migrations() -> int:
    """How many migrations the database lacks; raises `DatabaseError` when it does not answer."""
    return len(_shipped_migrations() - set(MigrationRecorder(connection).applied_migrations()))


@cache
def _shipped_migrations() -> frozenset[tuple[str, str]]:
    return frozenset(MigrationLoader(None, ignore_no_migrations=True).graph.nodes)


def waiting_jobs() -> int:
    return ProcrastinateJob.objects.filter(status="todo").count()


def _plain(content: dict[str, str], status: int) -> JsonResponse:
    response = JsonResponse(content, status=status)
    response["Cache-Control"] = "no-store"
    return response
