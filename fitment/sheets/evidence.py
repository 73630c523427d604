"""Decisions and evidence: what engineers say, what was measured, tried, timed and asked, where an axle's points are."""

from catalog.codes import Decision, Measurable, Outcome, Position, Role, Side, SpringKind
from catalog.sheets.columns import (
    KEY,
    OPEN_KEY,
    OPTIONAL,
    REQUIRED,
    choice,
    code,
    column,
    conditions,
    day,
    development,
    items,
    measure,
    own_code,
    sales,
    text,
    whole,
    yes_no,
)
from catalog.sheets.parts import REVISION
from catalog.sheets.sheet import Column, Many, PlaceColumn, Sheet
from fitment.sheets.kinds import NormalNumberKind, PlaceKind, ScopeEquipmentKind, ScopeKind, scope_join, scope_split


def _point(name: str, what: str, axes: str = "xyz") -> tuple[Column, ...]:
    """The coordinates of a point, mm (ISO 8855: x forward, y left, z up)."""
    ways = {"x": "x (forward)", "y": "y (left)", "z": "z (up)"}
    return tuple(
        measure(f"{name}_{axis}", REQUIRED, f"{what}: {ways[axis]}, mm.", places=4, signed=True) for axis in axes
    )


FIT_DECISIONS = Sheet(
    "fit_decisions",
    "fitment.FitDecision",
    development(
        code("part", KEY, "The part.", filter=True),
        code("revision", KEY, "The letter of the revision.", filter=True),
        code("component", KEY, "The original joint that it replaces.", of="components", filter=True),
        conditions("conditions", OPEN_KEY, "The cars for which it is so; empty: all."),
        choice("decision", Decision, KEY, "What was decided.", filter=True),
        day("decided_on", REQUIRED, "The day it was decided."),
        measure("orientation_deg", OPTIONAL, "How it is turned when fitted, degrees.", places=4, signed=True),
        text("orientation_from", OPTIONAL, "The mark from which it is turned."),
        text("remark", OPTIONAL, "A remark that is shown with the answer."),
    ),
    references=(REVISION,),
    group=("part", "revision", "component"),
    writer=Role.DEVELOPMENT,
)

MEASUREMENTS = Sheet(
    "measurements",
    "fitment.Measurement",
    development(
        code("component", KEY, "The component.", of="components", filter=True),
        choice("feature", Measurable, KEY, "What was measured.", filter=True),
        day("measured_on", KEY, "The day it was measured.", filter=True),
        measure("mean_mm", REQUIRED, "The mean of the samples, mm.", places=6, digits=8),
        whole("samples", REQUIRED, "How many samples were measured.", minimum=1),
        measure("spread_mm", OPTIONAL, "The standard deviation of the samples, mm.", places=6, digits=8),
        measure("uncertainty_mm", REQUIRED, "The uncertainty of the instrument (k = 1), mm.", places=6, digits=8),
    ),
    writer=Role.DEVELOPMENT,
)

HARDPOINTS = Sheet(
    "hardpoints",
    "fitment.Hardpoint",
    development(
        code("axle", KEY, "The axle.", of="axles"),
        code("link", KEY, "The link."),
        *_point("inner", "Its end towards the car"),
        *_point("outer", "Its end towards the wheel"),
        code("inner_location", OPTIONAL, "The location of the joint towards the car."),
        code("outer_location", OPTIONAL, "The location of the joint towards the wheel."),
    ),
    places=(PlaceColumn(location="inner_location", field=None), PlaceColumn(location="outer_location", field=None)),
)

WHEELS = Sheet(
    "wheels",
    "fitment.Wheel",
    development(
        code("axle", KEY, "The axle.", of="axles"),
        *_point("contact", "The contact of the tyre"),
        *_point("centre", "The centre of the wheel", "z"),
        choice("spring_kind", SpringKind, REQUIRED, "What the spring stands on."),
        code("spring_link", OPTIONAL, "The link that the spring stands on."),
        *_point("spring_top", "The upper end of the spring"),
        *_point("spring_low", "The lower end of the spring"),
        measure("top_mount_n_mm", OPTIONAL, "The stiffness of the top mount, N/mm.", places=3),
    ),
)

