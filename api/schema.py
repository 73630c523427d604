"""The OpenAPI document, made from what each address declares about itself."""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from http import HTTPStatus
from typing import Any, get_args

from drf_spectacular.extensions import OpenApiAuthenticationExtension
from drf_spectacular.openapi import AutoSchema
from drf_spectacular.plumbing import ResolvedComponent
from drf_spectacular.utils import OpenApiParameter, OpenApiResponse
from rest_framework import serializers

from api import codec
from catalog.codes import Role
from fitment.answers.fit import CatalogueRef

PROBLEM = "application/problem+json"
JSON = "application/json"
EVERYWHERE = (400, 405, 406, 429)


class FieldErrorSerializer(serializers.Serializer[Any]):
    """What is wrong with one field."""

    field = serializers.CharField(help_text="The parameter or field.")
    message = serializers.CharField(help_text="What is wrong with it and what would be right.")


class ProblemSerializer(serializers.Serializer[Any]):
    """Problem details (RFC 9457)."""

    type = serializers.CharField(help_text="A URI reference; `about:blank` where the status says all.")
    title = serializers.CharField()
    status = serializers.IntegerField()
    detail = serializers.CharField()
    errors = FieldErrorSerializer(many=True)
    request_id = serializers.CharField(required=False, help_text="The same as in the header `X-Request-Id`.")


class CatalogueSerializer(serializers.Serializer[Any]):
    """Which catalogue answers, at which edition."""

    id = serializers.CharField()
    edition = serializers.IntegerField(min_value=0)


@dataclass(frozen=True, slots=True)
class Answered:
    """A computed answer: its class, or that of its rows where it is a page of them with `more` beside.

    `of` may be a union of classes.
    """

    of: Any
    paged: bool = False
    more: Mapping[str, Any] = field(default_factory=dict)

    def schema(self, named: Callable[[type], codec.Schema]) -> codec.Schema:
        catalogue = {"catalogue": named(CatalogueRef)}
        beside = {name: codec.described(kind, named) for name, kind in self.more.items()}
        if self.paged:
            link = {"type": ["string", "null"]}
            rows = {"type": "array", "items": named(self.of)}
            texts = {"next": "The next page's address, or null.", "previous": "The address of the page before."}
            links = {name: {**link, "description": text} for name, text in texts.items()}
            properties = catalogue | beside | {"results": rows} | links
            text = "A page of a list."
            return {"type": "object", "description": text, "properties": properties, "required": list(properties)}
        kinds = get_args(self.of) or (self.of,)
        found = [self._whole(codec.object_schema(kind, named), catalogue, beside) for kind in kinds]
        return found[0] if len(found) == 1 else {"oneOf": found}

    def _whole(self, own: codec.Schema, catalogue: codec.Schema, beside: codec.Schema) -> codec.Schema:
        """The schema of an answer's own members with those that stand beside them."""
        properties = {**own["properties"], **catalogue, **beside}
        required = [*dict.fromkeys([*own["required"], *catalogue, *beside])]
        return {**own, "properties": properties, "required": required}


class TokenScheme(OpenApiAuthenticationExtension):
    """`Authorization: Token ...`."""

    target_class = "api.authentication.TokenAuthentication"
    name = "token"

    def get_security_definition(self, auto_schema: AutoSchema) -> dict[str, str]:
        return {
            "type": "apiKey",
            "in": "header",
            "name": "Authorization",
            "description": "The word `Token`, a space and the token.",
        }


class EndpointSchema(AutoSchema):
    """Reads the class attributes of `api.endpoint.Endpoint`."""

    @property
    def declared(self) -> Any:
        """The view, which is an `Endpoint`; that module needs this one, so its type is not named here."""
        return self.view

    def get_override_parameters(self) -> list[Any]:
        if self.method != "GET":
            return []
        found = [
            OpenApiParameter(
                parameter.name,
                type=parameter.schema(),
                location=OpenApiParameter.QUERY,
                required=parameter.required,
                description=parameter.text,
                many=False,
            )
            if not parameter.repeatable
            else OpenApiParameter(
                parameter.name,
                type={"type": "array", "items": parameter.schema()},
                location=OpenApiParameter.QUERY,
                required=parameter.required,
                description=f"{parameter.text} May be repeated.",
                explode=True,
                style="form",
            )
            for parameter in self.declared.parameters
        ]
        if hasattr(self.view, "read"):
            found.append(
                OpenApiParameter(
                    "If-None-Match", str, OpenApiParameter.HEADER, description="The `ETag` of a kept answer."
                )
            )
        return found

    def get_request_serializer(self) -> Any:
        return self.declared.takes if self.method == "POST" else None

    def get_response_serializers(self) -> Any:
        answer = self.declared.answers.get(self.method)
        good = 200 if self.method == "GET" else 202 if self.declared.accepted else 201 if self.declared.created else 200
        responses: dict[Any, Any] = {(good, JSON): self._answer(answer, good)}
        if good == 201:
            responses[200, JSON] = self._answer(answer, 200)
        if self.method == "GET":
            responses[304] = OpenApiResponse(description="Nothing changed since the tag in `If-None-Match`.")
        for status in sorted(self._problems()):
            phrase = HTTPStatus(status).phrase
            responses[status, PROBLEM] = OpenApiResponse(ProblemSerializer, description=phrase)
        return responses

    def _answer(self, answer: Any, status: int) -> OpenApiResponse:
        if isinstance(answer, Answered):
            answer = answer.schema(self._named)
        return OpenApiResponse(answer or {"type": "object"}, description=HTTPStatus(status).phrase)

    def _named(self, of: type) -> codec.Schema:
        """The reference to the component of an answer's class."""
        component = ResolvedComponent(of.__name__, ResolvedComponent.SCHEMA, object=of)
        if component not in self.registry:
            component.schema = codec.object_schema(of, self._named)
            self.registry.register(component)
        elif self.registry[component].object is not of:
            raise TypeError(f"two classes of answers are named {of.__name__}")
        return dict(component.ref)

    def _problems(self) -> set[int]:
        view = self.declared
        found = {*EVERYWHERE, *view.problems, 401, 403}
        if "{" in self.path:
            found.add(404)
        if self.method == "POST":
            found |= {413, 415}
        if self.method == "GET":
            found.add(503)
        return found

    def get_auth(self) -> list[Any]:
        """A token where the role is needed; else one or none."""
        found = super().get_auth()
        return found if self.declared.minimum_roles.get(self.method, Role.PUBLIC) is not Role.PUBLIC else [{}, *found]

    def get_tags(self) -> list[str]:
        return [self._words()[0]]

    def get_operation_id(self) -> str:
        verb = {"GET": "read", "POST": "write"}.get(self.method, self.method.lower())
        return "_".join([verb, *self._words()])

    def get_summary(self) -> str:
        return self.get_description().split("\n", 1)[0].rstrip(".")

    def get_description(self) -> str:
        text = super().get_description()
        least = self.declared.minimum_roles.get(self.method, Role.PUBLIC)
        return text if least is Role.PUBLIC else f"{text}\n\nNeeds the role `{least}`."

    def _words(self) -> list[str]:
        path = self.path.removeprefix("/api/v1/")
        return [word for word in re.split(r"[^a-z0-9]+", path) if word]
