"""What every template may use."""

from typing import Any

from django.http import HttpRequest
from django.utils.functional import SimpleLazyObject

from catalog.roles import role_of


def viewer(request: HttpRequest) -> dict[str, Any]:
    """`viewer`: the role of who looks at the page, asked only where a template asks for it."""
    return {"viewer": SimpleLazyObject(lambda: role_of(getattr(request, "user", None)))}
