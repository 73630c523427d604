"""What watches the installation: `/healthz`, `/readyz`, and `/metrics` for Prometheus; nothing of what was asked."""

import secrets
from collections.abc import Iterable
from functools import cache

from django.conf import settings
from django.db import DatabaseError, connection
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.recorder import MigrationRecorder
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from procrastinate.contrib.django.models import ProcrastinateJob
from prometheus_client import CONTENT_TYPE_LATEST, CollectorRegistry, Counter, Histogram, generate_latest
from prometheus_client.core import GaugeMetricFamily
from prometheus_client.metrics_core import Metric
from prometheus_client.multiprocess import MultiProcessCollector
from prometheus_client.registry import Collector

_REQUESTS = Counter("jointbook_requests", "Requests answered.", ("method", "route", "status"))
_SECONDS = Histogram(
    "jointbook_request_seconds",
    "Time to answer.",
    ("route",),
    buckets=(0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5),
)


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


def _plain(content: dict[str, str], status: int) -> JsonResponse:
    response = JsonResponse(content, status=status)
    response["Cache-Control"] = "no-store"
    return response


class _Queue(Collector):
    """The queue is one for all processes: asked of the database when it is looked at."""

    def collect(self) -> Iterable[Metric]:
        waiting = ProcrastinateJob.objects.filter(status="todo").count()
        yield GaugeMetricFamily("jointbook_jobs_waiting", "Jobs in the queue.", value=waiting)


def observe(*, method: str, route: str, status: int, seconds: float) -> None:
    _REQUESTS.labels(method=method, route=route, status=str(status)).inc()
    _SECONDS.labels(route=route).observe(seconds)


def metrics(request: HttpRequest) -> HttpResponse:
    """The counts of all web processes, for who knows `METRICS_TOKEN`; without that setting there is no such page."""
    if not settings.METRICS_TOKEN:
        raise Http404
    given = request.headers.get("Authorization", "").removeprefix("Bearer ")
    if not secrets.compare_digest(given.encode(), settings.METRICS_TOKEN.encode()):
        return HttpResponse("Authorization: Bearer METRICS_TOKEN is required\n", status=401, content_type="text/plain")
    registry = CollectorRegistry()
    if settings.METRICS_SHARED:
        MultiProcessCollector(registry)
    else:
        registry.register(_REQUESTS)
        registry.register(_SECONDS)
    registry.register(_Queue())
    response = HttpResponse(generate_latest(registry), content_type=CONTENT_TYPE_LATEST)
    response["Cache-Control"] = "no-store"
    return response
