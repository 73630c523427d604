"""Which components a blank serves, and why others are left out."""

from dataclasses import replace
from fractions import Fraction

import pytest

from catalog.codes import MatchVerdict
from fitment.domain.interfaces import ComponentInterface
from fitment.engineering.families import LeftOut, Uncovered, family_of
from fitment.engineering.matching import match
from fitment.engineering.tolerances import Interval
from tests.fitment.engineering.pieces_made import BLANK, CLEVIS, EYE, PART, SLEEVED, asking

BLANKED = replace(SLEEVED, blank=BLANK)


def eye(code: str, bore: float, gap: float = 50.2, bolt: float = 12.0) -> ComponentInterface:
    return replace(
        CLEVIS,
        code=code,
        bore=Interval(bore, bore + 0.03),
        clevis_gap=Interval(gap - 0.1, gap + 0.1),
        bolt=Interval(bolt, bolt),
    )


def waiting(component: ComponentInterface, cars: int = 1, **asked: float) -> Uncovered:
    return Uncovered(component, asking(**asked), Fraction(cars))


def test_near_bores_share_a_body_and_every_hole_has_its_spacers():
    near = [waiting(eye("A", 62.0), 10), waiting(eye("B", 62.02), 5), waiting(eye("C", 64.0, bolt=14.0), 7)]
    family = family_of(BLANKED, near)
    assert [body.components for body in family.every.bodies] == [("A", "B"), ("C",)]
    assert [body.cars for body in family.every.bodies] == [15, 7]
    assert family.every.cars == 22
    assert [(spacer.hole_mm, spacer.components) for spacer in family.every.spacers] == [
        (12.15, ("A", "B")),
        (14.1, ("C",)),
    ]
    assert family.at_most is None


def test_every_size_named_serves_its_components():
    components = [eye(f"C{n}", 61 + n * 0.09, gap=49.5 + n * 0.2) for n in range(12)]
    family = family_of(BLANKED, [waiting(component) for component in components])
    assert not family.left_out
    sleeve_of = {code: spacer for spacer in family.every.spacers for code in spacer.components}
    by_code = {component.code: component for component in components}
    half_body, half_sleeve, half_hole = 0.01, 0.025, 0.05
    for body in family.every.bodies:
        for code in body.components:
            spacer = sleeve_of[code]
            machined = replace(
                BLANKED,
                outside=Interval(body.outside_mm - half_body, body.outside_mm + half_body),
                sleeve=Interval(spacer.sleeve_mm - half_sleeve, spacer.sleeve_mm + half_sleeve),
                hole=Interval(spacer.hole_mm - half_hole, spacer.hole_mm + half_hole),
            )
            found = match(by_code[code], machined, asking())
            worst = min(feature.margin / max(1.0, abs(feature.limit)) for feature in found.features)
            assert found.verdict is MatchVerdict.DROPS_IN or worst > -1e-9


def test_at_most_so_many():
    waits = [waiting(eye("A", 62.0), 3), waiting(eye("B", 63.0), 9), waiting(eye("C", 64.0), 4)]
    family = family_of(BLANKED, waits, bodies_at_most=2)
    assert len(family.every.bodies) == 3
    assert family.at_most is not None
    assert [body.components for body in family.at_most.bodies] == [("B",), ("C",)]
    assert family.at_most.cars == 13
    assert {code for spacer in family.at_most.spacers for code in spacer.components} == {"B", "C"}


@pytest.mark.parametrize(
    ("component", "asked", "why"),
    [
        (eye("X", 58.0), {}, "outside"),
        (eye("X", 62.0, gap=70.0), {}, "sleeve"),
        (eye("X", 62.0, bolt=16.0), {}, "hole"),
        (replace(EYE, code="X", seat_length=None), {}, "unmeasured"),
        (eye("X", 62.0), {"rotation": 30.0}, "rotation"),
        (replace(eye("X", 62.0), seat_length=Interval(30, 30)), {}, "body_length"),
        (eye("X", 62.0), {"retention": 1e6}, "outside"),
    ],
    ids=["bore", "gap", "bolt", "unmeasured", "rotation", "body_length", "retention"],
)
def test_left_out_with_why(component, asked, why):
    family = family_of(BLANKED, [waiting(component, **asked)])
    assert family.left_out == (LeftOut("X", why),)
    assert family.every.bodies == family.every.spacers == ()


def test_a_part_without_a_blank_for_sleeve_and_holes_keeps_its_own():
    only_outside = replace(BLANKED, blank=replace(BLANK, sleeve=None, holes_mm=()))
    family = family_of(only_outside, [waiting(eye("A", 62.0)), waiting(eye("B", 62.0, gap=51.0))])
    assert [(spacer.hole_mm, spacer.sleeve_mm) for spacer in family.every.spacers] == [
        (pytest.approx(12.15), pytest.approx(50.025))
    ]
    assert family.left_out == (LeftOut("B", "sleeve"),)


def test_an_eye_without_clevis_needs_no_spacer():
    family = family_of(replace(PART, blank=BLANK), [waiting(replace(EYE, code="A"))])
    assert [body.components for body in family.every.bodies] == [("A",)]
    assert family.every.spacers == ()
