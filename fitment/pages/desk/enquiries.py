"""Questions without an answer: logged from the desk, and those logged, by day and by how often."""

from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.utils import timezone

from catalog.codes import Role
from fitment.errors import BadParameters
from fitment.pages.desk.state import SAID, desk_of
from fitment.pages.shared.addresses import address, number_address
from fitment.pages.shared.page import page
from fitment.query.parameters import without_empty
from fitment.readers.vocabulary import names
from fitment.services.demand import (
    FIELDS,
    CountedQuestion,
    DayIsFull,
    enquiry_check,
    enquiry_log,
    questions_by_count,
    questions_recent,
)
from fitment.text.dates import day_words

ROWS = 200


@dataclass(frozen=True, slots=True)
class QuestionRow:
    """A logged question in words; `car_href` opens the car on the desk, `number_href` the number's page."""

    car: str
    car_href: str
    place: str
    number: str
    number_href: str
    count: int
    last: str


def questions(*, by_count: bool, most: int) -> list[QuestionRow]:
    rows = questions_by_count(most=most) if by_count else questions_recent(most=most)
    return [_row(row) for row in rows]


@page(role=Role.SALES)
def enquiries(request: HttpRequest) -> HttpResponse:
    by_count = request.GET.get("by") == "count"
    context = {"rows": questions(by_count=by_count, most=ROWS), "by_count": by_count, "most": ROWS}
    return render(request, "desk/enquiries.html", context)


@page(role=Role.SALES, methods="POST")
def log(request: HttpRequest) -> HttpResponse:
    """Counts one more of a question, and goes back to the desk as it was, which says so."""
    state = desk_of(without_empty(request.GET))
    values = {name: request.POST[name] for name in FIELDS if request.POST.get(name)}
    try:
        row = enquiry_log(asked=enquiry_check(values), today=timezone.localdate())
        times = "once" if row.count == 1 else f"{row.count} times"
        request.session["desk_notice"] = f"Logged: {_words(row)}. Asked {times} today."
    except BadParameters as fault:
        request.session["desk_notice"] = "Not logged: " + "; ".join(message for _, message in fault.errors)
    except DayIsFull as full:
        request.session["desk_notice"] = f"{full}."
    kept = {name: values for name, values in state.query.items() if name != SAID}
    return HttpResponseRedirect(address("/desk/", kept), status=303)


def _row(row: CountedQuestion) -> QuestionRow:
    query = {name: [value] for name in ("variant", "maker", "chassis") if (value := getattr(row, name))}
    return QuestionRow(
        car=row.variant or " ".join(each for each in (names().makers.get(row.maker, row.maker), row.chassis) if each),
        car_href=address("/desk/", query) if query else "",
        place=_place(row.location),
        number=row.number,
        number_href=number_address(row.number) if row.number else "",
        count=row.count,
        last=day_words(row.last),
    )


def _place(location: str) -> str:
    end, _, code = location.partition(".")
    return names().place(end, code) if location else ""


def _words(row: object) -> str:
    car = getattr(row, "variant", "") or getattr(row, "chassis", "") or getattr(row, "maker", "")
    return ", ".join(each for each in (car, _place(getattr(row, "location", "")), getattr(row, "number", "")) if each)
