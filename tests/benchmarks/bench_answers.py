"""An answer against a view of the same framework that returns the same bytes; alone, in a large catalogue, in bulk."""

import json
from dataclasses import replace
from io import StringIO

from django.conf import settings
from django.core.management import call_command
from django.test import Client, override_settings
from django.urls import include, path
from rest_framework.response import Response
from rest_framework.views import APIView

from api.authentication import AnonymousThrottle
from api.caching import kept_answers
from catalog.models import Variant
from fitment.readers.editions import forget
from fitment.services.fit.answering import answer_question
from tests.benchmarks.grown import grow
from tests.benchmarks.ratios import Ratio, Work, compare

COPIES = 99
QUESTIONS = 12
_bodies: dict[str, object] = {}


class SameBytes(APIView):
    """What the framework itself costs: who asks, how often, a parsed query, JSON written."""

    throttle_classes = (AnonymousThrottle,)

    def get(self, request) -> Response:
        return Response(_bodies[request.GET["which"]])


urlpatterns = [path("same/", SameBytes.as_view()), path("", include("config.urls"))]


@override_settings(ROOT_URLCONF="tests.benchmarks.bench_answers")
def rows() -> list[Ratio]:
    call_command("flush", interactive=False, verbosity=0)
    call_command("load_catalogue", str(settings.ROOT / "fixtures" / "demo"), stdout=StringIO())
    client = Client()
    variants = list(Variant.objects.order_by("code").values_list("code", flat=True))
    asked = [f"/api/v1/fitment/?variant={code}" for code in variants[:: max(1, len(variants) // QUESTIONS)]]
    for which, url in enumerate(asked):
        answer = client.get(url)
        assert answer.status_code == 200, (url, answer.content)
        _bodies[str(which)] = json.loads(answer.content)
    same_asked = [f"/same/?which={which}" for which in range(len(asked))]

    # A round asks every question once: some cars have a next question to work out and some have none.
    def again() -> None:
        for url in asked:
            client.get(url)

    def kept() -> None:
        for url in asked:
            kept_answers.forget()
            client.get(url)

    def computed() -> None:
        forget(answer_question)
        kept()

    def same() -> None:
        for url in same_asked:
            client.get(url)

    def measured(what: str, work: Work, aim: float | None = None) -> Ratio:
        found = compare(what, work, "the same bytes", same, rounds=20, aim=aim)
        return replace(found, seconds=found.seconds / len(asked), base_seconds=found.base_seconds / len(asked))

    found = [
        measured("an answer worked out, facts warm", computed),
        measured("an answer kept, written anew", kept, aim=2),
        measured("an address asked again", again, aim=2),
    ]
    cars = [{"ref": str(place), "variant": code} for place, code in enumerate(variants * 7)][:1000]
    body = json.dumps({"cars": cars})

    def bulk() -> object:
        forget(answer_question)
        return client.post("/api/v1/fitment/bulk/", body, content_type="application/json")

    bulk()
    whole = compare("bulk", bulk, "", same, rounds=3)
    found.append(Ratio("a car of 1,000 in bulk", "one car alone", whole.seconds / len(cars), found[0].seconds, aim=1))
    grow(COPIES)
    forget()
    large = measured("", computed)
    # Measured at another time than the small one: each against the same bytes of its own time.
    seconds = found[0].seconds * large.value / found[0].value
    found.append(Ratio(f"in {COPIES + 1} times the catalogue", "in the small one", seconds, found[0].seconds, aim=1.2))
    return found
