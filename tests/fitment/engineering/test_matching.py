"""The match: what is judged, by which limit, what is missing, and which verdict comes of it."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from catalog.codes import FeatureState, MatchVerdict, MatchWarning
from fitment.domain.interfaces import AxlePlace, Blank, ComponentInterface, Demand, RevisionInterface, demands_of
from fitment.engineering.errors import BadTaper
from fitment.engineering.features import CURABLE
from fitment.engineering.matching import InterfaceMatch, Neighbour, Resize, match
from fitment.engineering.tolerances import Interval, taper_of
from tests.fitment.engineering.pieces_made import (
    ALUMINIUM,
    BLANK,
    CLEVIS,
    EYE,
    PART,
    SLEEVED,
    STEEL,
    asking,
    components,
    demands,
    revisions,
    whole_components,
    whole_demands,
    whole_revisions,
)


def states(found: InterfaceMatch) -> dict[str, str]:
    return {feature.feature: str(feature.state) for feature in found.features}


def feature_of(found: InterfaceMatch, name: str):
    return next(feature for feature in found.features if feature.feature == name)


class TestWhatIsJudged:
    def test_a_pressed_seat(self):
        found = match(EYE, PART, asking())
        assert list(states(found)) == ["hold", "eye_stress", "body_stress", "body_length", "rotation", "tilt"]
        assert found.verdict is MatchVerdict.DROPS_IN
        assert found.interference == Interval(pytest.approx(0.09), pytest.approx(0.14))

    def test_closure_where_it_is_stated_and_there_is_a_bore(self):
        assert "closure" in states(match(EYE, replace(PART, closure_um=60.0), asking()))
        assert "closure" not in states(match(EYE, replace(PART, closure_um=60.0, housing_bore_mm=0.0), asking()))

    @pytest.mark.parametrize(
        ("recorded", "feature"),
        [("clevis_gap", "clamp_least"), ("bolt", "bolt_least"), ("taper_large", "taper_large"),
         ("centre_offset", "offset")],
    )  # fmt: skip
    def test_a_size_of_which_too_little_is_recorded_is_judged_as_not_known(self, recorded, feature):
        """A clevis with one limit, or measured once, is a clevis: nothing drops in before it is known."""
        found = match(replace(EYE, recorded=frozenset({recorded})), PART, asking())
        assert feature_of(found, feature).missing[0] == f"component.{recorded}"
        assert found.verdict is MatchVerdict.UNMEASURED

    @pytest.mark.parametrize(("recorded", "feature"), [("sleeve", "clamp_least"), ("hole", "bolt_least")])
    def test_one_limit_of_a_revision_is_a_size_too(self, recorded, feature):
        found = match(EYE, replace(PART, recorded=frozenset({recorded})), asking())
        assert f"revision.{recorded}" in feature_of(found, feature).missing

    def test_interference_needs_bore_and_outside_alone(self):
        bare = match(replace(EYE, arm_material=None, arm_outside_mm=None), PART, asking())
        assert bare.interference == match(EYE, PART, asking()).interference
        assert bare.press_in_n is None
        assert match(replace(EYE, bore=None), PART, asking()).interference is None

    def test_only_what_is_unmeasured_names_facts(self):
        """A second place that asks nothing known adds nothing to a hold that fails, or a turn that is refused."""
        asked = demands_of([Demand(AxlePlace("FX1", "a"), 15.0, 5.0, None, 1e9), Demand(AxlePlace("FX1", "b"))])
        found = match(EYE, replace(PART, allows_tilt=False), asked)
        assert states(found)["hold"] == "fails"
        assert states(found)["tilt"] == "refused"
        assert feature_of(found, "hold").missing == feature_of(found, "tilt").missing == ()
        assert found.missing == feature_of(found, "rotation").missing == ("asked.rotation",)

    def test_a_clamped_seat_asks_for_both_of_its_sizes(self):
        found = match(ComponentInterface("C"), replace(PART, seat="clamped"), asking())
        assert states(found)["clamp_least"] == states(found)["bolt_greatest"] == "unmeasured"
        assert "hold" not in states(found)
        assert found.press_in_n is found.interference is None

    def test_what_either_side_states(self):
        assert "clamp_least" in states(match(EYE, replace(PART, sleeve=Interval(50, 50)), asking()))
        assert "bolt_least" in states(match(CLEVIS, PART, asking()))
        assert "taper_ratio" in states(match(replace(EYE, taper=Fraction(1, 10)), PART, asking()))
        assert "taper_large" in states(match(EYE, replace(PART, taper_large_mm=15.0), asking()))
        assert "offset" in states(match(EYE, replace(PART, centre_offset_mm=0.0), asking()))


class TestVerdicts:
    def test_what_is_missing_is_named(self):
        bare = match(ComponentInterface("C"), replace(PART, outside=None, rotation_deg=None), demands_of([]))
        assert bare.verdict is MatchVerdict.UNMEASURED
        assert bare.missing == (
            "component.bore", "component.arm_outside", "component.arm_material", "revision.outside",
            "component.seat_length", "asked.retention", "revision.rotation", "asked.rotation", "asked.tilt",
        )  # fmt: skip

    def test_a_housing_bore_not_recorded_is_not_a_solid_pin(self):
        assert match(EYE, replace(PART, housing_bore_mm=None), asking()).missing == ("revision.housing_bore",)
        assert match(EYE, replace(PART, housing_bore_mm=0.0), asking()).verdict is MatchVerdict.DROPS_IN

    def test_loose_holds_nothing_and_is_cured_by_the_blank(self):
        loose = replace(PART, outside=Interval(61.9, 61.92))
        found = match(EYE, loose, asking())
        assert (feature_of(found, "hold").value, feature_of(found, "hold").margin) == (0.0, -5000.0)
        assert found.verdict is MatchVerdict.NEW_DESIGN
        cured = match(EYE, replace(loose, blank=BLANK), asking())
        assert cured.verdict is MatchVerdict.RESIZE
        assert cured.resize is not None
        assert cured.resize.outside is not None
        assert (cured.resize.sleeve, cured.resize.hole_mm) == (None, None)

    def test_a_failing_figure_counts_before_a_missing_one(self):
        part = replace(PART, outside=Interval(61.9, 61.92), rotation_deg=None)
        assert match(EYE, part, asking()).verdict is MatchVerdict.NEW_DESIGN
        assert match(EYE, replace(part, blank=BLANK), asking()).verdict is MatchVerdict.UNMEASURED

    def test_sleeve_and_hole_are_cured_too(self):
        part = replace(SLEEVED, sleeve=Interval(52.0, 52.05), hole=Interval(10.0, 10.1), blank=BLANK)
        found = match(CLEVIS, part, asking())
        assert found.verdict is MatchVerdict.RESIZE
        assert found.resize == Resize(None, Interval(49.825, 50.075), 12.15)

    @pytest.mark.parametrize(
        "part",
        [
            replace(SLEEVED, body_length_mm=41.0, blank=BLANK),
            replace(SLEEVED, rotation_deg=14.0, blank=BLANK),
            replace(SLEEVED, centre_offset_mm=3.0, blank=BLANK),
            replace(SLEEVED, taper=Fraction(1, 8), blank=BLANK),
        ],
        ids=["body_length", "rotation", "offset", "taper"],
    )
    def test_what_machining_does_not_cure(self, part):
        clevis = replace(CLEVIS, centre_offset=Interval(0, 0), taper=Fraction(1, 10))
        assert match(clevis, part, asking()).verdict is MatchVerdict.NEW_DESIGN

    def test_limits_are_closed(self):
        on_the_limits = replace(
            SLEEVED, sleeve=Interval(49.8, 50.1), hole=Interval(12.0, 12.5), body_length_mm=40.0,
            rotation_deg=15.0, tilt_deg=5.0, taper=Fraction(1, 10), taper_large_mm=15.1, centre_offset_mm=0.6,
        )  # fmt: skip
        clevis = replace(
            CLEVIS, taper=Fraction(1, 10), taper_large=Interval(15.0, 15.0), centre_offset=Interval(0.1, 0.1)
        )
        found = match(clevis, on_the_limits, asking())
        assert found.verdict is MatchVerdict.DROPS_IN
        on_limit = {feature.feature for feature in found.features if feature.margin == 0}
        assert on_limit >= {
            "clamp_least", "clamp_greatest", "bolt_least", "bolt_greatest", "body_length", "rotation", "tilt",
            "taper_ratio", "taper_large", "offset",
        }  # fmt: skip

    def test_a_taper_written_otherwise_is_the_same(self):
        assert taper_of("1:10") == taper_of(" 2 : 20 ") == taper_of("0.5:5")
        for wrong in ("10", "1:0", "0:10", "1/10", ""):
            with pytest.raises(BadTaper):
                taper_of(wrong)


class TestMovement:
    def test_an_arm_that_must_turn_never_gets_an_insert_that_cannot(self):
        found = match(EYE, replace(PART, allows_rotation=False, rotation_deg=None, blank=BLANK), asking())
        assert (found.verdict, found.refused_by) == (MatchVerdict.NEW_DESIGN, ("rotation",))
        assert feature_of(found, "rotation").value == 0.0

    def test_not_even_where_the_revision_claims_the_angle(self):
        stiff = replace(PART, allows_tilt=False, tilt_deg=9.0)
        assert match(EYE, stiff, asking()).refused_by == ("tilt",)
        assert match(EYE, stiff, asking(tilt=0.0)).verdict is MatchVerdict.DROPS_IN

    def test_static_tilt_adds_whichever_way_it_leans(self):
        asked = demands_of([Demand(AxlePlace("FX1", "a"), 1.0, 5.0, -2.5, 1.0)])
        assert asked.tilt.value == 7.5

    def test_a_place_without_the_figure(self):
        known, silent = Demand(AxlePlace("FX1", "a"), 15.0, 5.0, None, 5000.0), Demand(AxlePlace("FX2", "a"))
        both = demands_of([silent, known])
        assert (both.rotation.value, both.rotation.place, both.rotation.unknown) == (15.0, AxlePlace("FX1", "a"), True)
        assert match(EYE, PART, both).verdict is MatchVerdict.UNMEASURED
        assert match(EYE, replace(PART, rotation_deg=14.0), both).verdict is MatchVerdict.NEW_DESIGN
        refused = match(EYE, replace(PART, allows_rotation=False), both)
        assert refused.refused_by == ("rotation",)


class TestWarnings:
    other = Neighbour(AxlePlace("FX1", "lower_arm.outer"), "LM-9", False, 2, False, False)

    def codes(self, revision: RevisionInterface, neighbour: Neighbour) -> list[MatchWarning]:
        return [warning.code for warning in match(EYE, revision, asking(), [neighbour]).warnings]

    def test_two_joints_that_cannot_turn_bind(self):
        stiff = replace(PART, allows_rotation=False)
        assert self.codes(stiff, self.other) == [MatchWarning.BINDS]
        assert self.codes(stiff, replace(self.other, coaxial=True)) == []
        assert self.codes(PART, self.other) == []

    def test_two_free_joints_let_the_arm_turn(self):
        free = replace(self.other, allows_rotation=True, allows_tilt=True)
        assert self.codes(PART, free) == [MatchWarning.ARM_TURNS]
        assert self.codes(PART, replace(free, joints_on_link=3)) == []
        assert self.codes(replace(PART, allows_tilt=False), free) == []

    def test_a_measured_mean_outside_its_stated_limits(self):
        found = match(replace(EYE, outside_stated=("bore", "clevis_gap")), PART, asking())
        assert [(warning.code, warning.place) for warning in found.warnings] == [
            (MatchWarning.MEASURED_OUTSIDE_STATED, None)
        ]


def wider(size: Interval, by: float) -> Interval:
    return Interval(size.low - by, size.high + by)


# Most random interfaces drop in or cannot be cured: the filter is the point, not a slip.
MANY_DO_NOT_RESIZE = settings(max_examples=150, suppress_health_check=[HealthCheck.filter_too_much])
RANK = [MatchVerdict.DROPS_IN, MatchVerdict.RESIZE, MatchVerdict.NEW_DESIGN]


@given(
    components | whole_components,
    revisions | whole_revisions,
    demands,
    st.floats(0, 0.2),
    st.sampled_from(["component", "revision", "both"]),
)
@settings(max_examples=300)
def test_widening_a_tolerance_never_improves_a_margin(component, revision, asked, by, side):
    sizes = {"component": ("bore", "seat_length", "clevis_gap", "bolt", "taper_large", "centre_offset"),
             "revision": ("outside", "sleeve", "hole")}  # fmt: skip
    before = match(component, revision, asked)
    widened = {"component": component, "revision": revision}
    for name, piece in widened.items():
        if side in (name, "both"):
            known = {size: getattr(piece, size) for size in sizes[name] if getattr(piece, size) is not None}
            widened[name] = replace(piece, **{size: wider(found, by) for size, found in known.items()})
    after = match(widened["component"], widened["revision"], asked)
    for was, now in zip(before.features, after.features, strict=True):
        assert was.feature == now.feature
        if was.margin is not None and now.margin is not None:
            assert now.margin <= was.margin + 1e-6 * max(1.0, abs(was.margin))
        if was.state is FeatureState.FAILS:
            assert now.state is FeatureState.FAILS
    if after.verdict is MatchVerdict.DROPS_IN:
        assert before.verdict is MatchVerdict.DROPS_IN


@given(components | whole_components, revisions | whole_revisions, st.floats(0, 20000), st.floats(0, 20000))
@settings(max_examples=300)
def test_a_tighter_retention_never_turns_resize_into_drops_in(component, revision, retention, more):
    easy, hard = (match(component, revision, asking(retention=force)) for force in (retention, retention + more))
    if easy.verdict in RANK and hard.verdict in RANK:
        assert RANK.index(hard.verdict) >= RANK.index(easy.verdict)


@given(whole_components, whole_revisions, whole_demands)
@MANY_DO_NOT_RESIZE
def test_a_resize_cures_what_failed(component, revision, asked):
    found = match(component, revision, asked)
    failing = {feature.feature for feature in found.features if feature.state is FeatureState.FAILS}
    assert (found.resize is not None) == (found.verdict is MatchVerdict.RESIZE)
    assume(found.resize is not None)
    assert failing <= CURABLE
    for end in ("low", "high"):
        machined = replace(
            revision,
            outside=moved(revision.outside, found.resize.outside, end),
            sleeve=moved(revision.sleeve, found.resize.sleeve, end),
            hole=revision.hole if found.resize.hole_mm is None else around(revision.hole, found.resize.hole_mm),
        )
        again = match(component, machined, asked)
        close = {
            feature.feature
            for feature in again.features
            if feature.state is FeatureState.FAILS and feature.margin < -1e-6 * max(1.0, abs(feature.limit))
        }
        assert not close


@given(whole_components, whole_revisions, whole_demands)
@MANY_DO_NOT_RESIZE
def test_no_size_outside_the_range_cures(component, revision, asked):
    found = match(component, revision, asked)
    assume(found.resize is not None and found.resize.outside is not None)
    served, half = found.resize.outside, revision.outside.width / 2
    for middle in (served.low - 0.001, served.high + 0.001):
        size = Interval(middle - half, middle + half)
        blank = revision.blank.outside
        inside = blank.low <= size.low and size.high <= blank.high
        again = match(component, replace(revision, outside=size), asked)
        by_outside = {"hold", "eye_stress", "body_stress", "closure"}
        fails = any(one.state is FeatureState.FAILS for one in again.features if one.feature in by_outside)
        assert fails or not inside


def moved(size, served, end):
    return size if served is None else around(size, getattr(served, end))


def around(size, middle):
    return Interval(middle - size.width / 2, middle + size.width / 2)


def test_heat_decides_between_materials():
    """Steel in steel keeps its grip; the same sizes in aluminium lose it at +100 degC."""
    steel = match(EYE, PART, asking())
    aluminium = match(replace(EYE, arm_material=ALUMINIUM), PART, asking())
    assert feature_of(aluminium, "hold").value < feature_of(steel, "hold").value
    thermal = 62.015 * (23e-6 - 11.5e-6) * 80
    smoothing = 0.8 * (10 + 6.3) / 1000
    assert feature_of(steel, "hold").value > 0
    assert (0.09 - smoothing - thermal > 0) == (feature_of(aluminium, "hold").value > 0)
    assert STEEL.expansion_per_k < ALUMINIUM.expansion_per_k


def test_roughness_is_taken_from_the_constants_only_where_it_is_not_recorded():
    smooth = match(replace(EYE, roughness_um=0.0), replace(PART, roughness_um=0.0), asking())
    rough = match(EYE, PART, asking())
    assert feature_of(smooth, "hold").value > feature_of(rough, "hold").value
    assert feature_of(smooth, "eye_stress").value == feature_of(rough, "eye_stress").value


def test_an_eye_thinner_than_its_bore_is_not_known():
    found = match(replace(EYE, arm_outside_mm=62.0), replace(PART, blank=Blank(Interval(60, 66))), asking())
    assert (found.verdict, found.missing) == (MatchVerdict.UNMEASURED, ("component.arm_outside",))
