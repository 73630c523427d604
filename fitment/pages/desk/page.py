"""The sales desk: a caller on the line, one screen, the address is its state."""

from typing import Any

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render

from catalog.codes import Role
from catalog.roles import role_of
from catalog.vin import has_vin_shape
from fitment.errors import BadParameters, NoPossibleCar, Refusal
from fitment.pages.car.stating import chips_of
from fitment.pages.desk.enquiries import questions
from fitment.pages.desk.handout import answer_text, handout_parts, not_for_customers, open_question, public_rules
from fitment.pages.desk.heard import HeardText, said_of
from fitment.pages.desk.holds import holds_listed
from fitment.pages.desk.known_car import DeskQuestion, KnownCar, known_car, read_desk
from fitment.pages.desk.state import ANSWER_PATH, LOG_PATH, PATH, SAID, DeskState, desk_of, stated
from fitment.pages.job.context import choosing
from fitment.pages.shared.addresses import address
from fitment.pages.shared.page import page
from fitment.pages.shared.refusals import error_lines, facts_to_drop
from fitment.pages.shared.understood import LONGEST_TEXT
from fitment.query.parameters import without_empty
from fitment.readers.vocabulary import names
from fitment.services.fit.understanding import Understanding, understand
from fitment.text.cautions import USUAL_CAUTIONS
from fitment.text.lookup import VIN_INTO_BOX
from fitment.text.refusals import refusal_words

FEW = 6


@page(role=Role.SALES, methods="GET HEAD POST")
def desk(request: HttpRequest) -> HttpResponse:
    state = desk_of(without_empty(request.GET))
    if request.method == "POST":
        return _hear(request, state)
    if has_vin_shape(state.said):
        return _page(request, DeskState(state.query), errors=[("", VIN_INTO_BOX)], status=400)
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
        known = known_car(state, asked, Role.PUBLIC)
    except BadParameters as fault:
        return _page(request, state, errors=[("", not_for_customers(fault))], status=400)
    except Refusal:
        return _page(request, state)
    context = {
        "known": known,
        "rows": handout_parts(known),
        "job": known.job,
        "back": state.here,
        "units": asked.units,
        "choosing": _choosing(state, asked),
        "title_rows": [{"label": "Answer for", "value": known.subject, "wide": True}],
        "rules": public_rules(known),
        "question": open_question(known),
        "cautions": USUAL_CAUTIONS,
    }
    return render(request, "desk/answer.html", context)


def _hear(request: HttpRequest, state: DeskState) -> HttpResponse:
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


def _target(understood: Understanding, state: DeskState) -> str | None:
    if understood.several or understood.number is not None:
        return None
    if understood.part is not None:
        return state.with_part(understood.part)
    if understood.certain_car is not None:
        return address(PATH, stated(state.query, understood.certain_car))
    return None


def _page(
    request: HttpRequest,
    state: DeskState,
    *,
    said: HeardText | None = None,
    errors: list[tuple[str, str]] | None = None,
    status: int = 200,
) -> HttpResponse:
    called = names()
    context: dict[str, Any] = {
        "state": state,
        "said": said,
        "chips": chips_of(state.query, called, PATH, state.car),
        "new_caller": PATH,
        "log_path": address(LOG_PATH, state.query),
        "notice": request.session.pop("desk_notice", None),
    }
    faults = list(errors or ())
    known = asked = None
    try:
        asked = read_desk(state, role_of(request.user))
        if state.stated and not faults:
            known = known_car(state, asked, role_of(request.user))
    except BadParameters as fault:
        faults, status = faults + fault.errors, 400
    except NoPossibleCar as fault:
        context["drops"] = facts_to_drop(fault, state.query, called, PATH)
        status = 422
    except Refusal as fault:
        faults.append(("", refusal_words(fault)))
        status = 422
    context["errors"] = error_lines(faults, called, state.without)
    if known is not None and asked is not None:
        context |= _known(request, state, asked, known)
    elif not state.stated:
        context |= {"recent": questions(by_count=False, most=FEW), "holds": holds_listed()}
    context["basket_only"] = [(value, state.without_part(value)) for value in state.parts] if known is None else ()
    context["log"] = _log_form(said, known)
    return render(request, "desk/page.html", context, status=status)


def _known(request: HttpRequest, state: DeskState, asked: DeskQuestion, known: KnownCar) -> dict[str, Any]:
    text, not_public = "", ""
    if known.settled:
        try:
            public = read_desk(state, Role.PUBLIC)
            # Verdicts are the same for every role; only where parts not listed are placed may differ.
            unlisted = len(known.answers) > len(known.answer.answers)
            told = known_car(state, public, Role.PUBLIC) if unlisted else known
            text = answer_text(told, state, request)
        except BadParameters as fault:
            not_public = not_for_customers(fault)
    return {
        "known": known,
        "job": known.job,
        "text": text,
        "not_public": not_public,
        "print_href": address(ANSWER_PATH, state.query),
        "choosing": _choosing(state, asked) if state.parts else None,
        "car_href": address("/car/", state.car),
    }


def _choosing(state: DeskState, asked: DeskQuestion) -> dict[str, object] | None:
    return choosing(state.query, asked.request, asked.units) if asked.request is not None else None


def _log_form(said: HeardText | None, known: KnownCar | None) -> dict[str, Any] | None:
    """What one key would log: the number that was said, else the joint of a part in the basket that does not fit."""
    number = said.text if said is not None and said.number is not None and said.number["loggable"] else ""
    car: dict[str, str] = {}
    places: list[tuple[str, str]] = []
    chosen = ""
    if known is not None:
        car = _car(known)
        places = list(known.unserved)
        chosen = _left_out(known)
    if not (car or number):
        return None
    return {"car": car, "number": number, "places": places, "chosen": chosen}


def _left_out(known: KnownCar) -> str:
    """The joint of a part in the basket that fits nowhere."""
    places = {title: place for place, title in known.unserved}
    return next((places[item.place] for item in known.basket.items if item.left_out and item.place in places), "")


def _car(known: KnownCar) -> dict[str, str]:
    """The car as far as an enquiry may keep it: platform, and variant where one is left."""
    platforms = {(row.maker, row.chassis) for row in known.variants}
    if len(platforms) != 1:
        return {}
    maker, chassis = platforms.pop()
    variant = {"variant": known.variants[0].code} if len(known.variants) == 1 else {}
    return {"maker": maker, "chassis": chassis, **variant}
