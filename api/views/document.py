"""`schema/` and `docs/`: the contract as a document, and as pages that ask no other host."""

from functools import cache
from typing import Any

from django.http import HttpResponse
from drf_spectacular.generators import SchemaGenerator
from drf_spectacular.views import SpectacularSwaggerSplitView
from rest_framework.renderers import TemplateHTMLRenderer
from rest_framework.request import Request

from api.bodies import dumps
from api.caching import confirms, mark, software_version
from api.endpoint import MEDIA_TYPE, Endpoint
from api.parameters import checked


@cache
def document() -> bytes:
    """The OpenAPI document; made once, for it changes with the program alone."""
    return dumps(SchemaGenerator().get_schema(request=None, public=True))


class Schema(Endpoint):
    """This document: OpenAPI 3.1.

    It holds the whole contract, whoever asks; the catalogue is no part of it.
    """

    answers = {"GET": {"type": "object", "properties": {"openapi": {"type": "string"}}, "required": ["openapi"]}}

    def get(self, request: Request) -> HttpResponse:
        checked(request.GET, ())
        tag = f'W/"{software_version()}"'
        if confirms(request.headers.get("If-None-Match"), tag):
            return mark(HttpResponse(status=304), tag=tag, private=False)
        return mark(HttpResponse(document(), content_type=MEDIA_TYPE), tag=tag, private=False)


class Docs(SpectacularSwaggerSplitView):
    """The document as pages."""

    authentication_classes: Any = ()
    renderer_classes = [TemplateHTMLRenderer]
    url_name = "schema"
    template_name = "api/docs.html"  # the package's own has styles inside, which the policy refuses
    schema = None  # not an address of the contract
