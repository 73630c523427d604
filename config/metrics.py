"""`/metrics` for Prometheus: requests by route and status, and the queue; nothing of what was asked."""

import secrets
from collections.abc import Iterable

from django.conf import settings
from django.http import Http404, HttpRequest, HttpResponse
from prometheus_client import CONTENT_TYPE_LATEST, CollectorRegistry, Counter, Histogram, generate_latest
from prometheus_client.core import GaugeMetricFamily
from prometheus_client.metrics_core import Metric
from prometheus_client.multiprocess import MultiProcessCollector
from prometheus_client.registry import Collector

from config.health import waiting_jobs

_REQUESTS = Counter("jointbook_requests", "Requests answered.", ("method", "route", "status"))
_SECONDS = Histogram(
    "jointbook_request_seconds",
    "Time to answer.",
    ("route",),
    buckets=(0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5),
)


class _Queue(Collector):
    """The queue is one for all processes: asked of the database when it is looked at."""

    def collect(self) -> Iterable[Metric]:
        yield GaugeMetricFamily("jointbook_jobs_waiting", "Jobs in the queue.", value=waiting_jobs())


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
