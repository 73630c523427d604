"""Each request gets an identifier, a line in the log and, where metrics are on, a place in the counts."""

import logging
import re
import time
import uuid
from collections.abc import Callable

from django.conf import settings
from django.core.exceptions import BadRequest
from django.http import HttpRequest, HttpResponse

from config.logs import request_id
from config.monitoring import observe

_log = logging.getLogger("jointbook.requests")
API = "/api/"
_IDENTIFIER = re.compile(r"[A-Za-z0-9\-]{8,64}")


class RequestLog:
    """Sets `request.request_id` and the header `X-Request-Id`.

    An identifier that a trusted proxy gave is kept, so that its log and ours can be read together.
    The line names the path without its query: a query tells what somebody looked for.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        given = request.headers.get("X-Request-Id", "") if request.META.get("jointbook.trusted") else ""
        identifier = given if _IDENTIFIER.fullmatch(given) else uuid.uuid4().hex
        request.request_id = identifier  # type: ignore[attr-defined]  # read by the problem answers
        mark = request_id.set(identifier)
        started = time.perf_counter()
        try:
            response = self.get_response(request)
            seconds = time.perf_counter() - started
            response["X-Request-Id"] = identifier
            route = request.resolver_match.route if request.resolver_match else "(unknown)"
            if settings.METRICS_TOKEN:
                observe(method=request.method or "", route=route, status=response.status_code, seconds=seconds)
            level = logging.WARNING if response.status_code >= 500 else logging.INFO
            if route not in settings.QUIET_ROUTES:
                line = {
                    "method": request.method,
                    "path": request.path,
                    "status": response.status_code,
                    "milliseconds": round(seconds * 1000, 1),
                }
                _log.log(level, "%(method)s %(path)s %(status)s %(milliseconds).0f ms", line, extra=line)
        finally:
            request_id.reset(mark)
        return response


class PrivateUnlessSaid:
    """An answer that says nothing of caches is for who asked, and is asked for again each time."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        response.headers.setdefault("Cache-Control", "private, no-cache")
        return response


class NoNullSigns:
    """Answers 400 to a page's address that holds U+0000, in the path or in the query.

    It is the one sign that no database text can hold; the API says it by field.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        query = request.META.get("QUERY_STRING", "")
        if not request.path_info.startswith(API) and ("\0" in request.path_info or "%00" in query):
            raise BadRequest("the address holds the control sign U+0000")
        return self.get_response(request)
