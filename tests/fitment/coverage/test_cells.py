"""How near an uncovered cell is to a part, platforms, the order of work: each by a cell made for it."""

from dataclasses import replace
from datetime import date
from fractions import Fraction

import pytest

from catalog.codes import CoverageState, MatchVerdict
from fitment.answers.contract import tenths
from fitment.coverage.cells import CoverageCell, cells_of, nearest, passed_prototypes
from fitment.coverage.counting import CellCount, CellCounts, CellKey
from fitment.coverage.summaries import OpenEnquiry, platforms_of, work_of
from fitment.domain.facts import Facts, Part, Revision, TestFit
from fitment.domain.interfaces import AxlePlace, Demand, demands_of
from fitment.engineering.constants import EFFORT_DAYS
from fitment.engineering.matching import Matching, match
from fitment.engineering.tolerances import Interval
from tests.fitment.engineering.pieces_made import BLANK, EYE, PART

PLACE = AxlePlace("FX1", "lower_arm.rear")
KEY = CellKey("FX1", "lower_arm.rear", "C1")
ASKED = Demand(PLACE, 15.0, 5.0, None, 5000.0)
PLATFORM = ("ALVA", "QN4")

DROPS_IN = replace(PART, part="DROPS")
PROTOTYPE = replace(PART, part="PROTO", status="prototype", outside=None)
LOOSE = replace(PART, part="LOOSE", outside=Interval(61.9, 61.92), blank=BLANK)
SHORT = replace(PART, part="SHORT", outside=None)
NEVER = replace(PART, part="NEVER", body_length_mm=60.0)


def matching(*revisions) -> Matching:
    return Matching({"C1": EYE}, {(one.part, one.letter): one for one in revisions}, {PLACE: ASKED})


def uncovered(cars: int = 10, covered: int = 0, **said) -> CellCount:
    count = CellCount("front", **said)
    for share in (count.whole, count.platforms[PLATFORM]):
        share.add(Fraction(cars), covered=False)
        if covered:
            share.add(Fraction(covered), covered=True)
    count.waiting.add((*PLATFORM, "QN4-20"))
    return count


def state_of(count: CellCount, *revisions, passed=()) -> CoverageState:
    return nearest(KEY, count, matching(*revisions), passed).state


class TestNearest:
    def test_the_pieces_are_what_they_are_called(self):
        asked = demands_of([ASKED])
        verdicts = [match(EYE, one, asked).verdict for one in (DROPS_IN, PROTOTYPE, LOOSE, SHORT, NEVER)]
        assert verdicts == [
            MatchVerdict.DROPS_IN,
            MatchVerdict.UNMEASURED,
            MatchVerdict.RESIZE,
            MatchVerdict.UNMEASURED,
            MatchVerdict.NEW_DESIGN,
        ]

    def test_each_state_comes_before_the_next(self):
        everything = [DROPS_IN, PROTOTYPE, LOOSE, SHORT, NEVER]
        proto = ("PROTO", "A")
        count = uncovered(proposed={proto})
        assert state_of(count, *everything, passed={proto}) is CoverageState.CARRY_OVER
        assert state_of(count, *everything[1:], passed={proto}) is CoverageState.TEST_FIT
        assert state_of(count, *everything[1:]) is CoverageState.PROTOTYPE
        assert state_of(uncovered(), *everything[1:]) is CoverageState.RESIZE
        assert state_of(uncovered(), PROTOTYPE, SHORT, NEVER) is CoverageState.UNMEASURED
        assert state_of(uncovered(), NEVER) is CoverageState.NEW_DESIGN
        assert state_of(uncovered()) is CoverageState.NEW_DESIGN

    def test_a_proposal_of_a_released_revision_counts_too(self):
        assert state_of(uncovered(proposed={("NEVER", "A")}), NEVER) is CoverageState.PROTOTYPE

    def test_a_prototype_that_drops_in_is_still_to_be_made(self):
        proto = replace(DROPS_IN, status="prototype")
        found = nearest(KEY, uncovered(), matching(proto, LOOSE), ())
        assert (found.state, set(found.by)) == (CoverageState.RESIZE, {("DROPS", "A"), ("LOOSE", "A")})

    @pytest.mark.parametrize("against", ["rejected", "failing"])
    def test_what_an_uncovered_car_speaks_against_is_no_candidate(self, against):
        for revision, passed in ((DROPS_IN, ()), (PROTOTYPE, {("PROTO", "A")}), (LOOSE, ()), (SHORT, ())):
            key = (revision.part, "A")
            count = uncovered(proposed={key}, **{against: {key}})
            assert state_of(count, revision, passed=passed) is CoverageState.NEW_DESIGN

    def test_held_and_withdrawn_revisions_are_no_candidates(self):
        assert state_of(uncovered(), replace(DROPS_IN, held=True)) is CoverageState.NEW_DESIGN
        assert state_of(uncovered(), replace(DROPS_IN, status="withdrawn")) is CoverageState.NEW_DESIGN

    def test_passed_prototypes_by_place(self):
        def tried(status: str, passed: bool) -> Revision:
            test = TestFit("FX1", "lower_arm.rear", "C1", date(2024, 1, 1), passed, "rwd", "left")
            return Revision("A", status, tests={"C1": (test,)})

        parts = {
            code: Part(code, revisions=(tried(status, passed),))
            for code, status, passed in (
                ("P1", "prototype", True),
                ("P2", "prototype", False),
                ("P3", "released", True),
            )
        }
        assert passed_prototypes(Facts((), {}, {}, parts)) == {KEY: {("P1", "A")}}


