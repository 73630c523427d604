"""Who asks, by `Authorization: Token ...` or by session, and how often somebody without an account may."""

from datetime import timedelta
from typing import TYPE_CHECKING

from django.conf import settings
from django.contrib.auth.models import AbstractBaseUser
from django.utils import timezone
from knox.auth import TokenAuthentication as KnoxTokenAuthentication
from rest_framework import authentication, exceptions
from rest_framework.request import Request
from rest_framework.throttling import BaseThrottle

from catalog.models import ApiToken
from catalog.rates import ENQUIRY, count_request

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


if TYPE_CHECKING:  # the settings name this module, so the framework's views import it
    from rest_framework.request import Request
    from rest_framework.views import APIView


class AnonymousThrottle(BaseThrottle):
    """At most `ANONYMOUS_RATE` requests an address; whoever signed in is not counted."""

    scope = "anonymous"

    def __init__(self) -> None:
        self._wait: float | None = None

    def rate(self) -> str:
        return str(settings.ANONYMOUS_RATE)

    def allow_request(self, request: "Request", view: "APIView") -> bool:
        if request.user is not None and request.user.is_authenticated:
            return True
        address = request.META.get("REMOTE_ADDR", "")  # the client's, also behind a trusted proxy
        allowed, self._wait = count_request(scope=self.scope, address=address, rate=self.rate())
        return allowed

    def wait(self) -> float | None:
        return self._wait


class EnquiryThrottle(AnonymousThrottle):
    """Enquiries are written, so an address may log fewer of them than it may ask questions."""

    scope = ENQUIRY

    def rate(self) -> str:
        return str(settings.ENQUIRY_RATE)
