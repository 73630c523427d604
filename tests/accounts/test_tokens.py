"""Tokens of the API: hashed at rest, ended by expiry, revocation and an inactive account."""

from datetime import timedelta
from io import StringIO

import pytest
from django.core.management import CommandError, call_command
from django.db import IntegrityError, connection
from django.utils import timezone
from rest_framework.exceptions import AuthenticationFailed
from rest_framework.test import APIRequestFactory

from api.authentication import TokenAuthentication
from catalog.codes import Role
from catalog.models import ApiToken
from catalog.roles import role_of
from config.accounts.services import AccountProblem, account_set_role, token_create, token_revoke


def authenticate(text, scheme="Token"):
    return TokenAuthentication().authenticate(APIRequestFactory().get("/", HTTP_AUTHORIZATION=f"{scheme} {text}"))


def test_a_token_is_its_user_with_the_role(account):
    user = account("anna", Role.DEVELOPMENT)
    _, text = token_create(user=user, name="x", lifetime=timedelta(days=1))
    found, token = authenticate(text)
    assert (found, token.name, role_of(found)) == (user, "x", Role.DEVELOPMENT)


def test_the_database_holds_no_token(account):
    _, text = token_create(user=account("anna"), name="x", lifetime=None)
    with connection.cursor() as cursor:
        cursor.execute("SELECT row_to_json(t)::text FROM catalog_apitoken t")
        row = cursor.fetchone()[0]
    assert text not in row
    assert text[20:] not in row  # the first signs, to find the row by, are not enough to guess the rest


def test_a_token_ends_by_itself(account):
    token, text = token_create(user=account("anna"), name="x", lifetime=timedelta(days=30))
    assert timedelta(days=29) < token.expiry - timezone.now() <= timedelta(days=30)
    ApiToken.objects.update(expiry=timezone.now() - timedelta(seconds=1))
    with pytest.raises(AuthenticationFailed):
        authenticate(text)


def test_a_revoked_token_opens_nothing(account):
    user = account("anna")
    _, text = token_create(user=user, name="x", lifetime=None)
    assert token_revoke(user=user, name="x")
    assert not token_revoke(user=user, name="x")
    with pytest.raises(AuthenticationFailed):
        authenticate(text)


def test_the_token_of_an_inactive_account_opens_nothing(account):
    user = account("anna")
    _, text = token_create(user=user, name="x", lifetime=None)
    user.is_active = False
    user.save()
    with pytest.raises(AuthenticationFailed):
        authenticate(text)


@pytest.mark.parametrize("text", ["", "x", "jb_" + "0" * 64, "a b", "ÿþ", "'; DROP TABLE x; --"])
@pytest.mark.django_db
def test_anything_else_is_refused(text):
    with pytest.raises(AuthenticationFailed):
        authenticate(text.encode().decode("latin-1"))


def test_other_schemes_are_not_ours(db):
    assert authenticate("x", scheme="Bearer") is None


def test_the_last_use_is_kept_to_ten_minutes(account, django_assert_num_queries):
    _, text = token_create(user=account("anna"), name="x", lifetime=None)
    authenticate(text)
    first = ApiToken.objects.get().last_use
    assert first is not None
    authenticate(text)
    assert ApiToken.objects.get().last_use == first
    ApiToken.objects.update(last_use=first - timedelta(minutes=11))
    authenticate(text)
    assert ApiToken.objects.get().last_use > first


def test_the_database_refuses_a_token_without_a_name(account):
    user = account("anna")
    with pytest.raises(AccountProblem, match="needs a name"):
        token_create(user=user, name=" ", lifetime=None)
    with pytest.raises(IntegrityError):
        ApiToken.objects.create(user=user, name="")


def test_a_role_is_one_group(account):
    user = account("anna", Role.SALES)
    account_set_role(user=user, role=Role.EDITOR)
    assert [group.name for group in user.groups.all()] == ["editor"]
    assert role_of(user) is Role.EDITOR
    account_set_role(user=user, role=Role.PUBLIC)
    assert role_of(user) is Role.PUBLIC


def run(*arguments):
    out, err = StringIO(), StringIO()
    call_command("create_token", *arguments, stdout=out, stderr=err)
    return out.getvalue().strip(), err.getvalue()


@pytest.mark.django_db
def test_create_token_prints_the_token_alone_on_standard_output():
    text, said = run("stock", "--role", "sales")
    user, token = authenticate(text)
    assert (user.username, role_of(user)) == ("stock", Role.SALES)
    assert not user.has_usable_password()
    assert text not in said
    assert timedelta(days=364) < token.expiry - timezone.now() <= timedelta(days=365)


@pytest.mark.django_db
def test_create_token_again_gives_the_account_another_token_but_no_other_role():
    first, _ = run("stock", "--role", "sales")
    second, _ = run("stock", "--role", "sales", "--days", "1")
    assert first != second
    assert ApiToken.objects.count() == 2
    with pytest.raises(CommandError, match="has the role sales"):
        run("stock", "--role", "editor")


@pytest.mark.django_db
def test_create_token_refuses_an_unknown_role():
    with pytest.raises(CommandError, match="invalid choice: 'boss'"):
        run("stock", "--role", "boss")
