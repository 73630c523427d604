"""What nobody reads costs nothing: counted in pieces that cars are taken apart into, not in seconds."""

from datetime import date
from fractions import Fraction

import pytest

from fitment.domain.description import Description, Question
from fitment.domain.facts import Facts, Part
from fitment.errors import TooMuchWork
from fitment.rules.answer import FitResult, answer
from fitment.rules.possible_cars import CarSpace
from tests.fitment.rules.making import ask, axle, car, decided, facts, joint, option, revision


def catalogue(options: int, places: int, *, alike: int = 1) -> Facts:
    """Cars with free options, one of which one row reads, and alternatives at every place."""
    codes = [f"O{number:02}" for number in range(options)]
    first = joint("C", alternative=True, conditions="option.O00 = yes")
    rest = (joint("D", alternative=True), joint("E", alternative=True))
    locations = {
        f"arm{number}": (first if number == 0 else joint("C", alternative=True), *rest) for number in range(places)
    }
    cars = [car(f"V{number}", options=frozenset(codes[number:])) for number in range(alike)]
    return facts(*cars, axles=(axle(**locations),), options=[option(code) for code in codes])


def answered(of: Facts) -> tuple[FitResult, int]:
    space = CarSpace(of, Description())
    return answer(space, Question(), staff=True), sum(region.pieces for region in space)


@pytest.mark.parametrize("alike", [1, 4])
def test_options_and_alternatives_that_no_row_reads_are_not_multiplied_out(alike):
    _, few = answered(catalogue(4, 6, alike=alike))
    found, many = answered(catalogue(12, 6, alike=alike))
    assert len(found.answers) == 6
    # Each further option is looked at once (is it worth asking?), never together with the others.
    assert many <= few + (12 - 4) * 2 * alike
    # All of them together would be at least 2**12 option sets times 2 * 3**5 fillings.
    assert many < 200 * alike


def test_weights_are_still_those_of_all_option_sets():
    found, _ = answered(catalogue(12, 1))
    assert found.asked is not None
    # C is there with O00 only, and then as one of three: 1/6. D and E share the rest and are undecided.
    assert found.asked.attribute.name == "component.front.arm0"
    assert found.asked.expected == Fraction(0)


def test_too_many_things_that_are_read_together_are_refused():
    codes = [f"O{number:02}" for number in range(18)]
    conditions = [f"option.{code} = yes" for code in codes]
    revisions = (revision("A", *(decided(conditions=condition) for condition in conditions)),)
    of = facts(
        car(options=frozenset(codes)), options=[option(code) for code in codes], parts=(Part("P", revisions=revisions),)
    )
    with pytest.raises(TooMuchWork):
        ask(of)
    # State more, and it is answered.
    stated = tuple((code, False) for code in codes[4:])
    assert ask(of, options=stated).undecided == 1


def test_a_large_platform_of_cars_alike_is_answered():
    cars = [
        car(f"V{number:03}", built_from=date(2020, 1, 1 + number % 28), designation=str(number % 7))
        for number in range(150)
    ]
    found = ask(facts(*cars, revisions=(revision("A", decided(conditions="designation = 3")),)))
    assert found.asked is not None
    assert found.asked.attribute.name == "designation"
