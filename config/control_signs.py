"""The one sign that no database text can hold is refused before a page asks for it; the API says it by field."""

from collections.abc import Callable

from django.core.exceptions import BadRequest
from django.http import HttpRequest, HttpResponse

API = "/api/"


class NoNullSigns:
    """Answers 400 to a page's address that holds U+0000, in the path or in the query."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        query = request.META.get("QUERY_STRING", "")
        if not request.path_info.startswith(API) and ("\0" in request.path_info or "%00" in query):
            raise BadRequest("the address holds the control sign U+0000")
        return self.get_response(request)
