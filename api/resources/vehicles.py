"""`makers/`, `platforms/`, `options/`, `variants/`."""

from django.db.models import Q

from api.parameters import Parameter
from api.resources.filters import Filter, Rows, built, by, of_key
from api.resources.resource import Resource
from catalog.codes import Role
from catalog.models import Maker
from catalog.nearest import unknown
from catalog.sheets import suspension, vehicles


def _identifier(text: str, role: Role) -> list[str]:
    known = {code for codes in Maker.objects.values_list("wmi", flat=True) for code in codes}
    if text not in known:
        raise ValueError(unknown("identifier", text, known))
    return [text]


def _with_axle(rows: Rows, code: str, role: Role) -> Rows:
    return rows.filter(Q(front_axle__code=code) | Q(rear_axle__code=code))


MAKERS = Resource(
    vehicles.MAKERS,
    "A vehicle manufacturer.",
    "Vehicle manufacturers.",
    filters=(
        of_key("chassis", "Makers of this chassis.", vehicles.PLATFORMS, "platforms__chassis"),
        Filter(Parameter("wmi", "A world manufacturer identifier (ISO 3780)."), by("wmi__contains"), _identifier),
    ),
)

PLATFORMS = Resource(
    vehicles.PLATFORMS,
    "A chassis code of a maker.",
    "Chassis codes of makers.",
    filters=(of_key("variant", "The platform of this car.", vehicles.VARIANTS, "variants__code"), built()),
    pattern="platforms/<str:maker>/<path:chassis>/",
)

OPTIONS = Resource(
    vehicles.OPTIONS,
    "Factory equipment that matters to fit.",
    "Factory equipment that matters to fit.",
    filters=(of_key("variant", "Options that this car can have.", vehicles.VARIANTS, "variant_rows__variant__code"),),
)

VARIANTS = Resource(
    vehicles.VARIANTS,
    "One car as the maker sold it; masses in kg, lengths in mm.",
    "Cars as their makers sold them.",
    filters=(
        built(),
        of_key("axle", "Either axle.", suspension.AXLES, _with_axle),
        of_key(
            "option", "Cars that can have this option, or always have.", vehicles.OPTIONS, "option_rows__option__code"
        ),
    ),
)

RESOURCES = (MAKERS, PLATFORMS, OPTIONS, VARIANTS)