def cells(count: CellCount, *revisions, not_offered=()) -> tuple[CoverageCell, ...]:
    counts = CellCounts(cells={KEY: count})
    return cells_of(Facts((), {}, {}, {}), counts, matching(*revisions), not_offered)


class TestStances:
    def test_all_covered_is_released(self):
        count = CellCount("front", by={("LM-2", "B"), ("LM-2", "A")})
        count.whole.add(Fraction(3), covered=True)
        (cell,) = cells(count, DROPS_IN)
        assert (cell.state, cell.by, cell.conflict) == (CoverageState.RELEASED, (("LM-2", "A"), ("LM-2", "B")), False)
        (cell,) = cells(count, not_offered={PLACE})
        assert (cell.state, cell.conflict) == (CoverageState.RELEASED, True)

    def test_one_uncovered_car_of_no_weight_keeps_a_cell_open(self):
        count = CellCount("front")
        count.whole.add(Fraction(3), covered=True)
        count.whole.add(Fraction(0), covered=False)
        (cell,) = cells(count, DROPS_IN)
        assert (cell.state, cell.uncovered) == (CoverageState.CARRY_OVER, 0)

    def test_not_offered_overrides_the_rest_and_contradicts_a_covered_car(self):
        (cell,) = cells(uncovered(), DROPS_IN, not_offered={PLACE})
        assert (cell.state, cell.by, cell.conflict, cell.waits) == (CoverageState.NOT_OFFERED, (), False, False)
        (cell,) = cells(uncovered(covered=2), DROPS_IN, not_offered={PLACE})
        assert (cell.state, cell.conflict) == (CoverageState.NOT_OFFERED, True)


def test_platforms_roll_up_by_location():
    partly = cells(uncovered(cars=10, covered=4), LOOSE)[0]
    other = replace(cells(uncovered(cars=6), NEVER)[0], key=replace(KEY, component="C2"))
    counts = CellCounts(
        unknown={(PLATFORM, "front", "lower_arm.rear"): Fraction(2), (PLATFORM, "rear", "toe"): Fraction(1)}
    )
    here, rear = platforms_of([partly, other], counts)
    assert (here.maker, here.chassis, here.end, here.location) == (*PLATFORM, "front", "lower_arm.rear")
    assert here.states == {
        CoverageState.RELEASED: 4, CoverageState.RESIZE: 10, CoverageState.NEW_DESIGN: 6, CoverageState.UNKNOWN: 2
    }  # fmt: skip
    assert (here.cars, here.uncovered, here.state) == (22, 16, CoverageState.NEW_DESIGN)
    assert here.cells == (("FX1", "C1"), ("FX1", "C2"))
    assert (rear.state, rear.cars, rear.cells) == (CoverageState.UNKNOWN, 1, ())


