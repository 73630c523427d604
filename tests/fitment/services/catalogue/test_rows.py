"""Single rows: saved, edited, removed and found by their keys."""

from pathlib import Path

import pytest
from django.core.exceptions import PermissionDenied

from catalog.codes import Role
from catalog.models import Catalogue, Change, Edition, Maker
from catalog.workbook.errors import Moved
from catalog.workbook.reading import Source
from fitment.errors import BadParameters
from fitment.models import FitDecision, JobTime, TestFit
from fitment.services.catalogue.loading import catalogue_load
from fitment.services.catalogue.rows import keys_holding, row_by_key, row_by_key_text, row_edit, row_save, rows_of_keys
from fitment.sheets import SHEETS
from tests.catalog.workbook.small import SHEETS as ROWS
from tests.catalog.workbook.small import small, write

pytestmark = pytest.mark.django_db
WHO = {"actor": None, "role": Role.EDITOR}
TEST_FIT = {name: text for name, text in ROWS["test_fits"][0].items() if name not in ("ref", "component")}


@pytest.fixture(autouse=True)
def loaded(tmp_path: Path) -> None:
    assert not catalogue_load(source=Source.of_path(write(tmp_path / "small", small()))).refused


def test_evidence_takes_the_next_free_ref_and_is_completed():
    created, row = row_save(sheet="test_fits", values=TEST_FIT, actor=None, role=Role.DEVELOPMENT)
    assert (created, row["ref"], row["component"]) == (True, "TF-0001", "C1")
    assert row_save(sheet="test_fits", values=TEST_FIT, actor=None, role=Role.DEVELOPMENT)[1]["ref"] == "TF-0002"
    assert row_save(sheet="test_fits", values={**TEST_FIT, "ref": "TF-0001", "km": 7}, **WHO)[0] is False
    assert TestFit.objects.get(ref="TF-0001").km == 7
    assert Edition.objects.count() == 4


def test_a_recorded_time_makes_no_edition_and_moves_its_counter():
    values = {name: text for name, text in ROWS["job_times"][0].items() if name != "ref"} | {"minutes": 80.5}
    created, row = row_save(sheet="job_times", values=values, actor=None, role=Role.DEVELOPMENT)
    assert (created, row["ref"], row["minutes"]) == (True, "JT-0001", "80.5")
    assert JobTime.objects.count() == 2
    now = Catalogue.objects.get()
    assert (now.edition, now.job_time_count) == (1, 1)
    row_save(sheet="job_times", values=values | {"ref": "JT-0001"}, **WHO)
    assert Catalogue.objects.get().job_time_count == 1, "nothing changed"


def test_who_may_write_what():
    for sheet, role in (("test_fits", Role.SALES), ("makers", Role.DEVELOPMENT)):
        with pytest.raises(PermissionDenied):
            row_save(sheet=sheet, values={}, actor=None, role=role)


@pytest.mark.parametrize(
    ("values", "errors"),
    [
        ({"maker": "ORM", "titel": "Orm"}, [("titel", "title")]),
        ({"title": "Orm"}, [("maker", "is missing")]),
        ({"maker": None, "title": "Orm"}, [("maker", "the cell is empty")]),
        ({"maker": "O RM", "title": ""}, [("maker", "no space"), ("title", "must be filled")]),
        ({"maker": "", "title": ""}, [("makers", "the row is empty")]),
    ],
)
def test_what_is_wrong_is_said_by_field(values, errors):
    with pytest.raises(BadParameters) as bad:
        row_save(sheet="makers", values=values, **WHO)
    assert [name for name, _ in bad.value.errors] == [name for name, _ in errors]
    assert all(part in message for (_, message), (_, part) in zip(bad.value.errors, errors, strict=True))
    assert Maker.objects.count() == 1


def test_a_row_is_edited_key_and_all_beside_the_others_of_its_group():
    key = [ROWS["fit_decisions"][0][name] for name in SHEETS["fit_decisions"].key_names]
    values = ROWS["fit_decisions"][0] | {"component": "C3", "remark": "moved"}
    tried = row_edit(sheet="fit_decisions", key=key, values=values, check=True, **WHO)
    assert (tried.has_changes, tried.edition_after, Edition.objects.count()) == (True, 2, 1)
    report = row_edit(sheet="fit_decisions", key=key, values=values, at_edition=1, **WHO)
    assert report.counts == {"fit_decisions": {"added": 1, "changed": 0, "unchanged": 0, "removed": 1}}
    assert sorted(FitDecision.objects.values_list("component__code", flat=True)) == ["C2", "C3"]
    assert {change.action for change in Change.objects.filter(edition__number=2)} == {"added", "removed"}
    with pytest.raises(Moved):
        row_edit(sheet="fit_decisions", key=None, values=values, at_edition=1, **WHO)
    assert row_edit(sheet="makers", key=None, values={"maker": "ALVA"}, **WHO).has_changes is False


def test_a_row_goes():
    with pytest.raises(BadParameters, match="there is no row ORM to remove"):
        row_edit(sheet="makers", key=["ORM"], values=None, **WHO)
    row_edit(sheet="makers", key=None, values={"maker": "ORM", "title": "Orm"}, **WHO)
    row_edit(sheet="makers", key=["ORM"], values=None, **WHO)
    assert Maker.objects.get().code == "ALVA"


def test_what_runs_with_a_row_sees_it_and_falls_with_it():
    seen = []
    values = {"maker": "ORM", "title": "Orm"}
    row_edit(
        sheet="makers", key=None, values=values, check=True, then=lambda: seen.append(Maker.objects.count()), **WHO
    )
    assert (seen, Maker.objects.count()) == ([2], 1)


def test_rows_are_found_by_their_keys():
    numbers = SHEETS["numbers"]
    row = row_by_key(numbers, ["Alva", "1234567", "C1", "", ""])
    assert row is not None
    assert numbers.get(row, "number") == "12 34 567"
    assert row_by_key_text(numbers, "Alva / 1234567 / C1 /  / ") == row
    assert row_by_key(numbers, ["Alva", "1234567"]) is None
    assert row_by_key(numbers, ["Alva", "12\x0034567", "C1", "", ""]) is None
    assert row_by_key(SHEETS["joints"], ["FX1", "arm.inner", "C1", "May", ""]) is None, "no date of a key"


def test_rows_are_found_by_words_of_their_keys_in_their_order():
    joints = SHEETS["joints"]
    pks = list(keys_holding(joints, "fx1 SPORT"))
    rows = rows_of_keys(joints, pks)
    assert [joints.get(row, "component") for _, row in rows] == ["C1", "C2"]
    assert [key for key, _ in rows_of_keys(joints, pks[::-1])] == [key for key, _ in rows][::-1]
    assert keys_holding(joints, "").count() == 4
    assert not keys_holding(joints, "fx1 toe.inner")
