"""What every page shows of the installation: the catalogue, its edition, and where to go."""

from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest
from django.urls import NoReverseMatch, reverse
from django.utils.functional import SimpleLazyObject

from catalog.codes import Role
from catalog.roles import role_of
from catalog.selectors import CurrentCatalogue
from fitment.readers.editions import at_edition


@dataclass(frozen=True, slots=True)
class TopLink:
    """A page of the top line: the name of its address, what it is called, and who may see it."""

    name: str
    label: str
    role: Role


# In the order of the top line. An entry whose page is not part of this installation is left out.
ENTRIES = (
    TopLink("desk", "Desk", Role.SALES),
    TopLink("coverage", "Coverage", Role.DEVELOPMENT),
    TopLink("catalogue", "Catalogue", Role.EDITOR),
)


class PageFrame:
    """Read by the base template; looks things up only when asked."""

    def __init__(self, request: HttpRequest) -> None:
        self._request = request
        self.catalogue = SimpleLazyObject(_catalogue)

    @property
    def role(self) -> Role:
        return role_of(getattr(self._request, "user", None))

    @property
    def links(self) -> list[dict[str, Any]]:
        links: list[dict[str, Any]] = []
        for entry in ENTRIES:
            if not self.role.at_least(entry.role):
                continue
            try:
                href = reverse(entry.name)
            except NoReverseMatch:
                continue
            links.append({"href": href, "label": entry.label, "here": self._request.path.startswith(href)})
        return [*links, self._account()]

    def _account(self) -> dict[str, Any]:
        user = getattr(self._request, "user", None)
        signed_in = user is not None and user.is_authenticated
        href = reverse("accounts:tokens" if signed_in else "accounts:sign-in")
        return {"href": href, "label": "Account" if signed_in else "Sign in", "here": self._request.path == href}


def _catalogue() -> CurrentCatalogue:
    """The one that the page's facts are of, where it has looked already."""
    with at_edition() as current:
        return current


def page_frame(request: HttpRequest) -> dict[str, PageFrame]:
    """The context processor."""
    return {"sheet": PageFrame(request)}
