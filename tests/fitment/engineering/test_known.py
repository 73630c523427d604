"""Which of the sizes of a component are used: stated before measured, and what is said when they disagree."""

from fractions import Fraction

import pytest

from catalog.codes import Measurable
from fitment.engineering.known import component_sizes
from fitment.engineering.sampling import PooledSpread, Sample, tolerance_interval
from fitment.engineering.tolerances import Interval

STATED = Interval(62.0, 62.03)
WIDE = {"clevis_gap": Interval(50.0, 50.2), "bolt": Interval(12.0, 12.0)}


def sample(mean: float, pieces: int = 3) -> Sample:
    return Sample(mean, pieces, 0.01 if pieces > 1 else None, 0.002)


def test_a_stated_size_stands_before_a_measured_one_and_is_used():
    sizes = component_sizes("C1", {"bore": STATED}, {"bore": sample(62.01)}, {})
    assert [(size.feature, size.source) for size in sizes.known] == [("bore", "stated"), ("bore", "measured")]
    assert sizes.component.bore == STATED
    assert sizes.component.outside_stated == ()


def test_a_measured_size_is_used_where_none_is_stated_with_the_spread_of_its_process():
    pool = PooledSpread(0.004, 12)
    sizes = component_sizes("C1", WIDE, {"bore": sample(62.01), "seat_length": sample(40.0)}, {"bore": pool})
    bore, seat = tolerance_interval(sample(62.01), pool), tolerance_interval(sample(40.0))
    assert sizes.component.bore == bore.interval
    assert sizes.component.seat_length == seat.interval
    measured = {size.feature: size for size in sizes.known if size.source == "measured"}
    assert (measured[Measurable.BORE].factor, measured[Measurable.SEAT_LENGTH].factor) == (bore.factor, seat.factor)
    assert (measured[Measurable.BORE].pooled, measured[Measurable.SEAT_LENGTH].pooled) == (True, False)


@pytest.mark.parametrize("mean", [61.999, 62.031])
@pytest.mark.parametrize("feature", ["bore", "clevis_gap"])
def test_a_mean_outside_its_limits_is_named_on_either_side(feature, mean):
    component = component_sizes("C1", {feature: STATED}, {feature: sample(mean)}, {}).component
    assert component.outside_stated == (feature,)
    assert getattr(component, feature) == STATED


@pytest.mark.parametrize("mean", [STATED.low, STATED.high])
def test_a_mean_on_its_limit_is_within(mean):
    assert component_sizes("C1", {"bore": STATED}, {"bore": sample(mean)}, {}).component.outside_stated == ()


def test_a_single_stated_figure_is_no_limit_that_a_mean_could_leave():
    assert component_sizes("C1", {"bolt": Interval(12, 12)}, {"bolt": sample(12.1)}, {}).component.outside_stated == ()


def test_one_piece_says_nothing_but_that_something_is_recorded():
    sizes = component_sizes("C1", {}, {"bore": sample(62.0, pieces=1)}, {}, begun={"clevis_gap"})
    (bore,) = sizes.known
    assert (bore.interval, bore.low_mm, bore.factor, bore.mean_mm, bore.samples) == (None, None, None, 62.0, 1)
    assert sizes.component.bore is None
    assert sizes.component.recorded == {"bore", "clevis_gap"}
    assert sizes.component.outside_stated == ()


def test_the_outside_of_the_arm_is_its_mean_whatever_the_sample():
    assert component_sizes("C1", {}, {"arm_outside": sample(80.1)}, {}).component.arm_outside_mm == 80.1
    assert component_sizes("C1", {}, {"arm_outside": sample(80.1, pieces=1)}, {}).component.arm_outside_mm == 80.1
    stated = {"arm_outside": Interval(80.0, 80.0)}
    assert component_sizes("C1", stated, {"arm_outside": sample(80.1)}, {}).component.arm_outside_mm == 80.0
    assert component_sizes("C1", {}, {}, {}).component.arm_outside_mm is None


def test_every_size_has_its_place():
    stated = {feature: Interval(at, at + 0.5) for at, feature in enumerate(Measurable, start=10)}
    sizes = component_sizes("C1", stated, {}, {}, taper=Fraction(1, 10), roughness_um=6.3)
    component = sizes.component
    assert [size.feature for size in sizes.known] == list(Measurable)
    named = ("bore", "seat_length", "clevis_gap", "bolt", "taper_large", "centre_offset")
    assert {name: getattr(component, name) for name in named} == {name: stated[name] for name in named}
    assert component.arm_outside_mm == stated[Measurable.ARM_OUTSIDE].middle
    assert (component.code, component.taper, component.roughness_um) == ("C1", Fraction(1, 10), 6.3)
    assert component.recorded == set(Measurable)
