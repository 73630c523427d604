"""Why a revision has its outcome: the first reason that applies, and what lifts a failed test fit."""

from datetime import date

import pytest

from catalog.codes import Reason, Verdict
from fitment.domain.facts import Part
from tests.fitment.rules.making import PLACE, axle, car, decided, facts, joint, only, option, revision, tried

FAILED = date(2020, 6, 10)
BEFORE, SAME_DAY, AFTER = date(2020, 6, 9), FAILED, date(2020, 6, 11)


def reasons(*decisions, tests=(), **given):
    return only(facts(revisions=(revision("A", *decisions, tests=tests),), **given)).reasons


def test_a_rejection_comes_before_an_approval():
    assert reasons(decided("rejected"), decided("approved")) == {Reason.REJECTED}


def test_a_rejection_counts_only_where_its_conditions_hold():
    assert reasons(decided("rejected", conditions="body = estate"), decided()) == {Reason.APPROVED}
    assert reasons(decided("rejected", conditions="body != estate"), decided()) == {Reason.REJECTED}


def test_a_proposal_decides_nothing_by_itself():
    assert reasons(decided("proposed"), decided(conditions="body = estate")) == {Reason.UNDECIDED}


@pytest.mark.parametrize(("approved_on", "reason"), [
    (BEFORE, Reason.UNDER_REVIEW), (SAME_DAY, Reason.UNDER_REVIEW), (AFTER, Reason.APPROVED),
])  # fmt: skip
def test_a_later_days_approval_answers_a_failure(approved_on, reason):
    assert reasons(decided(on=approved_on), tests=(tried(FAILED, passed=False),)) == {reason}


def test_only_an_approval_that_is_true_here_answers_a_failure():
    later = decided(on=AFTER, conditions="body = estate")
    assert reasons(decided(on=BEFORE), later, tests=(tried(FAILED, passed=False),)) == {Reason.UNDER_REVIEW}


@pytest.mark.parametrize(("passed_on", "car_of", "reason"), [
    (AFTER, {}, Reason.APPROVED),
    (SAME_DAY, {}, Reason.UNDER_REVIEW),
    (BEFORE, {}, Reason.UNDER_REVIEW),
    (AFTER, {"drivetrain": "awd"}, Reason.UNDER_REVIEW),
    (AFTER, {"steering": "right"}, Reason.UNDER_REVIEW),
])  # fmt: skip
def test_a_later_days_pass_on_a_car_like_the_failing_one_answers_a_failure(passed_on, car_of, reason):
    tests = (tried(FAILED, passed=False), tried(passed_on, passed=True, **car_of))
    assert reasons(decided(on=BEFORE), tests=tests) == {reason}


def test_every_failure_needs_its_answer():
    tests = (tried(FAILED, passed=False), tried(FAILED, passed=False, drivetrain="awd"), tried(AFTER, passed=True))
    assert reasons(decided(on=BEFORE), tests=tests) == {Reason.UNDER_REVIEW}


def test_a_failure_elsewhere_puts_nothing_under_review_here():
    elsewhere = (tried(FAILED, passed=False, axle="OTHER"), tried(FAILED, passed=False, location="other"))
    assert reasons(decided(on=BEFORE), tests=elsewhere) == {Reason.APPROVED}


def test_no_axle_is_not_known_and_no_such_location_does_not_fit():
    other = axle("FY", other=(joint("D"),))
    of = facts(car("A", front_axle=None), car("B", front_axle="FY"), car("C"), axles=(axle(arm=(joint(),)), other))
    found = {one.place: one for one in [only(of)]}[PLACE]
    assert found.reasons == {Reason.NO_AXLE, Reason.NO_SUCH_LOCATION, Reason.APPROVED}
    assert found.verdict is Verdict.DEPENDS


def test_different_components_not_all_marked_alternative_are_a_conflict():
    marked, unmarked = joint("D", alternative=True), joint("C")
    sure = car("B", body="estate")
    rows = (unmarked, joint("D", conditions="body = saloon", alternative=True))
    found = only(facts(car("A"), sure, axles=(axle(arm=rows),)))
    assert found.reasons == {Reason.CONFLICT, Reason.APPROVED}
    both = only(facts(axles=(axle(arm=(joint("C", alternative=True), marked)),)))
    assert both.reasons == {Reason.APPROVED, Reason.UNDECIDED}


def test_a_gap_between_windows_leaves_no_component():
    rows = (joint("C", None, date(2020, 3, 31)), joint("C", date(2020, 4, 2), None))
    assert only(facts(axles=(axle(arm=rows),))).reasons == {Reason.APPROVED, Reason.NO_COMPONENT}


def test_staff_see_what_proposals_would_make_of_other_revisions():
    revisions = (
        revision("A", decided("proposed"), status="prototype"),
        revision("B", decided(), held=True),
        revision("C", decided(), status="withdrawn"),
        revision("D", decided(conditions="option.T = yes")),
    )
    of = facts(car(options=frozenset("T")), options=[option("T")], parts=(Part("P", revisions=revisions),))
    found = only(of, staff=True)
    assert found.named is not None
    assert found.named.letter == "D"
    assert [(one.revision, one.status, one.hold, one.verdict) for one in found.internal] == [
        ("C", "withdrawn", False, Verdict.FITS),
        ("B", "released", True, Verdict.FITS),
        ("A", "prototype", False, Verdict.FITS),
    ]
    assert only(of).internal is None


def test_verdicts_name_the_newest_revision_and_list_the_others():
    revisions = (
        revision("Y", decided()),
        revision("Z", decided(conditions="option.T = yes")),
        revision("AA", decided(conditions="option.T = no")),
    )
    of = facts(car(options=frozenset("T")), options=[option("T")], revisions=revisions)
    assert (only(of).verdict, only(of).named.letter, only(of).others) == (Verdict.FITS, "Y", ())
    of = facts(car(options=frozenset("T")), options=[option("T")], revisions=revisions[1:])
    found = only(of)
    assert (found.verdict, found.named.letter) == (Verdict.DEPENDS, "AA")
    assert [one.letter for one in found.others] == ["Z"]


def test_does_not_fit_is_said_of_the_newest_revision_alone():
    revisions = (revision("A", decided("rejected")), revision("B"))
    assert only(facts(revisions=revisions)).verdict is Verdict.NOT_KNOWN
    revisions = (revision("A"), revision("B", decided("rejected")))
    assert only(facts(revisions=revisions)).verdict is Verdict.DOES_NOT_FIT
