"""A plan on 60 operations an axle against a general-purpose solver; answers with their jobs against without."""

import random
from dataclasses import replace
from functools import partial
from io import StringIO
from itertools import cycle

from django.conf import settings
from django.core.management import call_command
from django.test import Client

from api.caching import kept_answers
from catalog.models import Variant
from fitment.readers.editions import forget
from fitment.services.fit.answering import answer_question
from fitment.services.jobs.planning import kept_summaries
from tests.benchmarks.ratios import Ratio, compare
from tests.fitment.job.graphs import random_site
from tests.fitment.job.oracles import Model

GRAPHS = 20
SIZE = 60


def rows() -> list[Ratio]:
    return [plan_against_solver(), *with_jobs_against_without()]


def plan_against_solver() -> Ratio:
    """Both axles opened or one, every second time with all equipment. Our graph is built anew each time; the
    solver's model is built before and only its solving is counted."""
    found = [random_site(random.Random(seed), SIZE, all_equipment=seed % 2 == 0) for seed in range(GRAPHS)]
    ours, solver = cycle(found), cycle([Model(site, goals) for site, goals in found])

    def plan() -> object:
        site, goals = next(ours)
        return replace(site, workshop=replace(site.workshop)).min_cost_plan(goals)

    return compare(
        f"a plan, {SIZE} operations an axle", plan, "OR-tools CP-SAT", lambda: next(solver).least(), rounds=3 * GRAPHS,
        aim=0.1,
    )  # fmt: skip


def with_jobs_against_without() -> list[Ratio]:
    """The demo's car with most answers: kept, and worked out from facts that are."""
    call_command("flush", interactive=False, verbosity=0)
    call_command("load_catalogue", str(settings.ROOT / "fixtures" / "demo"), stdout=StringIO())
    client = Client()

    def ask(more: str, variant: str) -> list[dict[str, object]]:
        kept_answers.forget()
        response = client.get(f"/api/v1/fitment/?variant={variant}{more}")
        assert response.status_code == 200, response.content
        answers: list[dict[str, object]] = response.json()["answers"]
        return answers

    def work_out(more: str, variant: str) -> None:
        forget(answer_question)
        forget(kept_summaries)
        ask(more, variant)

    variants = Variant.objects.order_by("code").values_list("code", flat=True)
    most = max(variants, key=lambda code: len(ask("", code)))
    answers = len(ask("", most))
    return [
        compare(
            f"a car's {answers} answers with jobs, {how}", partial(work, "&include=job", most),
            "without", partial(work, "", most), aim=3,
        )
        for how, work in (("kept", ask), ("worked out", work_out))
    ]  # fmt: skip
