"""ISO 286 classes against tables (from memory) and the formulas they were made from."""

import re
from decimal import Decimal
from fractions import Fraction
from math import sqrt

import pytest

from fitment.engineering import iso286_tables as tables
from fitment.engineering.errors import BadClass, BadTaper
from fitment.engineering.tolerances import Interval, deviations, limits, nearest_class, standard_tolerance, taper_of
from tests.published import VALUES

ISO_286 = VALUES["iso_286"]
CLASSES = [name for name in ISO_286 if name.startswith(("hole_", "shaft_"))]


@pytest.mark.parametrize("name", CLASSES)
def test_deviations(name):
    # ISO 286-1:2010 Tables 1 to 5 (from memory, compared as verified_by says)
    case = ISO_286[name]
    letters, grade = re.fullmatch(r"([A-Za-z]+)(\d+)", case["inputs"]["class"]).groups()
    for size, expected in case["expected"].items():
        found = [float(deviation) for deviation in deviations(Decimal(size), letters, grade)]
        assert found == expected, (size, case["source"], case["how_known"])


def test_standard_tolerances():
    # ISO 286-1:2010 Table 1 (from memory)
    case = ISO_286["standard_tolerances"]
    for grade, widths in case["expected"].items():
        for (over, up_to), width in zip(case["inputs"]["steps_mm_over_upto"], widths, strict=True):
            for size in (over + 0.001, (over + up_to) / 2, up_to):
                assert standard_tolerance(size, grade.removeprefix("IT")) == width, case["source"]


def test_delta_of_tight_holes():
    # ISO 286-1:2010 Tables 2 and 3, notes on delta (from memory)
    case = ISO_286["delta_rule"]
    size = case["inputs"]["size_mm"]
    for name, expected in case["expected"].items():
        letters, grade = re.fullmatch(r"([A-Za-z_]+?)_?I?T?(\d+)", name).groups()
        if letters == "delta":
            found = standard_tolerance(size, grade) - standard_tolerance(size, str(int(grade) - 1))
            assert found == expected, name
        else:
            assert [int(deviation) for deviation in deviations(size, letters, grade)] == expected, name


def test_sub_steps():
    # ISO 286-1:2010 Table 5 (from memory)
    case = ISO_286["substeps_r_s_u"]
    for letter, figures in case["expected"].items():
        for (over, up_to), figure in zip(case["inputs"]["steps_mm_over_upto"], figures, strict=True):
            for size in (over + 0.001, up_to):
                assert deviations(size, letter, "6")[1] == figure, (letter, size)


def test_step_edges():
    # ISO 286-1:2010, 'over ... up to and including' (from memory)
    for size, expected in ISO_286["step_edges"]["expected"].items():
        assert [int(deviation) for deviation in deviations(Decimal(size), "s", "6")] == expected, size


@pytest.mark.parametrize("name", ["fit_62_N7_h6", "fit_60_H7_s6"])
def test_fits(name):
    # ISO 286-1:2010 definitions of fit
    case = ISO_286[name]
    hole, shaft = limits(case["inputs"]["hole"]), limits(case["inputs"]["shaft"])
    expected = case["expected"]
    assert [hole.low, hole.high] == pytest.approx(expected["hole_mm"], abs=case["tolerance"])
    assert [shaft.low, shaft.high] == pytest.approx(expected["shaft_mm"], abs=case["tolerance"])
    assert round((shaft.high - hole.low) * 1000, 6) == expected["greatest_interference_um"]
    assert round((shaft.low - hole.high) * 1000, 6) == expected["least_interference_um"]


@pytest.mark.parametrize("written", ISO_286["reject"]["inputs"]["strings"])
def test_what_is_no_class(written):
    # ISO 286-1:2010: I, L, O, Q, W are not used; grades are IT01 to IT18 (from memory)
    with pytest.raises(BadClass):
        limits(written)


@pytest.mark.parametrize(
    "written", ["62 nN7", "62 Js7", "12 cd7", "20 t6", "10 v6", "18 y6", "62 K9", "1 N9", "0.5 a11", "62 N2",
                "500.1 H7", "1 a11", "1 B11", "3.5 K9", "4 K9", "62 N01", "62 N0", "62 j9", "62 J9", "٦٢ N7"],
)  # fmt: skip
def test_what_the_standard_does_not_give(written):
    with pytest.raises(BadClass):
        limits(written)


