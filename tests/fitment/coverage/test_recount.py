"""The coverage of the demo counted anew by asking the fitment answer for every car."""

from collections import defaultdict
from datetime import date, timedelta
from fractions import Fraction

import pytest

from catalog.codes import Role, Verdict
from catalog.conditions import parse_conditions
from catalog.models import Catalogue, Location, Option, Variant, VariantOption
from catalog.windows import parse_range
from fitment.answers.fit import Answer, NextQuestion
from fitment.errors import NoPossibleCar
from fitment.query.parameters import parse_question
from fitment.readers.editions import forget
from fitment.services.coverage.cells import cells_now, coverage, groups_of_cells
from fitment.services.fit.answering import answer_question
from tests.demo import demo_loaded
from tests.fitment.rules.oracle import holds

pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module")
def demo(django_db_setup, django_db_blocker):
    forget()
    with demo_loaded(django_db_blocker):
        yield
    forget()


class Recount:
    """Covered cars by platform, end and location, by the answers and the shares of the choices they offer."""

    def __init__(self) -> None:
        self.covered: dict[tuple, Fraction] = defaultdict(Fraction)
        self.cars: dict[tuple, Fraction] = defaultdict(Fraction)
        self.questions = 0
        self.as_of = Catalogue.objects.get().as_of
        self.in_range = {
            (topology, code)
            for topology, code in Location.objects.filter(in_range=True).values_list("topology", "code")
        }

    def count(self, variant: Variant) -> None:
        places = [
            (axle.end, location)
            for axle in (variant.front_axle, variant.rear_axle)
            if axle is not None
            for topology, location in self.in_range
            if topology == axle.topology_id
        ]
        whole = self.ask({"variant": [variant.code]})
        for end, location in places:
            key = (variant.platform.maker.code, variant.platform.chassis, end, location)
            cars = Fraction(variant.in_operation or 1)
            self.cars[key] += cars
            query = {"variant": [variant.code], "end": [end], "location": [location]}
            self.covered[key] += cars * self.share(whole, end, location, query, self.days(variant))

    def ask(self, query: dict[str, list[str]]) -> Answer:
        self.questions += 1
        return answer_question(question=parse_question(query, Role.PUBLIC), viewer=Role.PUBLIC)

    def days(self, variant: Variant) -> tuple[date, date]:
        open_end = max(day for day in (self.as_of, variant.built_from + timedelta(days=365)) if day)
        return variant.built_from, variant.built_to or open_end

    def share(self, answer: Answer, end: str, location: str, query: dict, days: tuple[date, date]) -> Fraction:
        """The share of the cars here that some part fits; where that is not decided, over the next answers."""
        here = {one.verdict for one in answer.answers if (one.end, one.location) == (end, location)}
        if Verdict.FITS in here:
            return Fraction(1)
        if Verdict.DEPENDS not in here:
            return Fraction(0)
        asked = self.ask(query)
        assert asked.question is not None
        total = Fraction(0)
        for value, part, left in self.choices(asked.question, query, days):
            narrowed = {**query, **{name: [*query.get(name, []), text] for name, text in value.items()}}
            if part:
                total += part * self.share(self.ask(narrowed), end, location, narrowed, left)
        return total

    def choices(self, question: NextQuestion, query: dict, days: tuple[date, date]):
        """The parameters of each choice, its share of what is left, and the days it leaves."""
        first, last = days
        for choice in question.choices:
            if question.attribute == "built":
                window = parse_range(choice.value)
                begin, end = max(first, window.first or first), min(last, window.last or last)
                inside = max(0, (end - begin).days + 1)
                yield choice.query, Fraction(inside, (last - first).days + 1), (begin, end)
            elif question.attribute.startswith("option."):
                with_it = self.option_share(question.attribute.removeprefix("option."), query)
                yield choice.query, with_it if choice.value == "yes" else 1 - with_it, days
            else:
                yield choice.query, self.component_share(choice.value, query, days), days

    def component_share(self, code: str, query: dict, days: tuple[date, date]) -> Fraction:
        """The share of the days with the alternative, divided by how many alternatives the day has."""
        variant = Variant.objects.get(code=query["variant"][0])
        axle = variant.front_axle if query["end"] == ["front"] else variant.rear_axle
        rows = list(axle.joints.filter(location__code=query["location"][0]).select_related("component"))
        values = {
            "variant": variant.code,
            **{
                name: getattr(variant, name)
                for name in ("designation", "body", "engine", "drivetrain", "steering", "market")
            },
        }
        options = frozenset(name.removeprefix("option.") for name, given in query.items() if given == ["yes"])
        first, last = days
        total = Fraction(0)
        for ahead in range((last - first).days + 1):
            day = first + timedelta(days=ahead)
            here = {
                row.component.code
                for row in rows
                if (row.built_from or day) <= day <= (row.built_to or day)
                and holds(parse_conditions(row.conditions), values, options, day)
            }
            total += Fraction(code in here, len(here) or 1)
        return total / ((last - first).days + 1)

    def option_share(self, code: str, query: dict) -> Fraction:
        """One value of its group among those that are left; beside none at all where the group is not required."""
        rows = VariantOption.objects.filter(variant__code=query["variant"][0], standard=False)
        group = Option.objects.get(code=code)
        of_group = rows.filter(option__group=group.group) if group.group else rows.filter(option=group)
        codes = set(of_group.values_list("option__code", flat=True))
        left = [one for one in codes if query.get(f"option.{one}") != ["no"]]
        return Fraction(1, len(left) + (not group.required))


