"""`topologies/`, `locations/`, `axles/`."""

from django.db.models import Q

from api.resources.filters import Narrow, Rows, by, choice, of_key
from api.resources.resource import Inside, Resource
from api.resources.rows import TEXT, FactMember
from catalog.codes import End, Role
from catalog.models import Variant
from catalog.sheets import components, suspension, vehicles

END_OF_TOPOLOGY = FactMember(
    "end", lambda row, role: row.topology.end, TEXT | {"description": "The end of the car."}, joins=("topology",)
)


def _of_cars(path: str) -> Narrow:
    """Axles of the cars with a value at the end of the path."""

    def narrow(rows: Rows, value: str, role: Role) -> Rows:
        cars = Variant.objects.filter(**{path: value})
        return rows.filter(Q(pk__in=cars.values("front_axle")) | Q(pk__in=cars.values("rear_axle")))

    return narrow


TOPOLOGIES = Resource(
    suspension.TOPOLOGIES,
    "A suspension layout of one end of the car.",
    "Suspension layouts.",
    detail="A suspension layout with its joints.",
    filters=(
        of_key("location", "Topologies that have this location.", suspension.LOCATIONS, "locations__code"),
        of_key("axle", "The topology of this axle.", suspension.AXLES, "axles__code"),
    ),
    inside=(Inside(suspension.LOCATIONS, "A joint of this topology.", row="LocationOfTopology", href=True),),
)

LOCATIONS = Resource(
    suspension.LOCATIONS,
    "A joint of a topology.",
    "Joints of topologies.",
    members={"topology": END_OF_TOPOLOGY},
    filters=(
        choice("end", "The end of the car.", by("topology__end"), End),
        of_key("axle", "The locations of this axle.", suspension.AXLES, "topology__axles__code"),
        of_key("component", "Where this component sits.", components.COMPONENTS, "joints__component__code"),
    ),
)

AXLES = Resource(
    suspension.AXLES,
    "One suspension execution.",
    "Suspension executions.",
    detail="One suspension execution with its joints and the ways in to them.",
    filters=(
        of_key("location", "Axles that have this location.", suspension.LOCATIONS, "topology__locations__code"),
        of_key("component", "Axles this component sits on.", components.COMPONENTS, "joints__component__code"),
        of_key("variant", "The axles of this car.", vehicles.VARIANTS, _of_cars("code")),
        of_key("chassis", "Axles of cars of this chassis.", vehicles.PLATFORMS, _of_cars("platform__chassis")),
        of_key("maker", "Axles of cars of this maker.", vehicles.MAKERS, _of_cars("platform__maker__code")),
    ),
    inside=(
        Inside(suspension.AXLE_LOCATIONS, "What the axle says of one location: degrees each way, newtons."),
        Inside(suspension.JOINTS, "An original joint at a location, in a window and under conditions."),
        Inside(suspension.WAYS, "One way in to a joint."),
    ),
)

RESOURCES = (TOPOLOGIES, LOCATIONS, AXLES)
