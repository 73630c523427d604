"""Parts: what a line says of one, and all that one role may know of it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from django.db.models import QuerySet

from catalog.codes import Role
from catalog.models import Hold, KitItem, Number, Papers, Part, PartRule, Revision
from catalog.selectors.visible import (
    visible_kit_items,
    visible_numbers,
    visible_parts,
    visible_revisions,
    visible_rules,
)


@dataclass(frozen=True, slots=True)
class PartLine:
    code: str
    title: str
    technology: str
    duty: str


def part_lines(*, codes: Iterable[str]) -> dict[str, PartLine]:
    """Parts by code (one query)."""
    rows = Part.objects.filter(code__in=list(codes)).values_list("code", "title", "technology__title", "duty")
    return {row[0]: PartLine(*row) for row in rows}


@dataclass(frozen=True, slots=True)
class PartSheet:
    """Rows as this role may read them.

    `revisions` from old to new; `hidden_before` are the letters whose predecessor is not shown. `holds` are open.
    """

    part: Part
    revisions: Sequence[Revision]
    hidden_before: frozenset[str]
    holds: Sequence[Hold]
    kit: Sequence[KitItem]
    papers: Sequence[Papers]
    rules: Sequence[PartRule]
    numbers: Sequence[Number]


def part_sheet(*, code: str, viewer: Role) -> PartSheet | None:
    """The part with everything shown of it, or None where this role knows no such part (eight queries)."""
    part = visible_parts(viewer).select_related("technology").filter(code=code).first()
    if part is None:
        return None
    every = sorted(part.revisions.values_list("letter", flat=True), key=by_letter)
    revisions = sorted(visible_revisions(viewer).filter(part=part), key=lambda row: by_letter(row.letter))
    shown = {row.letter for row in revisions}
    holds = Hold.objects.filter(revision__in=revisions, closed_on=None).select_related("revision")
    numbers = visible_numbers(viewer).filter(part=part) | visible_numbers(viewer).filter(revision__part=part)
    return PartSheet(
        part=part,
        revisions=revisions,
        hidden_before=frozenset(after for before, after in pairwise(every) if before not in shown),
        holds=list(holds.order_by("opened_on", "pk")),
        kit=list(visible_kit_items(viewer).filter(part=part).order_by("item")),
        papers=list(part.papers.order_by("market", "kind")),
        rules=list(visible_rules(viewer).filter(part=part).select_related("other").order_by("rule", "pk")),
        numbers=list(numbers.distinct().select_related("revision").order_by("issuer", "normal", "pk")),
    )


def by_letter(letter: str) -> tuple[int, str]:
    """The order of revisions: by length, then letters (2-domain, Facts)."""
    return len(letter), letter


def open_holds() -> QuerySet[Hold]:
    """All open holds with their revisions and parts, the latest first (one query)."""
    return Hold.objects.filter(closed_on=None).select_related("revision__part").order_by("-opened_on", "pk")


def revision_of(*, part: str, letter: str) -> Revision | None:
    """A revision with its part."""
    return Revision.objects.select_related("part").filter(part__code=part, letter=letter).first()
