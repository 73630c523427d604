"""The product's answers in the shape of the oracle's."""

from typing import Any

from fitment.domain.description import Question
from fitment.domain.facts import Facts
from fitment.rules.answer import answer
from fitment.rules.contradiction import fewest_contradicting
from fitment.rules.possible_cars import CarSpace
from fitment.rules.question import ChosenQuestion
from fitment.rules.residual import day_of


def shown(facts: Facts, question: Question, *, staff: bool) -> dict[str, Any]:
    """An answer of the product as the oracle writes it."""
    space = CarSpace(facts, question.car)
    if not len(space):
        return {"fields": fewest_contradicting(facts, question.car)}
    found = answer(space, question, staff=staff)
    answers = {}
    for one in found.answers:
        answers[one.place, one.part.code] = row = {
            "verdict": one.verdict.value,
            "revision": one.named.letter if one.named else None,
            "basis": one.basis.value if one.basis else None,
            "reasons": {reason.value for reason in one.reasons},
            "undecided_by": set(one.undecided_by),
            "other_revisions": [revision.letter for revision in one.others],
        }
        if staff:
            row["internal"] = {each.revision: (each.status, each.hold, each.verdict.value) for each in one.internal}
    return {
        "variants": sorted(region.variant.code for region in space),
        "question": None if found.asked is None else _question(found.asked, found.undecided),
        "answers": answers,
        "unknown_locations": {(each.end, each.location, each.where) for each in found.unknown_locations},
        "unknown_axles": {(each.end, each.where) for each in found.unknown_axles},
    }


def _question(asked: ChosenQuestion, undecided: int | None) -> dict[str, Any]:
    answers = list(asked.answers)
    if asked.attribute.kind == "built":
        answers = [(day_of(each.first), day_of(each.last)) for each in asked.intervals]
    found = {"attribute": asked.attribute.name, "answers": answers}
    if undecided is not None:
        found |= {"expected": asked.expected, "undecided": undecided}
    return found


def closed(expected: dict[str, Any], got: dict[str, Any]) -> dict[str, Any]:
    """The oracle's answer with the end of its enumeration written as an open end where the product's is."""
    for name in ("question",):
        asked, other = expected.get(name), got.get(name)
        if asked and other and asked["attribute"] == other["attribute"] == "built" and other["answers"][-1][1] is None:
            asked["answers"][-1] = (asked["answers"][-1][0], None)
    return expected
