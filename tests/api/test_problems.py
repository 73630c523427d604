"""Errors are problem details (RFC 9457): media type, members, and a field for each thing that is wrong."""

import pytest
from django.test import Client

from catalog.codes import Role
from config.accounts.services import account_create

pytestmark = pytest.mark.django_db
VIN = "1M8GDM9AXKP042788"  # the example of 49 CFR 565


def is_problem(response, status: int) -> dict:
    """The body, after a look at all that every problem has (RFC 9457, 3.1)."""
    assert response.status_code == status, response.content
    assert response["Content-Type"] == "application/problem+json"
    assert response["Cache-Control"] == "no-store"
    body = response.json()
    assert body["status"] == status
    assert body["type"] == "about:blank"
    assert body["title"]
    assert body["detail"].endswith(".")
    assert body["request_id"] == response["X-Request-Id"]
    assert all(set(error) == {"field", "message"} for error in body["errors"])
    return body


def fields(body: dict) -> set[str]:
    return {error["field"] for error in body["errors"]}


@pytest.mark.parametrize(
    "path", ["/api/", "/api/v1/", "/api/v1/makres/", "/api/v1/makers/ALVA/x/", "/api/v2/makers/", "/api/v1/makers"]
)
def test_unknown_addresses(public, path):
    is_problem(public.client.get(path), 404)


@pytest.mark.parametrize("path", ["/api/v1/stances", "/api/v1/makres/"])
def test_a_write_to_an_unknown_address(path):
    is_problem(Client(enforce_csrf_checks=True).post(path, {}, content_type="application/json"), 404)


@pytest.mark.parametrize(
    "path", ["vin/", "enquiries/", "fitment/bulk/", "stances/", "catalogue/checks/", "catalogue/checks/nonsense/load/"]
)
def test_a_post_takes_no_parameters(api, path):
    """So that `?replace=yes` beside a form is not passed over, and a VIN is nowhere part of an address."""
    editor = api(Role.EDITOR)
    assert fields(is_problem(editor.post(f"{path}?replace=yes", {}), 400)) == {"replace"}
    assert fields(is_problem(editor.post(f"{path}?vin={VIN}", {"vin": VIN}), 400)) == {"vin"}


def test_access_comes_before_the_parameters_of_a_post(public):
    is_problem(public.post("stances/?x=1", {}), 401)


def test_an_unknown_address_names_the_nearest(public):
    assert "/api/v1/makers/" in is_problem(public.get("makres/"), 404)["detail"]


def test_a_method_that_is_not_served_names_those_that_are(public):
    response = public.client.put("/api/v1/makers/")
    is_problem(response, 405)
    assert set(response["Allow"].replace(" ", "").split(",")) == {"GET", "HEAD", "OPTIONS"}  # RFC 9110, 15.5.6


def test_only_json_is_answered(public):
    is_problem(public.get("makers/", Accept="text/html"), 406)
    assert public.get("makers/", Accept="application/json").status_code == 200
    assert public.get("makers/", Accept="application/problem+json").status_code == 200


def test_only_json_is_taken(public):
    response = public.client.post("/api/v1/fitment/bulk/", "cars=1", content_type="application/x-www-form-urlencoded")
    is_problem(response, 415)


@pytest.mark.parametrize(
    "body",
    ["{", "", '{"cars": NaN}', "[" * 100_000, b"\xff", '{"cars": [{"ref": "a\\u0000"}]}', '"\\ud800"'],
    ids=["cut", "empty", "constant", "deep", "no_utf8", "nul", "half_surrogate"],
)
def test_bodies_that_cannot_be_read(public, body):
    is_problem(public.client.post("/api/v1/fitment/bulk/", body, content_type="application/json"), 400)


def test_a_body_that_is_too_large(public):
    response = public.client.post("/api/v1/fitment/bulk/", b" " * (5 * 2**20), content_type="application/json")
    is_problem(response, 413)


@pytest.mark.parametrize("header", ["Token nonsense", "Token", "Token a b", "Token \xe9"])
def test_a_wrong_token_is_refused_and_not_passed_over(public, header):
    response = public.get("makers/", Authorization=header)
    is_problem(response, 401)
    assert response["WWW-Authenticate"].startswith("Token")


