"""`equipment/`, `hazards/`, `materials/`, `technologies/`."""

from collections.abc import Mapping
from typing import ClassVar

from django.db.models import QuerySet

from api.filters.reference import EquipmentFilters, HazardFilters, MaterialFilters, TechnologyFilters
from api.lists import DetailEndpoint, ListEndpoint
from api.serializers.base import Row
from api.serializers.reference import (
    EquipmentSerializer,
    HazardSerializer,
    MaterialSerializer,
    TechnologySerializer,
)  # fmt: skip
from catalog.codes import Role
from catalog.models import Equipment, Hazard, Material, Technology


class Tools:
    row: ClassVar[type[Row]] = EquipmentSerializer

    def rows_for(self, role: Role) -> QuerySet[Equipment]:
        return Equipment.objects.all()


class EquipmentList(Tools, ListEndpoint):
    """Tools and consumables."""

    filters = EquipmentFilters
    order = ("code",)


class EquipmentDetail(Tools, DetailEndpoint):
    """A tool or something used up."""

    keys = {"equipment": "code"}
    what = "equipment"


class Hazards:
    row: ClassVar[type[Row]] = HazardSerializer

    def rows_for(self, role: Role) -> QuerySet[Hazard]:
        return Hazard.objects.all()


class HazardList(Hazards, ListEndpoint):
    """Dangers with their cautions."""

    filters = HazardFilters
    order = ("code",)


class HazardDetail(Hazards, DetailEndpoint):
    """A danger with its caution."""

    keys = {"hazard": "code"}
    what = "hazard"


class Materials:
    row: ClassVar[type[Row]] = MaterialSerializer
    least: ClassVar[Mapping[str, Role]] = {"GET": Role.DEVELOPMENT}

    def rows_for(self, role: Role) -> QuerySet[Material]:
        return Material.objects.all()


class MaterialList(Materials, ListEndpoint):
    """Materials of arms and bodies."""

    filters = MaterialFilters
    order = ("code",)


class MaterialDetail(Materials, DetailEndpoint):
    """A material of arms or bodies."""

    keys = {"material": "code"}
    what = "material"


class Technologies:
    row: ClassVar[type[Row]] = TechnologySerializer

    def rows_for(self, role: Role) -> QuerySet[Technology]:
        return Technology.objects.all()


class TechnologyList(Technologies, ListEndpoint):
    """Ways to build a joint."""

    filters = TechnologyFilters
    order = ("code",)


class TechnologyDetail(Technologies, DetailEndpoint):
    """A way to build a joint."""

    keys = {"technology": "code"}
    what = "technology"
