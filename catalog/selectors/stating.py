"""What can be stated of a car: the values that its platform leaves."""

from collections.abc import Mapping
from dataclasses import dataclass

from catalog.models import Option, Variant

_COLUMNS = {
    "maker": "platform__maker__code", "chassis": "platform__chassis", "designation": "designation", "body": "body",
    "engine": "engine", "drivetrain": "drivetrain", "steering": "steering", "market": "market",
}  # fmt: skip
_OF_PLATFORM = ("designation", "body", "engine", "drivetrain", "steering", "market")


@dataclass(frozen=True, slots=True)
class StatableFacts:
    """Values by attribute, sorted; options as (code, title)."""

    values: Mapping[str, tuple[str, ...]]
    options: tuple[tuple[str, str], ...]


def statable_facts(*, maker: str, chassis: str) -> StatableFacts:
    """The values to choose from once maker and chassis are (partly) stated; options only of a stated chassis.

    Makers are all offered, chassis those of the maker: so either can be changed. Three queries at most.
    """
    cars = Variant.objects.all()
    if maker:
        cars = cars.filter(platform__maker__code=maker)
    of_chassis = cars.filter(platform__chassis=chassis) if chassis else cars
    rows = set(of_chassis.values_list(*(_COLUMNS[name] for name in _OF_PLATFORM)).distinct())
    values = {name: tuple(sorted({row[at] for row in rows})) for at, name in enumerate(_OF_PLATFORM)}
    places = set(Variant.objects.values_list("platform__maker__code", "platform__chassis").distinct())
    values["maker"] = tuple(sorted({place[0] for place in places}))
    values["chassis"] = tuple(sorted({place[1] for place in places if maker in ("", place[0])}))
    options: tuple[tuple[str, str], ...] = ()
    if chassis:
        found = Option.objects.filter(variant_rows__variant__in=of_chassis).distinct().order_by("group", "title")
        options = tuple(found.values_list("code", "title"))
    return StatableFacts(values, options)
