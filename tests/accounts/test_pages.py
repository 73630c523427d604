"""Sign in, sign out, password change and tokens, as a person meets them."""

import re

import pytest
from django.urls import reverse

from catalog.codes import Role
from catalog.models import ApiToken
from tests.accounts.conftest import PASSWORD

SIGN_IN = "/account/sign-in/"


def sign_in(client, name="anna", password=PASSWORD, **more):
    return client.post(SIGN_IN, {"username": name, "password": password, **more})


def test_sign_in_leads_to_where_one_wanted_to_go(client, account):
    account("anna")
    asked = client.get("/account/tokens/")
    assert asked.status_code == 302
    assert asked["Location"] == f"{SIGN_IN}?next=/account/tokens/"
    signed_in = sign_in(client, next="/account/tokens/")
    assert (signed_in.status_code, signed_in["Location"]) == (302, "/account/tokens/")
    assert b"anna" in client.get("/account/tokens/").content


@pytest.mark.parametrize("where", ["https://elsewhere.example/", "//elsewhere.example/", "javascript:alert(1)"])
def test_sign_in_leads_to_no_other_host(client, account, where):
    account("anna")
    assert sign_in(client, next=where)["Location"] == "/"


@pytest.mark.parametrize(("name", "password"), [("anna", "wrong"), ("nobody", PASSWORD)])
def test_a_failed_sign_in_does_not_say_which_part_was_wrong(client, account, name, password):
    account("anna")
    answer = sign_in(client, name, password)
    assert answer.status_code == 422
    assert b"Please enter a correct username and password" in answer.content


def test_an_inactive_account_cannot_sign_in(client, account):
    user = account("anna")
    user.is_active = False
    user.save()
    assert sign_in(client).status_code == 422


def test_sign_out_is_a_post_and_ends_the_session(client, account):
    account("anna")
    sign_in(client)
    old = client.cookies["session"].value
    assert client.get(reverse("accounts:sign-out")).status_code == 405
    assert client.post(reverse("accounts:sign-out")).status_code == 302
    client.cookies["session"] = old  # a copy of the cookie opens nothing any more
    assert client.get("/account/tokens/").status_code == 302


def test_signing_in_gives_a_new_session(client, account):
    account("anna")
    session = client.session
    session["before"] = True
    session.save()
    before = session.session_key
    sign_in(client)
    assert client.session.session_key != before


def test_password_change_asks_for_the_old_one_and_ends_other_sessions(client, account):
    from django.test import Client

    account("anna")
    other = Client()
    sign_in(client)
    sign_in(other)
    new = "another long and private one"
    wrong = client.post("/account/password/", {"old_password": "x", "new_password1": new, "new_password2": new})
    assert wrong.status_code == 422
    done = client.post("/account/password/", {"old_password": PASSWORD, "new_password1": new, "new_password2": new})
    assert done.status_code == 302
    assert client.get("/account/tokens/").status_code == 200
    assert other.get("/account/tokens/").status_code == 302


@pytest.mark.parametrize("bad", ["short", "123456789012345", "q1w2e3r4t5y6", "anna-anna-anna"])
def test_weak_passwords_are_refused(client, account, bad):
    account("anna-anna-anna")
    sign_in(client, "anna-anna-anna")
    answer = client.post("/account/password/", {"old_password": PASSWORD, "new_password1": bad, "new_password2": bad})
    assert answer.status_code == 422


def test_a_long_password_with_any_signs_is_taken_as_it_is(client, account):
    account("anna")
    sign_in(client)
    new = "  Ünï cödé \u2603 " + "x" * 100
    changed = client.post("/account/password/", {"old_password": PASSWORD, "new_password1": new, "new_password2": new})
    assert changed.status_code == 302
    client.post(reverse("accounts:sign-out"))
    assert sign_in(client, password=new).status_code == 302
    client.post(reverse("accounts:sign-out"))
    assert sign_in(client, password=new.strip()).status_code == 422


def test_a_token_is_shown_once_listed_and_revoked_by_its_owner(client, account):
    account("anna")
    sign_in(client)
    made = client.post("/account/tokens/", {"name": "stock program", "days": "30"})
    assert made.status_code == 201
    text = re.search(rb"Token (jb_[0-9a-f]+)", made.content).group(1).decode()
    listed = client.get("/account/tokens/").content.decode()
    assert "stock program" in listed
    assert text not in listed
    token = ApiToken.objects.get()
    assert text not in {str(value) for value in vars(token).values()}
    client.post("/account/tokens/revoke/", {"name": "stock program"})
    assert not ApiToken.objects.exists()


def test_nobody_revokes_or_sees_the_tokens_of_others(client, account):
    from config.accounts.services import token_create

    berta = account("berta")
    token_create(user=berta, name="hers", lifetime=None)
    account("anna")
    sign_in(client)
    assert b"hers" not in client.get("/account/tokens/").content
    client.post("/account/tokens/revoke/", {"name": "hers"})
    assert ApiToken.objects.count() == 1


@pytest.mark.parametrize(
    "fields", [{"name": " ", "days": "30"}, {"name": "x", "days": "31"}, {"name": "x" * 81, "days": "30"}]
)
def test_a_bad_token_form_says_what_is_wrong(client, account, fields):
    account("anna")
    sign_in(client)
    answer = client.post("/account/tokens/", fields)
    assert answer.status_code == 422
    assert b'aria-invalid="true"' in answer.content


def test_two_tokens_of_one_name_are_refused(client, account):
    account("anna")
    sign_in(client)
    assert client.post("/account/tokens/", {"name": "x", "days": "30"}).status_code == 201
    again = client.post("/account/tokens/", {"name": "x", "days": "30"})
    assert again.status_code == 422
    assert b"revoke it first" in again.content


def test_forms_need_the_token_of_the_page(account):
    from django.test import Client

    account("anna")
    strict = Client(enforce_csrf_checks=True)
    refused = sign_in(strict)
    assert refused.status_code == 403
    assert b"too old" in refused.content
    page = strict.get(SIGN_IN).content.decode()
    hidden = re.search(r'name="csrfmiddlewaretoken" value="([^"]+)"', page).group(1)
    assert sign_in(strict, csrfmiddlewaretoken=hidden).status_code == 302


@pytest.mark.parametrize("path", ["/account/sign-in/", "/account/tokens/", "/account/password/"])
def test_account_pages_are_kept_by_no_cache(client, account, path):
    account("anna", Role.EDITOR)
    if path != "/account/sign-in/":
        sign_in(client)
    assert "no-store" in client.get(path)["Cache-Control"]
