"""Pages as a browser without JavaScript sees them: requests, and the links and texts of the answers."""

from collections.abc import Callable
from html.parser import HTMLParser

import pytest
from django.test import Client

from catalog.codes import Role
from tests import factories


class Sheet(HTMLParser):
    """What a page says: its links (address, text), fields by name, texts, and elements by id."""

    def __init__(self, content: str) -> None:
        super().__init__()
        self.links: list[tuple[str, str]] = []
        self.fields: dict[str, list[dict[str, str]]] = {}
        self.ids: list[str] = []
        self.references: list[str] = []
        self._texts: list[str] = []
        self._open: list[str] = []
        self.feed(content)
        self.text = " ".join(" ".join(self._texts).split())

    def handle_starttag(self, tag: str, pairs: list[tuple[str, str | None]]) -> None:
        attributes = {name: value or "" for name, value in pairs}
        if "id" in attributes:
            self.ids.append(attributes["id"])
        for name in ("aria-describedby", "aria-labelledby", "for"):
            self.references += attributes.get(name, "").split()
        if tag == "a" and "href" in attributes:
            self.links.append((attributes["href"], attributes.get("aria-label", "")))
            self._open.append("")
        if tag in ("input", "select", "button") and "name" in attributes:
            self.fields.setdefault(attributes["name"], []).append(attributes)

    def handle_endtag(self, tag: str) -> None:
        if tag == "a" and self._open:
            said = " ".join(self._open.pop().split())
            href, label = self.links[-1]
            self.links[-1] = (href, label or said)

    def handle_data(self, data: str) -> None:
        self._texts.append(data)
        if self._open:
            self._open[-1] += data

    def href(self, text: str) -> str:
        """The address of the first link that begins with a text."""
        return next(href for href, said in self.links if said.startswith(text))


@pytest.fixture
def small(db) -> None:
    factories.small_catalogue()


@pytest.fixture
def client_of(db) -> Callable[[Role], Client]:
    """A browser signed in as a role."""

    def make(role: Role) -> Client:
        client = Client()
        if role is not Role.PUBLIC:
            from config.accounts.services import account_create

            client.force_login(
                account_create(name=f"reader-{role}", role=role, password="long enough for anyone"),
                backend="django.contrib.auth.backends.ModelBackend",
            )
        return client

    return make


@pytest.fixture
def open_page(client) -> Callable[..., Sheet]:
    """The page at an address, as anybody sees it, with the status it must have."""

    def get(path: str, status: int = 200, by: Client = client) -> Sheet:
        answer = by.get(path)
        assert answer.status_code == status, (path, answer.status_code)
        sheet = Sheet(answer.content.decode())
        assert len(set(sheet.ids)) == len(sheet.ids), "an id stands twice"
        assert not set(sheet.references) - set(sheet.ids), "a label or hint leads nowhere"
        return sheet

    return get
