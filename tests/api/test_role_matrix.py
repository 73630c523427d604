"""Who sees what: every address, field and role of the one table, cell by cell."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from catalog.codes import Role
from catalog.models import Number, Part, PartRule, Revision
from fitment.models import FitDecision
from tests import factories
from tests.api.expected_roles import FIELDS

pytestmark = pytest.mark.django_db

LISTS = [
    "makers", "platforms", "topologies", "locations", "axles", "options", "variants", "components", "parts",
    "revisions", "numbers", "operations", "equipment", "hazards", "technologies",
]  # fmt: skip
# The row of each detail, and where rows inside it stand.
DETAILS = {
    "topologies": ("topologies/five_link_front/", {"locations": "topologies.locations"}),
    "axles": ("axles/FX1/", {"axle_locations": "axles.axle_locations", "joints": "axles.joints", "ways": "axles.ways"}),
    "components": ("components/C1/", {"places": "components.places"}),
    "parts": (
        "parts/LM-210/",
        {
            "revisions": "parts.revisions",
            "kit_items": "parts.kit_items",
            "papers": "parts.papers",
            "part_rules": "parts.part_rules",
        },
    ),
    "revisions": ("revisions/LM-210/B/", {"fastener_changes": "revisions.fastener_changes", "holds": "holds"}),
    "operations": ("operations/FX1/arm_off/", {"fasteners": "operations.fasteners"}),
}
SECRETS = {
    "variants": {"in_operation": Role.SALES},
    "components": {"bore_min_mm": Role.DEVELOPMENT, "process": Role.DEVELOPMENT, "arm_material": Role.DEVELOPMENT},
    "revisions": {"outside_min_mm": Role.DEVELOPMENT, "reason": Role.DEVELOPMENT, "material": Role.DEVELOPMENT},
    "parts": {"draw_up_mm": Role.DEVELOPMENT, "blank_holes_mm": Role.DEVELOPMENT, "closure_um": Role.DEVELOPMENT},
    "axles.axle_locations": {"retention_n": Role.DEVELOPMENT, "static_tilt_deg": Role.DEVELOPMENT},
    "holds": {"cause": Role.SALES},
}


def expected(table: str, role: Role) -> set[str]:
    return {name for name, least in FIELDS[table].items() if list(Role).index(least) <= list(Role).index(role)}


def test_the_table_keeps_the_trade_secrets_of_the_contract():
    # Written out here a second time on purpose: a slip in the table must not pass by agreeing with itself.
    for table, secrets in SECRETS.items():
        assert {name: FIELDS[table][name] for name in secrets} == secrets


@pytest.mark.parametrize("role", list(Role))
@pytest.mark.parametrize("name", LISTS)
def test_rows_of_lists(small, api, role, name):
    rows = api(role).get(f"{name}/").json()["results"]
    assert rows
    for row in rows:
        assert set(row) == expected(name, role)


@pytest.mark.parametrize("role", list(Role))
@pytest.mark.parametrize("name", DETAILS)
def test_details_and_the_rows_inside(small, api, role, name):
    path, inside = DETAILS[name]
    body = api(role).get(path).json()
    assert set(body) == expected(f"{name}.detail", role) | {"catalogue"}
    for field, table in inside.items():
        assert body[field], field
        for row in body[field]:
            assert set(row) == expected(table, role)


@pytest.mark.parametrize(
    ("role", "status"), [(Role.PUBLIC, 401), (Role.SALES, 403), (Role.DEVELOPMENT, 200), (Role.EDITOR, 200)]
)
@pytest.mark.parametrize("path", ["materials/", "materials/al_7075/"])
def test_materials_are_for_development(small, api, role, status, path):
    response = api(role).get(path)
    assert response.status_code == status
    if status == 401:
        assert response["WWW-Authenticate"] == "Token"


def codes(response, field: str) -> set:
    return {row[field] for row in response.json()["results"]}


def test_rows_by_role(small, api):
    public, sales = api(Role.PUBLIC), api(Role.SALES)
    assert codes(public.get("parts/"), "part") == {"LM-210"}
    assert codes(sales.get("parts/"), "part") == {"LM-210", "LM-400"}
    assert codes(public.get("revisions/"), "revision") == {"A", "B"}
    assert codes(sales.get("revisions/?part=LM-210"), "revision") == {"A", "B", "C"}
    assert codes(public.get("numbers/"), "normal") == {"TK8046", "LM210"}
    assert codes(sales.get("numbers/"), "normal") == {"TK8046", "LM210", "LM210C", "LM400"}


def test_rules_that_name_a_hidden_part_are_hidden(small, api):
    def rules(role: Role) -> list:
        return [(row["rule"], row["other"]) for row in api(role).get("parts/LM-210/").json()["part_rules"]]

    assert rules(Role.PUBLIC) == [("in_pairs", None)]
    assert rules(Role.SALES) == [("in_pairs", None), ("requires", "LM-400")]


def test_closed_holds_are_for_staff(small, api):
    def holds(role: Role) -> list:
        return [row["batch_from"] for row in api(role).get("revisions/LM-210/A/").json()["holds"]]

    assert holds(Role.PUBLIC) == []
    assert holds(Role.SALES) == ["2001"]


HIDDEN = [
    ("parts/{}/", "LM-400"),
    ("parts/{}/cars/", "LM-400"),
    ("revisions/LM-210/{}/", "C"),
    ("revisions/{}/A/", "LM-400"),
    ("numbers/HOUSE/{}/", "LM400"),
    ("numbers/HOUSE/{}/", "LM210C"),
    ("parts/?part={}", "LM-400"),
    ("revisions/?part={}", "LM-400"),
    ("numbers/?part={}", "LM-400"),
    ("numbers/?number={}", "LM400"),
    ("components/?part={}", "LM-400"),
    ("fitment/?variant=QN4-20-SAL&part={}", "LM-400"),
]


@pytest.mark.parametrize(("path", "code"), HIDDEN)
def test_what_is_hidden_answers_as_what_does_not_exist_to_the_byte(small, public, path, code):
    def answer() -> tuple:
        """Status, body, and how many queries it took: a stopwatch tells as little as the bytes."""
        public.get("fitment/?variant=QN4-20-SAL")  # what is read once an edition is read
        with CaptureQueriesContext(connection) as seen:
            response = public.get(path.format(code))
        body = response.content
        if response.status_code != 200:
            body = body.replace(response["X-Request-Id"].encode(), b"")
        return response.status_code, body.replace(b'"edition":2', b'"edition":1'), len(seen)

    there = answer()
    # Truly away now: the letter, the part and everything that names them.
    FitDecision.objects.filter(revision__status="prototype").delete()
    Number.objects.filter(normal__in=["LM400", "LM210C"]).delete()
    Revision.objects.filter(status="prototype").delete()
    PartRule.objects.filter(other__code="LM-400").delete()
    Part.objects.filter(code="LM-400").delete()
    factories.next_edition()
    assert answer() == there
    assert there[0] in (200, 400, 404)
