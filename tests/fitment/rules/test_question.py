"""What is asked next, and in which order."""

from datetime import date
from fractions import Fraction

from fitment.domain.facts import Part
from fitment.rules.residual import day_of
from tests.fitment.rules.making import ask, axle, car, decided, facts, joint, option, revision


def by(condition: str, *variants, **given):
    """Facts whose part fits under one condition."""
    return facts(*variants, revisions=(revision("A", decided(conditions=condition)),), **given)


def asked(of, **stated):
    found = ask(of, **stated).asked
    return None if found is None else (found.attribute.name, found.answers, found.expected)


def test_the_attribute_that_leaves_the_fewest_undecided_on_average():
    cars = (car("A", in_operation=3), car("B", engine="E30", body="estate", in_operation=1), car("C", body="estate"))
    assert asked(by("engine = E30", *cars)) == ("engine", ("E20", "E30"), Fraction(0))


def test_weights_are_cars_in_operation_and_days():
    """Only C fits. Body leaves {A, C} undecided, market {C, D}: which is less depends on the weights of A and D."""

    def weighed(of_a, of_d, built_to=date(2020, 12, 31)):
        cars = (
            car("A", in_operation=of_a),
            car("C", engine="E30", market="UK", in_operation=2),
            car("D", body="estate", market="UK", in_operation=of_d, built_to=built_to),
        )
        found = ask(by("engine = E30", *cars), skipped=("engine", "built"), registered=(date(2020, 12, 31),)).asked
        return found.attribute.name, found.expected

    assert weighed(3, 4) == ("body", Fraction(5, 9))
    assert weighed(4, 3) == ("market", Fraction(5, 9))
    # An open window weighs its 366 days to the stated day, as the closed one of the whole leap year does.
    assert weighed(4, 3, built_to=None) == ("market", Fraction(5, 9))


def test_equals_are_settled_by_what_matters_on_its_own_and_then_by_the_order():
    one, other = car("A", engine="E20", body="saloon"), car("B", engine="E30", body="estate")
    # Each alone settles it and neither matters beside the other: body is first in the order.
    assert asked(by("engine = E30", one, other))[0] == "body"
    more = car("C", engine="E30", body="saloon", in_operation=0)
    assert asked(by("engine = E30", one, other, more))[0] == "engine"


def test_what_tells_cars_apart_by_nothing_else_is_the_variant():
    cars = (car("A"), car("B", front_axle=None))
    assert asked(by("", *cars)) == ("variant", ("A", "B"), Fraction(0))
    assert asked(by("", *cars), skipped=("variant",)) is None


def test_an_option_is_asked_for_with_yes_first():
    of = by("option.T = yes", car(options=frozenset("T")), options=[option("T")])
    assert asked(of) == ("option.T", (True, False), Fraction(0))
    assert asked(of, skipped=("option.T",)) is None


def test_an_option_of_a_required_group_matters_on_its_own():
    of = by(
        "option.R1 = yes",
        car(options=frozenset({"R1", "R2"})),
        options=[option("R1", "ride", required=True), option("R2", "ride", required=True)],
    )
    (found,) = ask(of).answers
    assert found.undecided_by == ("option.R1", "option.R2")


def test_in_a_free_group_the_other_options_are_part_of_the_description():
    of = by(
        "option.B1 = yes", car(options=frozenset({"B1", "B2"})), options=[option("B1", "brake"), option("B2", "brake")]
    )
    (found,) = ask(of).answers
    assert found.undecided_by == ("option.B1",)


def test_build_days_fall_into_intervals_on_which_nothing_changes():
    of = by("built = 2020-03..2020-04 | 2020-08-15..")
    found = ask(of).asked
    assert found.attribute.name == "built"
    assert [(day_of(one.first), day_of(one.last)) for one in found.intervals] == [
        (date(2020, 1, 1), date(2020, 2, 29)),
        (date(2020, 3, 1), date(2020, 4, 30)),
        (date(2020, 5, 1), date(2020, 8, 14)),
        (date(2020, 8, 15), date(2020, 12, 31)),
    ]


def test_the_last_interval_of_an_open_window_is_open():
    found = ask(by("built = 2020-03..", car(built_to=None))).asked
    assert day_of(found.intervals[-1].last) is None


