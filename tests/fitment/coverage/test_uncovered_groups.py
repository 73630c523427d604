"""Uncovered cars by condition, against an enumeration of every possible car that shares nothing with it."""

from collections import defaultdict
from dataclasses import replace
from datetime import date
from fractions import Fraction
from random import Random

import pytest

from catalog.conditions import Conditions, parse_conditions
from catalog.windows import ALWAYS
from fitment.coverage.counting import CellKey, count_cells
from fitment.coverage.partition import partition
from fitment.coverage.uncovered_groups import uncovered_groups
from fitment.domain.description import Description
from fitment.domain.facts import Axle, Facts, FitDecision, Joint, Part, Revision, TestFit, Variant
from tests.fitment.rules import oracle, small_catalogues

SEEDS = range(60)


def catalogue(seed: int) -> Facts:
    """A small catalogue, each of its variants also with other wheels driven, steered from the other side, or both."""
    random = Random(seed)
    facts = small_catalogues.catalogue(random)
    more = []
    for variant in facts.variants:
        for names in (("drivetrain",), ("steering", "engine"), ("drivetrain", "steering", "market")):
            others = {name: next(v for v in small_catalogues.CHOICES[name] if v != getattr(variant, name))
                      for name in names}  # fmt: skip
            more.append(replace(variant, code="+".join((variant.code, *names)), **others))
    return replace(facts, variants=(*facts.variants, *more))


def cars_of(facts: Facts) -> dict[CellKey, list[tuple[oracle.World, bool, dict[str, set]]]]:
    """Every possible car of each cell: whether it is covered, and the revisions that are against or for it."""
    cells: dict[CellKey, list] = defaultdict(list)
    for world in oracle.worlds(facts, Description()):
        for place, component in world.components:
            axle = oracle.axle_of(world.variant, place[0])
            if facts.axles[axle].locations[place[1]] and component not in (None, oracle.CONFLICT):
                covered = any(
                    oracle.reason(facts, revision, place, world) == "approved"
                    for part in facts.parts.values()
                    for revision in oracle.visible(part)
                )
                cells[CellKey(axle, place[1], component)].append((world, covered, said(facts, place, world)))
    return cells


def said(facts: Facts, place: tuple[str, str], world: oracle.World) -> dict[str, set]:
    found: dict[str, set] = {"rejected": set(), "failed": set(), "proposed": set(), "tried": set()}
    for part in facts.parts.values():
        for revision in part.revisions:
            if not (revision.status == "prototype" or (revision.status == "released" and not revision.held)):
                continue
            key = (part.code, revision.letter)
            words = {one.decision for one in oracle.true_decisions(facts, revision, place, world)}
            car = (world.variant.drivetrain, world.variant.steering)
            holds = {
                "rejected": "rejected" in words,
                "failed": oracle.failing(facts, revision, place, world, ("approved",)),
                "proposed": "proposed" in words or ("approved" in words and revision.status == "prototype"),
                "tried": any(
                    test.passed and (test.drivetrain, test.steering) == car
                    for test in oracle.tests_there(revision, place, world)
                ),
            }
            for word, true in holds.items():
                if true:
                    found[word].add(key)
    return found


def meets(conditions: Conditions, world: oracle.World) -> bool:
    return oracle.holds(conditions, oracle.values_of(world.variant), world.options, world.day)


@pytest.mark.parametrize("seed", SEEDS)
def test_every_uncovered_car_is_in_one_group_and_no_covered_one_in_any(seed):
    facts = catalogue(seed)
    cells = cars_of(facts)
    found = uncovered_groups(facts, cells)
    assert found.keys() == cells.keys()
    for key, cars in cells.items():
        for world, covered, standing in cars:
            groups = [group for group in found[key] if meets(group.conditions, world)]
            assert len(groups) == (not covered), (key, world)
            for group in groups:
                assert world.variant.code in group.variants
                assert {name: set(getattr(group.verdicts, name)) for name in standing} == standing, (key, world)
        for group in found[key]:
            inside = [world for world, _, _ in cars if meets(group.conditions, world)]
            assert group.cars == sum(world.weight for world in inside)
            assert set(group.variants) == {world.variant.code for world in inside}


@pytest.mark.parametrize("seed", SEEDS)
def test_the_groups_sum_to_what_is_uncovered(seed):
    facts = catalogue(seed)
    cells = count_cells(facts).cells
    groups = uncovered_groups(facts, cells)
    for key, count in cells.items():
        assert sum(group.cars for group in groups[key]) == count.whole.uncovered
        assert {code for group in groups[key] for code in group.variants} == {code for _, _, code in count.waiting}
        for group in groups[key]:
            assert parse_conditions(str(group.conditions)) == group.conditions, "not canonical"


def test_the_catalogues_are_worth_grouping():
    """Conditions on each kind of thing, and cells of several groups, happen in some of them."""
    seen: dict[str, int] = defaultdict(int)
    for seed in SEEDS:
        facts = catalogue(seed)
        for groups in uncovered_groups(facts, count_cells(facts).cells).values():
            seen["several"] += len(groups) > 1
            for group in groups:
                seen["every car"] += not group.conditions
                for clause in group.conditions.clauses:
                    seen["option" if clause.option else clause.attribute] += 1
    assert {"several", "every car", "option", "built", "drivetrain", "steering"} <= {
        name for name, times in seen.items() if times > 3
    }, dict(seen)


