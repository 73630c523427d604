"""Answers on one car, as the contract writes them."""

from collections.abc import Mapping
from typing import Any

from rest_framework import serializers

from api.roles import fields_of
from api.schema import CatalogueSerializer
from api.serializers.jobs import summary_body
from catalog.codes import Role
from fitment.answers.fit import Answer, HoldNote, NextQuestion, PartCar, PlaceAnswer
from fitment.services.jobs.planning import JobSummaries
from fitment.text.fit import question_text, reason_text


def cut(table: str, row: Mapping[str, Any], role: Role) -> dict[str, Any]:
    """The fields of a row that the role sees, in the order of the table; those not in the row are left out."""
    return {name: row[name] for name in fields_of(table, role) if name in row}


def answer_body(answer: Answer, role: Role, jobs: JobSummaries | None = None) -> dict[str, Any]:
    """The answer without `catalogue`, which the endpoint adds; with `jobs` each answer has its job, or null."""
    car = {"stated": answer.car.stated, "variants": list(answer.car.variants), "in_operation": answer.car.in_operation}
    return {
        "car": cut("fitment.car", car, role),
        "question": question_body(answer.question, role) if answer.question else None,
        "answers": [_answer(one, role, jobs) for one in answer.answers],
        "unknown_locations": [
            {"end": place.end, "location": place.location, "in": place.where} for place in answer.unknown_locations
        ],
        "unknown_axles": [{"end": axle.end, "in": axle.where} for axle in answer.unknown_axles],
    }


def question_body(question: NextQuestion, role: Role) -> dict[str, Any]:
    expected = question.expected_undecided
    row = {
        "attribute": question.attribute,
        "text": question_text(question),
        "choices": [
            {"value": choice.value, "label": choice.label or choice.value, "hint": choice.hint, "query": choice.query}
            for choice in question.choices
        ],
        "undecided": question.undecided,
        "expected_undecided": None if expected is None else str(expected),
    }
    return cut("fitment.question", row, role)


def _answer(answer: PlaceAnswer, role: Role, jobs: JobSummaries | None) -> dict[str, Any]:
    turned = answer.orientation
    row: dict[str, Any] = {
        "end": answer.end,
        "location": answer.location,
        "part": answer.part,
        "revision": answer.revision,
        "verdict": answer.verdict,
        "basis": answer.basis,
        "reasons": [{"code": reason, "text": reason_text(reason)} for reason in answer.reasons],
        "undecided_by": list(answer.undecided_by),
        "other_revisions": list(answer.other_revisions),
        "remarks": [
            {"code": remark.code, "text": remark.text, "component": remark.component, "newer": remark.newer}
            for remark in answer.remarks
        ],
        "orientation": None if turned is None else {"deg": float(turned.deg), "from": turned.mark},
        "papers": [
            {
                "market": paper.market,
                "kind": paper.kind,
                "reference": paper.reference,
                "valid_to": paper.valid_to,
                "conditions_text": paper.conditions,
            }
            for paper in answer.papers
        ],
        "rules": [{"rule": rule.rule, "other": rule.other, "note": rule.note} for rule in answer.rules],
        "holds": [hold_row(hold, role) for hold in answer.holds],
        "internal": [
            {"revision": one.revision, "status": one.status, "hold": one.hold, "verdict": one.verdict}
            for one in answer.internal or ()
        ],
    }
    if jobs is not None:
        job = jobs.get((answer.part, answer.end or "", answer.location or ""))
        row["job"] = summary_body(*job) if job is not None else None
    return cut("fitment.answers", row, role)


def hold_row(hold: HoldNote, role: Role) -> dict[str, Any]:
    """An open hold; its cause for staff."""
    row = {
        "batch_from": hold.batch_from or None,
        "batch_to": hold.batch_to or None,
        "look_for": hold.look_for,
        "opened_on": hold.opened_on,
        "cause": hold.cause,
    }
    return cut("holds", row, role)


def part_car_row(row: PartCar, role: Role) -> dict[str, Any]:
    """One interval of `parts/{part}/cars/`."""
    written = {
        "variant": row.variant,
        "end": row.end,
        "location": row.location,
        "built_from": row.built_from,
        "built_to": row.built_to,
        "verdict": row.verdict,
        "revision": row.revision,
    }
    return cut("parts.cars", written, role)


