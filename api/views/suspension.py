"""`topologies/`, `locations/`, `axles/`."""

from typing import ClassVar

from django.db.models import Prefetch, QuerySet

from api.filters.suspension import AxleFilters, LocationFilters, TopologyFilters
from api.lists import DetailEndpoint, ListEndpoint
from api.serializers.base import Row
from api.serializers.suspension import (
    AxleDetailSerializer,
    AxleSerializer,
    LocationSerializer,
    TopologyDetailSerializer,
    TopologySerializer,
)  # fmt: skip
from catalog.codes import Role
from catalog.models import Axle, AxleLocation, Joint, Location, Topology, Way


class TopologyList(ListEndpoint):
    """Suspension layouts."""

    row = TopologySerializer
    filters = TopologyFilters
    order = ("code",)

    def rows_for(self, role: Role) -> QuerySet[Topology]:
        return Topology.objects.all()


class TopologyDetail(DetailEndpoint):
    """A suspension layout with its joints."""

    row = TopologyDetailSerializer
    keys = {"topology": "code"}
    what = "topology"

    def rows_for(self, role: Role) -> QuerySet[Topology]:
        locations = Location.objects.select_related("topology").order_by("code")
        return Topology.objects.prefetch_related(Prefetch("locations", locations))


class Locations:
    row: ClassVar[type[Row]] = LocationSerializer

    def rows_for(self, role: Role) -> QuerySet[Location]:
        return Location.objects.select_related("topology")


class LocationList(Locations, ListEndpoint):
    """Joints of topologies."""

    filters = LocationFilters
    order = ("topology__code", "code")


class LocationDetail(Locations, DetailEndpoint):
    """A joint of a topology."""

    keys = {"topology": "topology__code", "location": "code"}
    what = "location"


class AxleList(ListEndpoint):
    """Suspension executions."""

    row = AxleSerializer
    filters = AxleFilters
    order = ("code",)

    def rows_for(self, role: Role) -> QuerySet[Axle]:
        return Axle.objects.select_related("topology")


class AxleDetail(DetailEndpoint):
    """A suspension execution with its joints and the ways in to them."""

    row = AxleDetailSerializer
    keys = {"axle": "code"}
    what = "axle"

    def rows_for(self, role: Role) -> QuerySet[Axle]:
        joints = Joint.objects.select_related("location", "component").order_by(
            "location__code", "component__code", "built_from", "conditions"
        )
        places = AxleLocation.objects.select_related("location").order_by("location__code")
        ways = Way.objects.select_related("location").prefetch_related("operation_rows__operation")
        return Axle.objects.select_related("topology").prefetch_related(
            Prefetch("axle_locations", places),
            Prefetch("joints", joints),
            Prefetch("ways", ways.order_by("location__code", "code")),
        )
