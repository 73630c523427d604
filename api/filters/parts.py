"""Lists of parts and revisions."""

from django.db.models import Exists, OuterRef, Q, QuerySet

from api.filters.base import Choice, Filters, Word, YesNo, rows_of
from catalog.codes import Decision, Duty, End, RevisionExchange, Seat, Status
from catalog.models import Axle, Component, Hold, Joint, Location, Part, Revision, Technology
from catalog.selectors.visible import visible_parts, visible_revisions
from fitment.models import FitDecision

technologies, components, axles, locations = map(rows_of, (Technology, Component, Axle, Location))


class PartFilters(Filters):
    """`component`, `axle`, `location` and `end` restrict one approved decision together."""

    part = Word("code", visible_parts, text="The part's code.")
    technology = Word("technology__code", technologies, text="Its technology.")
    duty = Choice("duty", Duty.values, text="What it is made for.")
    seat = Choice("seat", Seat.values, text="How it sits.")
    sealed = YesNo("sealed", text="Whether it is sealed.")
    component = Word("pk", components, text="Approved for this component.", method="asked_together")
    axle = Word("pk", axles, text="Approved for a component of this axle.", method="asked_together")
    location = Word("pk", locations, text="Approved for a component at this location.", method="asked_together")
    end = Choice("pk", End.values, text="Approved for a component at this end.", method="asked_together")

    def asked_together(self, rows: QuerySet[Part], name: str, value: str) -> QuerySet[Part]:
        return rows  # see filter_queryset

    def filter_queryset(self, queryset: QuerySet[Part]) -> QuerySet[Part]:
        rows = super().filter_queryset(queryset)
        asked = {
            "component__code": self.form.cleaned_data["component"],
            "axle__code": self.form.cleaned_data["axle"],
            "location__code": self.form.cleaned_data["location"],
            "axle__end": self.form.cleaned_data["end"],
        }
        given = {column: value for column, value in asked.items() if value}
        if not given:
            return rows
        places = Joint.objects.filter(**given)
        decisions = FitDecision.objects.filter(
            revision__in=visible_revisions(self.role),
            decision=Decision.APPROVED,
            component__in=places.values("component"),
        )
        return rows.filter(pk__in=decisions.values("revision__part"))


class RevisionFilters(Filters):
    part = Word("part__code", visible_parts, text="Its part.")
    revision = Word("letter", visible_revisions, "letter", text="Its letter.")
    status = Choice("status", Status.values, text="Its status.")
    exchange = Choice("exchange", RevisionExchange.values, text="Whether it may replace the one before.")
    technology = Word("part__technology__code", technologies, text="The technology of its part.")
    duty = Choice("part__duty", Duty.values, text="What its part is made for.")
    on_hold = YesNo("pk", text="Whether a hold on it, or on batches of it, is open.", method="held")

    def held(self, rows: QuerySet[Revision], name: str, value: str) -> QuerySet[Revision]:
        open_holds = Exists(Hold.objects.filter(revision=OuterRef("pk"), closed_on=None))
        return rows.filter(Q(open_holds) if value == "yes" else ~Q(open_holds))
