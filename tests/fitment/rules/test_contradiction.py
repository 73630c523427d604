"""The fewest stated facts that no car meets together."""

from datetime import date

from catalog.windows import parse_range
from fitment.domain.description import Description
from fitment.domain.facts import Facts
from fitment.rules.contradiction import fewest_contradicting
from fitment.rules.possible_cars import CarSpace
from tests.fitment.rules.making import axle, car, facts, joint, option

CARS = (
    car("A", options=frozenset({"T"})),
    car("B", body="estate", built_from=date(2018, 1, 1), built_to=date(2018, 12, 31)),
    car("C", maker="N", engine="E30"),
)
FACTS = facts(*CARS, options=[option("T")])


def named(**stated):
    return fewest_contradicting(FACTS, Description(**stated))


def test_one_fact_that_no_car_meets():
    assert named(maker="M", market="XX", body="estate") == ["market"]


def test_two_facts_that_no_car_meets_together():
    assert named(body="estate", market="EU", built=(parse_range("2020"),)) == ["body", "built"]


def test_of_several_sets_of_one_size_the_first_in_order():
    assert named(variant="A", maker="N", body="estate") == ["variant", "maker"]
    assert named(maker="N", body="estate", registered=(date(2018, 6, 1),)) == ["maker", "body"]


def test_three_facts_of_which_each_two_are_met():
    of = facts(car("A"), car("B", body="estate", engine="E30"), car("C", maker="N", engine="E30"))
    for two in ({"maker": "M", "body": "saloon"}, {"maker": "M", "engine": "E30"}, {"body": "saloon", "engine": "E30"}):
        assert len(CarSpace(of, Description(**two))) > 0
    stated = Description(maker="M", body="saloon", engine="E30", market="EU")
    assert fewest_contradicting(of, stated) == ["maker", "body", "engine"]


def test_days_that_exclude_each_other():
    assert named(maker="M", built=(parse_range("2020"),), model_years=(2018,)) == ["built", "model_year"]
    assert named(maker="M", built=(parse_range("2020"), parse_range("2018"))) == ["built"]


def test_an_option_and_a_joint():
    assert named(maker="N", options=(("T", True),)) == ["maker", "option.T"]
    assert named(maker="M", components=((("front", "arm"), "D"),)) == ["component.front.arm"]


def test_a_joint_that_the_day_excludes():
    rows = (joint("C", None, date(2020, 6, 30)), joint("D", date(2020, 7, 1), None))
    of = facts(axles=(axle(arm=rows),))
    stated = Description(maker="M", registered=(date(2020, 3, 1),), components=((("front", "arm"), "D"),))
    assert fewest_contradicting(of, stated) == ["registered", "component.front.arm"]


def test_an_empty_catalogue_meets_nothing():
    assert fewest_contradicting(Facts((), {}, {}, {}), Description(maker="M")) == []
