"""How well a 'fits' is known, each level of it."""

from datetime import date

from catalog.codes import Basis
from fitment.domain.facts import FitDecision, Part, Revision, TestFit
from tests.fitment.rules.making import axle, car, decided, facts, joint, only, option, revision, tried

PASSED, LATER = date(2020, 3, 1), date(2020, 9, 1)


def basis(*revisions, **given):
    return only(facts(revisions=revisions, **given)).basis


def test_a_pass_on_a_car_of_the_same_drivetrain_and_steering_side():
    assert basis(revision("A", decided(), tests=(tried(PASSED, passed=True),))) is Basis.FITTED


def test_a_pass_on_a_sibling():
    for other in ({"drivetrain": "awd"}, {"steering": "right"}):
        found = basis(revision("A", decided(), tests=(tried(PASSED, passed=True, **other),)))
        assert found is Basis.FITTED_SIBLING


def test_a_decision_alone():
    assert basis(revision("A", decided())) is Basis.DECLARED


def test_a_pass_with_the_same_component_on_another_axle():
    elsewhere = tried(PASSED, passed=True, axle="OTHER", location="elsewhere")
    assert basis(revision("A", decided(), tests=(elsewhere,))) is Basis.SAME_COMPONENT
    other_place = tried(PASSED, passed=True, location="elsewhere")
    assert basis(revision("A", decided(), tests=(other_place,))) is Basis.DECLARED


def test_an_earlier_revision_carries_over_through_an_unbroken_run_of_exchanges():
    tested = revision("Y", tests=(tried(PASSED, passed=True),))
    between = revision("Z", exchange="one_way", status="concept")
    newest = revision("AA", decided(), exchange="both_ways")
    assert basis(tested, between, newest) is Basis.CARRIED_OVER
    for broken in ("", "none", "with_rework"):
        assert basis(tested, revision("Z", exchange=broken), newest) is Basis.DECLARED
        assert basis(tested, between, revision("AA", decided(), exchange=broken)) is Basis.DECLARED


def test_what_is_carried_over_names_where_it_comes_from():
    """The newest that was fitted; over several cars each that serves one of them; nothing under another basis."""
    passed, newest = (tried(PASSED, passed=True),), revision("D", decided(), exchange="one_way")
    only_left = revision("B", decided(conditions="option.T = yes", on=date(2020, 9, 2)), exchange="one_way",
                         tests=(*passed, tried(LATER, passed=False)))  # fmt: skip
    run = (revision("A", tests=passed), only_left, revision("C", exchange="one_way"), newest)
    of = facts(car(options=frozenset("T")), options=[option("T")], revisions=run)
    assert only(of, options=(("T", True),)).carried_from == ("B",)
    assert only(of, options=(("T", False),)).carried_from == ("A",)
    assert only(of).carried_from == ("B", "A")
    assert only(facts(revisions=(revision("A", decided(), tests=passed),))).carried_from == ()


def test_an_earlier_revision_whose_failure_stands_carries_nothing_over():
    tests = (tried(PASSED, passed=True), tried(LATER, passed=False))
    newest = revision("B", decided(), exchange="one_way")
    assert basis(revision("A", tests=tests), newest) is Basis.DECLARED
    answered = revision("A", decided(on=date(2020, 9, 2)), tests=tests)
    assert basis(answered, newest) is Basis.CARRIED_OVER


def test_the_basis_follows_an_approval_that_holds_for_some_cars_only():
    """A failure of the earlier revision is answered for cars with the option alone: the weakest counts."""
    tests = (tried(PASSED, passed=True), tried(LATER, passed=False))
    earlier = revision("A", decided(on=date(2020, 9, 2), conditions="option.T = yes"), tests=tests)
    newest = revision("B", decided(), exchange="one_way")
    of = facts(car(options=frozenset("T")), options=[option("T")], revisions=(earlier, newest))
    assert only(of).basis is Basis.DECLARED
    assert only(of, options=(("T", True),)).basis is Basis.CARRIED_OVER


def test_a_measured_interface_is_stronger_than_a_decision_alone():
    of = facts(drops_in=frozenset({("P", "A", "C", "FX", "arm")}))
    assert only(of).basis is Basis.MEASURED


def test_the_weakest_over_the_cars_that_the_named_revision_fits():
    tests = (tried(PASSED, passed=True),)
    of = facts(car("A"), car("B", drivetrain="awd"), revisions=(revision("A", decided(), tests=tests),))
    assert only(of).basis is Basis.FITTED_SIBLING
    assert only(of, drivetrain="rwd").basis is Basis.FITTED


def test_components_that_the_revision_does_not_fit_say_nothing():
    rows = (joint("C", alternative=True), joint("D", alternative=True))
    one = Revision(
        "A", "released", decisions={"C": (decided(),)},
        tests={"C": (tried(PASSED, passed=True),), "D": (TestFit("FX", "arm", "D", PASSED, True, "awd", "right"),)},
    )  # fmt: skip
    assert only(facts(axles=(axle(arm=rows),), parts=(Part("P", revisions=(one,)),))).basis is Basis.FITTED


def test_decisions_behind_the_reasons_are_those_that_hold():
    here = decided(remark="turn it")
    there = FitDecision("approved", LATER, decided(conditions="body = estate").conditions, remark="not here")
    assert [one.remark for one in only(facts(revisions=(revision("A", here, there),))).decisions] == ["turn it"]
