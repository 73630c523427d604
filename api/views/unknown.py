"""Every address under `/api/` that nobody serves."""

from django.http import HttpRequest, HttpResponse
from django.views.decorators.csrf import csrf_exempt

from api.problems import Problem, answer
from catalog.nearest import nearest


@csrf_exempt  # nothing is done here; a POST to a mistyped address is to hear that it is one
def unknown_address(request: HttpRequest, path: str = "") -> HttpResponse:
    """404 as a problem, with what may have been meant."""
    from api.urls import ROOTS

    word = path.removeprefix("v1/").split("/", 1)[0]
    near = nearest(word, ROOTS, at_least=70) if word else None
    hint = f"; the nearest is /api/v1/{near}/" if near else ""
    problem = Problem(404, f"There is nothing at this address{hint}. All addresses stand in /api/v1/schema/.")
    return answer(problem, request)
