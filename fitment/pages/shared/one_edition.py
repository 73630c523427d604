"""A page is of one edition: its facts, its words and its title block, read at one look; editions named by number."""

from collections.abc import Callable
from functools import wraps
from typing import Concatenate, ParamSpec

from django.http import HttpRequest, HttpResponse

from fitment.readers.editions import at_edition

P = ParamSpec("P")
View = Callable[Concatenate[HttpRequest, P], HttpResponse]


def one_edition(view: View[P]) -> View[P]:
    """A view that looks at the edition once, and answers as if the catalogue stood still meanwhile."""

    @wraps(view)
    def at_one(request: HttpRequest, *args: P.args, **kwargs: P.kwargs) -> HttpResponse:
        with at_edition():
            return view(request, *args, **kwargs)

    return at_one


def edition_number(text: str) -> int | None:
    """The number of an edition as a form or an address has it; None where it is no whole number that one can have.

    >>> edition_number("17"), edition_number("seventeen"), edition_number("9999999999")
    (17, None, None)
    """
    return int(text) if text.isascii() and text.isdecimal() and len(text) < 10 else None
