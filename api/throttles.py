"""How often one address may ask without an account."""

from typing import TYPE_CHECKING

from django.conf import settings
from rest_framework.throttling import BaseThrottle

from catalog.rates import ENQUIRY, count_request

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