def test_an_interval_ends_on_its_last_possible_day():
    early, late = car("A", built_to=date(2020, 1, 31)), car("B", built_from=date(2020, 6, 1), front_axle=None)
    found = ask(by("", early, late)).asked
    assert [(day_of(one.first), day_of(one.last)) for one in found.intervals] == [
        (date(2020, 1, 1), date(2020, 1, 31)),
        (date(2020, 6, 1), date(2020, 12, 31)),
    ]


def test_a_joint_is_asked_for_where_alternatives_leave_a_choice():
    rows = (joint("C", alternative=True), joint("D", alternative=True))
    assert asked(by("", axles=(axle(arm=rows),))) == ("component.front.arm", ("C", "D"), Fraction(0))
    changed = (joint("C", None, date(2020, 6, 30)), joint("D", date(2020, 7, 1), None))
    assert asked(by("", axles=(axle(arm=changed),)))[0] == "built"


def test_no_component_is_an_answer_that_is_not_offered():
    rows = (joint("C", alternative=True), joint("D", date(2020, 1, 1), date(2020, 12, 31), alternative=True))
    cars = (car("A"), car("B", front_axle=None))
    found = asked(by("", *cars, axles=(axle(arm=rows),)), skipped=("variant",))
    # One half of the cars has no axle there: its answer counts in the average, and is no choice.
    assert found == ("component.front.arm", ("C", "D"), Fraction(0))


def test_a_joint_elsewhere_may_tell_the_build_day():
    """Where the build day is not known, the joint that changed on the same day settles the place that depends."""
    changed = (joint("C", None, date(2020, 6, 30)), joint("D", date(2020, 7, 1), None))
    elsewhere = (
        joint("X", None, date(2020, 6, 30), alternative=True),
        joint("Y", date(2020, 6, 1), None, alternative=True),
    )
    of = by("", axles=(axle(arm=changed, toe=elsewhere),))
    found = asked(of, skipped=("built",))
    # X alone means June 30 at the latest; Y leaves June and what follows.
    assert found[0] == "component.front.toe"
    assert 0 < found[2] < 1


def test_cars_that_weigh_nothing_count_each_answer_the_same():
    """Only days after the end of the weights are left: two answers, one of them undecided for ever."""
    rows = (
        joint("C", date(2030, 1, 1), None, alternative=True),
        joint("D", date(2030, 1, 1), None, alternative=True, conditions="option.T = yes"),
    )
    of = by(
        "option.T = yes",
        car(built_to=None, options=frozenset("T")),
        axles=(axle(arm=rows, toe=(joint("Z", date(2030, 1, 1), None),)),),
        options=[option("T")],
        as_of=date(2021, 1, 1),
    )
    found = ask(of, components=((("front", "toe"), "Z"),)).asked
    assert found.attribute.name == "option.T"
    assert found.expected == Fraction(1, 2)


def test_several_platforms_are_told_apart_first():
    cars = (car("A", chassis="Q"), car("B", chassis="P", body="estate"), car("C", maker="N", chassis="P"))
    assert asked(by("", *cars))[0] == "maker"
    assert asked(by("", *cars), skipped=("maker",))[0] == "chassis"
    assert asked(by("", *cars), skipped=("maker", "chassis"))[0] == "body"
    found = ask(by("", *cars))
    assert (found.undecided, found.answers, found.platforms) == (None, (), 3)


def test_several_platforms_may_be_told_apart_by_the_build_day():
    early, late = car("A", chassis="Q", built_to=date(2020, 6, 30)), car("B", chassis="P", built_from=date(2020, 6, 1))
    found = ask(by("", early, late), skipped=("chassis",)).asked
    assert found.attribute.name == "built"
    assert [(day_of(one.first), day_of(one.last)) for one in found.intervals] == [
        (date(2020, 1, 1), date(2020, 5, 31)),
        (date(2020, 6, 1), date(2020, 6, 30)),
        (date(2020, 7, 1), date(2020, 12, 31)),
    ]
    alike = (car("A", chassis="Q"), car("B", chassis="P"))
    assert ask(by("", *alike), skipped=("chassis",)).asked is None


def test_questions_serve_the_answers_asked_for_only():
    parts = (
        Part("P", duty="road", revisions=(revision("A", decided(conditions="engine = E30")),)),
        Part("R", duty="competition", revisions=(revision("A", decided(conditions="body = estate")),)),
    )
    of = facts(car("A"), car("B", engine="E30"), car("C", body="estate"), parts=parts)
    found = ask(of)
    assert found.undecided == 2
    assert {one.part.code: one.undecided_by for one in found.answers} == {"P": ("engine",), "R": ("body",)}
