"""The sheets of the decisions and the evidence, and all sheets of the workbook in their order."""

import re

from catalog import sheets as facts
from catalog.codes import Decision, Outcome, Position, Side, SpringKind
from catalog.numbers import normal_form
from catalog.workbook.columns import (
    choice,
    code,
    conditions,
    day,
    items,
    measure,
    own_code,
    text,
    whole,
    yes_no,
)  # fmt: skip
from catalog.workbook.kinds import BadCell, CodeKind, Kind, ListKind, NumberKind
from catalog.workbook.sheets import Column, Many, Place, Reference, Sheet, Sheets

FEATURES = ("bore", "seat_length", "clevis_gap", "bolt", "taper_large", "centre_offset", "arm_outside")
EQUIPMENT_SETS = ("shop", "home")
_WAY = re.compile(r"(front|rear)\.(.+)", re.DOTALL)


def place_fault(text: str) -> str | None:
    """Why a text is not `END.LOCATION`, or None."""
    return None if _WAY.fullmatch(text) else f"'{text}' does not begin with front. or rear."


class PlaceKind(CodeKind):
    """A place of a car: `END.LOCATION`."""

    def read(self, text: str) -> str:
        if fault := place_fault(text):
            raise BadCell(fault, "write END.LOCATION, such as front.tension_link.inner")
        return super().read(text)


class NormalNumberKind(NumberKind):
    """A part number in normal form, as the service keeps what was asked: another spelling is the same question."""

    def read(self, text: str) -> str:
        return normal_form(super().read(text))


class ScopeKind(Kind):
    """One part of a job: `PART` or `PART:END.LOCATION`."""

    def read(self, text: str) -> str:
        part, colon, place = text.partition(":")
        CodeKind().read(part)
        if not part or (colon and place_fault(place)):
            raise BadCell(f"'{text}' names no part of a job", "write PART or PART:END.LOCATION")
        return f"{part}:{PlaceKind().read(place)}" if colon else part


def scope_split(text: str) -> tuple[str, str, str]:
    """Part, end and location of one part of a job.

    >>> scope_split("LM-210:front.tension_link.inner")
    ('LM-210', 'front', 'tension_link.inner')
    """
    part, _, place = text.partition(":")
    end, _, location = place.partition(".")
    return part, end, location


def scope_join(part: str, end: str, location: str) -> str:
    return f"{part}:{end}.{location}" if location else part


FIT_DECISIONS = Sheet(
    "fit_decisions", "fitment.FitDecision",
    (
        code("part", "*"), code("revision", "*"), code("component", "*"), conditions("conditions", "(*)"),
        choice("decision", Decision.values, "*"), day("decided_on", "!"),
        measure("orientation_deg", places=4, signed=True), text("orientation_from"), text("remark"),
    ),
    references=(facts.REVISION, Reference(("component",), "components", "component")),
    group=("part", "revision", "component"),
)  # fmt: skip

MEASUREMENTS = Sheet(
    "measurements", "fitment.Measurement",
    (
        code("component", "*"), choice("feature", FEATURES, "*"), day("measured_on", "*"),
        measure("mean_mm", "!", places=6, digits=8), whole("samples", "!", least=1),
        measure("spread_mm", places=6, digits=8), measure("uncertainty_mm", "!", places=6, digits=8),
    ),
    references=(Reference(("component",), "components", "component"),),
)  # fmt: skip


def _points(*names: str, flags: str = "!") -> tuple[Column, ...]:
    return tuple(measure(name, flags, places=4, signed=True) for name in names)


HARDPOINTS = Sheet(
    "hardpoints", "fitment.Hardpoint",
    (
        code("axle", "*"), code("link", "*"),
        *_points("inner_x", "inner_y", "inner_z", "outer_x", "outer_y", "outer_z"),
        code("inner_location"), code("outer_location"),
    ),
    references=(facts.AXLE,),
    places=(Place(location="inner_location", field=None), Place(location="outer_location", field=None)),
)  # fmt: skip

WHEELS = Sheet(
    "wheels", "fitment.Wheel",
    (
        code("axle", "*"), *_points("contact_x", "contact_y", "contact_z", "centre_z"),
        choice("spring_kind", SpringKind.values, "!"), code("spring_link"),
        *_points("spring_top_x", "spring_top_y", "spring_top_z", "spring_low_x", "spring_low_y", "spring_low_z"),
        measure("top_mount_n_mm", places=3),
    ),
    references=(facts.AXLE,),
)  # fmt: skip

TEST_FITS = Sheet(
    "test_fits", "fitment.TestFit",
    (
        own_code("ref", field="ref"), code("part", "!"), code("revision", "!"), code("variant", "!"),
        code("axle", "!"), code("location", "!"), code("component"), choice("side", Side.values),
        day("done_on", "!"), choice("outcome", Outcome.values, "!"), text("findings"), text("serial"), text("holder"),
        day("out_on"), day("back_on"), whole("km"),
    ),
    references=(
        facts.REVISION,
        Reference(("variant",), "variants", "variant"),
        facts.AXLE,
        Reference(("component",), "components", "component"),
    ),
    places=(Place(),),
    ordered=(("out_on", "back_on"),),
)  # fmt: skip


class ScopeEquipmentKind(ListKind):
    """`shop`, `home`, or a list of equipment."""

    def read(self, text: str) -> str:
        words = ListKind.read(self, text).split()
        if len(words) > 1 and set(words) & set(EQUIPMENT_SETS):
            raise BadCell(f"'{text}' mixes a set with single pieces", "write shop, home, or a list of equipment")
        return " ".join(words)


JOB_TIMES = Sheet(
    "job_times", "fitment.JobTime",
    (
        own_code("ref", field="ref"), code("variant", "!"), items("parts", ScopeKind(), "!"),
        choice("side", Side.values, "!"), Column("equipment", ScopeEquipmentKind()), yes_no("after_work", "!"),
        measure("minutes", "!", places=4), day("done_on", "!"), code("car"),
    ),
    references=(Reference(("variant",), "variants", "variant"),),
    many=(
        Many(
            "parts", "fitment.JobTimePart", "job_time", "part", "parts", further=("end", "location"),
            split=scope_split, join=scope_join,
        ),
    ),
)  # fmt: skip

STANCES = Sheet(
    "stances", "fitment.Stance",
    (
        code("axle", "*"), code("location", "*"), choice("stance", Position.values, "!"), text("reason"),
        text("next_step"),
    ),
    references=(facts.AXLE,),
    places=(Place(),),
)  # fmt: skip

ENQUIRIES = Sheet(
    "enquiries", "fitment.Enquiry",
    (
        day("asked_on", "*"), code("maker", "(*)"), code("chassis", "(*)"), code("variant", "(*)"),
        Column("location", PlaceKind(), key=True), Column("number", NormalNumberKind(), key=True),
        whole("count", "!", least=1),
    ),
    counted_only=True,
)  # fmt: skip

SHEETS = Sheets(
    (
        *facts.VEHICLES, *facts.PARTS_AND_JOINTS, FIT_DECISIONS, *facts.PROCEDURES, MEASUREMENTS, HARDPOINTS, WHEELS,
        TEST_FITS, JOB_TIMES, STANCES, ENQUIRIES,
    )
)  # fmt: skip
