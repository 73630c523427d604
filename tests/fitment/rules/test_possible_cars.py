"""Option sets, days and weights of possible cars."""

from datetime import date
from fractions import Fraction
from itertools import product
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.windows import Window, parse_range
from fitment.domain.description import Description
from fitment.rules.possible_cars import CarSpace
from tests.fitment.rules import small_catalogues
from tests.fitment.rules.making import axle, car, facts, joint, option

GROUPS = (
    option("R1", "ride", required=True), option("R2", "ride", required=True), option("R3", "ride", required=True),
    option("B1", "brake"), option("B2", "brake"), option("T"), option("U"),
)  # fmt: skip


def sets(options: str = "", standard: str = "", **stated: bool) -> set[frozenset[str]]:
    of = facts(car(options=frozenset(options.split()), standard=frozenset(standard.split())), options=GROUPS)
    space = CarSpace(of, Description(options=tuple(sorted(stated.items()))))
    bits = space.bits.mask(space.bits.codes)
    return {
        frozenset(code for code in space.bits.codes if cell.mask & space.bits.bit(code))
        for region in space
        for cell in region.cells(bits)
    }


@pytest.mark.parametrize(("options", "standard", "expected"), [
    ("", "", [""]),
    ("T", "", ["", "T"]),
    ("", "T", ["T"]),
    ("B1 B2", "", ["", "B1", "B2"]),
    ("R1 R2", "", ["R1", "R2"]),
    ("R1", "", ["R1"]),
    ("R1 R2", "R3", ["R3"]),
    ("B1", "B2", ["B2"]),
    ("T U", "", ["", "T", "U", "T U"]),
])  # fmt: skip
def test_option_sets(options, standard, expected):
    assert sets(options, standard) == {frozenset(each.split()) for each in expected}


def test_stated_options_narrow_the_sets_and_leave_none_that_break_a_group():
    assert sets("B1 B2 T", B1=False, T=True) == {frozenset({"T"}), frozenset({"B2", "T"})}
    assert sets("B1 B2", B1=True, B2=True) == set()
    assert sets("R1 R2", R1=False, R2=False) == set()
    assert sets("R1", R1=False) == set()
    assert sets("T", U=True) == set()
    assert sets("T", "U", U=False) == set()
    assert sets("R1 R2", "R3", R1=True) == set()


@given(st.integers(0, 2**32 - 1))
def test_the_weight_of_a_closed_window_is_its_cars_in_operation(seed):
    of = small_catalogues.catalogue(Random(seed))
    for region in CarSpace(of, Description()):
        if region.variant.built_to is not None:
            bits = 0
            for group in region.groups[:2]:
                bits |= group.bits
            weight = sum(region.weight(cell) for cell in region.cells(bits, [region.first + 2]))
            assert weight * region.unit == (region.variant.in_operation or 1)


@pytest.mark.parametrize(("as_of", "built", "until"), [
    (None, "", date(2021, 12, 31)),
    (date(2021, 6, 1), "", date(2021, 12, 31)),
    (date(2023, 6, 1), "", date(2023, 6, 1)),
    (date(2021, 6, 1), "2022-02", date(2022, 2, 28)),
    (date(2021, 6, 1), "2022-02..", date(2022, 2, 1)),
    (date(2023, 6, 1), "2022-02..", date(2023, 6, 1)),
])  # fmt: skip
def test_an_open_window_ends_for_weights_on_the_latest_of_its_bounds(as_of, built, until):
    of = facts(car(built_from=date(2020, 12, 31), built_to=None), as_of=as_of)
    stated = (parse_range(built),) if built else ()
    (region,) = CarSpace(of, Description(built=stated))
    assert date.fromordinal(region.horizon) == until


def test_stated_components_leave_their_share_of_the_alternatives():
    rows = (joint("C", alternative=True), joint("D", alternative=True), joint("E", alternative=True))
    of = facts(axles=(axle(arm=rows),))
    (region,) = CarSpace(of, Description(components=((("front", "arm"), "D"),)))
    assert sum(region.weight(cell) for cell in region.stated_cells) * region.unit == Fraction(1, 3)
    assert len(CarSpace(of, Description(components=((("front", "arm"), "F"),)))) == 0


def test_windows_are_closed_days():
    """ISO 8601-1:2019, 4.4: an interval given by dates holds its first and its last day (from memory)."""
    of = facts(car(built_from=date(2016, 2, 1), built_to=date(2016, 2, 29)))
    for built, possible in (("2016-02-29", True), ("2016-03", False), ("2016-01-31", False), ("2016-02-01", True)):
        assert bool(len(CarSpace(of, Description(built=(parse_range(built),))))) is possible


def test_several_stated_days_intersect():
    of = facts(car())
    stated = Description(
        built=(Window(date(2020, 3, 1), None), Window(None, date(2020, 9, 30))),
        registered=(date(2020, 5, 31),),
        model_years=(2020, 2021),
    )
    (region,) = CarSpace(of, stated)
    assert (date.fromordinal(region.first), date.fromordinal(region.last)) == (date(2020, 3, 1), date(2020, 5, 31))


def test_a_model_year_is_from_2_january_of_the_year_before():
    of = facts(car(built_from=date(2019, 1, 1), built_to=date(2021, 12, 31)))
    (region,) = CarSpace(of, Description(model_years=(2020,)))
    assert (date.fromordinal(region.first), date.fromordinal(region.last)) == (date(2019, 1, 2), date(2020, 12, 31))


def test_cells_cover_every_day_and_option_set_once():
    of = facts(car(options=frozenset({"B1", "B2", "T"})), options=GROUPS)
    (region,) = CarSpace(of, Description())
    bits = region.groups[0].bits | region.groups[1].bits
    seen = [(day, cell.mask) for cell in region.cells(bits, [737500]) for day in range(cell.first, cell.last + 1)]
    days = range(region.first, region.last + 1)
    assert sorted(seen) == sorted(product(days, {cell.mask for cell in region.cells(bits)}))
