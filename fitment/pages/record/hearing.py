"""What was written or scanned into the box of the record page: a car, or the number on a joint."""

from dataclasses import dataclass

from django.http import HttpRequest

from catalog.roles import role_of
from fitment.errors import BadParameters
from fitment.pages.record.kinds import Kind
from fitment.pages.record.subject import Offer, Subject
from fitment.pages.start.hearing import Hearing, hearing
from fitment.pages.start.page import LONGEST_TEXT
from fitment.readers.names import names
from fitment.services.fit.understanding import Understanding, understand
from fitment.services.lookup.numbers import look_up

HEAR = "hear"


@dataclass(frozen=True, slots=True)
class Heard:
    """Where a text of one meaning leads (`target`), or what was understood of it and what to tap instead."""

    text: str
    target: str = ""
    hearing: Hearing | None = None
    offers: tuple[Offer, ...] = ()


def heard_of(request: HttpRequest, kind: Kind, subject: Subject) -> Heard:
    text = request.POST.get("q", "").strip()[:LONGEST_TEXT]
    viewer = role_of(request.user)
    components = _components(text, request) if kind.name == "measurement" else []
    if len(components) == 1:
        return Heard(text, subject.at(component=components[0]))
    understood = understand(text=text, viewer=viewer)
    if understood.certain_car is not None and not components:
        return Heard(text, subject.with_car(understood.certain_car))
    return _offered(text, subject, understood, components)


def _offered(text: str, subject: Subject, understood: Understanding, components: list[str]) -> Heard:
    said = hearing(understood, text, car_address=subject.with_car)
    titles = names().components
    offers = [Offer(subject.at(component=code), code, titles.get(code, "")) for code in components]
    offers += [Offer(offer.href, offer.label) for offer in said.offers[-len(understood.cars) :] if understood.cars]
    return Heard("" if understood.private else text, hearing=said, offers=tuple(offers))


def _components(text: str, request: HttpRequest) -> list[str]:
    """The original joints that a text names: by their code, or by a number that stands for them."""
    code = text.upper()
    if code in names().components:
        return [code]
    try:
        found = look_up(number=text, issuer=None, viewer=role_of(request.user))
    except BadParameters:
        return []
    targets = (target.component for match in found.matches for target in match.targets)
    return list(dict.fromkeys(code for code in targets if code is not None))
