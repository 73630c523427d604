"""Every component in every state: what it says without colour, and that its states can be told apart."""

import re

import pytest
from django.template.loader import render_to_string

from fitment.drawing.time_line import DrawnRevision, time_line
from fitment.pages.shared.forms import PageForm
from fitment.pages.shared.questions import ChoiceView, QuestionView

VERDICTS = ("fits", "depends", "does_not_fit", "not_known", "none")


def component(name: str, **context) -> str:
    return re.sub(r"\s+", " ", render_to_string(f"components/{name}.html", context))


def test_each_verdict_has_a_shape_of_its_own():
    shapes = {component("verdict_shape", verdict=verdict) for verdict in VERDICTS}
    assert len(shapes) == len(VERDICTS)


@pytest.mark.parametrize("verdict", VERDICTS)
def test_a_verdict_is_a_shape_and_a_word(verdict):
    said = component("verdict", verdict=verdict, word="Says so")
    assert "Says so" in said
    assert '<svg class="mark"' in said
    assert 'aria-hidden="true"' in said, "the shape repeats the word"
    assert component("verdict_shape", verdict=verdict).strip() in said


@pytest.mark.parametrize("steps", range(6))
def test_the_scale_has_five_steps_and_reaches_so_many(steps):
    said = component("basis", steps=steps, words="tried on this car")
    assert said.count('class="reached"') == steps
    assert said.count('class="step"') == 5 - steps
    assert "Tried on this car" in said


def question(**more) -> QuestionView:
    given = {
        "text": "Which engine?",
        "choices": (ChoiceView("/car/?engine=E20", "E20", "1.8 l"), ChoiceView("/car/?engine=E25", "E25", "")),
        "dont_know": "/car/?skip=engine", "undecided": 1, "expected": "",
    }  # fmt: skip
    return QuestionView(**(given | more))


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({}, "1 answer depends on"),
        ({"undecided": 4}, "4 answers depend on"),
        ({"undecided": 0}, "No answer depends on it"),
        ({"expected": "0.8"}, "Expected to be left after this one: 0.8"),
    ],
)
def test_a_question_says_what_hangs_on_it(more, said):
    assert said in component("question", question=question(**more))


def test_a_question_before_anything_is_computed_says_no_number():
    assert "depend" not in component("question", question=question(undecided=None))


def test_dont_know_is_left_out_where_the_answer_must_be_known():
    assert "Don&#x27;t know" in component("question", question=question()) or "Don't know" in component(
        "question", question=question()
    )
    assert "know" not in component("question", question=question(dont_know=""))


@pytest.mark.parametrize("kind", ["text", "select"])
def test_a_field_with_an_error_keeps_what_was_typed_and_is_wired_for_screen_readers(kind):
    form = PageForm(initial={"built": "May"})
    form.add("built", "Built", help_text="A month", choices=[("May", "May")] if kind == "select" else None)
    form.refuse([("built", "is no date")])
    said = component("field", field=form["built"])
    assert 'for="f-built"' in said
    assert 'aria-describedby="f-built-hint f-built-error"' in said
    assert 'id="f-built-error"' in said
    assert 'aria-invalid="true"' in said
    assert 'value="May"' in said


def test_a_field_without_hint_or_error_has_neither():
    form = PageForm()
    form.add("body", "Body")
    said = component("field", field=form["body"])
    assert "hint" not in said
    assert "error" not in said
    assert "aria-" not in said


def test_errors_stand_under_one_heading_and_lead_to_their_fields():
    errors = [
        {"label": "Chassis", "message": "is not known", "href": "#f-chassis"},
        {"label": "Skip", "message": "names nothing", "href": ""},
        {"label": "", "message": "too much", "href": ""},
    ]
    said = component("errors", title="What to change", errors=errors)
    assert 'role="alert"' in said
    assert '<a href="#f-chassis">Chassis</a>: is not known' in said
    assert "<b>Skip</b>: names nothing" in said
    assert "<li>too much</li>" in said


def test_an_empty_state_says_what_to_do_next():
    said = component("empty", title="Nothing here", text="Load one.", action={"href": "/", "label": "Start"})
    assert "Nothing here" in said
    assert '<a href="/">Start</a>' in said
    assert "<a" not in component("empty", title="Nothing here")


@pytest.mark.parametrize(("before", "after"), [("", ""), ("/?page=1", ""), ("", "/?page=3"), ("/?page=1", "/?page=3")])
def test_a_pager_shows_only_where_there_is_more(before, after):
    said = component("pager", previous=before, next=after, what="cars", shown="1 to 60 of 70")
    assert ('rel="prev"' in said) is bool(before)
    assert ('rel="next"' in said) is bool(after)
    assert ("<nav" in said) is bool(before or after)


def test_cautions_always_come_with_the_deference():
    said = component("cautions", cautions=["Stands, never a jack alone."])
    assert "never a jack alone" in said
    assert "car maker's repair information comes first" in said or "car maker&#x27;s repair" in said
    assert "licensed workshop" in said
    assert "local road-legality and inspection rules" in said


def test_the_time_line_shows_each_status_by_shape_and_a_hold_in_words():
    statuses = ["withdrawn", "released", "prototype"]
    line = time_line([DrawnRevision("ABC"[at], status, held=at == 1) for at, status in enumerate(statuses)])
    said = component("time_line", line=line)
    assert said.count('class="strike"') == 1
    assert said.count("dot released") == 1
    assert said.count("dot unreleased") == 1
    assert "on hold" in said


def test_a_time_line_says_in_words_what_it_draws():
    line = time_line([DrawnRevision("A", "withdrawn"), DrawnRevision("B", "released", "both_ways")])
    assert 'aria-label="A, B; A and B exchange"' in component("time_line", line=line)


def test_the_title_block_without_a_catalogue_says_the_product_alone():
    said = component("title_block", product="Jointbook")
    assert "Jointbook" in said
    assert "Edition" not in said
