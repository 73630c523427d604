"""Errors as problem details (RFC 9457): the only form in which anything under `/api/` says what is wrong."""

import logging
from collections.abc import Iterable, Mapping
from http import HTTPStatus
from math import ceil
from typing import Any

from django.core.exceptions import PermissionDenied, RequestDataTooBig, TooManyFieldsSent, TooManyFilesSent
from django.core.signals import got_request_exception
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from rest_framework import exceptions
from rest_framework.views import set_rollback

from api.codec import encode
from catalog.codes import Role
from catalog.roles import role_of
from catalog.scrubbing import scrubbed
from catalog.workbook.errors import Busy
from fitment.errors import BadParameters, Refusal
from fitment.text.refusals import refusal_errors, refusal_words

MEDIA_TYPE = "application/problem+json"
_log = logging.getLogger("jointbook.api")
Errors = Iterable[tuple[str, str]]


class Problem(Exception):
    """An answer that is an error.

    `errors` are pairs of field and message; `more` are further members (RFC 9457, 3.2).
    """

    def __init__(
        self,
        status: int,
        detail: str,
        *,
        errors: Errors = (),
        headers: Mapping[str, str] | None = None,
        more: Mapping[str, Any] | None = None,
    ) -> None:
        self.status = status
        self.detail = detail
        self.errors = list(errors)
        self.headers = dict(headers or {})
        self.more = more or {}
        super().__init__(detail)


class NotFound(Problem):
    """A path that leads nowhere. A row the caller may not know of is one of these, to the byte."""

    def __init__(self, what: str, key: str) -> None:
        super().__init__(404, f"There is no {what} '{key}'.")


def bad_parameters(errors: Errors) -> Problem:
    """400 with what is wrong, field by field."""
    return Problem(400, "The request has unknown parameters or values.", errors=errors)


def bad_body(errors: Errors) -> Problem:
    """400 for a body, field by field."""
    return Problem(400, "The body has fields that cannot be taken as they are.", errors=errors)


def as_problem(error: Exception, role: Role) -> Problem | None:
    """The problem that an exception means to this role; None for one that nobody expected."""
    match error:
        case Problem():
            return error
        case BadParameters():
            return bad_parameters(error.errors)
        case Refusal():
            return Problem(
                422,
                f"{refusal_words(error)}.",
                errors=refusal_errors(error),
                more={"reason": error.reason, **encode(error, role)},
            )
        case Busy():
            return Problem(503, "Another load or edit is under way; try again.", headers={"Retry-After": "10"})
        case Http404():
            return Problem(404, "There is nothing at this address.")
        case exceptions.NotAuthenticated() | exceptions.AuthenticationFailed():
            return Problem(401, _sentence(error), headers={"WWW-Authenticate": "Token"})
        case exceptions.PermissionDenied():
            return Problem(403, _sentence(error))
        case PermissionDenied():
            return Problem(403, "You may not do this.")
        case exceptions.Throttled():
            wait = max(1, ceil(getattr(error, "wait", None) or 1))
            detail = f"Too many requests from this address; ask again in {wait} s, or with a token."
            return Problem(429, detail, headers={"Retry-After": str(wait)})
        case exceptions.MethodNotAllowed() | exceptions.NotAcceptable() | exceptions.UnsupportedMediaType():
            return Problem(error.status_code, _sentence(error))
        case exceptions.ParseError():
            return Problem(400, _sentence(error))
        case RequestDataTooBig() | TooManyFieldsSent() | TooManyFilesSent():
            return Problem(413, "The body is larger than this address takes.")
        case exceptions.APIException():
            return Problem(error.status_code, _sentence(error))
    return None


def members(problem: Problem) -> dict[str, Any]:
    """The members of a problem. Texts of the request that it repeats are scrubbed."""
    return {
        "type": "about:blank",
        "title": HTTPStatus(problem.status).phrase,
        "status": problem.status,
        "detail": scrubbed(problem.detail),
        "errors": [{"field": scrubbed(field), "message": scrubbed(message)} for field, message in problem.errors],
        **problem.more,
    }


def answer(problem: Problem, request: HttpRequest | Any) -> JsonResponse:
    """The response of a problem."""
    body = members(problem)
    identifier = getattr(request, "request_id", None)
    if identifier is not None:
        body["request_id"] = identifier
    response = JsonResponse(
        body,
        status=problem.status,
        content_type=MEDIA_TYPE,
        headers=problem.headers,
        json_dumps_params={"ensure_ascii": False},
    )
    response["Cache-Control"] = "no-store"
    response["Vary"] = "Authorization, Cookie"
    return response


def handle(error: Exception, context: dict[str, Any]) -> HttpResponse:
    """What the framework calls for every exception in a view of the API."""
    request = context["request"]
    problem = as_problem(error, role_of(request.user))
    set_rollback()
    if problem is None:
        # As Django does for a page: logged with its trace, told to whoever listens (the tests do).
        got_request_exception.send(sender=type(context["view"]), request=request)
        _log.exception("an answer failed")
        problem = Problem(500, "Something went wrong on our side; the request_id helps us to find out what.")
    if problem.status == 405:
        problem.headers.setdefault("Allow", ", ".join(context["view"].allowed_methods))
    return answer(problem, request)


def for_status(request: HttpRequest, status: int) -> JsonResponse:
    """The problem for a status that arose outside a view: no such address, a refused host, a failure."""
    details = {
        400: "The request cannot be read.",
        403: "The request was refused.",
        404: "There is nothing at this address; the paths stand in /api/v1/schema/.",
        500: "Something went wrong on our side; the request_id helps us to find out what.",
    }
    return answer(Problem(status, details.get(status, HTTPStatus(status).phrase)), request)


def _sentence(error: exceptions.APIException) -> str:
    text = str(error.detail)
    return text if text.endswith(".") else f"{text}."
