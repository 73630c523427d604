"""What is answered when an address does not exist, a request is refused, or the program fails."""

import logging
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.template import loader

from api.problems import for_status

API = "/api/"
_log = logging.getLogger("jointbook.problems")

PAGES = {
    400: ("This request cannot be read", "Something in it is not as a browser sends it."),
    403: ("You may not see this", "It needs an account with another role; sign in with it, or ask an editor."),
    404: (
        "There is nothing here",
        "The address leads nowhere. It may have been typed wrong, or the thing is no longer in the catalogue.",
    ),
    500: ("Something failed", "The fault is ours and is in the log. Trying again may help; nothing was half done."),
}
FORM_EXPIRED = (
    "This form is too old",
    "Go back, load the page anew and send it again. If it stays so, cookies are blocked.",
)


def bad_request(request: HttpRequest, exception: Exception) -> HttpResponse:
    return _answer(request, 400)


def permission_denied(request: HttpRequest, exception: Exception) -> HttpResponse:
    return _answer(request, 403)


def page_not_found(request: HttpRequest, exception: Exception) -> HttpResponse:
    return _answer(request, 404)


def server_error(request: HttpRequest) -> HttpResponse:
    return _answer(request, 500)


def csrf_failure(request: HttpRequest, reason: str = "") -> HttpResponse:
    _log.info("form refused: %s", reason)
    return _answer(request, 403, words=FORM_EXPIRED)


def _answer(request: HttpRequest, status: int, *, words: tuple[str, str] | None = None) -> HttpResponse:
    if request.path.startswith(API):
        return for_status(request, status)
    title, text = words or PAGES[status]
    context: dict[str, Any] = {"title": title, "text": text, "request_id": getattr(request, "request_id", None)}
    try:
        page = loader.render_to_string("problem.html", context, request)
    except Exception:  # whatever it is, somebody waits for an answer
        # The page itself asks the database; when that is what failed, the words alone must do.
        _log.exception("the problem page failed")
        return HttpResponse(f"{title}. {text}\n", status=status, content_type="text/plain; charset=utf-8")
    return HttpResponse(page, status=status)
