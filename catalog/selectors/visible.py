"""Which rows a role may know of; everywhere else a row that it may not is as if it did not exist.

A part exists for the public when a revision of it is released (held or not) or withdrawn; a number when what it
leads to does, or when it leads nowhere (2-domain, Roles).
"""

from collections.abc import Callable, Mapping
from typing import Any

from django.db.models import Exists, Model, OuterRef, Q, QuerySet

from catalog.codes import FOR_SALE_ONCE, Role
from catalog.models import Hold, KitItem, Number, Part, PartRule, Revision, Supersession


def visible_revisions(role: Role) -> QuerySet[Revision]:
    """All for staff; released and withdrawn ones for the public."""
    rows = Revision.objects.all()
    return rows if role.is_staff else rows.filter(status__in=FOR_SALE_ONCE)


def visible_parts(role: Role) -> QuerySet[Part]:
    """All for staff; those with a visible revision for the public."""
    rows = Part.objects.all()
    return rows if role.is_staff else rows.filter(Exists(visible_revisions(role).filter(part=OuterRef("pk"))))


def visible_numbers(role: Role) -> QuerySet[Number]:
    """The rows of numbers whose target the role may know of, or that have none."""
    rows = Number.objects.all()
    if role.is_staff:
        return rows
    part = Q(part=None) | Exists(visible_parts(role).filter(pk=OuterRef("part")))
    revision = Q(revision=None) | Exists(visible_revisions(role).filter(pk=OuterRef("revision")))
    return rows.filter(part, revision)


def visible_supersessions(role: Role) -> QuerySet[Supersession]:
    """The supersessions between numbers that the role may know of; all know one that stands in no other sheet."""
    rows = Supersession.objects.all()
    if role.is_staff:
        return rows
    for end in ("old_normal", "new_normal"):
        number = Q(issuer=OuterRef("issuer"), normal=OuterRef(end))
        seen, recorded = visible_numbers(role).filter(number), Number.objects.filter(number)
        rows = rows.filter(Exists(seen) | ~Exists(recorded))
    return rows


def visible_rules(role: Role) -> QuerySet[PartRule]:
    """The rules between parts that the role may know of."""
    rows = PartRule.objects.all()
    if role.is_staff:
        return rows
    parts = visible_parts(role)
    other = Q(other=None) | Exists(parts.filter(pk=OuterRef("other")))
    return rows.filter(other, Exists(parts.filter(pk=OuterRef("part"))))


def visible_kit_items(role: Role) -> QuerySet[KitItem]:
    """The contents of the kits of parts that the role may know of."""
    rows = KitItem.objects.all()
    return rows if role.is_staff else rows.filter(Exists(visible_parts(role).filter(pk=OuterRef("part"))))


def visible_holds(role: Role) -> QuerySet[Hold]:
    """All for staff; open ones for the public."""
    rows = Hold.objects.all()
    return rows if role.is_staff else rows.filter(closed_on=None)


_VISIBLE: Mapping[type[Model], Callable[[Role], QuerySet[Any]]] = {
    Part: visible_parts,
    Revision: visible_revisions,
    Number: visible_numbers,
    PartRule: visible_rules,
    Hold: visible_holds,
}


def visible_rows(model: type[Model], role: Role) -> QuerySet[Any]:
    """The rows of any model that the role may know of."""
    return _VISIBLE[model](role) if model in _VISIBLE else model._default_manager.all()
