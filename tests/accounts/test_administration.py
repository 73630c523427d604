"""Editors look after accounts; nobody else, and nothing but accounts."""

import pytest
from django.contrib.auth.models import User

from catalog.codes import Role
from catalog.models import ApiToken
from catalog.roles import role_of
from config.accounts.services import token_create
from tests.accounts.conftest import PASSWORD

USERS = "/administration/auth/user/"


@pytest.fixture
def editor(client, account):
    client.force_login(account("erik", Role.EDITOR), backend="django.contrib.auth.backends.ModelBackend")
    return client


@pytest.mark.parametrize("role", [Role.PUBLIC, Role.SALES, Role.DEVELOPMENT])
def test_other_roles_are_refused(client, account, role):
    client.force_login(account("anna", role), backend="django.contrib.auth.backends.ModelBackend")
    assert client.get(USERS, follow=True).status_code == 403


def test_its_only_door_is_the_page_to_sign_in(client, db):
    answer = client.get("/administration/", follow=True)
    assert answer.redirect_chain[-1][0].startswith("/account/sign-in/?next=")
    assert client.post("/administration/login/", {"username": "x", "password": "y"}).status_code == 302


def test_an_editor_makes_an_account_with_a_role(editor):
    fields = {
        "username": "berta",
        "usable_password": "true",
        "password1": PASSWORD,
        "password2": PASSWORD,
        "role": "development",
    }
    inline = {"auth_token_set-TOTAL_FORMS": "0", "auth_token_set-INITIAL_FORMS": "0"}
    assert editor.post(f"{USERS}add/", fields | inline).status_code == 302
    berta = User.objects.get(username="berta")
    assert role_of(berta) is Role.DEVELOPMENT
    assert (berta.is_staff, berta.is_superuser) == (False, False)


def test_an_editor_changes_a_role_deactivates_and_revokes(editor, account):
    anna = account("anna", Role.SALES)
    token, _ = token_create(user=anna, name="x", lifetime=None)
    page = f"{USERS}{anna.pk}/change/"
    assert b"sales" in editor.get(page).content
    fields = {"username": "anna", "role": "editor"}
    inline = {
        "auth_token_set-TOTAL_FORMS": "1",
        "auth_token_set-INITIAL_FORMS": "1",
        "auth_token_set-0-digest": token.digest,
        "auth_token_set-0-user": str(anna.pk),
        "auth_token_set-0-DELETE": "on",
    }
    assert editor.post(page, fields | inline).status_code == 302
    anna = User.objects.get(username="anna")
    assert [group.name for group in anna.groups.all()] == ["editor"]
    assert not anna.is_active
    assert role_of(anna) is Role.PUBLIC  # whatever its group says, an inactive account may nothing
    assert not ApiToken.objects.exists()


def test_a_form_cannot_make_a_superuser(editor, account):
    anna = account("anna", Role.SALES)
    fields = {"username": "anna", "role": "sales", "is_active": "on", "is_superuser": "on", "is_staff": "on"}
    inline = {"auth_token_set-TOTAL_FORMS": "0", "auth_token_set-INITIAL_FORMS": "0"}
    editor.post(f"{USERS}{anna.pk}/change/", fields | inline)
    anna.refresh_from_db()
    assert (anna.is_staff, anna.is_superuser) == (False, False)


def test_accounts_are_not_deleted(editor, account):
    anna = account("anna")
    assert editor.post(f"{USERS}{anna.pk}/delete/", {"post": "yes"}).status_code == 403


def test_there_is_nothing_but_accounts(editor):
    page = editor.get("/administration/").content.decode()
    assert page.count('class="model-') == 1
    assert "model-user" in page
