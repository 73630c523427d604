"""`operations/`."""

from django.db.models import Prefetch, QuerySet

from api.filters.procedures import OperationFilters
from api.lists import DetailEndpoint, ListEndpoint
from api.serializers.procedures import OperationDetailSerializer, OperationSerializer
from catalog.codes import Role
from catalog.models import Fastener, Operation


def operations() -> QuerySet[Operation]:
    return Operation.objects.select_related("axle").prefetch_related(
        "need_rows__needed",
        "entail_rows__entailed",
        "equipment_rows__equipment",
        "consumable_rows__consumable",
        "hazard_rows__hazard",
    )


class OperationList(ListEndpoint):
    """Steps of opening cars."""

    row = OperationSerializer
    filters = OperationFilters
    order = ("axle__code", "code")

    def rows_for(self, role: Role) -> QuerySet[Operation]:
        return operations()


class OperationDetail(DetailEndpoint):
    """A step of opening a car with its fasteners."""

    row = OperationDetailSerializer
    keys = {"axle": "axle__code", "operation": "code"}
    what = "operation"

    def rows_for(self, role: Role) -> QuerySet[Operation]:
        return operations().prefetch_related(Prefetch("fasteners", Fastener.objects.order_by("code")))
