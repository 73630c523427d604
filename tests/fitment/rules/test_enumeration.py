"""Every clause at once: random small catalogues against an enumeration of all possible cars, day by day."""

from random import Random

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from fitment.rules.answer import verdict_intervals
from tests.fitment.rules import oracle, small_catalogues
from tests.fitment.rules.shown import closed, shown

SLOW = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
SEEDS = st.integers(0, 2**32 - 1)


@SLOW
@given(SEEDS)
def test_answers_are_those_of_the_enumeration(seed):
    random = Random(seed)
    facts = small_catalogues.catalogue(random)
    for staff in (False, True):
        question = small_catalogues.question(random, facts)
        got = shown(facts, question, staff=staff)
        assert got == closed(oracle.answer(facts, question, staff=staff), got)


@settings(SLOW, max_examples=25)
@given(SEEDS)
def test_the_cars_of_a_part_are_those_of_the_enumeration(seed):
    facts = small_catalogues.catalogue(Random(seed))
    for part in facts.parts.values():
        got = {
            (row.variant, row.end, row.location, row.built_from, row.built_to, row.verdict.value, row.revision)
            for variant in facts.variants
            for row in verdict_intervals(facts, part, variant)
        }
        assert got == oracle.part_cars(facts, part)
