"""What was last said on the desk and was not simply taken over: a number, several meanings, or words not known."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any

from catalog.codes import End, Near, Role
from catalog.selectors.cars import variants_by_code
from fitment.answers.lookup import LookUp, Match
from fitment.errors import BadParameters
from fitment.pages.desk.state import PATH, SAID, DeskState, stated
from fitment.pages.number.match import match_view, stamp_view
from fitment.pages.shared.addresses import address, number_address
from fitment.pages.shared.understood import MeaningLink, UnderstoodView, understood_view
from fitment.readers.vocabulary import names
from fitment.services.fit.understanding import Understanding
from fitment.services.lookup.numbers import look_up
from fitment.text.names import Names

MOST_OFFERS = 9


@dataclass(frozen=True, slots=True)
class HeardText:
    """`heard`: words, offers and what was not understood; `number`: the look-up, where it is one."""

    text: str
    heard: UnderstoodView | None = None
    number: dict[str, Any] | None = None


def said_of(understood: Understanding, desk: DeskState, text: str, viewer: Role) -> HeardText:
    """The account of a text that did not say one thing of the car for certain."""

    def on_the_desk(query: dict[str, list[str]]) -> str:
        return address(PATH, stated(desk.query, query))

    number = None
    if understood.number is not None or understood.looks_like_number:
        number = _number(text, desk, viewer)
    if number is not None and not understood.several and not understood.stamps:
        return HeardText(text, None, number)
    heard = understood_view(understood, text, car_address=on_the_desk)
    if understood.part is not None:
        basket = MeaningLink(desk.with_part(understood.part), f"{understood.part} into the basket")
        heard = replace(heard, offers=(basket, *heard.offers))
    return HeardText("" if understood.private else text, heard, number)


def _number(text: str, desk: DeskState, viewer: Role) -> dict[str, Any] | None:
    try:
        found = look_up(number=text, issuer=None, viewer=viewer)
    except BadParameters:
        return None
    called = names()
    return {
        "asked": found.asked,
        "href": number_address(text),
        "matches": [match_view(match, position) for position, match in enumerate(found.matches, start=1)],
        "stamp": stamp_view(found.stamp, staff=True) if found.stamp is not None else None,
        "near": [
            (
                address(PATH, desk.query, adding={SAID: near.number}),
                near.number,
                f"{near.issuer}: {Near.word_of(near.by)}",
            )
            for near in found.near
        ],
        "offers": _offers(found, desk, called)[:MOST_OFFERS],
        "loggable": found.stamp is None and not any(match.targets or match.fasteners for match in found.matches),
    }


def _offers(found: LookUp, desk: DeskState, called: Names) -> list[MeaningLink]:
    """What the number would state of the car: the joint it has, and the chassis where none is known yet."""
    offers: dict[str, MeaningLink] = {}
    for match in found.matches:
        for query, label in _statements(match, desk, called):
            href = address(PATH, stated(desk.query, query))
            offers.setdefault(href, MeaningLink(href, label))
        for target in match.targets:
            if target.part is not None:
                href = desk.with_part(target.part)
                offers.setdefault(href, MeaningLink(href, f"{target.part} into the basket"))
    return list(offers.values())


def _statements(match: Match, desk: DeskState, called: Names) -> Iterable[tuple[dict[str, list[str]], str]]:
    variants = {
        row.code: row for row in variants_by_code(codes={car.variant for row in match.cars for car in row.variants})
    }
    for row in match.cars:
        joint = {f"component.{row.end}.{row.location}": [row.component]}
        place = f"{row.component} at {called.location(row.end, row.location).lower()}, {End.word_of(row.end)}"
        if desk.stated:
            yield joint, f"The car has {place}"
            continue
        for maker, chassis in sorted(
            {(variants[car.variant].maker, variants[car.variant].chassis) for car in row.variants}
        ):
            yield {"maker": [maker], "chassis": [chassis], **joint}, f"A {chassis} with {place}"
