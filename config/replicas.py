"""Reads of the public go to a replica, where `DATABASE_REPLICA_URL` names one."""

from collections.abc import Callable
from contextvars import ContextVar
from typing import Any

from django.conf import settings
from django.http import HttpRequest, HttpResponse

_may_lag: ContextVar[bool] = ContextVar("may_lag", default=False)


class ReplicaReads:
    """Lets a request read a replica when nobody can have written anything that it must see.

    That is a GET without an account. Whoever signed in (by session or token) reads the primary,
    so an editor reads its own writes; so do commands and the worker.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        anonymous = "Authorization" not in request.headers and settings.SESSION_COOKIE_NAME not in request.COOKIES
        mark = _may_lag.set(request.method in ("GET", "HEAD") and anonymous)
        try:
            return self.get_response(request)
        finally:
            _may_lag.reset(mark)


class ReplicaRouter:
    """Writes to `default`; reads from `replica` during the requests that `ReplicaReads` lets."""

    def db_for_read(self, model: Any, **hints: Any) -> str | None:
        return "replica" if _may_lag.get() and settings.HAS_REPLICA else "default"

    def db_for_write(self, model: Any, **hints: Any) -> str | None:
        return "default"

    def allow_relation(self, first: Any, second: Any, **hints: Any) -> bool | None:
        return True  # both are the same data

    def allow_migrate(self, db: str, app_label: str, **hints: Any) -> bool | None:
        return db == "default"