VERDICTS = ["fits", "depends", "does_not_fit", "not_known"]
BASES = ["fitted", "fitted_sibling", "carried_over", "same_component", "measured", "declared"]
REASONS = [
    "no_axle", "no_such_location", "no_component", "conflict", "rejected", "approved", "under_review", "undecided",
]  # fmt: skip
ENDS = ["front", "rear"]


class CarSerializer(serializers.Serializer[Any]):
    """The car as far as it is known."""

    stated = serializers.DictField(help_text="The parameters that state it; a list where one was repeated.")
    variants = serializers.ListField(child=serializers.CharField())
    in_operation = serializers.IntegerField(required=False, help_text="For staff.")


class ChoiceSerializer(serializers.Serializer[Any]):
    """One answer to the question."""

    value = serializers.CharField()
    label = serializers.CharField()
    hint = serializers.CharField(allow_blank=True)
    query = serializers.DictField(child=serializers.CharField(), help_text="The parameters to add.")


class QuestionSerializer(serializers.Serializer[Any]):
    """The question that leaves the fewest answers undecided on average."""

    attribute = serializers.CharField()
    text = serializers.CharField()
    choices = ChoiceSerializer(many=True)
    undecided = serializers.IntegerField(allow_null=True)
    expected_undecided = serializers.CharField(required=False, allow_null=True, help_text="A fraction; for staff.")


class CodeAndTextSerializer(serializers.Serializer[Any]):
    """Why."""

    code = serializers.ChoiceField(REASONS)
    text = serializers.CharField()


class RemarkSerializer(serializers.Serializer[Any]):
    """Something to say beside the answer."""

    code = serializers.CharField()
    text = serializers.CharField(allow_blank=True)
    component = serializers.CharField(allow_null=True)
    newer = serializers.CharField(allow_null=True)


class InternalSerializer(serializers.Serializer[Any]):
    """Another revision, with its proposals counted as approvals."""

    revision = serializers.CharField()
    status = serializers.CharField()
    hold = serializers.BooleanField()
    verdict = serializers.ChoiceField(VERDICTS)


class PlaceAnswerSerializer(serializers.Serializer[Any]):
    """The verdict on a part at a location."""

    end = serializers.ChoiceField(ENDS, allow_null=True)
    location = serializers.CharField(allow_null=True)
    part = serializers.CharField()
    revision = serializers.CharField(allow_null=True)
    verdict = serializers.ChoiceField(VERDICTS)
    basis = serializers.ChoiceField(BASES, allow_null=True)
    reasons = CodeAndTextSerializer(many=True)
    undecided_by = serializers.ListField(child=serializers.CharField())
    other_revisions = serializers.ListField(child=serializers.CharField())
    remarks = RemarkSerializer(many=True)
    orientation = serializers.DictField(allow_null=True, help_text="`deg` from the mark in `from`.")
    papers = serializers.ListField(child=serializers.DictField())
    rules = serializers.ListField(child=serializers.DictField())
    holds = serializers.ListField(child=serializers.DictField())
    internal = InternalSerializer(many=True, required=False)
    job = serializers.DictField(required=False, allow_null=True, help_text="With `include=job`.")


class UnknownLocationSerializer(serializers.Serializer[Any]):
    """A location in our range without a component."""

    end = serializers.ChoiceField(ENDS)
    location = serializers.CharField()


class UnknownAxleSerializer(serializers.Serializer[Any]):
    """An end without a recorded axle."""

    end = serializers.ChoiceField(ENDS)


# `in` is a word of the language, so these two fields are added by name.
for _serializer in (UnknownLocationSerializer, UnknownAxleSerializer):
    _serializer._declared_fields["in"] = serializers.ChoiceField(["all", "some"])


class CarAnswerSerializer(serializers.Serializer[Any]):
    """The answer for one car, as far as it is known."""

    car = CarSerializer()
    question = QuestionSerializer(allow_null=True)
    answers = PlaceAnswerSerializer(many=True)
    unknown_locations = UnknownLocationSerializer(many=True)
    unknown_axles = UnknownAxleSerializer(many=True)


class FitmentSerializer(CarAnswerSerializer):
    """The answer for one car, as far as it is known."""

    catalogue = CatalogueSerializer()


class PartCarSerializer(serializers.Serializer[Any]):
    """An interval of a variant's window with one verdict and revision at a location."""

    variant = serializers.CharField()
    end = serializers.ChoiceField(ENDS)
    location = serializers.CharField()
    built_from = serializers.DateField()
    built_to = serializers.DateField(allow_null=True)
    verdict = serializers.ChoiceField(VERDICTS)
    revision = serializers.CharField(allow_null=True)
