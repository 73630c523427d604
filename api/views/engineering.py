"""`components/{component}/matches/` and `axles/{axle}/loads/`."""

from collections.abc import Mapping
from typing import Any

from rest_framework.request import Request

from api.codec import encode
from api.endpoint import ReadEndpoint
from api.parameters import Errors, Parameter, checked, control_sign, one
from api.problems import NotFound
from api.schema import Answered
from catalog.codes import Role
from catalog.models import Axle, Component, Location, Variant
from catalog.nearest import unknown
from fitment.domain.interfaces import AxlePlace
from fitment.services.coverage.engineering import (
    AxleLoads,
    ComponentMatches,
    ModelledLoads,
    NotThere,
    UnmodelledLoads,
    axle_components,
    axle_end,
    axle_loads,
    component_matches,
)


class Matches(ReadEndpoint):
    """Every released or prototype revision against the interface of a component, feature by feature.

    Estimates for comparing designs, not a proof of strength.
    """

    minimum_roles = {"GET": Role.DEVELOPMENT}
    parameters = (
        Parameter("axle", "Only what this axle asks; with `location`."),
        Parameter("location", "Only what this location asks; with `axle`."),
    )
    answers = {"GET": Answered(ComponentMatches)}

    def read(self, request: Request, **keys: str) -> ComponentMatches:
        errors = Errors()
        values = checked(request.GET, self.parameters, errors)
        code = keys["component"]
        if control_sign(code) or not Component.objects.filter(code=code).exists():
            errors.stop()
            raise NotFound("component", "" if control_sign(code) else code)
        place = _place(one(values, "axle"), one(values, "location"), errors)
        errors.stop()
        try:
            found = component_matches(component=code, place=place)
        except NotThere as wrong:
            known = ", ".join(f"{there.axle} {there.location}" for there in wrong.places) or "nowhere"
            errors.add("location", f"the component does not sit there; it sits at: {known}")
            errors.stop()
            raise
        if found is None:
            raise NotFound("component", code)
        return found

    def compute(self, asked: ComponentMatches) -> Mapping[str, Any]:
        return encode(asked, self.role)


def _place(axle: str | None, location: str | None, errors: Errors) -> AxlePlace | None:
    if axle is None and location is None:
        return None
    if axle is None or location is None:
        given, lacking = ("location", "axle") if axle is None else ("axle", "location")
        if not errors.found:
            errors.add(lacking, f"is needed beside {given}; give both or none")
        return None
    topology = Axle.objects.filter(code=axle).values_list("topology", flat=True).first()
    if topology is None:
        errors.add("axle", unknown("axle", axle, Axle.objects.values_list("code", flat=True)))
        return None
    codes = list(Location.objects.filter(topology=topology).values_list("code", flat=True))
    if location not in codes:
        errors.add("location", unknown("location", location, codes))
        return None
    return AxlePlace(axle, location)


class Loads(ReadEndpoint):
    """Forces, compliance and articulation of the left corner of an axle.

    Beside the parameters named, `component.END.LOCATION` sets the component at a location. Estimates for comparing
    designs, not a proof of strength.
    """

    minimum_roles = {"GET": Role.DEVELOPMENT}
    parameters = (Parameter("variant", "The car; by default the heaviest with all figures."),)
    answers = {"GET": Answered(ModelledLoads | UnmodelledLoads)}

    def read(self, request: Request, **keys: str) -> AxleLoads:
        axle = keys["axle"]
        end = None if control_sign(axle) else axle_end(axle)
        errors = Errors()
        if end is None:
            checked(request.GET, self.parameters)
            raise NotFound("axle", "" if control_sign(axle) else axle)
        components = axle_components(axle)
        fitted = [Parameter(f"component.{end}.{location}", "") for location in sorted(components)]
        values = checked(request.GET, (*self.parameters, *fitted), errors)
        named = {}
        for location, cars in components.items():
            name = f"component.{end}.{location}"
            code = one(values, name)
            if code is not None:
                named[location] = code
                if code not in cars:
                    errors.add(name, unknown("component", code, cars))
        variant = one(values, "variant")
        if variant is not None:
            _check_variant(variant, axle, end, errors)
        errors.stop()
        found = axle_loads(axle=axle, variant=variant, components=named)
        if found is None:
            raise NotFound("axle", axle)
        return found

    def compute(self, asked: AxleLoads) -> Mapping[str, Any]:
        return encode(asked.answer, self.role)


def _check_variant(variant: str, axle: str, end: str, errors: Errors) -> None:
    with_axle = Variant.objects.filter(**{f"{end}_axle__code": axle}).values_list("code", flat=True)
    if variant in with_axle:
        return
    if Variant.objects.filter(code=variant).exists():
        errors.add("variant", f"does not have this axle; those that have it: {', '.join(sorted(with_axle)[:5])}")
    else:
        errors.add("variant", unknown("variant", variant, with_axle))
