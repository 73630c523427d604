"""`makers/`, `platforms/`, `options/`, `variants/`."""

from typing import ClassVar

from django.db.models import QuerySet

from api.filters.vehicles import MakerFilters, OptionFilters, PlatformFilters, VariantFilters
from api.lists import DetailEndpoint, ListEndpoint
from api.serializers.base import Row
from api.serializers.vehicles import MakerSerializer, OptionSerializer, PlatformSerializer, VariantSerializer
from catalog.codes import Role
from catalog.models import Maker, Option, Platform, Variant


class Makers:
    row: ClassVar[type[Row]] = MakerSerializer

    def rows_for(self, role: Role) -> QuerySet[Maker]:
        return Maker.objects.all()


class MakerList(Makers, ListEndpoint):
    """Vehicle manufacturers."""

    filters = MakerFilters
    order = ("code",)


class MakerDetail(Makers, DetailEndpoint):
    """A vehicle manufacturer."""

    keys = {"maker": "code"}
    what = "maker"


class Platforms:
    row: ClassVar[type[Row]] = PlatformSerializer

    def rows_for(self, role: Role) -> QuerySet[Platform]:
        return Platform.objects.select_related("maker", "predecessor")


class PlatformList(Platforms, ListEndpoint):
    """Chassis codes of makers."""

    filters = PlatformFilters
    order = ("maker__code", "chassis")


class PlatformDetail(Platforms, DetailEndpoint):
    """A chassis code of a maker."""

    keys = {"maker": "maker__code", "chassis": "chassis"}
    what = "platform"


class Options:
    row: ClassVar[type[Row]] = OptionSerializer

    def rows_for(self, role: Role) -> QuerySet[Option]:
        return Option.objects.all()


class OptionList(Options, ListEndpoint):
    """Factory equipment that matters to fit."""

    filters = OptionFilters
    order = ("code",)


class OptionDetail(Options, DetailEndpoint):
    """A piece of factory equipment."""

    keys = {"option": "code"}
    what = "option"


class Variants:
    row: ClassVar[type[Row]] = VariantSerializer

    def rows_for(self, role: Role) -> QuerySet[Variant]:
        rows = Variant.objects.select_related("platform__maker", "front_axle", "rear_axle")
        return rows.prefetch_related("option_rows__option")


class VariantList(Variants, ListEndpoint):
    """Cars as their makers sold them."""

    filters = VariantFilters
    order = ("code",)


class VariantDetail(Variants, DetailEndpoint):
    """One car as its maker sold it."""

    keys = {"variant": "code"}
    what = "variant"
