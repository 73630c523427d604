"""Lists of components and numbers."""

from django.db.models import Exists, OuterRef, Q, QuerySet

from api.filters.base import Choice, Filters, PartNumber, Word, rows_of
from catalog.codes import Decision, End, NumberKind, Side
from catalog.models import Axle, Component, Location, Number
from catalog.selectors.visible import visible_numbers, visible_parts, visible_revisions
from fitment.models import FitDecision

components, axles, locations = map(rows_of, (Component, Axle, Location))


class ComponentFilters(Filters):
    component = Word("code", components, text="The component's code.")
    construction = Word("construction", components, "construction", text="How it is built.")
    axle = Word("joints__axle__code", axles, text="Components of this axle.", distinct=True)
    location = Word("joints__location__code", locations, text="Components at this location.", distinct=True)
    end = Choice("joints__axle__end", End.values, text="Components at this end.", distinct=True)
    part = Word("pk", visible_parts, text="Components this part is approved for.", method="of_part")

    def of_part(self, rows: QuerySet[Component], name: str, value: str) -> QuerySet[Component]:
        decisions = FitDecision.objects.filter(
            component=OuterRef("pk"),
            decision=Decision.APPROVED,
            revision__in=visible_revisions(self.role).filter(part__code=value),
        )
        return rows.filter(Exists(decisions))


class NumberFilters(Filters):
    issuer = Word("issuer", visible_numbers, "issuer", text="Who prints it.")
    number = PartNumber("normal", text="The number in any spelling.")
    component = Word("component__code", components, text="Numbers of this component.")
    part = Word("part__code", visible_parts, text="Numbers of this part.", method="of_part")
    revision = Word("revision__letter", visible_revisions, "letter", text="Numbers of revisions of this letter.")
    kind = Choice("kind", NumberKind.values, text="What it stands for.")
    side = Choice("side", Side.values, text="Its side.")

    def of_part(self, rows: QuerySet[Number], name: str, value: str) -> QuerySet[Number]:
        return rows.filter(Q(part__code=value) | Q(revision__part__code=value))