TEST_FITS = Sheet(
    "test_fits",
    "fitment.TestFit",
    development(
        own_code("ref", "The reference of the test fit.", field="ref"),
        code("part", REQUIRED, "The part that was tried.", filter=True),
        code("revision", REQUIRED, "The letter of the revision that was tried.", filter=True),
        code("variant", REQUIRED, "The car it was tried on.", of="variants", filter=True),
        code("axle", REQUIRED, "The axle it was tried on.", of="axles", filter=True),
        code("location", REQUIRED, "The location it was tried at.", filter=True),
        code("component", OPTIONAL, "The joint it was tried in place of.", of="components", filter=True),
        choice("side", Side, OPTIONAL, "The side of the car.", filter=True),
        day("done_on", REQUIRED, "The day it was tried."),
        choice("outcome", Outcome, REQUIRED, "How it went.", filter=True),
        text("findings", OPTIONAL, "What was found."),
        text("serial", OPTIONAL, "The serial number of a prototype."),
        text("holder", OPTIONAL, "Who has the prototype."),
        day("out_on", OPTIONAL, "The day the prototype was handed out."),
        day("back_on", OPTIONAL, "The day the prototype came back."),
        whole("km", OPTIONAL, "How far it was driven, km."),
    ),
    references=(REVISION,),
    places=(PlaceColumn(),),
    ordered=(("out_on", "back_on"),),
    writer=Role.DEVELOPMENT,
)

JOB_TIMES = Sheet(
    "job_times",
    "fitment.JobTime",
    development(
        own_code("ref", "The reference of the job.", field="ref"),
        code("variant", REQUIRED, "The car it was done on.", of="variants", filter=True),
        items("parts", ScopeKind(), REQUIRED, "The parts fitted: `PART` or `PART:END.LOCATION`.", filter="part"),
        choice("side", Side, REQUIRED, "The side that was done.", filter=True),
        column("equipment", ScopeEquipmentKind(), OPTIONAL, "`shop`, `home` or codes; empty: of the shop."),
        yes_no("after_work", REQUIRED, "Whether after-work is counted.", filter=True),
        measure("minutes", REQUIRED, "How long it took, minutes.", places=4),
        day("done_on", REQUIRED, "The day it was done."),
        code("car", OPTIONAL, "A pseudonym of the car, never a number plate or identification number."),
    ),
    many=(
        Many(
            "parts",
            "fitment.JobTimePart",
            "job_time",
            "part",
            "parts",
            further=("end", "location"),
            split=scope_split,
            join=scope_join,
        ),
    ),
    writer=Role.DEVELOPMENT,
)

STANCES = Sheet(
    "stances",
    "fitment.Stance",
    development(
        code("axle", KEY, "The axle.", of="axles", filter=True),
        code("location", KEY, "The location on the axle.", filter=True),
        choice("stance", Position, REQUIRED, "Whether a part is wanted there, in work, or not offered.", filter=True),
        text("reason", OPTIONAL, "Why it is so."),
        text("next_step", OPTIONAL, "What comes next."),
    ),
    places=(PlaceColumn(),),
    writer=Role.DEVELOPMENT,
)

ENQUIRIES = Sheet(
    "enquiries",
    "fitment.Enquiry",
    sales(
        day("asked_on", KEY, "The day it was asked.", filter=True),
        code("maker", OPEN_KEY, "The maker asked about.", filter=True),
        code("chassis", OPEN_KEY, "The chassis asked about.", filter=True),
        code("variant", OPEN_KEY, "The car asked about.", filter=True),
        column("location", PlaceKind(), OPEN_KEY, "The place asked about, `END.LOCATION`.", filter=True),
        column("number", NormalNumberKind(), OPEN_KEY, "The number asked about, in any spelling.", filter=True),
        whole("count", REQUIRED, "How often it was asked that day.", minimum=1),
    ),
    counted_only=True,
)

SHEETS = (MEASUREMENTS, HARDPOINTS, WHEELS, TEST_FITS, JOB_TIMES, STANCES, ENQUIRIES)
"""In the order of the workbook, behind all others; the decisions stand with the parts."""
