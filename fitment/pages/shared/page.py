"""The one wrapper of a page: how it may be asked, by whom, of which edition it is."""

from collections.abc import Callable
from contextlib import nullcontext
from functools import wraps
from typing import Concatenate, ParamSpec

from django.contrib.auth.views import redirect_to_login
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponseBase
from django.utils.cache import patch_cache_control
from django.views.decorators.http import require_http_methods

from catalog.codes import Role
from catalog.roles import role_of
from fitment.readers.editions import at_edition

P = ParamSpec("P")
View = Callable[Concatenate[HttpRequest, P], HttpResponseBase]


def page(*, role: Role = Role.PUBLIC, methods: str = "GET HEAD", writes: bool = False) -> Callable[[View[P]], View[P]]:
    """Lets `role` and those above it in; others are asked to sign in, or told that theirs does not do.

    The view answers as if the catalogue stood still: facts, words and title block are of one edition. One that
    changes the catalogue (`writes`) looks at the edition itself, before and after. No cache that others share keeps a
    page that is not for everybody.
    """

    def decorate(view: View[P]) -> View[P]:
        @wraps(view)
        def answered(request: HttpRequest, *args: P.args, **kwargs: P.kwargs) -> HttpResponseBase:
            if role_of(request.user).at_least(role):
                with nullcontext() if writes else at_edition():
                    response = view(request, *args, **kwargs)
            elif request.user.is_authenticated:
                raise PermissionDenied
            else:
                response = redirect_to_login(request.get_full_path())
            if role is not Role.PUBLIC:
                patch_cache_control(response, private=True, no_cache=True)
            return response

        return require_http_methods(methods.split())(answered)

    return decorate
