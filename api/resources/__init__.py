"""Every resource of facts and evidence, and its addresses."""

from typing import TypeVar

from django.urls import URLPattern, path

from api.resources import components, evidence, parts, procedures, suspension, vehicles
from api.resources.endpoints import DetailEndpoint, EvidenceEndpoint, ListEndpoint
from api.resources.resource import Resource

FACTS = [*vehicles.RESOURCES, *suspension.RESOURCES, *components.RESOURCES, *parts.RESOURCES, *procedures.RESOURCES]

E = TypeVar("E", bound=ListEndpoint | DetailEndpoint)


def _endpoint(base: type[E], resource: Resource, about: str) -> type[E]:
    """The class of one address of a resource."""
    return type(f"{resource.name}{base.__name__}", (base,), {"resource": resource, "__doc__": about})


def _list_path(base: type[ListEndpoint], resource: Resource) -> URLPattern:
    view = _endpoint(base, resource, resource.listed).as_view()
    return path(f"{resource.sheet.name.replace('_', '-')}/", view)


def _detail_path(resource: Resource) -> URLPattern:
    key = "".join(f"<str:{name}>/" for name in resource.keys)
    view = _endpoint(DetailEndpoint, resource, resource.whole.about).as_view()
    return path(resource.pattern or f"{resource.sheet.name}/{key}", view)


FACT_PATHS = [
    *(_list_path(ListEndpoint, resource) for resource in FACTS),
    *(_detail_path(resource) for resource in FACTS if resource.href),
    path("numbers/<path:issuer>/<str:normal>/", components.NumberDetail.as_view()),
]
EVIDENCE_PATHS = [_list_path(EvidenceEndpoint, resource) for resource in evidence.RESOURCES]
