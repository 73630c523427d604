"""The part's page: revisions, what changed, holds, cars, and what of it each role may know."""

import pytest

from catalog.codes import Role
from tests import factories


def test_revisions_with_what_changed_and_how_they_exchange(small, open_page):
    page = open_page("/part/LM-210/")
    assert "longer sleeve" in page.text
    assert "A and B exchange" in page.text
    assert "No longer made" in page.text


def test_cars_lead_to_their_own_page(small, open_page):
    page = open_page("/part/LM-210/")
    assert ("/car/?variant=QN4-20-SAL", "QN4-20-SAL") in page.links


def test_open_holds_say_what_to_look_for(small, open_page):
    page = open_page("/part/LM-210/")
    assert "On hold: revision B, batches 2209 to 2212" in page.text
    assert "batches from 2001" not in page.text, "a closed hold is history"


def test_kit_papers_rules_numbers_and_upkeep(small, open_page):
    page = open_page("/part/LM-210/")
    for said in ("Boot", "R 1", "in pairs", "LM210", "30 000"):
        assert said in page.text


def test_the_public_sees_no_prototype_letter_no_reason_and_no_hidden_part(small, client_of):
    page = client_of(Role.PUBLIC).get("/part/LM-210/").content.decode()
    for secret in ("secret alloy", "warranty cases", "LM-400", "LM210C", "Prototype", "Cause"):
        assert secret not in page


@pytest.mark.parametrize(
    ("role", "seen", "hidden"),
    [
        (Role.SALES, ["Prototype", "Cause", "LM-400"], ["secret alloy", "warranty cases"]),
        (Role.DEVELOPMENT, ["Prototype", "Cause", "LM-400", "secret alloy", "warranty cases"], []),
    ],
)
def test_staff_see_more_each_their_own(small, client_of, role, seen, hidden):
    page = client_of(role).get("/part/LM-210/").content.decode()
    assert [word for word in seen if word not in page] == []
    assert [word for word in hidden if word in page] == []


def test_a_prototype_is_to_the_public_like_a_part_that_does_not_exist(small, client_of):
    """To the byte, but for the request's own number and the form's token."""
    import re

    client = client_of(Role.PUBLIC)
    pages = [client.get(path) for path in ("/part/LM-400/", "/part/LM-999/")]
    assert [page.status_code for page in pages] == [404, 404]
    bodies = [re.sub(rb"[0-9a-f]{32}|[A-Za-z0-9]{64}", b"", page.content) for page in pages]
    assert bodies[0] == bodies[1]
    assert client_of(Role.SALES).get("/part/LM-400/").status_code == 200


def test_an_arrow_towards_a_letter_that_is_not_shown_is_not_drawn(small, client_of):
    factories.revision("LM-210", "D", exchange="both_ways")  # towards C, which the public does not know of
    factories.next_edition()
    public = client_of(Role.PUBLIC).get("/part/LM-210/").content.decode()
    assert "C and D" not in public
    assert "B and D" not in public
    assert "C and D exchange" in client_of(Role.SALES).get("/part/LM-210/").content.decode()


def test_many_cars_stand_on_pages(small, open_page):
    for at in range(70):
        code = f"ZA{at:02d}"
        factories.variant(f"{code}-20", platform=factories.platform(code), front_axle=factories.axle())
    factories.next_edition()
    first = open_page("/part/LM-210/")
    following = first.href("Later")
    assert following == "/part/LM-210/?page=2#cars"
    assert "61 to" in open_page(following.partition("#")[0]).text


def test_where_it_does_not_fit_is_shown_on_request(small, open_page):
    page = open_page("/part/LM-210/")
    assert page.href("Show also") == "/part/LM-210/?all=yes#cars"
    open_page("/part/LM-210/?all=yes")