def test_a_session_reads_but_writes_only_with_its_csrf_token(small, settings):
    """The pages' own session serves too; another site cannot write with it."""
    client = Client(SERVER_NAME="localhost", enforce_csrf_checks=True)
    user = account_create(name="dana", role=Role.DEVELOPMENT)
    client.force_login(user, backend="django.contrib.auth.backends.ModelBackend")
    read = client.get("/api/v1/stances/")
    assert read.status_code == 200
    assert read["Cache-Control"] == "private, no-cache"
    row = {"axle": "FX1", "location": "tension_link.inner", "stance": "wanted"}
    is_problem(client.post("/api/v1/stances/", row, content_type="application/json"), 403)
    client.cookies[settings.CSRF_COOKIE_NAME] = token = "a" * 32
    written = client.post("/api/v1/stances/", row, content_type="application/json", headers={"X-CSRFToken": token})
    assert written.status_code == 201, written.content


def test_access_comes_before_parameters(api):
    is_problem(api(Role.PUBLIC).get("materials/?nonsense=1"), 401)
    is_problem(api(Role.SALES).get("materials/?nonsense=1"), 403)
    assert fields(is_problem(api(Role.DEVELOPMENT).get("materials/?nonsense=1"), 400)) == {"nonsense"}


def test_everything_wrong_is_named_at_once(small, public):
    body = is_problem(public.get("variants/?chasis=QN4&body=saloonn&steering=&page_size=0&engine=E20&engine=E25"), 400)
    assert fields(body) == {"chasis", "body", "steering", "page_size", "engine"}
    messages = {error["field"]: error["message"] for error in body["errors"]}
    assert "'chassis'" in messages["chasis"]
    assert "'saloon'" in messages["body"]
    assert "1 to 500" in messages["page_size"]


@pytest.mark.parametrize("value", [VIN, VIN.lower(), "1M8G-DM9A-XKP0-42788", "1M8GDM9A%20XKP042788"])
@pytest.mark.parametrize("path", ["makers/?maker={}", "makers/?{}=1", "fitment/?chassis={}", "schema/?x={}"])
def test_a_vehicle_identification_number_is_refused_and_not_repeated(small, public, path, value):
    response = public.get(path.format(value))
    is_problem(response, 400)
    assert VIN not in response.content.decode().upper().replace("-", "").replace(" ", "")


def test_a_vehicle_identification_number_in_a_path_is_not_repeated(small, public):
    response = public.get(f"axles/{VIN}/")
    is_problem(response, 404)
    assert VIN not in response.content.decode()


def test_signs_no_database_holds(small, public):
    is_problem(public.get("makers/?maker=%00"), 400)
    is_problem(public.get("makers/%00/"), 404)
    is_problem(public.get("numbers/HOUSE/%00/"), 404)
    is_problem(public.get("parts/%00/cars/"), 404)
    is_problem(public.get("fitment/?chassis=%00"), 400)


def test_a_failure_is_a_problem_that_tells_nothing(public, monkeypatch):
    def fail(role):
        raise RuntimeError("the secret of the failure")

    monkeypatch.setattr("api.resources.resource.Resource.visible", lambda self, role: fail(role))
    quiet = Client(SERVER_NAME="localhost", raise_request_exception=False)
    response = quiet.get("/api/v1/makers/")
    is_problem(response, 500)
    assert "secret" not in response.content.decode()


def test_too_many_questions_of_one_address(public, settings):
    settings.ANONYMOUS_RATE = "3/hour"
    answers = [public.client.get("/api/v1/makers/", REMOTE_ADDR="192.0.2.77") for _ in range(4)]
    assert [answer.status_code for answer in answers[:3]] == [200, 200, 200]
    is_problem(answers[3], 429)
    assert 1 <= int(answers[3]["Retry-After"]) <= 3600
    assert public.client.get("/api/v1/makers/", REMOTE_ADDR="192.0.2.78").status_code == 200


def test_whoever_has_a_token_is_not_counted(api, settings):
    settings.ANONYMOUS_RATE = "1/hour"
    client = api(Role.SALES)
    assert [client.get("makers/").status_code for _ in range(3)] == [200, 200, 200]
