"""What a reverse proxy says of the client, believed only from the proxies named in `TRUSTED_PROXIES`."""

from collections.abc import Callable
from functools import lru_cache
from ipaddress import IPv4Network, IPv6Network, ip_address, ip_network

from django.conf import settings
from django.core.exceptions import ImproperlyConfigured
from django.http import HttpRequest, HttpResponse

Network = IPv4Network | IPv6Network
FORWARDED = ("HTTP_X_FORWARDED_FOR", "HTTP_X_FORWARDED_PROTO", "HTTP_X_FORWARDED_HOST", "HTTP_FORWARDED")


@lru_cache(maxsize=8)
def networks(names: tuple[str, ...]) -> tuple[Network, ...]:
    """The addresses and networks of the setting; raises `ImproperlyConfigured` naming a bad one."""
    try:
        return tuple(ip_network(name) for name in names)
    except ValueError as error:
        raise ImproperlyConfigured(
            f"TRUSTED_PROXIES: {error}; write addresses or networks, such as 10.0.0.0/8"
        ) from None


def is_trusted(address: str) -> bool:
    try:
        parsed = ip_address(address)
    except ValueError:
        return False
    return any(parsed in network for network in networks(tuple(settings.TRUSTED_PROXIES)))


class TrustedProxies:
    """Puts the client's address in `REMOTE_ADDR` and the scheme it used in the request, or drops the claims.

    The client is the last address in `X-Forwarded-For` that is no proxy of ours: those before it
    were written by the client itself and prove nothing.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        meta = request.META
        if is_trusted(meta.get("REMOTE_ADDR", "")):
            chain = [part.strip() for part in meta.get("HTTP_X_FORWARDED_FOR", "").split(",") if part.strip()]
            meta["REMOTE_ADDR"] = next((part for part in reversed(chain) if not is_trusted(part)), meta["REMOTE_ADDR"])
            meta["jointbook.scheme"] = "https" if meta.get("HTTP_X_FORWARDED_PROTO") == "https" else "http"
            meta["jointbook.trusted"] = True
        for name in FORWARDED:
            meta.pop(name, None)
        return self.get_response(request)
