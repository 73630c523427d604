"""What every address of the API does alike; `api.views` has one module per resource on top of it.

The order of a read: content negotiation, who asks (401, 403), how often (429), the tag of the answer, a kept
answer or the parameters (400, 404, 422), `If-None-Match` (304), and only then the computation.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import ExitStack, contextmanager
from typing import Any, ClassVar

from django.db import connections
from django.http import HttpRequest, HttpResponse
from rest_framework import exceptions
from rest_framework.parsers import BaseParser
from rest_framework.request import Request
from rest_framework.views import APIView

from api.authentication import AnonymousThrottle, SessionAuthentication, TokenAuthentication
from api.bodies import BodyParser, Json, Negotiation, dumps
from api.caching import VARY, confirms, kept_answers, mark, tag_of
from api.parameters import Parameter, checked, refuse_unholdable
from api.problems import Problem, handle
from api.schema import EndpointSchema
from catalog.codes import Role
from catalog.roles import role_of
from catalog.selectors import CurrentCatalogue, current_catalogue
from fitment.readers.editions import at_edition

MEDIA_TYPE = "application/json"
TRIES = 3


class CatalogueMoves(Problem):
    """The catalogue was changed again and again while an answer was computed."""

    def __init__(self) -> None:
        super().__init__(503, "The catalogue is being changed; ask again.", headers={"Retry-After": "1"})


@contextmanager
def counted_queries() -> Iterator[Callable[[], int]]:
    """Counts the queries of this thread on every database while the block runs."""
    count = 0

    def counting(execute: Callable[..., Any], *call: Any) -> Any:
        nonlocal count
        count += 1
        return execute(*call)

    with ExitStack() as wrapped:
        for connection in connections.all():
            wrapped.enter_context(connection.execute_wrapper(counting))
        yield lambda: count


class Endpoint(APIView):
    """One address.

    A read defines `read`, which checks what is asked and finds what it names, and `compute`, which answers;
    the base adds the catalogue, the tag and the headers. A write defines `post` and answers with `reply`.

    Class attributes:

    minimum_roles
        The least role by method (`{"GET": Role.DEVELOPMENT}`); the public where a method is not named.
    parameters
        The query parameters of GET.
    counted
        Whether the answer also depends on the counters of enquiries and job times.
    problems
        The statuses of problem answers that this address may give, beside those that all may.
    answers
        The schema of the successful answer by method: a serializer, or a JSON schema. `takes`: of the body.
    """

    authentication_classes = (TokenAuthentication, SessionAuthentication)
    throttle_classes = (AnonymousThrottle,)
    renderer_classes = (Json,)
    parser_classes: Sequence[type[BaseParser]] = (BodyParser,)
    content_negotiation_class = Negotiation
    metadata_class = None
    schema = EndpointSchema()

    minimum_roles: ClassVar[Mapping[str, Role]] = {}
    parameters: ClassVar[Sequence[Parameter]] = ()
    counted: ClassVar[bool] = False
    problems: ClassVar[Sequence[int]] = ()
    answers: ClassVar[Mapping[str, Any]] = {}
    takes: ClassVar[Any] = None
    created: ClassVar[bool] = False  # whether a post may answer 201
    accepted: ClassVar[bool] = False  # whether a post answers 202, its work being done later

    current: CurrentCatalogue

    @property
    def role(self) -> Role:
        return role_of(self.request.user)

    def get_exception_handler(self) -> Any:
        return handle

    def check_permissions(self, request: Request) -> None:
        """401 without a token or session, 403 with one of too low a role."""
        method = "GET" if request.method == "HEAD" else request.method or ""
        least = self.minimum_roles.get(method, Role.PUBLIC)
        if role_of(request.user).at_least(least):
            return
        if not request.user.is_authenticated:
            raise exceptions.NotAuthenticated(f"This needs a token or a session with the role {least}.")
        raise exceptions.PermissionDenied(f"This needs the role {least}.")

    def initial(self, request: Request, *args: Any, **keys: Any) -> None:
        """After access, and before the body is looked at: a POST says all it has to say in its body."""
        super().initial(request, *args, **keys)
        if request.method == "POST":
            checked(request.GET, ())

    def read(self, request: Request, **keys: str) -> Any:
        """What is asked, checked; raises problems. By default: the declared parameters."""
        return checked(request.GET, self.parameters)

    def compute(self, asked: Any) -> Mapping[str, Any]:
        """The answer to what `read` found, without `catalogue`."""
        raise NotImplementedError

    def answered(self, request: Request, **keys: str) -> HttpResponse:
        """The answer to a read, its 304, or a problem."""
        private = request.user.is_authenticated
        given = request.headers.get("If-None-Match")
        for _ in range(TRIES):
            with at_edition() as self.current:
                tag = self.tag(request)
                body = kept_answers.get(tag)
                if body is None:
                    with counted_queries() as count:
                        refuse_unholdable(request.GET)
                        asked = self.read(request, **keys)
                        if not confirms(given, tag):
                            body = dumps({"catalogue": self.catalogue(), **self.compute(asked)})
                    if body is not None:
                        if count() and self.moved():
                            continue
                        kept_answers.keep(tag, body)
                if body is None or confirms(given, tag):
                    return mark(HttpResponse(status=304), tag=tag, private=private)
                return mark(HttpResponse(body, content_type=MEDIA_TYPE), tag=tag, private=private)
        raise CatalogueMoves

    def moved(self) -> bool:
        """Whether the catalogue has another edition than the answer was begun at.

        A load may commit while facts are read, and those of two editions must not meet in one answer.
        """
        now, then = current_catalogue(), self.current
        return now != then if self.counted else (now.code, now.edition) != (then.code, then.edition)

    def tag(self, request: Request) -> str:
        url = request.build_absolute_uri()
        return tag_of(self.current, role=self.role, url=url, counted=self.counted)

    def catalogue(self) -> dict[str, Any]:
        return {"id": self.current.code, "edition": self.current.edition}

    def reply(
        self,
        body: Mapping[str, Any],
        *,
        status: int = 200,
        headers: dict[str, str] | None = None,
        at_its_end: bool = True,
    ) -> HttpResponse:
        """The answer to a POST, at the edition it left behind (or began at): never kept by anybody."""
        if at_its_end:
            self.current = current_catalogue()
        content = dumps({"catalogue": self.catalogue(), **body})
        response = HttpResponse(content, status=status, content_type=MEDIA_TYPE, headers=headers)
        response["Cache-Control"] = "no-store"
        response["Vary"] = VARY
        return response

    def options(self, request: HttpRequest, *args: Any, **kwargs: Any) -> Any:
        return HttpResponse(status=204, headers={"Allow": ", ".join(self.allowed_methods)})


class ReadEndpoint(Endpoint):
    """An address that is read."""

    def get(self, request: Request, **keys: str) -> HttpResponse:
        return self.answered(request, **keys)
