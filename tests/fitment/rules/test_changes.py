"""The bare answers of a car, and how they differ before and after a change."""

from datetime import date

import pytest

from catalog.codes import Basis, Verdict
from fitment.domain.description import Description
from fitment.domain.facts import Part
from fitment.rules.changes import BareAnswer, bare_answers, differing
from fitment.rules.possible_cars import CarSpace
from tests.fitment.rules.making import PLACE, axle, car, decided, facts, joint, option, revision, tried

FITS = BareAnswer(Verdict.FITS, "B", Basis.FITTED)
ARM, LINK, REAR = (("front", "arm"), "P"), (("front", "link"), "P"), (("rear", "arm"), "A")


def bare(of, wanted=lambda place, part: True):
    return {key: listed.bare for key, listed in bare_answers(CarSpace(of, Description()), wanted).items()}


@pytest.mark.parametrize(
    "other",
    [
        BareAnswer(Verdict.DEPENDS, "B", Basis.FITTED),
        BareAnswer(Verdict.FITS, "C", Basis.FITTED),
        BareAnswer(Verdict.FITS, None, Basis.FITTED),
        BareAnswer(Verdict.FITS, "B", Basis.DECLARED),
        BareAnswer(Verdict.FITS, "B", None),
    ],
)
def test_answers_differ_by_verdict_revision_or_basis(other):
    assert differing({ARM: FITS}, {ARM: other}) == [(ARM, FITS, other)]
    assert differing({ARM: other}, {ARM: FITS}) == [(ARM, other, FITS)]
    assert FITS.as_json() != other.as_json()


def test_equal_answers_do_not_differ_and_one_that_is_listed_on_one_side_alone_does():
    same = BareAnswer(Verdict.FITS, "B", Basis.FITTED)
    assert differing({ARM: FITS}, {ARM: same}) == []
    assert differing({ARM: FITS}, {}) == [(ARM, FITS, None)]
    assert differing({}, {ARM: FITS}) == [(ARM, None, FITS)]
    assert differing({LINK: FITS, ARM: FITS}, {ARM: same, REAR: FITS}) == [(LINK, FITS, None), (REAR, None, FITS)]


def test_differences_stand_by_place_then_part():
    before = {REAR: FITS, LINK: FITS, (("front", "arm"), "Q"): FITS, ARM: FITS}
    assert [key for key, _, _ in differing(before, {})] == [ARM, (("front", "arm"), "Q"), LINK, REAR]


def test_an_answer_has_the_newest_revision_that_fits_and_how_that_is_known():
    parts = (
        Part(
            "P",
            revisions=(
                revision("A", decided()),
                revision("B", decided(), tests=(tried(date(2021, 1, 1), passed=True),)),
            ),
        ),
        Part("R", revisions=(revision("A", decided("rejected")),)),
    )
    assert bare(facts(parts=parts)) == {
        (PLACE, "P"): BareAnswer(Verdict.FITS, "B", Basis.FITTED),
        (PLACE, "R"): BareAnswer(Verdict.DOES_NOT_FIT, None, None),
    }


def test_one_that_depends_names_its_revision_with_the_weakest_basis_where_it_fits():
    of = facts(
        car(options=frozenset({"RIDE"})),
        options=(option("RIDE"),),
        revisions=(revision("A", decided(conditions="option.RIDE = yes")),),
    )
    assert bare(of) == {(PLACE, "P"): BareAnswer(Verdict.DEPENDS, "A", Basis.DECLARED)}


def test_what_is_behind_an_answer_is_the_part_and_the_revision_named():
    of = facts(
        parts=(
            Part("P", revisions=(revision("A", decided()),)),
            Part("R", revisions=(revision("A", decided("rejected")),)),
        )
    )
    found = bare_answers(CarSpace(of, Description()), lambda place, part: True)
    assert found[PLACE, "P"].part is of.parts["P"]
    assert found[PLACE, "P"].named is of.parts["P"].revisions[0]
    assert found[PLACE, "R"].named is None


def test_places_and_parts_that_are_not_wanted_are_left_out():
    axles = (axle(arm=(joint(),), link=(joint(),)),)
    of = facts(
        axles=axles,
        parts=(Part("P", revisions=(revision("A", decided()),)), Part("Q", revisions=(revision("A", decided()),))),
    )
    assert len(bare(of)) == 4
    assert bare(of, lambda place, part: place == PLACE and part == "Q").keys() == {(PLACE, "Q")}
    assert bare(of, lambda place, part: part == "P").keys() == {(PLACE, "P"), (("front", "link"), "P")}
    assert bare(of, lambda place, part: False) == {}


@pytest.mark.parametrize(
    "hidden",
    [
        revision("A", decided(), status="prototype"),
        revision("A", decided(), held=True),
        revision("A", decided("proposed")),
    ],
)
def test_what_the_public_is_not_told_is_not_listed(hidden):
    assert bare(facts(revisions=(hidden,))) == {}
