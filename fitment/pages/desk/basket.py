"""The basket on the desk: what is in it, what cannot be fitted and why, and one job for the rest."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from catalog.codes import Role, Verdict
from catalog.selectors.parts import PartLine
from fitment.answers.fit import PlaceAnswer, RuleNote
from fitment.errors import BadParameters, Refusal
from fitment.pages.desk.answers import Line, answers_of
from fitment.pages.desk.state import PATH, Desk
from fitment.pages.job.figures import minutes
from fitment.pages.shared.refusals import refusal_context
from fitment.query.job_parameters import JobRequest, PartAsked
from fitment.services.jobs.planning import DrawnJob, plan_job_drawn
from fitment.text.fit import reason_text, rule_words, verdict_words
from fitment.text.names import Names

BEST_FIRST = list(Verdict)


@dataclass(frozen=True, slots=True)
class Item:
    """A part of the basket. `left_out`: why it is not in the job, empty where it is."""

    part: str
    revision: str
    title: str
    place: str
    verdict: str
    word: str
    drop: str
    key: str
    left_out: str


@dataclass(frozen=True, slots=True)
class ExtraView:
    """A part that is nearly free while the car is open."""

    part: str
    title: str
    place: str
    minutes: str
    grade: int
    href: str
    key: str


@dataclass(frozen=True, slots=True)
class Unmet:
    """A rule that the basket does not meet; `href` adds the part it asks for."""

    part: str
    text: str
    other: str
    href: str
    key: str


@dataclass(frozen=True, slots=True)
class Basket:
    """`request` and `drawn` are of the parts that may fit; `refused` says why there is no job for them."""

    items: tuple[Item, ...]
    request: JobRequest | None = None
    drawn: DrawnJob | None = None
    refused: Mapping[str, Any] | None = None


Lines = Mapping[tuple[str, str, str], Line]


def basket_of(
    desk: Desk,
    request: JobRequest,
    answers: Sequence[PlaceAnswer],
    *,
    parts: Mapping[str, PartLine],
    lines: Lines,
    called: Names,
    viewer: Role,
) -> Basket:
    """The basket of a car of one platform, with one job for all that may fit it."""
    fitting: list[PartAsked] = []
    items: list[Item] = []
    for value, one in zip(desk.parts, request.parts, strict=True):
        found = sorted(answers_of(one, answers), key=lambda each: BEST_FIRST.index(each.verdict))
        may_fit = one.revision is not None or any(each.revision is not None for each in found)
        if may_fit:
            fitting.append(one)
        items.append(_item(value, one, found, desk, parts, lines, called, may_fit=may_fit))
    basket = Basket(tuple(items))
    if not fitting:
        return basket
    asked = replace(request, parts=tuple(fitting))
    try:
        drawn = plan_job_drawn(request=asked, viewer=viewer)
    except (BadParameters, Refusal) as refused:
        return replace(basket, request=asked, refused=refusal_context(refused, desk.query, PATH))
    return replace(basket, request=asked, drawn=drawn)


def unmet_rules(drawn: DrawnJob, desk: Desk, lines: Lines) -> tuple[Unmet, ...]:
    """What the parts ask and this job does not do; a part that is missing with the address that adds it."""
    found = []
    for rule in drawn.job.rules:
        if rule.met is not False:
            continue
        line = next((line for (part, _, _), line in lines.items() if part == rule.other and line.href), None)
        adds = line if line is not None and rule.rule == "requires" and not line.taken else None
        text = rule_words(RuleNote(rule.rule, rule.other, rule.note))
        found.append(Unmet(rule.part, text, rule.other or "", adds.href if adds else "", adds.key if adds else ""))
    return tuple(found)


def extras_of(drawn: DrawnJob, desk: Desk, parts: Mapping[str, PartLine], lines: Lines, called: Names
              ) -> tuple[ExtraView, ...]:  # fmt: skip
    """What could be fitted too, least first, with the key that the answer itself has."""
    found = []
    for extra in drawn.job.plan.while_in_there:
        line = lines.get((extra.part, extra.end, extra.location))
        place = f"{extra.end}.{extra.location}"
        found.append(
            ExtraView(
                part=extra.part,
                title=parts[extra.part].title if extra.part in parts else "",
                place=called.place(extra.end, extra.location),
                minutes=minutes(extra.extra_minutes),
                grade=extra.extra_grade,
                href="" if desk.full else desk.with_part(f"{extra.part}:{place}"),
                key=line.key if line else "",
            )
        )
    return tuple(found)


def waiting_items(desk: Desk, asked: Iterable[PartAsked], parts: Mapping[str, PartLine]) -> tuple[Item, ...]:
    """The basket while the car is not known well enough for any answer."""
    return tuple(
        Item(one.part, one.revision or "", parts[one.part].title if one.part in parts else "", "", "", "",
             desk.without_part(value), "", "")
        for value, one in zip(desk.parts, asked, strict=True)
    )  # fmt: skip


def _item(
    value: str,
    one: PartAsked,
    found: Sequence[PlaceAnswer],
    desk: Desk,
    parts: Mapping[str, PartLine],
    lines: Lines,
    called: Names,
    *,
    may_fit: bool,
) -> Item:
    best = found[0] if found else None
    line = lines.get((one.part, best.end or "", best.location or "")) if best else None
    where = called.place(best.end, best.location) if best and best.end and best.location else ""
    if best is None:
        why = "Nobody has decided where it may be fitted."
    else:
        why = " ".join(reason_text(reason) for reason in best.reasons)
    verdict = best.verdict if best else Verdict.NOT_KNOWN
    return Item(
        part=one.part,
        revision=one.revision or (best.revision if best and best.revision else ""),
        title=parts[one.part].title if one.part in parts else "",
        place=where,
        verdict=verdict.value,
        word=verdict_words(verdict, best.undecided_by if best else ()),
        drop=desk.without_part(value),
        key=line.key if line else "",
        left_out="" if may_fit else why,
    )
