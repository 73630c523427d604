"""`parts/`, `revisions/`."""

from django.db.models import Prefetch, QuerySet
from django.db.models.functions import Length

from api.filters.parts import PartFilters, RevisionFilters
from api.lists import DetailEndpoint, ListEndpoint
from api.serializers.parts import PartDetailSerializer, PartSerializer, RevisionDetailSerializer, RevisionSerializer
from catalog.codes import Role
from catalog.models import FastenerChange, Hold, KitItem, Papers, Part, Revision
from catalog.selectors.visible import visible_parts, visible_revisions, visible_rules

LETTER_ORDER = ("letter_length", "letter")


def holds_for(role: Role) -> QuerySet[Hold]:
    """Open ones for the public, all for staff; in the order of batches."""
    rows = Hold.objects.order_by(Length("batch_from"), "batch_from", "pk")
    return rows if role.is_staff else rows.filter(closed_on=None)


def revisions_for(role: Role) -> QuerySet[Revision]:
    """The revisions a role may know of, with their holds."""
    rows = visible_revisions(role).annotate(letter_length=Length("letter"))
    return rows.select_related("part", "material").prefetch_related(Prefetch("holds", holds_for(role)))


class PartList(ListEndpoint):
    """Designs we sell or develop."""

    row = PartSerializer
    filters = PartFilters
    order = ("code",)

    def rows_for(self, role: Role) -> QuerySet[Part]:
        return visible_parts(role).select_related("technology").prefetch_related("bench_equipment_rows__equipment")


class PartDetail(DetailEndpoint):
    """A design with its revisions, its kit, its papers and what it asks of others."""

    row = PartDetailSerializer
    keys = {"part": "code"}
    what = "part"

    def rows_for(self, role: Role) -> QuerySet[Part]:
        rows = visible_parts(role).select_related("technology")
        return rows.prefetch_related(
            "bench_equipment_rows__equipment",
            Prefetch("revisions", revisions_for(role).order_by(*LETTER_ORDER)),
            Prefetch("kit_items", KitItem.objects.order_by("item")),
            Prefetch("papers", Papers.objects.order_by("market", "kind")),
            Prefetch("rules", visible_rules(role).select_related("other").order_by("rule", "other__code", "pk")),
        )


class RevisionList(ListEndpoint):
    """Lettered editions of parts."""

    row = RevisionSerializer
    filters = RevisionFilters
    order = ("part__code", *LETTER_ORDER)
    order_kinds = (str, int, str)

    def rows_for(self, role: Role) -> QuerySet[Revision]:
        return revisions_for(role)


class RevisionDetail(DetailEndpoint):
    """A lettered edition of a part."""

    row = RevisionDetailSerializer
    keys = {"part": "part__code", "revision": "letter"}
    what = "revision"

    def rows_for(self, role: Role) -> QuerySet[Revision]:
        changes = FastenerChange.objects.select_related("fastener__operation__axle").order_by(
            "fastener__operation__axle__code", "fastener__operation__code", "fastener__code"
        )
        return revisions_for(role).prefetch_related(Prefetch("fastener_changes", changes))
