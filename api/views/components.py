"""`components/`, `numbers/`."""

from collections.abc import Mapping
from typing import Any

from django.db.models import Prefetch, QuerySet
from rest_framework.request import Request

from api.addresses import address
from api.endpoint import ReadEndpoint
from api.filters.components import ComponentFilters, NumberFilters
from api.lists import DetailEndpoint, ListEndpoint
from api.parameters import checked, control_sign
from api.problems import NotFound
from api.schema import detailed
from api.serializers.components import (
    ComponentDetailSerializer,
    ComponentSerializer,
    NumberDetailSerializer,
    NumberSerializer,
)  # fmt: skip
from catalog.codes import Role
from catalog.models import Component, Joint, Number
from catalog.selectors.visible import visible_numbers


class ComponentList(ListEndpoint):
    """Original joints."""

    row = ComponentSerializer
    filters = ComponentFilters
    order = ("code",)

    def rows_for(self, role: Role) -> QuerySet[Component]:
        return Component.objects.select_related("arm_material")


class ComponentDetail(DetailEndpoint):
    """An original joint with the places where it sits."""

    row = ComponentDetailSerializer
    keys = {"component": "code"}
    what = "component"

    def rows_for(self, role: Role) -> QuerySet[Component]:
        places = Joint.objects.select_related("axle", "location").order_by("axle__code", "location__code")
        rows = Component.objects.select_related("arm_material")
        return rows.prefetch_related(
            Prefetch("joints", places.distinct("axle__code", "location__code"), to_attr="places")
        )


def numbers_for(role: Role) -> QuerySet[Number]:
    return visible_numbers(role).select_related("component", "part", "revision__part")


class NumberList(ListEndpoint):
    """Part numbers, a row for each thing a number stands for."""

    row = NumberSerializer
    filters = NumberFilters
    order = ("issuer", "normal", "pk")
    order_kinds = (str, str, int)

    def rows_for(self, role: Role) -> QuerySet[Number]:
        return numbers_for(role)


class NumberDetail(ReadEndpoint):
    """A part number with all that it stands for."""

    answers = {"GET": detailed(NumberDetailSerializer, "NumberDetailAlone")}

    def read(self, request: Request, **keys: str) -> list[Number]:
        checked(request.GET, ())
        issuer, normal = keys["issuer"], keys["normal"]
        known = not control_sign(issuer + normal)
        found = list(numbers_for(self.role).filter(issuer=issuer, normal=normal).order_by("pk")) if known else []
        if not found:
            raise NotFound("number", f"{issuer} {normal}" if known else "")
        return found

    def compute(self, asked: list[Number]) -> Mapping[str, Any]:
        first = asked[0]
        number = {
            "issuer": first.issuer,
            "number": first.number,
            "normal": first.normal,
            "kind": first.kind,
            "href": address("numbers", first.issuer, first.normal),
            "targets": [row for row in asked if row.component_id or row.part_id or row.revision_id],
        }
        return dict(NumberDetailSerializer(number, context={"role": self.role}).data)
