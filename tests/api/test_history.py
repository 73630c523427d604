"""`catalogue/changes/`: what changed since an edition, by whom, and which answers; each row cut to the role."""

import pytest

from catalog.codes import Role
from catalog.models import AnswerChange, Change, Edition
from fitment.sheets import SHEETS
from tests import factories
from tests.api.expected_roles import SHEETS as EXPECTED

pytestmark = pytest.mark.django_db


@pytest.fixture
def history(db) -> None:
    """Three editions: a part's blank, a component's bore and title, an answer."""
    factories.catalogue(edition=3)
    for number in (1, 2, 3):
        edition = Edition.objects.create(number=number, actor_name=f"person-{number}", source="workbook")
        bore = {"component": "C1", "title": f"joint {number // 3}", "bore_min_mm": str(60 + number)}
        earlier = {"component": "C1", "title": "joint 0", "bore_min_mm": str(59 + number)}
        Change.objects.create(
            edition=edition, sheet="components", row_key="C1", action="changed", before=earlier, after=bore
        )
        Change.objects.create(
            edition=edition, sheet="materials", row_key=f"M{number}", action="added", after={"material": f"M{number}"}
        )
        AnswerChange.objects.create(
            edition=edition, axle="FX1", end="front", location="arm.inner", part="LM-210",
            before={"verdict": "not_known"}, after={"verdict": "fits", "revision": "B"}, variants=["V1"],
            in_operation=12,
        )  # fmt: skip


@pytest.mark.parametrize("sheet", list(SHEETS), ids=SHEETS.names())
def test_every_column_of_the_workbook_is_for_the_role_of_the_contract(sheet):
    for column in sheet.columns:
        assert column.role is EXPECTED[sheet.name][column.name], column.name
        assert column.help.endswith("."), column.name


@pytest.mark.parametrize(("role", "status"), [(Role.PUBLIC, 401), (Role.SALES, 200)])
def test_for_staff_only(history, api, role, status):
    assert api(role).get("catalogue/changes/?since=0").status_code == status


def told(body: dict) -> list[tuple]:
    return [(row["edition"], row["kind"], row.get("sheet") or row["part"]) for row in body["results"]]


def test_all_of_it_for_development(history, api):
    body = api(Role.DEVELOPMENT).get("catalogue/changes/?since=2").json()
    assert told(body) == [(3, "row", "components"), (3, "row", "materials"), (3, "answer", "LM-210")]
    row, _, answer = body["results"]
    assert (row["by"], row["action"], row["key"]) == ("person-3", "changed", "C1")
    assert row["before"] == {"component": "C1", "title": "joint 0", "bore_min_mm": "62"}
    assert row["after"] == {"component": "C1", "title": "joint 1", "bore_min_mm": "63"}
    assert (answer["before"], answer["after"]) == ({"verdict": "not_known"}, {"verdict": "fits", "revision": "B"})
    assert answer["variants"] == ["V1"]


def test_rows_are_cut_to_the_role_and_those_without_a_change_to_see_are_left_out(history, api):
    body = api(Role.SALES).get("catalogue/changes/").json()
    assert told(body) == [
        (1, "answer", "LM-210"), (2, "answer", "LM-210"), (3, "row", "components"), (3, "answer", "LM-210"),
    ]  # fmt: skip
    row = next(row for row in body["results"] if row["kind"] == "row")
    assert row["after"] == {"component": "C1", "title": "joint 1"}


@pytest.mark.parametrize("size", [1, 2, 4])
def test_pages_lead_there_and_back(history, api, size):
    client = api(Role.DEVELOPMENT)
    whole = told(client.get("catalogue/changes/").json())
    assert len(whole) == 9
    address, seen = f"catalogue/changes/?page_size={size}", []
    while address:
        body = client.get(address).json()
        seen += told(body)
        address = body["next"]
    assert seen == whole
    backwards = told(body)[::-1]
    while body["previous"]:
        body = client.get(body["previous"]).json()
        backwards += told(body)[::-1]
    assert backwards == whole[::-1]


@pytest.mark.parametrize("since", ["-1", "x", ""])
def test_an_edition_that_is_none(history, api, since):
    assert api(Role.SALES).get(f"catalogue/changes/?since={since}").status_code == 400


def test_nothing_since_now(history, api):
    assert api(Role.SALES).get("catalogue/changes/?since=3").json()["results"] == []
