"""A column as a member of a row: how it is read, what the document says of it."""

from types import SimpleNamespace

import pytest

from api.resources.rows import member_of
from catalog.codes import Role
from fitment.sheets import SHEETS


def member(sheet: str, column: str):
    return member_of(SHEETS[sheet], SHEETS[sheet].column(column))


@pytest.mark.parametrize(
    ("sheet", "column", "schema"),
    [
        ("makers", "title", {"type": "string"}),
        ("makers", "wmi", {"type": "array", "items": {"type": "string"}}),
        ("options", "group", {"type": ["string", "null"]}),
        ("equipment", "kind", {"type": "string"}),
        ("platforms", "built_from", {"type": "string", "format": "date"}),
        ("platforms", "built_to", {"type": ["string", "null"], "format": "date"}),
        ("variants", "front_axle", {"type": ["string", "null"]}),
        ("variants", "front_mass_share", {"type": ["number", "null"], "format": "double", "minimum": 0, "maximum": 1}),
        ("variants", "in_operation", {"type": ["integer", "null"], "minimum": 0}),
        ("parts", "sealed", {"type": ["boolean", "null"]}),
        ("operations", "needs", {"type": "array", "items": {"type": "array", "items": {"type": "string"}}}),
        ("test_fits", "component", {"type": "string"}),
    ],
)
def test_the_schema_follows_from_kind_and_table(sheet, column, schema):
    found = member(sheet, column).schema
    assert found == {**schema, "description": SHEETS[sheet].column(column).help}


def test_a_value_is_read_through_the_foreign_keys_of_its_sheet():
    found = member("variants", "maker")
    row = SimpleNamespace(platform=SimpleNamespace(maker=SimpleNamespace(code="ALVA")))
    assert found.read(row, Role.PUBLIC) == "ALVA"
    assert found.joins == ("platform__maker",)


def test_no_value_is_null_and_no_text_is_empty():
    row = SimpleNamespace(group="", note="", arm_material=None)
    assert member("options", "group").read(row, Role.PUBLIC) is None
    assert member("components", "arm_material").read(row, Role.PUBLIC) is None
    assert member("topologies", "note").read(row, Role.PUBLIC) == ""


def test_the_role_is_that_of_the_column():
    assert member("components", "bore_min_mm").role is Role.DEVELOPMENT
    assert member("variants", "in_operation").role is Role.SALES
