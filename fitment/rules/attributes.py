"""What can be asked about a car, in the order of the contract, and which of it has two answers. Pure."""

from collections.abc import Mapping
from dataclasses import dataclass

from catalog.codes import ASKED_ORDER, CarAttribute, DayAttribute
from fitment.domain.facts import Place, Variant
from fitment.rules.places import PlaceOccupants
from fitment.rules.possible_cars import CarSpace


@dataclass(frozen=True, slots=True)
class Attribute:
    """Something to ask: `kind` is text, built, option, component or variant."""

    kind: str
    name: str
    option: str = ""
    place: Place = ("", "")

    @property
    def order(self) -> tuple[int, str, Place]:
        """The order in which equals are asked."""
        if self.kind == "text":
            return ASKED_ORDER.index(self.name), "", ("", "")
        return len(ASKED_ORDER) + ("built", "option", "component", "variant").index(self.kind), self.option, self.place

    def of(self, variant: Variant) -> str:
        """The value that a variant itself has, of a text or `variant`."""
        return variant.value(self.name)


BUILT = Attribute("built", DayAttribute.BUILT)
VARIANT = Attribute("variant", CarAttribute.VARIANT)


def text(name: str) -> Attribute:
    return Attribute("text", name)


def option(code: str) -> Attribute:
    return Attribute("option", f"option.{code}", option=code)


def component(place: Place) -> Attribute:
    return Attribute("component", f"component.{place[0]}.{place[1]}", place=place)


def with_two_answers(space: CarSpace, occupants: Mapping[Place, PlaceOccupants]) -> list[Attribute]:
    """The attributes but `built` that have two answers among the possible cars, in order."""
    found = []
    if len(space) > 1:
        found = [text(name) for name in ASKED_ORDER if len({region.variant.value(name) for region in space}) > 1]
    yes, no = _option_answers(space)
    found += [option(code) for code in space.bits.codes if space.bits.bit(code) & yes & no]
    return found + [component(place) for place in sorted(occupants) if occupants[place].choice]


def _option_answers(space: CarSpace) -> tuple[int, int]:
    """The options that some possible car has, and those that some possible car lacks."""
    every = space.bits.mask(space.bits.codes)
    yes = no = 0
    for region in space:
        free = 0
        yes |= region.fixed
        for group in region.groups:
            free |= group.bits
            for value in region.allowed(group):
                yes |= value
                no |= group.bits & ~value
        no |= every & ~(region.fixed | free)
    return yes, no