@pytest.mark.parametrize(
    ("kinds", "state"),
    [
        ("released", CoverageState.RELEASED),
        ("released unknown", CoverageState.UNKNOWN),
        ("released unknown not_offered", CoverageState.NOT_OFFERED),
        ("released unknown not_offered carry_over", CoverageState.CARRY_OVER),
    ],
)
def test_the_state_of_a_platform_is_what_takes_most(kinds, state):
    covered = CellCount("front")
    for share in (covered.whole, covered.platforms[PLATFORM]):
        share.add(Fraction(1), covered=True)
    made = {
        "released": lambda: cells(covered),
        "not_offered": lambda: cells(uncovered(), not_offered={PLACE}),
        "carry_over": lambda: cells(uncovered(), DROPS_IN),
    }
    found = [cell for kind in kinds.split() if kind in made for cell in made[kind]()]
    unknown = {(PLATFORM, "front", "lower_arm.rear"): Fraction(1)} if "unknown" in kinds else {}
    assert [row.state for row in platforms_of(found, CellCounts(unknown=unknown))] == [state]


class TestWork:
    cell = cells(uncovered(cars=30), LOOSE)[0]

    def asked(self, **given) -> OpenEnquiry:
        stated = {"maker": "", "chassis": "", "variant": "", "place": "", "components": None, "count": 1}
        return OpenEnquiry(**{**stated, **given})

    @pytest.mark.parametrize(
        ("given", "counts"),
        [
            ({"place": "front.lower_arm.rear"}, True),
            ({"components": frozenset({"C1"})}, True),
            ({"place": "front.lower_arm.rear", "components": frozenset({"C1", "C9"}), "maker": "ALVA"}, True),
            ({"place": "front.lower_arm.rear", "chassis": "QN4", "variant": "QN4-20"}, True),
            ({}, False),
            ({"maker": "ALVA"}, False),
            ({"place": "rear.lower_arm.rear"}, False),
            ({"components": frozenset()}, False),
            ({"place": "front.lower_arm.rear", "components": frozenset({"C9"})}, False),
            ({"place": "front.lower_arm.rear", "chassis": "QN5"}, False),
            ({"components": frozenset({"C1"}), "variant": "QN4-25"}, False),
        ],
    )
    def test_which_enquiries_count(self, given, counts):
        assert self.asked(**given).asks_for(self.cell) is counts

    def test_the_score_and_its_terms(self):
        here = {"place": "front.lower_arm.rear"}
        (row,) = work_of([self.cell], [self.asked(**here, count=2), self.asked(**here), self.asked()])
        assert (row.enquiries, row.effort_days, row.score) == (3, 10, Fraction(330, 10))

    def test_order_and_what_is_left_out(self):
        cheap = replace(self.cell, key=replace(KEY, component="C9"), state=CoverageState.CARRY_OVER)
        alike = replace(self.cell, key=replace(KEY, component="C0"))
        done = replace(self.cell, state=CoverageState.RELEASED)
        refused = replace(self.cell, state=CoverageState.NOT_OFFERED)
        rows = work_of([self.cell, done, cheap, refused, alike], [])
        assert [row.cell.key.component for row in rows] == ["C9", "C0", "C1"]

    def test_every_state_that_waits_has_an_effort(self):
        waiting = set(CoverageState) - {CoverageState.RELEASED, CoverageState.NOT_OFFERED, CoverageState.UNKNOWN}
        assert EFFORT_DAYS.keys() == waiting


@pytest.mark.parametrize(
    ("cars", "shown"),
    [
        (Fraction(1, 20), 0.1),
        (Fraction(49, 1000), 0.0),
        (Fraction(1, 4), 0.3),
        (Fraction(2499, 10000), 0.2),
        (Fraction(2, 3), 0.7),
        (Fraction(100), 100.0),
    ],
)
def test_cars_are_shown_to_one_decimal_half_up(cars, shown):
    assert tenths(cars) == shown


def test_equal_interfaces_are_matched_once():
    twin = replace(DROPS_IN, part="TWIN", status="prototype")
    many = Matching(
        {"C1": EYE, "C2": replace(EYE, code="C2")},
        {(one.part, one.letter): one for one in (DROPS_IN, twin)},
        {PLACE: ASKED, AxlePlace("FX2", "lower_arm.rear"): replace(ASKED, place=AxlePlace("FX2", "lower_arm.rear"))},
    )
    for axle in ("FX1", "FX2"):
        for component in ("C1", "C2"):
            found = many.by_verdict(component, AxlePlace(axle, "lower_arm.rear"))
            assert found[MatchVerdict.DROPS_IN] == [("DROPS", "A"), ("TWIN", "A")]
    assert len(many._verdicts) == 1
    assert ("DROPS", "A", "C1", "FX1", "lower_arm.rear") in many
    assert ("DROPS", "A", "C1", "FX9", "lower_arm.rear") not in many
    assert ("GONE", "A", "C1", "FX1", "lower_arm.rear") not in many
