"""A printed instruction: its code, whether it is current, and which changes since its edition concern it."""

import pytest

from catalog.codes import Role
from catalog.models import Catalogue, Change, Edition, Fastener
from fitment.query.job_parameters import parse_job
from fitment.services.jobs.instructions import compare_instruction
from fitment.services.jobs.planning import plan_job
from tests import factories


@pytest.fixture
def request_of(db):
    factories.small_catalogue()
    return parse_job({"variant": ["QN4-20-SAL"], "part": ["LM-210"]}, Role.PUBLIC)


def changed(sheet, row, before, after, number=2):
    edition, _ = Edition.objects.get_or_create(number=number, defaults={"counts": {}})
    Change.objects.create(edition=edition, sheet=sheet, row_key=row, action="changed", before=before, after=after)


def test_the_code_of_a_job_is_the_one_that_was_printed_before(request_of):
    """A sheet in a workshop stays current as long as nothing printed changes: names and values of an answer's fields
    are part of it. A change of this code supersedes every sheet that was ever printed."""
    assert plan_job(request=request_of, viewer=Role.PUBLIC).instruction == "77TZ6XJTPJ"


def test_which_edition_it_is_is_not_printed(request_of):
    code = plan_job(request=request_of, viewer=Role.PUBLIC).instruction
    factories.next_edition()
    assert plan_job(request=request_of, viewer=Role.PUBLIC).instruction == code


def test_current_until_something_printed_changes(request_of):
    code = plan_job(request=request_of, viewer=Role.PUBLIC).instruction
    check = compare_instruction(code=code, request=request_of, since=None, viewer=Role.PUBLIC)
    assert (check.current, check.now, check.reason, check.changes) == (True, code, None, ())
    Fastener.objects.update(angle_deg="120")
    Catalogue.objects.update(edition=2)
    check = compare_instruction(code=code, request=request_of, since=None, viewer=Role.PUBLIC)
    assert not check.current
    assert check.now not in (None, code)


def test_a_job_that_is_refused_today_is_an_answer_with_its_reason(request_of):
    Catalogue.objects.update(edition=2)
    from catalog.models import Way

    Way.objects.all().delete()
    check = compare_instruction(code="2" * 10, request=request_of, since=None, viewer=Role.PUBLIC)
    assert (check.current, check.now, check.reason) == (False, None, "no_plan")
    assert check.detail == "There is no way in with this equipment"


def test_only_changes_of_what_the_job_reads_are_told_and_only_columns_that_anybody_may_see(request_of):
    axle, other = {"axle": "FX1", "operation": "arm_off"}, {"axle": "RX9", "operation": "arm_off"}
    changed("operations", "FX1/arm_off", {**axle, "title": "Arm"}, {**axle, "title": "Arm off"})
    changed("operations", "RX9/arm_off", {**other, "title": "Arm"}, {**other, "title": "Arm off"})
    revision = {"part": "LM-210", "revision": "B"}
    changed("revisions", "LM-210/B", {**revision, "reason": "x"}, {**revision, "reason": "y"})
    changed("revisions", "LM-210/C", {**revision, "revision": "C", "change": "x"}, {**revision, "revision": "C"})
    changed("hazards", "raised_car", {"hazard": "raised_car", "title": "a"}, {"hazard": "raised_car", "title": "b"})
    changed("operations", "FX1/raise", {**axle, "title": "Old"}, {**axle, "title": "Older"}, number=1)
    check = compare_instruction(code="2" * 10, request=request_of, since=1, viewer=Role.PUBLIC)
    assert [(one.edition, one.row, one.columns) for one in check.changes] == [
        (2, "raised_car", ("title",)),
        (2, "FX1/arm_off", ("title",)),
    ]
