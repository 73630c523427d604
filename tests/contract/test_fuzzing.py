"""Whatever is asked, each role gets an answer that the OpenAPI document names; never a server error.

Requests are generated from the document (schemathesis): good ones, and ones just outside it.
"""

from collections.abc import Iterator

import pytest
import schemathesis
from django.core.signals import request_finished, request_started
from django.db import close_old_connections
from hypothesis import HealthCheck, Phase, settings
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_headers_conformance,
    response_schema_conformance,
    status_code_conformance,
)

from catalog.codes import Role
from config.wsgi import application
from tests import factories

pytestmark = pytest.mark.django_db
CHECKS = [
    not_a_server_error,
    status_code_conformance,
    content_type_conformance,
    response_headers_conformance,
    response_schema_conformance,
]
document = schemathesis.openapi.from_wsgi("/api/v1/schema/", application)


@pytest.fixture
def small(db) -> Iterator[None]:
    """The small catalogue, on a connection that the server's own housekeeping leaves open, as the test client does."""
    factories.small_catalogue()
    signals = (request_started, request_finished)
    for signal in signals:
        signal.disconnect(close_old_connections)
    yield
    for signal in signals:
        signal.connect(close_old_connections)


@document.parametrize()
@settings(
    max_examples=6,
    deadline=None,
    derandomize=True,
    phases=[Phase.explicit, Phase.generate],
    suppress_health_check=list(HealthCheck),
)
def test_generated_requests(case, small, token):
    for role in Role:
        headers = {"Host": "localhost"}
        if role is not Role.PUBLIC:
            headers["Authorization"] = f"Token {token(role)}"
        response = case.call(headers=headers)
        try:
            case.validate_response(response, checks=CHECKS)
        except BaseExceptionGroup as found:
            found.add_note(f"asked with the role {role}")
            raise
