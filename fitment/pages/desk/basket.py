"""The basket on the desk: what is in it, what cannot be fitted and why, and one job for the rest."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from catalog.codes import Role, Rule, Verdict
from fitment.answers.fit import PlaceAnswer
from fitment.errors import BadParameters, Refusal
from fitment.pages.desk.answers import DeskAnswer, answers_of
from fitment.pages.desk.state import PATH, DeskState
from fitment.pages.shared.refusals import refusal_context
from fitment.query.job_parameters import JobRequest, PartAsked
from fitment.readers.vocabulary import names
from fitment.services.jobs.planning import DrawnJob, plan_job_drawn
from fitment.text.fit import reasons_text, verdict_words


@dataclass(frozen=True, slots=True)
class BasketItem:
    """A part of the basket. `left_out`: why it is not in the job, empty where it is."""

    part: str
    revision: str
    title: str
    drop: str
    place: str = ""
    verdict: str = ""
    word: str = ""
    key: str = ""
    left_out: str = ""


@dataclass(frozen=True, slots=True)
class BasketExtra:
    """A part that is nearly free while the car is open: as the job's page shows it (`view`), and how it is added."""

    view: Mapping[str, Any]
    href: str
    key: str


@dataclass(frozen=True, slots=True)
class UnmetRule:
    """A rule that the basket does not meet, as the job's page shows it; `href` adds the part it asks for."""

    view: Mapping[str, Any]
    other: str
    href: str
    key: str


@dataclass(frozen=True, slots=True)
class Basket:
    """`request` and `drawn` are of the parts that may fit; `refused` says why there is no job for them."""

    items: tuple[BasketItem, ...] = ()
    request: JobRequest | None = None
    drawn: DrawnJob | None = None
    refused: Mapping[str, Any] | None = None


Lines = Mapping[tuple[str, str, str], DeskAnswer]


def basket_of(
    desk: DeskState,
    request: JobRequest,
    answers: Sequence[PlaceAnswer],
    titles: Mapping[str, str],
    lines: Lines,
    viewer: Role,
) -> Basket:
    """The basket of a car of one platform, with one job for all that may fit it."""
    fitting: list[PartAsked] = []
    items: list[BasketItem] = []
    for waiting, one in zip(waiting_items(desk, request.parts, titles), request.parts, strict=True):
        found = sorted(answers_of(one, answers), key=lambda each: each.verdict.rank)
        may_fit = one.revision is not None or any(each.revision is not None for each in found)
        if may_fit:
            fitting.append(one)
        items.append(_answered(waiting, found[0] if found else None, lines, may_fit=may_fit))
    basket = Basket(tuple(items))
    if not fitting:
        return basket
    asked = replace(request, parts=tuple(fitting))
    try:
        drawn = plan_job_drawn(request=asked, viewer=viewer)
    except (BadParameters, Refusal) as refused:
        return replace(basket, request=asked, refused=refusal_context(refused, desk.query, PATH))
    return replace(basket, request=asked, drawn=drawn)


def waiting_items(desk: DeskState, asked: Iterable[PartAsked], titles: Mapping[str, str]) -> tuple[BasketItem, ...]:
    """The basket while the car is not known well enough for any answer."""
    return tuple(
        BasketItem(one.part, one.revision or "", titles.get(one.part, ""), desk.without_part(value))
        for value, one in zip(desk.parts, asked, strict=True)
    )


def unmet_rules(drawn: DrawnJob, job: Mapping[str, Any], lines: Lines) -> Iterable[UnmetRule]:
    """What the parts ask and this job does not do; a part that is missing with the address that adds it."""
    for view, rule in zip(job["rules"], drawn.job.rules, strict=True):
        if rule.met is False:
            line = next((line for (part, _, _), line in lines.items() if part == rule.other and line.href), None)
            adds = line if line is not None and rule.rule == Rule.REQUIRES and not line.taken else None
            yield UnmetRule(view, rule.other or "", adds.href if adds else "", adds.key if adds else "")


def extras_of(drawn: DrawnJob, job: Mapping[str, Any], desk: DeskState, lines: Lines) -> Iterable[BasketExtra]:
    """What could be fitted too, least first, with the key that the answer itself has."""
    for view, extra in zip(job["while_there"], drawn.job.plan.while_in_there, strict=True):
        line = lines.get((extra.part, extra.end, extra.location))
        href = "" if desk.full else desk.with_part(f"{extra.part}:{extra.end}.{extra.location}")
        yield BasketExtra(view, href, line.key if line else "")


def _answered(item: BasketItem, best: PlaceAnswer | None, lines: Lines, *, may_fit: bool) -> BasketItem:
    """An item with the best answer on it."""
    verdict, undecided_by = (best.verdict, best.undecided_by) if best else (Verdict.NOT_KNOWN, ())
    line = lines.get((item.part, best.end or "", best.location or "")) if best else None
    return replace(
        item,
        revision=item.revision or (best.revision if best and best.revision else ""),
        place=names().place(best.end, best.location) if best else "",
        verdict=verdict.value,
        word=verdict_words(verdict, undecided_by),
        key=line.key if line else "",
        left_out="" if may_fit else reasons_text(best.reasons if best else None),
    )
