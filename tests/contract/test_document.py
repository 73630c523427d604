"""The OpenAPI document says what is served, and what is served agrees with it, for every role."""

import re

import pytest
from django.test import Client
from jsonschema import Draft202012Validator

from api.urls import VERSION_1
from catalog.codes import Role
from tests import factories

pytestmark = pytest.mark.django_db
# An address of each kind that has something to show in the small catalogue.
SHOWN = {
    "makers/{maker}/": "makers/ALVA/",
    "platforms/{maker}/{chassis}/": "platforms/ALVA/QN4/",
    "topologies/{topology}/": "topologies/five_link_front/",
    "locations/{topology}/{location}/": "locations/five_link_front/tension_link.inner/",
    "axles/{axle}/": "axles/FX1/",
    "axles/{axle}/loads/": "axles/FX1/loads/",
    "variants/": "variants/?built=2018-05",
    "variants/{variant}/": "variants/QN4-20-SAL/",
    "options/{option}/": "options/SPORT/",
    "components/{component}/": "components/C1/",
    "components/{component}/matches/": "components/C1/matches/",
    "parts/{part}/": "parts/LM-210/",
    "parts/{part}/cars/": "parts/LM-210/cars/",
    "revisions/{part}/{revision}/": "revisions/LM-210/B/",
    "numbers/{issuer}/{normal}/": "numbers/HOUSE/LM210/",
    "operations/{axle}/{operation}/": "operations/FX1/arm_off/",
    "equipment/{equipment}/": "equipment/lift/",
    "hazards/{hazard}/": "hazards/raised_car/",
    "materials/{material}/": "materials/al_7075/",
    "technologies/{technology}/": "technologies/spherical/",
    "fitment/": "fitment/?chassis=QN4&part=LM-210",
    "cross-reference/": "cross-reference/?number=TK8046",
    "job/": "job/?variant=QN4-20-SAL&part=LM-210&equipment=shop",
    "coverage/sizes/": "coverage/sizes/?bodies_at_most=1",
    "coverage/{axle}/{location}/{component}/": "coverage/FX1/tension_link.inner/C1/",
}
# They need the code of a job, and a check handed in: tests/api.
READ_ELSEWHERE = {"job/instruction/{code}/", "catalogue/checks/{check}/"}


@pytest.fixture(scope="module")
def document() -> dict:
    return Client(SERVER_NAME="localhost").get("/api/v1/schema/").json()


def listed(document: dict, method: str) -> set[str]:
    return {path.removeprefix("/api/v1/") for path, item in document["paths"].items() if method in item}


def test_it_is_openapi_3_1_and_lists_every_address(document):
    assert re.fullmatch(r"3\.1\.\d+", document["openapi"])
    served = {re.sub(r"<\w+:(\w+)>", r"{\1}", str(route.pattern)) for route in VERSION_1}
    assert {path.removeprefix("/api/v1/") for path in document["paths"]} == served - {"docs/"}


def test_operations_are_named_once_and_say_what_they_do(document):
    operations = [operation for item in document["paths"].values() for operation in item.values()]
    names = [operation["operationId"] for operation in operations]
    assert len(names) == len(set(names))
    assert all(operation["description"] for operation in operations)


def test_every_operation_documents_its_problems(document):
    for path, item in document["paths"].items():
        for operation in item.values():
            problems = {code for code in operation["responses"] if code.startswith(("4", "5"))}
            assert {"400", "401", "403", "405", "406", "429"} <= problems, path
            for code in problems:
                assert list(operation["responses"][code]["content"]) == ["application/problem+json"]


def test_every_read_is_shown_below(document):
    known = {path for path in listed(document, "get") if "{" not in path} | set(SHOWN)
    assert listed(document, "get") - READ_ELSEWHERE <= known


@pytest.mark.parametrize("role", list(Role))
def test_answers_agree_with_the_document(document, role, token):
    factories.small_catalogue()
    headers = {} if role is Role.PUBLIC else {"Authorization": f"Token {token(role)}"}
    client = Client(SERVER_NAME="localhost", headers=headers)
    for path in sorted(listed(document, "get") - READ_ELSEWHERE):
        response = client.get(f"/api/v1/{SHOWN.get(path, path)}")
        documented = document["paths"][f"/api/v1/{path}"]["get"]["responses"]
        assert str(response.status_code) in documented, (path, response.status_code)
        ((media, content),) = documented[str(response.status_code)]["content"].items()
        assert response["Content-Type"] == media, path
        schema = {**content["schema"], "components": document["components"]}
        faults = [f"{'/'.join(map(str, fault.path))}: {fault.message}" for fault in _faults(schema, response.json())]
        assert not faults, (path, faults)


def _faults(schema: dict, body: object) -> list:
    return list(Draft202012Validator(schema).iter_errors(body))


def test_the_pages_ask_no_other_host(client):
    page = client.get("/api/v1/docs/")
    assert page.status_code == 200
    assert "'unsafe-inline'" not in page["Content-Security-Policy"]
    addresses = re.findall(r'(?:src|href)="([^"]+)"', page.content.decode())
    assert len(addresses) >= 4
    for address in addresses:
        assert address.startswith(("/static/", "/api/v1/docs/", "/api/v1/schema/")), address
    script = client.get("/api/v1/docs/?script=")
    assert script.status_code == 200
    assert not re.search(r"https?://", script.content.decode())
    assert "<script>" not in page.content.decode()
    assert "<style" not in page.content.decode()
