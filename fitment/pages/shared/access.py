"""Who may open a page."""

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.contrib.auth.views import redirect_to_login
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.views.decorators.cache import cache_control

from catalog.codes import Role
from catalog.roles import role_of

View = Callable[..., HttpResponse]


def needs(role: Role) -> Callable[[View], Callable[..., HttpResponseBase]]:
    """Lets a role and those above it in; others are asked to sign in, or told that theirs does not do.

    No cache that others share keeps such a page.
    """

    def decorate(view: View) -> Callable[..., HttpResponseBase]:
        @wraps(view)
        @cache_control(private=True, no_cache=True)
        def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
            if role_of(request.user).at_least(role):
                return view(request, *args, **kwargs)
            if request.user.is_authenticated:
                raise PermissionDenied
            return redirect_to_login(request.get_full_path())

        return guarded

    return decorate
