"""Who asks: by `Authorization: Token ...` or by the session of the pages."""

from datetime import timedelta

from django.contrib.auth.models import AbstractBaseUser
from django.utils import timezone
from knox.auth import TokenAuthentication as KnoxTokenAuthentication
from rest_framework import authentication, exceptions
from rest_framework.request import Request

from catalog.models import ApiToken

LAST_USE_STEP = timedelta(minutes=10)


class TokenAuthentication(KnoxTokenAuthentication):
    """Knox's, which also keeps when a token was last used, to ten minutes: a read is no write each time."""

    def authenticate_credentials(self, token: bytes) -> tuple[AbstractBaseUser, ApiToken]:
        try:
            user, found = super().authenticate_credentials(token)
        except UnicodeDecodeError:
            raise exceptions.AuthenticationFailed("Invalid token.") from None
        now = timezone.now()
        if found.last_use is None or now - found.last_use >= LAST_USE_STEP:
            ApiToken.objects.filter(pk=found.pk).update(last_use=now)
        return user, found


class SessionAuthentication(authentication.SessionAuthentication):
    """Django's session, with the CSRF check on every write; says how to sign in instead, so that 401 is 401."""

    def authenticate_header(self, request: Request) -> str:
        return "Token"
