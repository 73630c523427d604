"""Reads numbers and their chains, without those whose targets the reader may not know."""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from django.db import connection
from django.db.models import Q, QuerySet

from catalog.chains import Chain, Step
from catalog.codes import Role
from catalog.models import Number, Supersession
from catalog.selectors.visible import visible_numbers, visible_supersessions

_CONNECTED = """
WITH RECURSIVE reached (normal) AS (
    VALUES (%(start)s::text)
    UNION
    SELECT CASE WHEN step.old_normal = reached.normal THEN step.new_normal ELSE step.old_normal END
    FROM reached JOIN catalog_supersession AS step
      ON step.issuer = %(issuer)s AND reached.normal IN (step.old_normal, step.new_normal)
)
SELECT normal FROM reached
"""


@dataclass(frozen=True, slots=True)
class NumberRow:
    """One target of a number; the codes are None where the number stands for nothing known yet."""

    issuer: str
    number: str
    normal: str
    kind: str
    side: str | None
    component: str | None
    part: str | None
    revision: str | None

    @property
    def has_target(self) -> bool:
        return self.component is not None or self.part is not None


@dataclass(frozen=True, slots=True)
class NumberChain:
    """All numbers of one issuer that are joined to one number, as far as the reader may know them."""

    chain: Chain
    printed: dict[str, str]
    rows: dict[str, list[NumberRow]]


def issuers(viewer: Role) -> set[str]:
    """Everybody who issued a number that the viewer may know of."""
    of_chains = Supersession.objects.values_list("issuer", flat=True).distinct()
    return set(visible_numbers(viewer).values_list("issuer", flat=True)) | set(of_chains)


def issuers_of(normal: str) -> list[str]:
    """The issuers under whom a normal form stands, as a number or in a supersession, in order."""
    of_rows = Number.objects.filter(normal=normal).values_list("issuer", flat=True)
    linked = Q(old_normal=normal) | Q(new_normal=normal)
    of_chains = Supersession.objects.filter(linked).values_list("issuer", flat=True)
    return sorted(set(of_rows) | set(of_chains))


def number_chain(*, issuer: str, normal: str, viewer: Role) -> NumberChain | None:
    """Everything joined to a number, in a constant number of queries; None where the viewer may not know of it."""
    with connection.cursor() as cursor:
        cursor.execute(_CONNECTED, {"issuer": issuer, "start": normal})
        joined = [row[0] for row in cursor.fetchall()]
    rows = _rows(visible_numbers(viewer).filter(issuer=issuer, normal__in=joined))
    recorded = set(Number.objects.filter(issuer=issuer, normal__in=joined).values_list("normal", flat=True))
    hidden = recorded - rows.keys()
    if normal in hidden:
        return None
    links = [
        link
        for link in Supersession.objects.filter(issuer=issuer, old_normal__in=joined)
        if link.old_normal not in hidden and link.new_normal not in hidden
    ]
    printed = {link.old_normal: link.old for link in links} | {link.new_normal: link.new for link in links}
    printed |= {form: targets[0].number for form, targets in rows.items()}
    steps = [Step(link.old_normal, link.new_normal, link.exchange) for link in links]
    return NumberChain(Chain(steps), printed, rows) if normal in printed else None


def _rows(numbers: QuerySet[Number]) -> dict[str, list[NumberRow]]:
    found: dict[str, list[NumberRow]] = defaultdict(list)
    rows = numbers.select_related("component", "part", "revision__part").order_by(
        "normal", "component__code", "part__code", "revision__letter", "side"
    )
    for row in rows:
        part = row.part or (row.revision.part if row.revision else None)
        found[row.normal].append(
            NumberRow(
                issuer=row.issuer,
                number=row.number,
                normal=row.normal,
                kind=row.kind,
                side=row.side or None,
                component=row.component.code if row.component else None,
                part=part.code if part else None,
                revision=row.revision.letter if row.revision else None,
            )
        )
    return dict(found)


def numbers_near(*, normal: str, folded: str, viewer: Role, least: int, most: int) -> Iterator[tuple[str, str, str]]:
    """(issuer, number, `folded` or `prefix`): same folded form first, then those that begin with the question."""
    same = {"folded": folded}
    found = [(*row, "folded") for row in _spelled_like(viewer, most, same)]
    if len(normal) >= least:
        found += [(*row, "prefix") for row in _spelled_like(viewer, most, {"normal__startswith": normal}, but=same)]
    for _, issuer, number, by in found[:most]:
        yield issuer, number, by


def _spelled_like(
    viewer: Role, most: int, like: Mapping[str, str], but: Mapping[str, str] | None = None
) -> list[tuple[str, str, str]]:
    """(normal form, issuer, number) of the numbers, and of those that only a supersession names, that are `like`."""
    found: dict[tuple[str, str], str] = {}
    sources: tuple[tuple[QuerySet[Any], str, str], ...] = (
        (visible_numbers(viewer), "", "number"),
        (visible_supersessions(viewer), "old_", "old"),
        (visible_supersessions(viewer), "new_", "new"),
    )
    for rows, prefix, number in sources:
        wanted = Q(**{prefix + name: value for name, value in like.items()})
        if but is not None:
            wanted &= ~Q(**{prefix + name: value for name, value in but.items()})
        columns = (f"{prefix}normal", "issuer", number)
        for form, issuer, text in rows.filter(wanted).values_list(*columns).distinct().order_by(*columns)[:most]:
            found.setdefault((form, issuer), text)
    return [(form, issuer, text) for (form, issuer), text in sorted(found.items())][:most]
