"""U+0000 in an address is a request that cannot be read, never an error of ours."""

import pytest

from tests import factories

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def catalogue():
    factories.small_catalogue()


@pytest.mark.parametrize(
    "path",
    [
        "/car/?chassis=%00", "/car/?%00=QN4", "/part/%00/", "/job/?part=%00", "/number/%00/", "/?maker=a%00b",
        "/account/sign-in/?next=%00",
    ],
)  # fmt: skip
def test_a_page_refuses_it(client, path):
    answer = client.get(path)
    assert answer.status_code == 400
    assert "cannot be read" in answer.content.decode()
    assert answer["Content-Security-Policy"]


def test_the_api_names_the_field(client):
    answer = client.get("/api/v1/fitment/?chassis=%00")
    assert answer.status_code == 400
    assert answer.json()["errors"][0]["field"] == "chassis"


@pytest.mark.parametrize(
    ("path", "data"), [("/", {"q": "\0"}), ("/account/sign-in/", {"username": "\0", "password": "x"})]
)
def test_a_form_with_it_is_refused_too(client, path, data):
    assert client.post(path, data).status_code < 500
