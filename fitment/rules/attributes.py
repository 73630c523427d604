"""What can be asked about a car, in the order of the contract, and which of it has two answers. Pure."""

from collections.abc import Collection
from dataclasses import dataclass

from fitment.domain.facts import Place
from fitment.rules.places import PlaceOccupants
from fitment.rules.possible_cars import CarSpace

TEXTS = ("maker", "chassis", "steering", "body", "drivetrain", "engine", "designation", "market")
PLATFORM_ORDER = (
    "maker", "chassis", "body", "engine", "designation", "drivetrain", "steering", "market", "built",
)  # fmt: skip


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
            return TEXTS.index(self.name), "", ("", "")
        return len(TEXTS) + ("built", "option", "component", "variant").index(self.kind), self.option, self.place


BUILT = Attribute("built", "built")
VARIANT = Attribute("variant", "variant")


def text(name: str) -> Attribute:
    return Attribute("text", name)


def option(code: str) -> Attribute:
    return Attribute("option", f"option.{code}", option=code)


def component(place: Place) -> Attribute:
    return Attribute("component", f"component.{place[0]}.{place[1]}", place=place)


def with_two_answers(
    space: CarSpace, occupants: dict[Place, PlaceOccupants], skipped: Collection[str]
) -> list[Attribute]:
    """The attributes but `built` that have two answers among the possible cars and were not skipped, in order."""
    found = [text(name) for name in TEXTS if len({getattr(region.variant, name) for region in space}) > 1]
    yes, no = _option_answers(space)
    found += [option(code) for code in space.bits.codes if space.bits.bit(code) & yes & no]
    found += [component(place) for place in sorted(occupants) if occupants[place].choice]
    return sorted((one for one in found if one.name not in skipped), key=lambda one: one.order)


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
