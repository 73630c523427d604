"""Lists of topologies, locations and axles."""

from django.db.models import Q, QuerySet

from api.filters.base import Choice, Filters, Word, YesNo, rows_of
from catalog.codes import End, LinkEnd, LinkRole
from catalog.models import Axle, Component, Location, Maker, Platform, Topology, Variant

topologies, locations, axles, components = map(rows_of, (Topology, Location, Axle, Component))
variants, platforms, makers = map(rows_of, (Variant, Platform, Maker))


class TopologyFilters(Filters):
    topology = Word("code", topologies, text="The topology's code.")
    end = Choice("end", End.values, text="The end of the car.")
    location = Word("locations__code", locations, text="Topologies that have this location.", distinct=True)
    axle = Word("axles__code", axles, text="The topology of this axle.")


class LocationFilters(Filters):
    topology = Word("topology__code", topologies, text="Its topology.")
    location = Word("code", locations, text="The location's code.")
    end = Choice("topology__end", End.values, text="The end of the car.")
    link = Word("link", locations, "link", text="Its link.")
    link_end = Choice("link_end", LinkEnd.values, text="Which end of the link.")
    role = Choice("role", LinkRole.values, text="What it mostly carries.")
    in_range = YesNo("in_range", text="Whether our range covers it.")
    axle = Word("topology__axles__code", axles, text="The locations of this axle.")
    component = Word("joints__component__code", components, text="Where this component sits.", distinct=True)


class AxleFilters(Filters):
    axle = Word("code", axles, text="The axle's code.")
    end = Choice("end", End.values, text="The end of the car.")
    topology = Word("topology__code", topologies, text="Its topology.")
    location = Word("topology__locations__code", locations, text="Axles that have this location.")
    component = Word("joints__component__code", components, text="Axles this component sits on.", distinct=True)
    variant = Word("code", variants, text="The axles of this car.", method="of_variant")
    chassis = Word("code", platforms, "chassis", text="Axles of cars of this chassis.", method="of_chassis")
    maker = Word("code", makers, text="Axles of cars of this maker.", method="of_maker")

    def of_variant(self, rows: QuerySet[Axle], name: str, value: str) -> QuerySet[Axle]:
        return _of(rows, Variant.objects.filter(code=value))

    def of_chassis(self, rows: QuerySet[Axle], name: str, value: str) -> QuerySet[Axle]:
        return _of(rows, Variant.objects.filter(platform__chassis=value))

    def of_maker(self, rows: QuerySet[Axle], name: str, value: str) -> QuerySet[Axle]:
        return _of(rows, Variant.objects.filter(platform__maker__code=value))


def _of(rows: QuerySet[Axle], cars: QuerySet[Variant]) -> QuerySet[Axle]:
    return rows.filter(Q(pk__in=cars.values("front_axle")) | Q(pk__in=cars.values("rear_axle")))
