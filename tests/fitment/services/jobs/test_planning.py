"""Jobs as services plan them: summaries beside answers, factors of recorded jobs, what is at hand."""

import pytest

from catalog.codes import Role
from catalog.models import Operation
from fitment.domain.description import Description, Question
from fitment.query.job_parameters import parse_job
from fitment.services.fit.answering import answer_question
from fitment.services.jobs.planning import factors_of, job_summaries, plan_job, plan_job_drawn
from tests import factories

CAR = Description(variant="QN4-20-SAL")


@pytest.fixture
def small(db):
    factories.small_catalogue()
    Operation.objects.update(
        remove_min=4, remove_likely=5, remove_max=6, refit_min=4, refit_likely=5, refit_max=6, per_side=True
    )


def planned(**more):
    request = parse_job({"variant": ["QN4-20-SAL"], "part": ["LM-210"], **more}, Role.PUBLIC)
    return plan_job(request=request, viewer=Role.PUBLIC)


def test_a_summary_is_of_the_job_that_its_request_plans(small):
    question = Question(car=CAR)
    found = job_summaries(question=question, answers=answer_question(question=question, viewer=Role.PUBLIC))
    ((key, job),) = found.items()
    assert key == ("LM-210", "front", "tension_link.inner")
    assert job is not None
    summary, request = job
    whole = plan_job(request=request, viewer=Role.PUBLIC).plan
    assert (summary.minutes, summary.grade, summary.hours) == (whole.minutes, whole.grade, whole.hours)
    assert (summary.tools, summary.after_work, summary.home) == (len(whole.tools), whole.operations[2:], whole.home)


def test_an_answer_whose_part_has_no_way_in_has_no_summary(small):
    from catalog.models import Way

    Way.objects.all().delete()
    factories.next_edition()
    question = Question(car=CAR)
    found = job_summaries(question=question, answers=answer_question(question=question, viewer=Role.PUBLIC))
    assert list(found.values()) == [None]


def test_one_side_takes_half_of_both(small):
    assert planned(side=["left"]).plan.minutes * 2 == planned().plan.minutes


def test_the_graph_is_drawn_where_it_is_asked_for(small):
    request = parse_job({"variant": ["QN4-20-SAL"], "part": ["LM-210"]}, Role.PUBLIC)
    assert plan_job_drawn(request=request, viewer=Role.PUBLIC).graph is None
    graph = plan_job_drawn(request=request, viewer=Role.PUBLIC, draw=True).graph
    assert graph is not None
    assert [step.name for step in graph.steps] == ["FX1/raise", "FX1/arm_off"]


def test_an_axle_without_recorded_jobs_has_no_factor_of_its_own(small):
    (factor,) = factors_of(["FX1"]).values()
    assert (factor.cars, factor.mean) == (0, 0.0)
