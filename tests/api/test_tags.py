"""Tags and what may be kept (RFC 9110, 8.8.3, 13.1.2; RFC 9111)."""

import pytest

from api.caching import KeptAnswers
from api.resources.endpoints import ListEndpoint
from catalog.codes import Role
from catalog.models import Catalogue
from tests import factories

pytestmark = pytest.mark.django_db
PATHS = ["makers/", "parts/LM-210/", "fitment/?variant=QN4-20-SAL", "parts/LM-210/cars/", "schema/"]


@pytest.mark.parametrize("path", PATHS)
def test_a_tag_is_weak_and_is_confirmed(small, public, path):
    first = public.get(path)
    assert first.status_code == 200
    tag = first["ETag"]
    assert tag.startswith('W/"')
    again = public.get(path, **{"If-None-Match": tag})
    assert again.status_code == 304
    assert again.content == b""
    for header in ("ETag", "Cache-Control", "Vary"):  # RFC 9110, 15.4.5
        assert again[header] == first[header]


@pytest.mark.parametrize("form", ["{tag}", '"other", {tag}', "{strong}", "*"])
def test_forms_of_the_header(small, public, form):
    tag = public.get("makers/")["ETag"]
    header = form.format(tag=tag, strong=tag.removeprefix("W/"))
    assert public.get("makers/", **{"If-None-Match": header}).status_code == 304


@pytest.mark.parametrize("form", ['"other"', "nonsense", ""])
def test_other_tags_confirm_nothing(small, public, form):
    assert public.get("makers/", **{"If-None-Match": form}).status_code == 200


def test_head_has_the_tag_and_no_body(small, public):
    head = public.client.head("/api/v1/makers/")
    assert head["ETag"] == public.get("makers/")["ETag"]
    assert head.content == b""


def test_edition_role_and_address_each_make_another_tag(small, api):
    tags = {api(role).get("makers/")["ETag"] for role in Role}
    assert len(tags) == len(Role)
    tags.add(api(Role.PUBLIC).get("makers/?page_size=7")["ETag"])
    tags.add(api(Role.PUBLIC).get("platforms/")["ETag"])
    factories.next_edition()
    tags.add(api(Role.PUBLIC).get("makers/")["ETag"])
    assert len(tags) == len(Role) + 3


def test_a_new_edition_is_answered_anew(small, public):
    before = public.get("makers/ALVA/")
    factories.maker("ALVA", title="Alva Works")
    factories.next_edition()
    after = public.get("makers/ALVA/", **{"If-None-Match": before["ETag"]})
    assert after.status_code == 200
    assert after.json()["title"] == "Alva Works"
    assert after.json()["catalogue"] == {"id": "TEST", "edition": 2}


def test_counters_of_demand_do_not_touch_answers_that_do_not_read_them(small, public):
    tag = public.get("makers/")["ETag"]
    Catalogue.objects.update(enquiry_count=5, job_time_count=5)
    assert public.get("makers/")["ETag"] == tag


def test_parameters_are_checked_before_the_tag(small, public):
    assert public.get("makers/?nonsense=1", **{"If-None-Match": "*"}).status_code == 400
    assert public.get("makers/NOBODY/", **{"If-None-Match": "*"}).status_code == 404


def test_access_is_checked_before_the_tag(small, api):
    tag = api(Role.DEVELOPMENT).get("materials/")["ETag"]
    assert api(Role.PUBLIC).get("materials/", **{"If-None-Match": tag}).status_code == 401
    assert api(Role.SALES).get("materials/", **{"If-None-Match": tag}).status_code == 403


def test_confirming_computes_nothing(small, public, monkeypatch):
    tag = public.get("variants/")["ETag"]
    monkeypatch.setattr("api.resources.endpoints.ListEndpoint.compute", lambda *args: pytest.fail("computed"))
    assert public.get("variants/", **{"If-None-Match": tag}).status_code == 304


@pytest.mark.parametrize("path", PATHS[:-1])
def test_shared_caches_may_keep_only_what_everybody_may_see(small, api, path):
    for role in Role:
        response = api(role).get(path)
        assert response["Cache-Control"] == ("public, no-cache" if role is Role.PUBLIC else "private, no-cache")
        assert {"Authorization", "Cookie"} <= set(response["Vary"].replace(" ", "").split(","))


def test_a_kept_answer_of_one_role_never_reaches_another(small, api):
    for _ in range(2):
        assert "in_operation" in api(Role.SALES).get("variants/QN4-20-SAL/").json()
        assert "in_operation" not in api(Role.PUBLIC).get("variants/QN4-20-SAL/").json()


def test_kept_answers_are_bounded_and_the_oldest_goes_first():
    kept = KeptAnswers(capacity=80)
    for name in "abcdefgh":
        kept.keep(name, b"x" * 10)
    assert kept.get("a") == b"x" * 10
    kept.keep("i", b"x" * 10)
    assert kept.get("b") is None
    assert kept.get("a") is not None
    kept.keep("large", b"x" * 11)
    assert kept.get("large") is None


@pytest.mark.parametrize(("changes", "status"), [(0, 200), (2, 200), (3, 503)])
def test_facts_of_two_editions_never_meet_in_an_answer(small, public, monkeypatch, changes, status):
    """A load commits while the list is read: it is read again, so often and no oftener."""
    compute, left = ListEndpoint.compute, iter(range(changes))

    def interrupted(self, asked):
        body = compute(self, asked)
        if next(left, None) is not None:
            factories.maker("ALVA", title=f"Alva {factories.maker().pk}")
            factories.next_edition()
        return body

    monkeypatch.setattr(ListEndpoint, "compute", interrupted)
    response = public.get("makers/")
    assert response.status_code == status
    if status == 200:
        assert response.json()["catalogue"]["edition"] == 1 + changes
        assert (response.json()["results"][0]["title"] == "Alva") is (changes == 0)
    else:
        assert response["Retry-After"] == "1"
