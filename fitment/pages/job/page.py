"""The job's page and the page of a printed instruction's code."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render

from catalog.codes import Units
from catalog.nearest import unknown
from catalog.roles import role_of
from fitment.errors import BadParameters
from fitment.job.instruction import is_code
from fitment.pages.job.context import choosing, job_context
from fitment.pages.job.lines import PATH
from fitment.pages.record.subject import record_address
from fitment.pages.shared.addresses import Query, address
from fitment.pages.shared.page import page
from fitment.query.job_parameters import JobRequest, parse_job
from fitment.query.parameters import without_empty
from fitment.readers.vocabulary import names
from fitment.services.jobs.instructions import compare_instruction
from fitment.services.jobs.planning import plan_job_drawn
from fitment.text.names import car_heading

NOT_OF_THE_CAR = ("part", "side", "equipment", "units")


@page()
def job(request: HttpRequest) -> HttpResponse:
    query = without_empty(request.GET)
    viewer = role_of(request.user)
    units, asked = _read(query, request)
    drawn = plan_job_drawn(request=asked, viewer=viewer, draw=True)
    context = job_context(drawn, asked, query, units)
    context |= {"choosing": choosing(query, asked, units), "car_href": _car_address(query)}
    done: dict[str, list[str]] = {
        "parts": [f"{one.part}:{one.end}.{one.location}" for one in drawn.job.parts],
        "side": [drawn.job.side],
        "equipment": [asked.equipment_text.replace(",", " ")],
    }
    context["record"] = record_address("job-time", query, viewer, done)
    return render(request, "job/page.html", context)


@page()
def instruction(request: HttpRequest, code: str) -> HttpResponse:
    """Whether a printed instruction is current, and what changed since it was printed."""
    code = code.upper()
    if not is_code(code):
        raise Http404
    query = without_empty(request.GET)
    edition = query.pop("edition", [""])[0]
    viewer = role_of(request.user)
    if edition and not edition.isdecimal():
        raise BadParameters([("edition", f"'{edition[:20]}' is not a number; it stands beside the code")])
    _, asked = _read(query, request)
    since = int(edition) if edition else None
    check = compare_instruction(code=code, request=asked, since=since, viewer=viewer)
    context = {
        "check": check,
        "subject": car_heading(asked.car, (), names().makers),
        "parts": ", ".join(str(one) for one in asked.parts),
        "job_href": address(PATH, query),
    }
    return render(request, "job/instruction.html", context)


def _read(query: Query, request: HttpRequest) -> tuple[str, JobRequest]:
    """The units and the job asked for; the units are the page's own and no part of the job."""
    units = query.get("units", [Units.METRIC])
    if units[0] not in Units.values or len(units) > 1:
        raise BadParameters([("units", unknown("units", units[0], Units.values))])
    rest = {name: values for name, values in query.items() if name != "units"}
    return units[0], parse_job(rest, role_of(request.user))


def _car_address(query: Query) -> str:
    return address("/car/", query, dropping=NOT_OF_THE_CAR)
