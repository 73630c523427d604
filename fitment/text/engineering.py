"""The words for matches, sizes and loads: what stands in the way, what is not known, figures to their last place."""

from catalog.codes import FeatureState, MatchFeature, MatchWarning, Measurable, NotModelled
from fitment.engineering.matching import InterfaceMatch, MatchNote
from fitment.engineering.tolerances import Interval

UNITS = {"um": "µm", "deg": "°", "1": ""}
NO_CORNER = {
    NotModelled.NO_HARDPOINTS: (
        "No hardpoints are recorded.",
        "Record them in the sheets hardpoints and wheels of the workbook.",
    ),
    NotModelled.NOT_MODELLED: (
        "This kind of axle is not modelled.",
        "Computed are struts with three lines and five lines without a strut; twist beams, live axles and semi-trailing"
        " arms are not held by two-force links.",
    ),
    NotModelled.SINGULAR: (
        "These hardpoints hold no wheel.",
        "No single set of forces holds this corner: look for a mistyped point.",
    ),
}
_PLACES = {"mm": 3, "N": 0, "MPa": 0, "um": 1, "deg": 1, "1": 4}
_SIZES = {"arm_material": "material of the arm", "housing_bore": "bore of the housing"}
_NOTES = {
    MatchWarning.BINDS: "binds with {part} at {place}: neither may turn",
    MatchWarning.ARM_TURNS: "with {part} at {place} the arm may turn about its own axis (usual, a note)",
    MatchWarning.MEASURED_OUTSIDE_STATED: "a measured mean lies outside the stated limits",
}


def number(value: float, spec: str) -> str:
    """A figure with a real minus and thin spaces between thousands, by a format of Python.

    >>> number(-1234.5, ",.0f") == "\\u22121\\u2009234"
    True
    """
    return f"{value:{spec}}".replace(",", "\u2009").replace("-", "\u2212")


def figure(value: float | None, unit: str, *, signed: bool = False) -> str:
    """A figure to the last place that means something: mm to the micrometre, N and MPa whole."""
    return "" if value is None else number(value, f"{'+' if signed else ''},.{_PLACES[unit]}f")


def limits_of(interval: Interval | None) -> str:
    """Both limits in mm, one where they are alike."""
    if interval is None:
        return ""
    low, high = f"{interval.low:.3f}", f"{interval.high:.3f}"
    return low if low == high else f"{low} to {high}"


def size_name(code: str) -> str:
    """A size, a freedom or the hold of a press fit inside a sentence."""
    return Measurable(code).word if code in Measurable.values else _SIZES.get(code, code.replace("_", " "))


def missing_fact(fact: str) -> str:
    """A missing fact in words.

    >>> missing_fact("component.bore"), missing_fact("asked.retention")
    ("the joint's bore", 'the retention asked')
    """
    owner, _, name = fact.partition(".")
    what = size_name(name)
    return {"component": f"the joint's {what}", "revision": f"the part's {what}"}.get(owner, f"the {what} asked")


def match_reason(match: InterfaceMatch) -> str:
    """What stands in the way, in a line."""
    if match.refused_by:
        return "its technology allows no " + " and no ".join(match.refused_by)
    failing = [one.feature.word.lower() for one in match.features if one.state is FeatureState.FAILS]
    parts = []
    if failing:
        parts.append(f"fails: {', '.join(failing)}")
    if match.missing:
        parts.append(f"not known: {', '.join(map(missing_fact, match.missing))}")
    return "; ".join(parts) or "every feature is within its limit"


def match_note(note: MatchNote) -> str:
    return _NOTES[note.code].format(part=note.part, place=note.place.location if note.place else None)


def resize_lines(match: InterfaceMatch) -> list[tuple[str, str]]:
    """What to machine and to which size in mm."""
    if match.resize is None:
        return []
    lines = [
        ("outside, middle of its limits", limits_of(match.resize.outside)),
        ("sleeve, middle of its limits", limits_of(match.resize.sleeve)),
        ("hole", "" if match.resize.hole_mm is None else f"{match.resize.hole_mm:.2f}"),
    ]
    return [(what, value) for what, value in lines if value]


def left_out_reason(why: str) -> str:
    """Why a blank cannot serve a component: a feature, a dimension, or something unmeasured."""
    if why == FeatureState.UNMEASURED:
        return "not measured"
    if why in MatchFeature.values:
        return MatchFeature(why).word.lower()
    return f"no {size_name(why)} inside the blank holds"
