"""`schema/` and `docs/`: the contract as a document, and as pages that ask no other host."""

from drf_spectacular.views import SpectacularAPIView, SpectacularSwaggerSplitView
from rest_framework.renderers import TemplateHTMLRenderer

from api.bodies import Json
from api.problems import handle


class OpenApi(Json):
    media_type = "application/vnd.oai.openapi+json"


class PlainJson(Json):
    media_type = "application/json"


class Schema(SpectacularAPIView):
    """The OpenAPI 3.1 document of version 1."""

    authentication_classes = ()
    renderer_classes = [PlainJson, OpenApi]

    def get_exception_handler(self):  # type: ignore[no-untyped-def]  # as the base class has it
        return handle


class Docs(SpectacularSwaggerSplitView):
    """The document as pages."""

    authentication_classes = ()
    renderer_classes = [TemplateHTMLRenderer]
    url_name = "api:schema"
