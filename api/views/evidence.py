"""`fit-decisions/`, `test-fits/`, `job-times/`, `measurements/`, `stances/`: read and write, for development."""

from collections.abc import Mapping
from datetime import date
from typing import Any, ClassVar

from django.db.models import QuerySet
from django.db.models.functions import Length
from django.http import HttpResponse
from rest_framework.request import Request

from api.bodies import refuse_vins
from api.filters.evidence import (
    FitDecisionFilters,
    JobTimeFilters,
    MeasurementFilters,
    StanceFilters,
    TestFitFilters,
)  # fmt: skip
from api.lists import ListEndpoint
from api.problems import bad_body
from api.schema import body_of, detailed
from api.serializers.evidence import (
    FitDecisionSerializer,
    JobTimeSerializer,
    MeasurementSerializer,
    StanceSerializer,
    TestFitSerializer,
)  # fmt: skip
from catalog.codes import Role
from catalog.workbook.kinds import Kind, ListKind
from catalog.workbook.sheets import Sheet
from fitment.errors import BadParameters
from fitment.models import FitDecision, JobTime, Measurement, Stance, TestFit
from fitment.services.catalogue.rows import row_save
from fitment.sheets import SHEETS

LONGEST = 10_000  # signs of one text


class EvidenceEndpoint(ListEndpoint):
    """A list that can be added to: a POST adds or changes one row by its key, checked like a workbook row."""

    least = {"GET": Role.DEVELOPMENT, "POST": Role.DEVELOPMENT}
    created = True
    sheet: ClassVar[str]

    def __init_subclass__(cls, **options: Any) -> None:
        super().__init_subclass__(**options)
        cls.answers = {**cls.answers, "POST": detailed(cls.row, cls.row.__name__.removesuffix("Serializer") + "Saved")}
        cls.takes = body_of(cls.row)

    def saved(self, row: Mapping[str, str]) -> dict[str, Any]:
        """What finds the saved row again, from its columns as the workbook writes them."""
        raise NotImplementedError

    def post(self, request: Request) -> HttpResponse:
        values = read_row(request.data, SHEETS[self.sheet])
        try:
            created, row = row_save(sheet=self.sheet, values=values, actor=request.user, role=self.role)
        except BadParameters as error:
            raise bad_body(error.errors) from error
        found = self.rows_for(self.role).get(**self.saved(row))
        written = self.row(found, context={"role": self.role}).data
        return self.reply(written, status=201 if created else 200)


def read_row(body: Any, sheet: Sheet) -> dict[str, Any]:
    """The columns of one row; raises the 400 problem where a value is of no kind that its cell has."""
    if not isinstance(body, dict):
        raise bad_body([("body", "is not an object with the columns of a row")])
    refuse_vins(body)
    errors = [(name, fault) for name, value in body.items() if (fault := _fault(value, _kind(sheet, name)))]
    if errors:
        raise bad_body(errors)
    return body


def _kind(sheet: Sheet, name: str) -> Kind | None:
    return sheet.column(name).kind if name in sheet.index else None


def _fault(value: Any, kind: Kind | None) -> str | None:
    if isinstance(value, list):
        if kind is not None and not isinstance(kind, ListKind):
            return "is one value, not a list"
        # A cell holds its items separated by spaces: one with a space inside would count as two.
        alone = all(isinstance(item, str) and item.split() == [item] for item in value)
        return None if alone else "is not a list of texts without spaces"
    if isinstance(value, str):
        return None if len(value) <= LONGEST else f"is longer than {LONGEST} signs"
    if isinstance(value, bool):
        return None if kind is None or kind.takes_booleans else "is a boolean; this is no yes or no"
    if isinstance(value, int | float):
        return None if abs(value) < 1e15 else "is larger than any figure here"
    return None if value is None else "is not a text, a number, a boolean or a list"


class FitDecisions(EvidenceEndpoint):
    """Engineers' words on revisions and components."""

    row = FitDecisionSerializer
    filters = FitDecisionFilters
    sheet = "fit_decisions"
    order = ("revision__part__code", "letter_length", "revision__letter", "component__code", "pk")
    order_kinds = (str, int, str, str, int)

    def rows_for(self, role: Role) -> QuerySet[FitDecision]:
        rows = FitDecision.objects.select_related("revision__part", "component")
        return rows.annotate(letter_length=Length("revision__letter"))

    def saved(self, row: Mapping[str, str]) -> dict[str, Any]:
        return {
            "revision__part__code": row["part"],
            "revision__letter": row["revision"],
            "component__code": row["component"],
            "conditions": row["conditions"],
            "decision": row["decision"],
        }


class TestFits(EvidenceEndpoint):
    """Revisions tried on real cars."""

    __test__ = False  # the name is the trade's; pytest would collect the class
    row = TestFitSerializer
    filters = TestFitFilters
    sheet = "test_fits"
    order = ("ref",)

    def rows_for(self, role: Role) -> QuerySet[TestFit]:
        return TestFit.objects.select_related("revision__part", "variant", "axle", "location", "component")

    def saved(self, row: Mapping[str, str]) -> dict[str, Any]:
        return {"ref": row["ref"]}


class JobTimes(EvidenceEndpoint):
    """Minutes taken for stated scopes; they make no edition."""

    row = JobTimeSerializer
    filters = JobTimeFilters
    sheet = "job_times"
    order = ("ref",)
    counted = True

    def rows_for(self, role: Role) -> QuerySet[JobTime]:
        return JobTime.objects.select_related("variant").prefetch_related("part_rows__part")

    def saved(self, row: Mapping[str, str]) -> dict[str, Any]:
        return {"ref": row["ref"]}


class Measurements(EvidenceEndpoint):
    """Dimensions of components on samples."""

    row = MeasurementSerializer
    filters = MeasurementFilters
    sheet = "measurements"
    order = ("component__code", "feature", "pk")
    order_kinds = (str, str, int)

    def rows_for(self, role: Role) -> QuerySet[Measurement]:
        return Measurement.objects.select_related("component")

    def saved(self, row: Mapping[str, str]) -> dict[str, Any]:
        day = date.fromisoformat(row["measured_on"])
        return {"component__code": row["component"], "feature": row["feature"], "measured_on": day}


class Stances(EvidenceEndpoint):
    """The developers' standing words on axles and locations."""

    row = StanceSerializer
    filters = StanceFilters
    sheet = "stances"
    order = ("axle__code", "location__code")

    def rows_for(self, role: Role) -> QuerySet[Stance]:
        return Stance.objects.select_related("axle", "location")

    def saved(self, row: Mapping[str, str]) -> dict[str, Any]:
        return {"axle__code": row["axle"], "location__code": row["location"]}