@pytest.mark.parametrize(
    ("written", "low", "high"),
    [
        # ISO 286-2:2010 (from memory): traps beside the rule
        ("3 N9", 2.971, 2.996),
        ("300 M6", 299.959, 299.991),
        ("62 JS7", 61.985, 62.015),
        ("62 K8", 61.968, 62.014),
        ("2 K9", 1.975, 2.0),
        ("62 k8", 62.0, 62.046),
        ("30 J7", 29.991, 30.012),
        ("40 j6", 39.995, 40.011),
        ("100 c11", 99.61, 99.83),
        ("120 c11", 119.6, 119.82),
        ("25.4H7", 25.4, 25.421),
        # clearance on either side of zero
        ("62 f7", 61.94, 61.97),
        ("62 F8", 62.03, 62.076),
        ("62 D10", 62.1, 62.22),
        ("0.5 c11", 0.38, 0.44),
        ("1.1 b11", 0.9, 0.96),
        # tight holes: delta over 3 mm only, from grade 3 on, up to IT8 (K, M, N) or IT7
        ("3 P7", 2.984, 2.994),
        ("4 P7", 3.98, 3.992),
        ("3 K6", 2.994, 3.0),
        ("62 N3", 61.977, 61.982),
        ("4 N9", 3.97, 4.0),
        ("62 N8", 61.95, 61.996),
        ("62 P8", 61.922, 61.968),
        ("1 P9", 0.969, 0.994),
        ("1.5 N9", 1.471, 1.496),
        # M6 over 250 up to 315 mm alone is the exception
        ("62 M6", 61.976, 61.995),
        ("250 M6", 249.963, 249.992),
        ("250.5 M6", 250.459, 250.491),
        ("315 M6", 314.959, 314.991),
        ("315.5 M6", 315.454, 315.49),
        ("300 M7", 299.948, 300.0),
        ("300 N6", 299.943, 299.975),
    ],
)
def test_single_classes(written, low, high):
    found = limits(written)
    assert (found.low, found.high) == pytest.approx((low, high), abs=1e-9)


# ISO 286-1:1988 Annex (from memory): t to zc follow IT + a D, D the geometric mean of the step, rounded; below 18 mm
# the standard rounds more freely.
FORMULAS = {"t": (7, 0.63), "u": (7, 1), "v": (7, 1.25), "x": (7, 1.6), "y": (7, 2), "z": (7, 2.5), "za": (8, 3.15),
            "zb": (9, 4), "zc": (10, 5)}  # fmt: skip


@pytest.mark.parametrize("letter", FORMULAS)
def test_heavy_interference_follows_its_formula(letter):
    grade, slope = FORMULAS[letter]
    figures = tables.LOWER_BY_SUB_STEP[letter]
    for over, up_to, figure in zip((0, *tables.SUB_STEPS), tables.SUB_STEPS, figures, strict=False):
        if up_to > 24 and figure is not None and (letter, up_to) != ("t", 30):
            expected = float(standard_tolerance(up_to, str(grade))) + slope * sqrt(over * up_to)
            assert figure == pytest.approx(expected, rel=0.035), (letter, up_to)


def test_standard_tolerances_follow_their_formula():
    # ISO 286-1:1988 Table A.3 (from memory): i = 0.45 cbrt(D) + 0.001 D; IT5 to IT18 are 7i, 10i, 16i, 25i, 40i ...
    factors = [7, 10, 16, 25, 40, 64, 100, 160, 250, 400, 640, 1000, 1600, 2500]
    for over, up_to in zip(tables.STEPS[1:], tables.STEPS[2:], strict=False):
        middle = sqrt(over * up_to)
        unit = 0.45 * middle ** (1 / 3) + 0.001 * middle
        for grade, factor in enumerate(factors, start=5):
            width = float(standard_tolerance(up_to, str(grade)))
            assert width == pytest.approx(factor * unit, rel=0.06, abs=0.6), (up_to, grade)


def test_an_interval_knows_its_middle():
    assert (Interval(61.961, 61.991).middle, round(Interval(61.961, 61.991).width, 9)) == (61.976, 0.03)


def test_both_limits_belong_to_an_interval():
    size = Interval(61.961, 61.991)
    assert [figure in size for figure in (61.960, 61.961, 61.976, 61.991, 61.992)] == [False, True, True, True, False]


def test_the_worst_case_of_a_difference():
    assert Interval(10.0, 10.5).minus(Interval(9.0, 9.25)) == Interval(0.75, 1.5)


@pytest.mark.parametrize(
    ("written", "nearest"),
    [
        ("62 Q7", "62 P7"),
        ("62 q7", "62 p7"),
        ("62 H19", "62 H18"),
        ("62 H20", "62 H18"),
        ("62 j9", "62 j7"),
        ("62 K9", "62 K8"),
        ("20 t6", "20 s6"),
        ("1 N9", "1 N8"),
        ("501 H7", None),
        ("H7", None),
    ],
)
def test_the_nearest_class_that_there_is(written, nearest):
    assert nearest_class(written) == nearest
    assert nearest is None or limits(nearest)


@pytest.mark.parametrize(("written", "ratio"), [("1:10", (1, 10)), (" 2 : 20 ", (1, 10)), ("0.5:4", (1, 8))])
def test_tapers(written, ratio):
    assert taper_of(written) == Fraction(*ratio)


@pytest.mark.parametrize("written", ["10", "1:0", "0:10", "1/10", "", "1:-10"])
def test_what_is_no_taper(written):
    with pytest.raises(BadTaper):
        taper_of(written)
