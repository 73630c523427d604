"""What pages call the facts: codes -> titles, parameters -> words."""

from collections.abc import Mapping
from dataclasses import dataclass

from catalog.models import Component, Location, Maker, Option
from fitment.readers.editions import kept_for_edition

_PARAMETERS = {
    "variant": "Variant", "maker": "Maker", "chassis": "Chassis", "designation": "Designation", "body": "Body",
    "engine": "Engine", "drivetrain": "Drivetrain", "steering": "Steering", "market": "Market", "built": "Built",
    "registered": "First registered", "model_year": "Model year", "part": "Part", "location": "Location", "end": "End",
    "duty": "Duty", "technology": "Technology", "skip": "Not known", "equipment": "Equipment", "side": "Side",
    "include": "Include",
}  # fmt: skip
_ENDS = {"front": "front axle", "rear": "rear axle"}
_LINK_ENDS = {
    "chassis": "to the body", "subframe": "to the subframe", "upright": "to the upright", "strut": "to the strut",
    "link": "to another link",
}  # fmt: skip
_DUTIES = {"road": "road", "road_and_track": "road and track", "competition": "competition only, not for the road"}
_STATUSES = {
    "concept": "concept", "prototype": "prototype", "released": "released", "withdrawn": "no longer made",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Names:
    """Titles by code; `locations` by (end, code)."""

    makers: Mapping[str, str]
    options: Mapping[str, str]
    components: Mapping[str, str]
    locations: Mapping[tuple[str, str], str]

    def parameter(self, name: str) -> str:
        """What a parameter of a question is called."""
        kind, _, rest = name.partition(".")
        if kind == "option":
            return self.options.get(rest, rest)
        if kind == "component":
            end, _, location = rest.partition(".")
            return f"Original joint, {self.location(end, location)}"
        return _PARAMETERS.get(name, name)

    def value(self, name: str, value: str) -> str:
        """What the value of a parameter is called."""
        if name == "maker":
            return self.makers.get(value, value)
        if name == "steering" and value in ("left", "right"):
            return f"{value}-hand drive"
        if name.startswith("component."):
            return self.components.get(value, value)
        if name == "skip":
            return self.parameter(value)
        if name == "duty":
            return duty_words(value)
        if name == "end":
            return end_words(value)
        return value

    def fact(self, name: str, value: str) -> str:
        """A stated fact in a few words."""
        if name.startswith("option."):
            return f"{'with' if value == 'yes' else 'without'} {self.parameter(name)}"
        return f"{self.parameter(name).lower()} {self.value(name, value)}"

    def location(self, end: str, code: str) -> str:
        """A joint's title at an end of the car."""
        return self.locations.get((end, code), code)


@kept_for_edition(entries=1)
def names() -> Names:
    """Titles of the catalogue (four queries)."""
    locations = Location.objects.order_by("topology__code").values_list("topology__end", "code", "title")
    return Names(
        makers=dict(Maker.objects.values_list("code", "title")),
        options=dict(Option.objects.values_list("code", "title")),
        components=dict(Component.objects.values_list("code", "title")),
        locations={(end, code): title for end, code, title in locations},
    )


def fact_words(name: str, value: str) -> str:
    return names().fact(name, value)


def end_words(end: str | None) -> str:
    return _ENDS.get(end or "", end or "")


def link_end_words(link_end: str) -> str:
    return _LINK_ENDS.get(link_end, link_end)


def duty_words(duty: str) -> str:
    return _DUTIES.get(duty, duty)


def status_words(status: str) -> str:
    return _STATUSES.get(status, status)
