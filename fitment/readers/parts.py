"""Reads parts: revisions with their holds, decisions and test fits, papers and rules."""

from collections import defaultdict
from collections.abc import Collection
from decimal import Decimal
from typing import Any

from django.db.models import QuerySet

from catalog.conditions import parse_conditions
from catalog.models import Hold, Papers, Part, PartRule, Revision
from catalog.stamps import letter_order
from fitment.answers.fit import HoldNote, Paper, RuleNote
from fitment.domain import facts as pure
from fitment.models import FitDecision, TestFit

By = dict[int, dict[str, list[Any]]]


def parts_decided_for(components: Collection[str]) -> set[int]:
    """The parts with any decision on one of these components (one query)."""
    rows = FitDecision.objects.filter(component__code__in=components).order_by()
    return set(rows.values_list("revision__part_id", flat=True).distinct())


def parts_tried_on(components: Collection[str]) -> set[int]:
    """The parts with a test fit on one of these components (one query)."""
    rows = TestFit.objects.filter(component__code__in=components).order_by()
    return set(rows.values_list("revision__part_id", flat=True).distinct())


def read_parts(parts: QuerySet[Part], components: Collection[str] | None = None) -> dict[str, pure.Part]:
    """Parts by code (seven queries); decisions and test fits of `components` only, where given."""
    rows = list(parts.order_by("code").values_list("pk", "code", "duty", "technology__code"))
    keys = [pk for pk, *_ in rows]
    decisions, tests = _decisions(keys, components), _tests(keys, components)
    holds = _holds(keys)
    revisions: dict[int, list[pure.Revision]] = defaultdict(list)
    for pk, part, letter, status, exchange in Revision.objects.filter(part__in=keys).values_list(
        "pk", "part_id", "letter", "status", "exchange"
    ):
        open_holds = tuple(holds.get(pk, ()))
        revisions[part].append(
            pure.Revision(
                letter,
                status,
                held=any(not hold.batch_from and not hold.batch_to for hold in open_holds),
                exchange=exchange,
                decisions={component: tuple(several) for component, several in decisions[pk].items()},
                tests={component: tuple(several) for component, several in tests[pk].items()},
                holds=open_holds,
            )
        )
    papers, rules = _papers(keys), _rules(keys)
    return {
        code: pure.Part(
            code,
            duty,
            technology,
            tuple(sorted(revisions[pk], key=lambda one: letter_order(one.letter))),
            tuple(papers[pk]),
            tuple(rules[pk]),
        )
        for pk, code, duty, technology in rows
    }


_DECISION = [
    "revision_id",
    "component__code",
    "decision",
    "decided_on",
    "conditions",
    "orientation_deg",
    "orientation_from",
    "remark",
]
_TEST_FIT = [
    "revision_id",
    "component__code",
    "axle__code",
    "location__code",
    "done_on",
    "outcome",
    "variant__drivetrain",
    "variant__steering",
]


def _decisions(parts: list[int], components: Collection[str] | None) -> By:
    rows = FitDecision.objects.filter(revision__part__in=parts).order_by("pk")
    if components is not None:
        rows = rows.filter(component__code__in=components)
    found: By = defaultdict(lambda: defaultdict(list))
    for revision, component, decision, decided_on, conditions, degrees, mark, remark in rows.values_list(*_DECISION):
        found[revision][component].append(
            pure.FitDecision(decision, decided_on, parse_conditions(conditions), _figure(degrees), mark, remark)
        )
    return found


def _tests(parts: list[int], components: Collection[str] | None) -> By:
    rows = TestFit.objects.filter(revision__part__in=parts).order_by("ref")
    if components is not None:
        rows = rows.filter(component__code__in=components)
    found: By = defaultdict(lambda: defaultdict(list))
    for revision, component, axle, location, done_on, outcome, drivetrain, steering in rows.values_list(*_TEST_FIT):
        found[revision][component].append(
            pure.TestFit(axle, location, component, done_on, outcome != "failed", drivetrain, steering)
        )
    return found


def _holds(parts: list[int]) -> dict[int, list[HoldNote]]:
    rows = Hold.objects.filter(revision__part__in=parts, closed_on=None).order_by("opened_on", "batch_from")
    found: dict[int, list[HoldNote]] = defaultdict(list)
    for revision, batch_from, batch_to, look_for, opened_on, cause in rows.values_list(
        "revision_id", "batch_from", "batch_to", "look_for", "opened_on", "cause"
    ):
        found[revision].append(HoldNote(batch_from, batch_to, look_for, opened_on, cause))
    return found


def _papers(parts: list[int]) -> dict[int, list[Paper]]:
    found: dict[int, list[Paper]] = defaultdict(list)
    rows = Papers.objects.filter(part__in=parts).order_by("market", "kind")
    for part, *values in rows.values_list("part_id", "market", "kind", "reference", "valid_to", "conditions_text"):
        found[part].append(Paper(*values))
    return found


def _rules(parts: list[int]) -> dict[int, list[RuleNote]]:
    found: dict[int, list[RuleNote]] = defaultdict(list)
    rows = PartRule.objects.filter(part__in=parts).order_by("rule", "other__code")
    for part, *values in rows.values_list("part_id", "rule", "other__code", "note"):
        found[part].append(RuleNote(*values))
    return found


def _figure(value: Decimal | None) -> str:
    return "" if value is None else f"{value.normalize():f}"
