"""The sales desk: a caller on the line, one screen, the address is its state."""

from typing import Any

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render

from catalog.codes import Role
from catalog.roles import role_of
from catalog.vin import has_vin_shape
from fitment.errors import BadParameters, NoPossibleCar, Refusal
from fitment.pages.desk.enquiries import questions
from fitment.pages.desk.handout import answer_rows, answer_text, not_for_customers, open_question, public_rules
from fitment.pages.desk.heard import Said, said_of
from fitment.pages.desk.holds import open_holds
from fitment.pages.desk.sheet import Asked, Sheet, chips_of, read_desk, sheet_of
from fitment.pages.desk.state import ANSWER_PATH, LOG_PATH, PATH, SAID, Desk, desk_of, stated
from fitment.pages.job.choosing import choosing
from fitment.pages.shared.addresses import address
from fitment.pages.shared.page import page
from fitment.pages.shared.refusals import facts_to_drop
from fitment.pages.start.page import LONGEST_TEXT
from fitment.query.parameters import VIN_REFUSED, without_empty
from fitment.readers.names import names
from fitment.services.fit.understanding import Understanding, understand
from fitment.text.cautions import USUAL_CAUTIONS
from fitment.text.refusals import refusal_words

FEW = 6


@page(role=Role.SALES, methods="GET HEAD POST")
def desk(request: HttpRequest) -> HttpResponse:
    state = desk_of(without_empty(request.GET))
    if request.method == "POST":
        return _hear(request, state)
    if has_vin_shape(state.said):
        return _page(request, Desk(state.query), errors=[("", VIN_REFUSED)], status=400)
    said = None
    if state.said:
        viewer = role_of(request.user)
        said = said_of(understand(text=state.said, viewer=viewer), state, state.said, viewer)
    return _page(request, state, said=said)


@page(role=Role.SALES)
def answer(request: HttpRequest) -> HttpResponse:
    """The answer as a sheet for the customer: computed for the public, whoever prints it."""
    state = desk_of(without_empty(request.GET))
    if not state.stated:
        return HttpResponseRedirect(state.here)
    try:
        asked = read_desk(state, Role.PUBLIC)
        sheet = sheet_of(state, asked, Role.PUBLIC)
    except BadParameters as fault:
        return _page(request, state, errors=[("", not_for_customers(fault))], status=400)
    except Refusal:
        return _page(request, state)
    context = {
        "sheet_of_answer": sheet,
        "rows": answer_rows(sheet),
        "job": sheet.job,
        "back": state.here,
        "units": asked.units,
        "choosing": _choosing(state, asked),
        "title_rows": [{"label": "Answer for", "value": sheet.subject, "wide": True}],
        "rules": public_rules(sheet),
        "question": open_question(sheet),
        "cautions": USUAL_CAUTIONS,
    }
    return render(request, "desk/answer.html", context)


def _hear(request: HttpRequest, state: Desk) -> HttpResponse:
    """Take over what was said for certain; show the rest, at an address that has it unless it names a person's car."""
    text = request.POST.get("q", "").strip()[:LONGEST_TEXT]
    viewer = role_of(request.user)
    understood = understand(text=text, viewer=viewer)
    target = _target(understood, state)
    if target is not None:
        return HttpResponseRedirect(target, status=303)
    if text and not understood.private:
        return HttpResponseRedirect(address(PATH, state.query, adding={SAID: text}), status=303)
    said = said_of(understood, state, text, viewer)
    return _page(request, state, said=said, status=422)


def _target(understood: Understanding, state: Desk) -> str | None:
    if understood.several or understood.number is not None:
        return None
    if understood.part is not None:
        return state.with_part(understood.part)
    if understood.certain_car is not None:
        return address(PATH, stated(state.query, understood.certain_car))
    return None


def _page(
    request: HttpRequest,
    state: Desk,
    *,
    said: Said | None = None,
    errors: list[tuple[str, str]] | None = None,
    status: int = 200,
) -> HttpResponse:
    called = names()
    context: dict[str, Any] = {
        "state": state,
        "said": said,
        "chips": chips_of(state, called),
        "new_caller": PATH,
        "log_path": address(LOG_PATH, state.query),
        "notice": request.session.pop("desk_notice", None),
        "drops": (),
        "errors": [],
    }
    faults = list(errors or ())
    sheet = asked = None
    try:
        asked = read_desk(state, role_of(request.user))
        if state.stated and not faults:
            sheet = sheet_of(state, asked, role_of(request.user))
    except BadParameters as fault:
        faults, status = faults + fault.errors, 400
    except NoPossibleCar as fault:
        context["drops"] = facts_to_drop(fault, state.query, called, PATH)
        status = 422
    except Refusal as fault:
        faults.append(("", refusal_words(fault)))
        status = 422
    context["errors"] = [
        {
            "label": called.parameter(name) if name else "",
            "message": message,
            "href": state.without(name) if name else "",
        }
        for name, message in faults
    ]
    if sheet is not None and asked is not None:
        context |= _known(request, state, asked, sheet)
    elif not state.stated:
        context |= {"recent": questions(by_count=False, most=FEW), "holds": open_holds()}
    context["basket_only"] = [(value, state.without_part(value)) for value in state.parts] if sheet is None else ()
    context["log"] = _log_form(said, sheet)
    return render(request, "desk/page.html", context, status=status)


def _known(request: HttpRequest, state: Desk, asked: Asked, sheet: Sheet) -> dict[str, Any]:
    text, not_public = "", ""
    if sheet.settled:
        try:
            public = read_desk(state, Role.PUBLIC)
            # Verdicts are the same for every role; only where parts not listed are placed may differ.
            unlisted = len(sheet.answers) > len(sheet.answer.answers)
            told = sheet_of(state, public, Role.PUBLIC) if unlisted else sheet
            text = answer_text(told, state, request)
        except BadParameters as fault:
            not_public = not_for_customers(fault)
    return {
        "known": sheet,
        "job": sheet.job,
        "text": text,
        "not_public": not_public,
        "print_href": address(ANSWER_PATH, state.query),
        "choosing": _choosing(state, asked) if state.parts else None,
        "car_href": address("/car/", state.car),
    }


def _choosing(state: Desk, asked: Asked) -> dict[str, object] | None:
    return choosing(state.query, asked.request, asked.units) if asked.request is not None else None


def _log_form(said: Said | None, sheet: Sheet | None) -> dict[str, Any] | None:
    """What one key would log: the number that was said, else the joint of a part in the basket that does not fit."""
    number = said.text if said is not None and said.number is not None and said.number["loggable"] else ""
    car: dict[str, str] = {}
    places: list[tuple[str, str]] = []
    chosen = ""
    if sheet is not None:
        car = _car(sheet)
        places = list(sheet.unserved)
        chosen = _left_out(sheet)
    if not (car or number):
        return None
    return {"car": car, "number": number, "places": places, "chosen": chosen}


def _left_out(sheet: Sheet) -> str:
    """The joint of a part in the basket that fits nowhere."""
    places = {title: place for place, title in sheet.unserved}
    return next((places[item.place] for item in sheet.basket.items if item.left_out and item.place in places), "")


def _car(sheet: Sheet) -> dict[str, str]:
    """The car as far as an enquiry may keep it: platform, and variant where one is left."""
    platforms = {(row.maker, row.chassis) for row in sheet.variants}
    if len(platforms) != 1:
        return {}
    maker, chassis = platforms.pop()
    variant = {"variant": sheet.variants[0].code} if len(sheet.variants) == 1 else {}
    return {"maker": maker, "chassis": chassis, **variant}
