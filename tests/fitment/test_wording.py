"""Every code has its words."""

from datetime import date

import pytest

from catalog.codes import ASKED_ORDER, PLATFORM_ORDER, Basis, Reason, Rule, Verdict
from fitment.answers.fit import NextQuestion, Paper, Remark, RuleNote
from fitment.text.fit import (
    basis_words,
    paper_words,
    question_text,
    reason_text,
    remark_words,
    rule_words,
    verdict_words,
)


def test_every_code_is_a_sentence_of_its_own():
    sentences = [*map(reason_text, Reason), *map(basis_words, Basis)]
    assert len(set(sentences)) == len(sentences)
    assert all(sentence.endswith(".") for sentence in sentences)
    assert len({verdict_words(verdict) for verdict in Verdict}) == len(Verdict)


@pytest.mark.parametrize("name", sorted({*ASKED_ORDER, *PLATFORM_ORDER, "built", "variant"}))
def test_every_attribute_is_a_question(name):
    assert question_text(NextQuestion(name, ())).endswith("?")


def test_questions_name_the_option_and_the_joint():
    assert question_text(NextQuestion("option.RIDE", (), title="sports ride")) == "Does the car have: sports ride?"
    asked = question_text(NextQuestion("component.front.arm.inner", (), title="lower arm, inner"))
    assert asked == "Which original joint is fitted at the front: lower arm, inner?"
    assert "arm.inner" in question_text(NextQuestion("component.front.arm.inner", ()))


def test_a_decision_alone_says_that_it_was_not_tried():
    assert basis_words(Basis.DECLARED) == "Approved, not yet tried on this car."


@pytest.mark.parametrize("rule", Rule.values)
def test_every_rule_is_a_sentence(rule):
    assert rule_words(RuleNote(rule, "LM-1", "See the sheet.")).endswith(". See the sheet.")


def test_a_newer_joint_is_warned_of_with_what_to_look_at():
    words = remark_words(Remark("newer_joint", "a paint dot", "C1", "C2"))
    assert "C2" in words
    assert "a paint dot" in words
    assert "number on the arm" in remark_words(Remark("newer_joint", "", "C1", "C2"))


def test_papers_in_a_line():
    paper = Paper("DE", "type_approval", "R 1", date(2030, 1, 31), "with the shop's stamp")
    assert paper_words(paper) == "type approval, R 1, valid to 2030-01-31, with the shop's stamp"