def car(code: str, **texts: str) -> Variant:
    values = {
        "maker": "M", "chassis": "Q", "designation": "18", "body": "saloon", "engine": "E1", "drivetrain": "rwd",
        "steering": "left", "market": "EU",
    }  # fmt: skip
    return Variant(
        code, **{**values, **texts}, built_from=date(2015, 1, 1), built_to=date(2018, 12, 31), front_axle="FX",
        options=frozenset({"SPORT"}), in_operation=1461,
    )  # fmt: skip


def cell(*decisions: tuple[str, str], tests: tuple[TestFit, ...] = (), status: str = "released"):
    """The groups of one cell of an rwd and an awd car, as texts with their cars, most cars first."""
    revision = Revision(
        "A", status,
        decisions={"C": tuple(FitDecision(word, date(2020, 1, 1), parse_conditions(text)) for word, text in decisions)},
        tests={"C": tests},
    )  # fmt: skip
    facts = Facts(
        (car("AWD", drivetrain="awd"), car("RWD")),
        {"FX": Axle("FX", "front", {"arm": True}, {"arm": (Joint("C", ALWAYS),)})},
        {"SPORT": small_catalogues.Option("SPORT")},
        {"P": Part("P", revisions=(revision,))},
    )
    key = CellKey("FX", "arm", "C")
    return uncovered_groups(facts, [key])[key]


def as_texts(groups) -> list[tuple[str, int]]:
    return [(str(group.conditions), group.cars) for group in groups]


def test_a_cell_that_nothing_tells_apart_is_one_group():
    assert as_texts(cell()) == [("", 2922)]
    (group,) = cell(("rejected", ""))
    assert (str(group.conditions), group.verdicts.rejected) == ("", (("P", "A"),))
    assert as_texts(cell(("approved", ""))) == []


@pytest.mark.parametrize(
    ("approved", "waits"),
    [
        ("drivetrain = rwd", [("drivetrain = awd", 1461)]),
        ("built = ..2016-02", [("built = 2016-03..", 2 * 1036)]),
        ("built = 2016-03..2017", [("built = 2018.. | ..2016-02", 2 * 790)]),
        ("option.SPORT = no", [("option.SPORT = yes", 1461)]),
        # Not `drivetrain = awd` beside the whole of `built`: cars stand in one group only.
        (
            "drivetrain = rwd; built = 2016-03..",
            [("drivetrain = awd", 1461), ("built = ..2016-02; drivetrain = rwd", 425)],
        ),
        ("market = UK", [("", 2922)]),
        ("axle = FX; drivetrain = rwd", [("drivetrain = awd", 1461)]),
    ],
)  # fmt: skip
def test_what_an_approval_leaves(approved, waits):
    found = {(str(parse_conditions(text)), cars) for text, cars in waits}
    assert set(as_texts(cell(("approved", approved)))) == found


def test_what_is_said_tells_uncovered_cars_apart():
    groups = cell(("proposed", "drivetrain = awd"))
    assert [(str(group.conditions), group.verdicts.proposed) for group in groups] == [
        ("drivetrain = awd", (("P", "A"),)),
        ("drivetrain = rwd", ()),
    ]
    passed = TestFit("FX", "arm", "C", date(2020, 1, 1), passed=True, drivetrain="rwd", steering="left")
    groups = cell(tests=(passed,), status="prototype")
    assert [(str(group.conditions), group.verdicts.tried) for group in groups] == [
        ("drivetrain = awd", ()),
        ("drivetrain = rwd", (("P", "A"),)),
    ]


def test_boxes_against_each_other():
    """Every labelled point once, no foreign point, on random grids."""
    for seed in range(50):
        random = Random(seed)
        points = [(a, b, c) for a in "xyz" for b in (0, 1) for c in range(4)]
        labels = {point: random.choice(["one", "two", None]) for point in points if random.random() < 0.7}
        found = partition(labels, (2, 1, 0), {2: range(4)})
        for point, label in labels.items():
            inside = [
                box for box in found
                if all(side is None or value in side for value, side in zip(point, box.sides, strict=True))
            ]  # fmt: skip
            assert [box.label for box in inside] == ([] if label is None else [label])
            assert all(point in box.points for box in inside)


def test_cars_of_no_weight_are_told_of():
    """A car that weighs nothing is still one that is not covered."""
    late = Variant(
        "LATE", "M", "Q", "18", "saloon", "E1", "rwd", "left", "EU", date(2015, 1, 1), None, "FX", None, in_operation=10
    )
    facts = Facts(
        (late,),
        {"FX": Axle("FX", "front", {"arm": True}, {"arm": (Joint("C", ALWAYS),)})},
        {},
        {"P": Part("P", revisions=(Revision("A", "released", decisions={
            "C": (FitDecision("approved", date(2015, 6, 1), parse_conditions("built = ..2029")),)}),))},
        as_of=date(2020, 1, 1),
    )  # fmt: skip
    key = CellKey("FX", "arm", "C")
    assert as_texts(uncovered_groups(facts, [key])[key]) == [("built = 2030..", Fraction(0))]
