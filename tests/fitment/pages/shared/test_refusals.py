"""Every refusal that the API can give is said on the pages too, in the same words, and no page fails over one.

Pages come from the addresses that there are, reasons from the tree of refusals: a new one without a case fails here.
"""

import html
import re
from collections.abc import Iterator
from urllib.parse import urlencode
from uuid import UUID

import pytest
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver

from catalog.codes import Role
from fitment.errors import Refusal
from fitment.rules import possible_cars
from tests.demo import demo_loaded

# What leads to each reason in the demo.
CASES: dict[str, dict[str, str | list[str]]] = {
    "too_much_work": {"variant": "EK3-1.4-HAT", "part": "LM-245"},  # with a limit of no cells at all
    "no_possible_car": {"chassis": "EK3", "built": "1950", "part": "LM-210"},
    "several_platforms": {"maker": "TARNHOLT", "part": "LM-210"},
    "one_joint_twice": {"variant": "EK5-1.4-EST", "part": ["LM-240", "LM-241"]},
    "excluded": {"variant": "EK5-2.0-HAT-UK", "part": ["LM-245", "LM-241"]},
    "several_places": {"variant": "EV1-1.6D-VAN", "part": "LM-360"},
    "on_hold": {"variant": "EK3-1.4-HAT", "part": "LM-245@B"},
    "does_not_fit": {"variant": "EK3-1.4-HAT", "part": "LM-210"},
    "no_common_car": {
        "maker": "TARNHOLT", "chassis": "QN4",
        "part": ["LM-212:front.tension_link.inner", "LM-221:front.lateral_link.inner"],
    },
    "no_plan": {"variant": "H1S-20-COU-UK", "part": "LM-234"},
}  # fmt: skip
BAD: dict[str, dict[str, str | list[str]]] = {
    "unknown parameter": {"variant": "EK3-1.4-HAT", "part": "LM-240", "chasis": "EK3"},
    "unknown value": {"chassis": "EK33", "part": "LM-240"},
    "unknown part": {"variant": "EK3-1.4-HAT", "part": "LM-24O"},
    "bad date": {"chassis": "EK3", "built": "yesterday", "part": "LM-240"},
    "stated twice": {"chassis": ["EK3", "EK5"], "part": "LM-240"},
}
ARGUMENTS = {
    "code": "LM-240", "part": "LM-245", "revision": "B", "number": "LM-240-A", "axle": "TNF4", "location": "beam.front",
    "pk": UUID(int=7), "name": "joints", "ending": "xlsx",
}  # fmt: skip
ROLES = (Role.PUBLIC, Role.SALES, Role.EDITOR)


def reasons(of: type[Refusal] = Refusal) -> Iterator[str]:
    for refusal in of.__subclasses__():
        yield refusal.reason
        yield from reasons(refusal)


def addresses(patterns: list[URLPattern | URLResolver], before: str = "/") -> Iterator[str]:
    """The address of every page, each argument as the demo has one."""
    for one in patterns:
        path = before + str(one.pattern)
        if isinstance(one, URLResolver):
            yield from addresses(one.url_patterns, path)
        elif one.callback.__module__.startswith("fitment.pages"):
            yield re.sub(r"<(\w+:)?(\w+)>", lambda found: str(ARGUMENTS.get(found[2], 1)), path)


def words_of(content: bytes) -> str:
    """The text of a page as a person reads it."""
    text = re.sub(r"<(script|style)\b.*?</\1>|<[^>]+>", " ", content.decode(), flags=re.DOTALL)
    return " ".join(html.unescape(text).split())


@pytest.fixture(scope="module")
def _demo(django_db_setup, django_db_blocker) -> Iterator[None]:
    with demo_loaded(django_db_blocker):
        yield


@pytest.fixture
def by_role(_demo, db, client_of) -> dict[Role, Client]:
    return {role: client_of(role) for role in ROLES}


@pytest.fixture
def refused(request, monkeypatch) -> str:
    """The query of a case; where the reason needs it, under a limit that makes it come up."""
    if request.param == "too_much_work":
        monkeypatch.setattr(possible_cars, "MOST_CELLS", 0)
    return urlencode({**CASES, **BAD}[request.param], doseq=True)


def test_every_reason_has_a_case():
    assert set(CASES) == set(reasons())


@pytest.mark.parametrize("refused", [*CASES, *BAD], indirect=True)
@pytest.mark.parametrize("role", ROLES)
def test_no_page_fails_over_a_refusal(by_role, refused, role):
    pages = sorted(set(addresses(get_resolver().url_patterns)))
    assert {"/", "/car/", "/job/", "/desk/", "/coverage/"} < set(pages)
    failed = {
        page: answer.status_code
        for page in pages
        if (answer := by_role[role].get(f"{page}?{refused}")).status_code >= 500
    }
    assert not failed


@pytest.mark.parametrize("refused", [*CASES, *BAD], indirect=True)
@pytest.mark.parametrize("role", ROLES)
@pytest.mark.parametrize(("api", "page"), [("fitment/", "/car/"), ("job/", "/job/"), ("job/", "/desk/")])
def test_a_page_refuses_in_the_words_of_the_api(by_role, refused, role, api, page):
    client = by_role[role]
    said, shown = client.get(f"/api/v1/{api}?{refused}"), client.get(f"{page}?{refused}")
    if page == "/desk/" and role is Role.PUBLIC:
        assert shown.status_code == 302
        return
    if said.status_code == 200:
        assert shown.status_code == 200
        return
    problem, words = said.json(), words_of(shown.content)
    if page != "/desk/":
        assert shown.status_code == said.status_code
    if said.status_code == 400:
        assert problem["errors"]
        assert not [error for error in problem["errors"] if error["message"] not in words]
    elif problem["reason"] == "no_possible_car":
        assert "No car meets these together" in words
        for name in problem["fields"]:
            assert f"without {name} {CASES['no_possible_car'][name]}" in words
    elif problem["reason"] == "several_platforms":
        assert problem["question"]["text"] in words
    elif page == "/desk/" and problem["reason"] == "does_not_fit":
        assert "Does not fit" in words  # said of the part in the basket, beside the others
    else:
        assert problem["detail"].rstrip(".") in words
    for hold in problem.get("holds", ()):
        assert hold["look_for"] in words
        assert ("cause" in hold) is role.is_staff


@pytest.mark.parametrize("reason", CASES)
def test_the_job_refuses_for_its_reason(by_role, monkeypatch, reason):
    if reason == "too_much_work":
        monkeypatch.setattr(possible_cars, "MOST_CELLS", 0)
    answer = by_role[Role.PUBLIC].get(f"/api/v1/job/?{urlencode(CASES[reason], doseq=True)}")
    assert (answer.status_code, answer.json()["reason"]) == (422, reason)
