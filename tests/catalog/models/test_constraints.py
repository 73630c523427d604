"""The database itself refuses what the columns of a sheet do not allow."""

import pytest
from django.db import IntegrityError, transaction

from catalog.models import Component, Equipment, Option, Platform
from catalog.models.constraints import constraints_of
from catalog.sheets.components import NUMBERS
from catalog.sheets.parts import KIT_ITEMS
from catalog.sheets.suspension import JOINTS
from tests import factories


def names(sheet) -> list[str]:
    return [one.name.removeprefix("%(app_label)s_%(class)s_") for one in constraints_of(sheet)]


def test_they_follow_from_the_columns():
    assert names(KIT_ITEMS) == ["key", "item_is_filled", "title_is_filled", "count_at_least_one", "hand_is_known"]
    assert names(JOINTS) == ["key", "built_from_up_to_built_to"]


@pytest.mark.parametrize(
    ("sheet", "fields"),
    [
        (NUMBERS, ("issuer", "normal", "component", "part", "revision")),
        (JOINTS, ("axle", "location", "component", "built_from", "conditions")),
    ],
)
def test_a_key_that_may_be_empty_is_a_key(sheet, fields):
    key = constraints_of(sheet)[0]
    assert (key.fields, key.nulls_distinct) == (fields, False)


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("model", "values", "name"),
    [
        (Option, {"code": "", "title": "Sport"}, "code_is_filled"),
        (Equipment, {"code": "e", "title": "E", "kind": "other"}, "kind_is_known"),
        (Equipment, {"code": "e", "title": "E", "least_grade": 6}, "least_grade_in_range"),
        (Component, {"code": "C", "title": "C", "construction": "c", "bolt_mm": -1}, "bolt_mm_not_negative"),
        (
            Component,
            {"code": "C", "title": "C", "construction": "c", "bore_min_mm": 62, "bore_max_mm": 61},
            "bore_min_mm_up_to_bore_max_mm",
        ),
    ],
)
def test_a_row_is_refused_by_name(model, values, name):
    with pytest.raises(IntegrityError, match=name), transaction.atomic():
        model.objects.create(**values)


@pytest.mark.django_db
def test_a_key_stands_once():
    platform = factories.platform("QN4", of="ALVA")
    with pytest.raises(IntegrityError, match="catalog_platform_key"), transaction.atomic():
        Platform.objects.create(maker=platform.maker, chassis="QN4", built_from="2011-01-01")
    assert str(platform) == "ALVA QN4"
