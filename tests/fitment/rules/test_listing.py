"""Which parts are answered where, and what is said to be unknown."""

from datetime import date

from catalog.codes import Verdict
from fitment.answers.fit import UnknownAxle, UnknownLocation
from fitment.domain.description import Description, Question
from fitment.domain.facts import Axle, Part, Revision
from fitment.rules.answer import answer
from fitment.rules.possible_cars import CarSpace
from tests.fitment.rules.making import PLACE, ask, axle, car, decided, facts, joint, revision


def listed(of, *, staff=False, **restrictions):
    question = Question(**restrictions)
    return [(one.part.code, one.place) for one in answer(CarSpace(of, question.car), question, staff=staff).answers]


def test_unasked_a_part_is_listed_where_a_visible_revision_has_a_decision():
    assert listed(facts()) == [("P", PLACE)]
    assert listed(facts(revisions=(revision("A", decided("rejected")),))) == [("P", PLACE)]
    assert listed(facts(revisions=(revision("A", decided("proposed")),)), staff=True) == []
    assert listed(facts(revisions=(revision("A", decided(), held=True),)), staff=True) == []
    assert listed(facts(revisions=(revision("A", decided(), status="prototype"),)), staff=True) == []


def test_conditions_that_exclude_this_car_still_list_the_part():
    of = facts(revisions=(revision("A", decided(conditions="body = estate")),))
    assert listed(of) == [("P", PLACE)]


def test_a_conflict_is_no_component_to_list_for():
    of = facts(axles=(axle(arm=(joint("C"), joint("D"))),))
    assert listed(of) == []
    assert ask(of).unknown_locations == (UnknownLocation("front", "arm", "all"),)


def test_a_part_asked_for_is_answered_wherever_the_catalogue_places_its_components():
    other = axle("FY", arm=(joint("D"),), toe=(joint("C"),))
    of = facts(car(), axles=(axle(arm=(joint("D"),)), other))
    assert listed(of) == []
    assert listed(of, parts=("P",)) == [("P", ("front", "toe"))]


def test_staff_are_answered_at_the_places_of_any_decision():
    revisions = (revision("A", decided("proposed"), status="prototype"),)
    of = facts(revisions=revisions)
    assert listed(of, parts=("P",)) == [("P", None)]
    assert listed(of, parts=("P",), staff=True) == [("P", PLACE)]


def test_a_part_placed_nowhere_is_answered_once_whatever_the_place():
    of = facts(parts=(Part("P", "road", revisions=(Revision("A", "released"),)),))
    question = Question(parts=("P",), ends=frozenset({"rear"}), locations=frozenset({"toe"}))
    (found,) = answer(CarSpace(of, Description()), question, staff=True).answers
    assert (found.place, found.verdict, found.reasons) == (None, Verdict.NOT_KNOWN, {"undecided"})
    assert [(one.revision, one.verdict) for one in found.internal] == [("A", Verdict.NOT_KNOWN)]
    assert listed(of, parts=("P",), duties=frozenset({"competition"})) == []


def test_answers_are_restricted_by_place_duty_and_technology():
    of = facts(parts=(Part("P", "road", "ball", (revision("A", decided()),)),))
    assert listed(of, ends=frozenset({"rear"})) == []
    assert listed(of, locations=frozenset({"arm"}), ends=frozenset({"front"})) == [("P", PLACE)]
    assert listed(of, duties=frozenset({"competition"})) == []
    assert listed(of, technologies=frozenset({"ball"})) == [("P", PLACE)]


def test_unknown_locations_are_those_in_our_range():
    locations = {"arm": True, "strut": False, "toe": True}
    bare = Axle("FX", "front", locations, {"toe": (joint("C", None, date(2020, 6, 30)),)})
    found = ask(facts(axles=(bare,))).unknown_locations
    assert found == (UnknownLocation("front", "arm", "all"), UnknownLocation("front", "toe", "some"))


def test_a_location_that_not_every_car_has_is_unknown_in_some():
    other = Axle("FY", "front", {"toe": True})
    cars = (car("A"), car("B", front_axle="FY"))
    assert ask(facts(*cars, axles=(axle(arm=()), other))).unknown_locations == (
        UnknownLocation("front", "arm", "some"),
        UnknownLocation("front", "toe", "some"),
    )


def test_ends_without_an_axle():
    found = ask(facts(car("A"), car("B", front_axle=None))).unknown_axles
    assert found == (UnknownAxle("front", "some"), UnknownAxle("rear", "all"))
    of = facts(car("A", front_axle=None))
    question = Question(locations=frozenset({"arm"}))
    assert answer(CarSpace(of, Description()), question, staff=False).unknown_axles == (UnknownAxle("front", "all"),)
