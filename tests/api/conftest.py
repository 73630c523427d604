"""A client a role."""

from collections.abc import Callable

import pytest
from django.test import Client

from catalog.codes import Role
from tests import factories


class Api:
    """A client of the API in one role; paths are below `/api/v1/`."""

    def __init__(self, client: Client) -> None:
        self.client = client

    def get(self, path: str, **headers: str):
        return self.client.get(path if path.startswith(("/", "http")) else f"/api/v1/{path}", headers=headers)

    def post(self, path: str, body: object, **headers: str):
        return self.client.post(f"/api/v1/{path}", body, content_type="application/json", headers=headers)


@pytest.fixture
def api(db, token) -> Callable[[Role], Api]:
    """A client for each role: `api(Role.SALES).get("parts/")`."""
    clients: dict[Role, Api] = {}

    def for_role(role: Role) -> Api:
        if role not in clients:
            headers = {} if role is Role.PUBLIC else {"Authorization": f"Token {token(role)}"}
            clients[role] = Api(Client(SERVER_NAME="localhost", headers=headers))
        return clients[role]

    return for_role


@pytest.fixture
def public(api) -> Api:
    return api(Role.PUBLIC)


@pytest.fixture
def small(db) -> None:
    """The small catalogue of `factories`."""
    factories.small_catalogue()
