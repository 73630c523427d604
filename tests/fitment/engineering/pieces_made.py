"""A bush eye and a part that drops in, to be changed by the tests; and random ones."""

from dataclasses import replace
from fractions import Fraction

from hypothesis import strategies as st

from fitment.domain.interfaces import (
    AxlePlace,
    Blank,
    ComponentInterface,
    Demand,
    Demands,
    RevisionInterface,
    demands_of,
)
from fitment.engineering.press_fit import MaterialProperties
from fitment.engineering.tolerances import Interval

ALUMINIUM = MaterialProperties(70e3, 0.33, 240, 23e-6)
STEEL = MaterialProperties(210e3, 0.3, 700, 11.5e-6)
PLACE = AxlePlace("FX1", "lower_arm.rear")

EYE = ComponentInterface(
    code="C1", bore=Interval(62.0, 62.03), seat_length=Interval(40.0, 40.0), arm_material=STEEL, arm_outside_mm=80.0
)
CLEVIS = replace(EYE, clevis_gap=Interval(50.1, 50.3), bolt=Interval(12.0, 12.0))
PART = RevisionInterface(
    part="LM-1",
    letter="A",
    status="released",
    seat="pressed",
    allows_rotation=True,
    allows_tilt=True,
    outside=Interval(62.12, 62.14),
    body_length_mm=38.0,
    housing_bore_mm=50.0,
    material=STEEL,
    rotation_deg=20.0,
    tilt_deg=8.0,
)
SLEEVED = replace(PART, sleeve=Interval(50.0, 50.05), hole=Interval(12.1, 12.2))
BLANK = Blank(Interval(60.0, 66.0), Interval(40.0, 60.0), (10.1, 12.15, 14.1))


def asking(rotation: float | None = 15.0, tilt: float | None = 5.0, retention: float | None = 5000.0) -> Demands:
    return demands_of([Demand(PLACE, rotation, tilt, None, retention)])


def _interval(low: float, high: float, width: float) -> st.SearchStrategy[Interval]:
    pair = st.tuples(st.floats(low, high), st.floats(0, width))
    return pair.map(lambda found: Interval(found[0], found[0] + found[1]))


materials = st.sampled_from([ALUMINIUM, STEEL])
maybe_offset = st.none() | st.floats(0, 2)
tapers = st.none() | st.sampled_from([Fraction(1, 10), Fraction(1, 8)])
components = st.builds(
    ComponentInterface,
    code=st.just("C1"),
    bore=st.none() | _interval(61.9, 62.1, 0.05),
    seat_length=st.none() | _interval(36, 42, 0.5),
    clevis_gap=st.none() | _interval(49.8, 50.4, 0.2),
    bolt=st.none() | _interval(11.9, 12.1, 0.05),
    taper=tapers,
    taper_large=st.none() | _interval(14.9, 15.1, 0.05),
    centre_offset=st.none() | _interval(0, 1, 0.2),
    arm_material=st.none() | materials,
    arm_outside_mm=st.none() | st.floats(63, 90),
)
blanks = st.builds(
    Blank,
    outside=st.none() | _interval(60, 62.1, 4),
    sleeve=st.none() | _interval(49, 50, 3),
    holes_mm=st.sampled_from([(), (10.1, 12.1, 14.1)]),
)
revisions = st.builds(
    RevisionInterface,
    part=st.just("LM-1"),
    letter=st.just("A"),
    status=st.just("released"),
    seat=st.sampled_from(["pressed", "clamped", "taper"]),
    allows_rotation=st.booleans(),
    allows_tilt=st.booleans(),
    outside=st.none() | _interval(61.9, 62.3, 0.05),
    body_length_mm=st.none() | st.floats(30, 42),
    sleeve=st.none() | _interval(49.5, 50.3, 0.1),
    hole=st.none() | _interval(11.9, 12.3, 0.1),
    taper=tapers,
    taper_large_mm=st.none() | st.floats(14.8, 15.2),
    centre_offset_mm=maybe_offset,
    housing_bore_mm=st.none() | st.just(0.0) | st.floats(30, 58),
    material=st.none() | materials,
    rotation_deg=st.none() | st.floats(0, 30),
    tilt_deg=st.none() | st.floats(0, 15),
    closure_um=st.none() | st.floats(0, 60),
    blank=blanks,
)
demands = st.lists(
    st.builds(
        Demand,
        st.sampled_from([AxlePlace("FX1", "a"), AxlePlace("FX2", "a"), AxlePlace("FX2", "b")]),
        st.none() | st.floats(0, 25),
        st.none() | st.floats(0, 10),
        st.none() | st.floats(-3, 3),
        st.none() | st.floats(0, 15000),
    ),
    max_size=3,
).map(demands_of)

# The same with nothing missing and, at the least, outside, sleeve and hole open to machining.
whole_components = st.builds(
    replace,
    st.just(CLEVIS),
    bore=_interval(61.95, 62.05, 0.05),
    clevis_gap=_interval(49.8, 50.4, 0.2),
    bolt=_interval(11.9, 12.1, 0.05),
    arm_material=materials,
    arm_outside_mm=st.floats(66, 90),
)
whole_revisions = st.builds(
    replace,
    st.just(SLEEVED),
    outside=_interval(61.9, 62.3, 0.05),
    sleeve=_interval(49.5, 50.3, 0.1),
    hole=_interval(11.9, 12.3, 0.1),
    housing_bore_mm=st.just(0.0) | st.floats(30, 58),
    material=materials,
    closure_um=st.none() | st.floats(20, 60),
    blank=st.builds(
        Blank,
        outside=st.just(Interval(60, 66)) | _interval(60, 62.1, 4),
        sleeve=st.just(Interval(48, 53)) | _interval(49, 50, 3),
        holes_mm=st.just((10.1, 12.1, 14.1)),
    ),
)
whole_demands = st.builds(asking, retention=st.just(0.0) | st.floats(1, 15000))
