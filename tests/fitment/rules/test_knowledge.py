"""More knowledge settles answers and never turns them round; asking in order ends."""

from dataclasses import replace
from random import Random

from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from catalog.codes import Verdict
from catalog.windows import Window
from fitment.domain.description import Description, Question
from fitment.domain.facts import Facts
from fitment.rules.answer import FitResult, answer
from fitment.rules.possible_cars import CarSpace
from fitment.rules.question import ChosenQuestion
from fitment.rules.residual import day_of
from tests.fitment.rules import small_catalogues

SLOW = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
SEEDS = st.integers(0, 2**32 - 1)


def answered(facts: Facts, car: Description, *, ask: bool = True) -> FitResult | None:
    space = CarSpace(facts, car)
    return answer(space, Question(car=car), staff=False, ask=ask) if len(space) else None


def told(car: Description, asked: ChosenQuestion, position: int) -> Description:
    """The car with one of the answers offered."""
    attribute, value = asked.attribute, asked.answers[position]
    if attribute.kind == "built":
        interval = asked.intervals[position]
        return replace(car, built=(*car.built, Window(day_of(interval.first), day_of(interval.last))))
    if attribute.kind == "option":
        return replace(car, options=tuple(sorted((*car.options, (attribute.option, bool(value))))))
    if attribute.kind == "component":
        return replace(car, components=tuple(sorted((*car.components, (attribute.place, str(value))))))
    return replace(car, **{attribute.name: value})


@SLOW
@given(SEEDS)
def test_more_knowledge_never_turns_fits_into_does_not_fit_or_back(seed):
    random = Random(seed)
    facts = small_catalogues.catalogue(random)
    less = small_catalogues.description(random, facts)
    more = small_catalogues.description(random, facts)
    stated = {**more.texts(), **less.texts()}
    options, components = dict(more.options) | dict(less.options), dict(more.components) | dict(less.components)
    both = Description(
        **stated,
        built=(*less.built, *more.built),
        registered=(*less.registered, *more.registered),
        model_years=(*less.model_years, *more.model_years),
        options=tuple(sorted(options.items())),
        components=tuple(sorted(components.items())),
    )
    before, after = answered(facts, less, ask=False), answered(facts, both, ask=False)
    assume(before is not None and after is not None)
    settled = {(one.place, one.part.code): one.verdict for one in before.answers}
    for one in after.answers:
        verdict = settled.get((one.place, one.part.code))
        if verdict in (Verdict.FITS, Verdict.DOES_NOT_FIT, Verdict.NOT_KNOWN):
            allowed = {
                Verdict.FITS: {Verdict.FITS},
                Verdict.DOES_NOT_FIT: {Verdict.DOES_NOT_FIT},
                Verdict.NOT_KNOWN: {Verdict.NOT_KNOWN, Verdict.DOES_NOT_FIT},
            }[verdict]
            assert one.verdict in allowed


@SLOW
@given(SEEDS)
def test_asking_in_order_ends_with_nothing_that_depends(seed):
    random = Random(seed)
    facts = small_catalogues.catalogue(random)
    car = Description()
    for _ in range(40):
        now = answered(facts, car)
        assert now is not None, "an answer offered left no possible car"
        if now.asked is None:
            assert now.platforms == 1
            assert not [one for one in now.answers if one.verdict is Verdict.DEPENDS]
            return
        # Where a joint may be missing or in conflict, that is an answer that is not offered.
        assume(now.asked.answers)
        car = told(car, now.asked, random.randrange(len(now.asked.answers)))
    raise AssertionError("asking does not end")


@SLOW
@given(SEEDS)
def test_each_answer_leaves_the_cars_and_the_open_answers_that_it_is_said_to_leave(seed):
    random = Random(seed)
    facts = small_catalogues.catalogue(random)
    car = small_catalogues.description(random, facts)
    before = answered(facts, car)
    assume(before is not None and before.asked is not None)
    assert before is not None
    asked = before.asked
    assert asked is not None
    for position in range(len(asked.answers)):
        after = answered(facts, told(car, asked, position), ask=False)
        assert after is not None
        assert asked.cars[position] == len(after.space)
        if before.platforms == 1:
            assert asked.left[position] == sum(one.verdict is Verdict.DEPENDS for one in after.answers)
        else:
            assert asked.left == ()
