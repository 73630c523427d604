"""Every address of version 1; below `/api/` nothing else is served."""

from django.http import HttpRequest, HttpResponse
from django.urls import path, re_path
from django.views.decorators.csrf import csrf_exempt

from api.problems import Problem, answer
from api.resources import EVIDENCE_PATHS, FACT_PATHS
from api.views import coverage, document, engineering, fitment, history, jobs, lookup, uploads
from catalog.nearest import nearest

ANSWERS = [
    path("fitment/", fitment.Fitment.as_view()),
    path("fitment/bulk/", fitment.FitmentBulk.as_view()),
    path("parts/<str:part>/cars/", fitment.PartCars.as_view()),
    path("job/", jobs.JobEndpoint.as_view()),
    path("job/instruction/<str:code>/", jobs.Instruction.as_view()),
    path("components/<str:component>/matches/", engineering.Matches.as_view()),
    path("axles/<str:axle>/loads/", engineering.Loads.as_view()),
    path("coverage/", coverage.Cells.as_view()),
    path("coverage/platforms/", coverage.Platforms.as_view()),
    path("coverage/work/", coverage.Work.as_view()),
    path("coverage/sizes/", coverage.Sizes.as_view()),
    path("coverage/<str:axle>/<str:location>/<str:component>/", coverage.CellDetail.as_view()),
    path("cross-reference/", lookup.CrossReference.as_view()),
    path("vin/", lookup.Vin.as_view()),
    path("enquiries/", lookup.EnquiryList.as_view()),
    path("catalogue/checks/", uploads.Checks.as_view()),
    path("catalogue/checks/<str:check>/", uploads.Check.as_view()),
    path("catalogue/checks/<str:check>/load/", uploads.CheckLoad.as_view()),
    path("catalogue/changes/", history.CatalogueChanges.as_view()),
]
DOCUMENT = [
    path("schema/", document.Schema.as_view(), name="schema"),
    path("docs/", document.Docs.as_view(), name="docs"),
]
VERSION_1 = [
    *ANSWERS,
    *EVIDENCE_PATHS,
    *FACT_PATHS,
    *DOCUMENT,
]  # what is asked most stands first: addresses are tried in turn

# What an unknown address is compared with.
ROOTS = sorted({str(route.pattern).split("/", 1)[0] for route in VERSION_1})


@csrf_exempt  # nothing is done here; a POST to a mistyped address is to hear that it is one
def unknown_address(request: HttpRequest, path: str = "") -> HttpResponse:
    """404 as a problem, with what may have been meant."""
    word = path.removeprefix("v1/").split("/", 1)[0]
    near = nearest(word, ROOTS, at_least=70) if word else None
    hint = f"; the nearest is /api/v1/{near}/" if near else ""
    problem = Problem(404, f"There is nothing at this address{hint}. All addresses stand in /api/v1/schema/.")
    return answer(problem, request)


urlpatterns = [
    *(path(f"v1/{route.pattern}", route.callback, name=route.name) for route in VERSION_1),
    re_path(r"^(?P<path>.*)$", unknown_address),
]
