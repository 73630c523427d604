"""The cars of a part: for each variant and place, intervals of equal verdict that fill its window. Pure."""

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

from catalog.codes import Reason, Verdict
from fitment.answers.fit import PartCar
from fitment.domain.description import Description, Question
from fitment.domain.facts import Facts, Part, Place, Variant
from fitment.rules.case import Case
from fitment.rules.derivations import Derivations
from fitment.rules.outcome import judge
from fitment.rules.places import listed, place_occupants
from fitment.rules.possible_cars import CarSpace, finite
from fitment.rules.residual import day_of


def verdict_intervals(
    facts: Facts, part: Part, variant: Variant, derivations: Derivations | None = None
) -> Iterator[PartCar]:
    """The intervals of one variant at each place at which the part is listed for it alone, by place and day."""
    alone = replace(facts, variants=(variant,), parts={part.code: part})
    space = CarSpace(alone, Description(variant=variant.code), derivations)
    for _, place in listed(space, Question(), place_occupants(space), staff=False):
        if place is not None:
            yield from _intervals(space, part, place)


def _intervals(space: CarSpace, part: Part, place: Place) -> Iterator[PartCar]:
    (region,) = space
    case = Case(space, part, place, part.visible())
    rows = list(case.rows(region))
    starts = sorted({row.cell.first for row in rows} | {row.cell.last + 1 for row in rows})
    found: list[tuple[int, int, tuple[Verdict, str | None]]] = []
    for first, after in pairwise(starts):
        reasons: list[set[Reason]] = [set() for _ in case.revisions]
        for row in rows:
            if row.cell.first <= first <= row.cell.last:
                for position, reason in enumerate(row.reasons):
                    reasons[position].add(reason)
        judgement = judge(reasons)
        named = case.revisions[judgement.named].letter if judgement.named is not None else None
        if found and found[-1][2] == (judgement.verdict, named):
            found[-1] = (found[-1][0], after - 1, found[-1][2])
        else:
            found.append((first, after - 1, (judgement.verdict, named)))
    for first, last, (verdict, named) in found:
        begin = day_of(first)
        if begin is not None:
            end = day_of(last) if finite(last) is not None else None
            yield PartCar(region.variant.code, *place, begin, end, verdict, named)