def test_the_demo_recounted_by_asking(demo):
    recount = Recount()
    for variant in Variant.objects.select_related("platform__maker", "front_axle", "rear_axle"):
        recount.count(variant)
    found = coverage()
    covered = {
        (row.maker, row.chassis, row.end, row.location): row.states.get("released", Fraction(0))
        for row in found.platforms
    }
    assert {key: (cars, recount.covered[key]) for key, cars in covered.items() if cars != recount.covered[key]} == {}
    assert {(row.maker, row.chassis, row.end, row.location): row.cars for row in found.platforms} == recount.cars
    assert recount.questions > Variant.objects.count()


def test_no_car_of_an_uncovered_group_has_a_part_that_fits(demo):
    """Asked of every variant of every group, as its conditions narrow it; and the groups leave no car out."""
    found = coverage().cells
    groups = list(groups_of_cells(found))
    sums: dict = defaultdict(Fraction)
    recount = Recount()
    for cell, group in groups:
        sums[cell.key] += group.cars
        place = f"{cell.end}.{cell.key.location}"
        stated = {f"component.{place}": [cell.key.component]}
        windows = [""]
        for clause in group.conditions.clauses:
            if clause.option:
                stated[f"option.{clause.option}"] = list(clause.values)
            elif clause.attribute == "built":
                windows = [str(window) for window in clause.windows]
        for code in group.variants:
            asked = 0
            for window in windows:
                query = {"variant": [code], **stated, **({"built": [window]} if window else {})}
                try:
                    answer = recount.ask(query)
                except NoPossibleCar:
                    continue
                asked += 1
                here = {
                    one.verdict for one in answer.answers if (one.end, one.location) == (cell.end, cell.key.location)
                }
                assert not here & {Verdict.FITS, Verdict.DEPENDS}, (cell.key, str(group.conditions), code)
            assert asked, (cell.key, str(group.conditions), code)
    assert {cell.key: cell.uncovered for cell in found if cell.uncovered} == sums
    assert {len(group.conditions.clauses) for _, group in groups} >= {0, 1, 2}


def test_cells_read_alone_are_those_of_the_whole(demo):
    cells = coverage().cells
    for component in {cell.key.component for cell in cells}:
        of_it = {cell.key: cell for cell in cells if cell.key.component == component}
        assert cells_now(of_it) == of_it


def test_cells_and_platforms_agree(demo):
    found = coverage()
    for end in ("front", "rear"):
        cells = [cell for cell in found.cells if cell.end == end]
        rows = [row for row in found.platforms if row.end == end]
        assert sum(cell.covered for cell in cells) == sum(row.states.get("released", 0) for row in rows)
        assert sum(cell.uncovered for cell in cells) == sum(row.uncovered for row in rows)


def test_the_demo_shows_every_state(demo):
    found = coverage()
    cells = {cell.state for cell in found.cells}
    rows = {state for row in found.platforms for state in row.states}
    assert len(cells) == 8
    assert "unknown" in rows
    assert any(cell.conflict for cell in found.cells)
