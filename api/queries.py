"""Whether a piece of work asked the database."""

from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from typing import Any

from django.db import connections


@contextmanager
def counted_queries() -> Iterator[Callable[[], int]]:
    """Counts the queries of this thread on every database while the block runs."""
    count = 0

    def counting(execute: Callable[..., Any], *call: Any) -> Any:
        nonlocal count
        count += 1
        return execute(*call)

    with ExitStack() as wrapped:
        for connection in connections.all():
            wrapped.enter_context(connection.execute_wrapper(counting))
        yield lambda: count
