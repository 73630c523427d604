"""Ways from a car or a job to the page on which a test fit, a size or a job time is recorded."""

from collections.abc import Mapping

from django.urls import reverse

from catalog.codes import OF_CAR, Role
from fitment.pages.shared.addresses import Query, address


def is_of_car(name: str) -> bool:
    """Whether a parameter states the car."""
    return name in OF_CAR or name.startswith(("option.", "component."))


def record_address(kind: str, query: Query, viewer: Role, said: Mapping[str, list[str]] | None = None) -> str:
    """The page that records something on the car of a query, as far as it is stated; empty for those who may not."""
    if not viewer.at_least(Role.DEVELOPMENT):
        return ""
    car = {name: values for name, values in query.items() if is_of_car(name)}
    return address(reverse("record"), {**car, **(said or {}), "kind": [kind]})
