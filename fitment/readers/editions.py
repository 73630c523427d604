"""Facts kept in the process for one edition of one catalogue, in a bounded number of entries.

A reader inside a transaction that changes the catalogue must not fill the cache: what it sees may be rolled
back, and another change may later get the same edition. Such readers work inside `uncached()`.
"""

from collections import OrderedDict
from collections.abc import Callable, Iterator
from contextlib import contextmanager, nullcontext
from contextvars import ContextVar
from functools import wraps
from threading import Lock
from typing import Any, ParamSpec, TypeVar

from django.db import connections, router, transaction

from catalog.models import Catalogue
from catalog.selectors import CurrentCatalogue, current_catalogue

P = ParamSpec("P")
R = TypeVar("R")

_bypass: ContextVar[bool] = ContextVar("facts_bypass", default=False)
_edition: ContextVar[CurrentCatalogue | None] = ContextVar("facts_edition", default=None)
_reads: ContextVar[int] = ContextVar("facts_reads", default=0)  # how often something was read, not found kept
_stores: list[tuple[Callable[..., Any], OrderedDict[Any, Any]]] = []
_lock = Lock()


@contextmanager
def uncached() -> Iterator[None]:
    """Within it every fact is read anew and none is kept."""
    token = _bypass.set(True)
    try:
        yield
    finally:
        _bypass.reset(token)


@contextmanager
def at_edition() -> Iterator[CurrentCatalogue]:
    """One look at the edition serves everything inside: facts, vocabulary and answer are of one edition."""
    known = _edition.get()
    if known is not None:
        yield known
        return
    current = current_catalogue()
    token = _edition.set(current)
    try:
        yield current
    finally:
        _edition.reset(token)


@contextmanager
def snapshot() -> Iterator[None]:
    """Several queries that see one state of the catalogue; inside a transaction they see what that sees."""
    alias = router.db_for_read(Catalogue)
    if connections[alias].in_atomic_block:
        yield
        return
    with transaction.atomic(using=alias):
        with connections[alias].cursor() as cursor:
            cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ READ ONLY")
        yield


def forget(only: Callable[..., Any] | None = None) -> None:
    """Drops all that is kept, or what one function keeps (tests, and the end of a load in this process)."""
    with _lock:
        for function, store in _stores:
            if only in (None, function):
                store.clear()


def kept_for_edition(entries: int, *, reads: bool = True) -> Callable[[Callable[P, R]], Callable[P, R]]:
    """Keeps results by arguments and edition, at most `entries` of them, the last used.

    Without `reads` the function itself asks the database nothing: it works on facts that are kept, each read in
    a snapshot of its own, and needs none.
    """

    def decorate(function: Callable[P, R]) -> Callable[P, R]:
        store: OrderedDict[Any, R] = OrderedDict()

        @wraps(function)
        def kept(*args: P.args, **kwargs: P.kwargs) -> R:
            if _bypass.get():
                return function(*args, **kwargs)
            current = _edition.get()
            if current is None:
                with at_edition():
                    return kept(*args, **kwargs)
            key = (current.code, current.edition, args, tuple(sorted(kwargs.items())))
            with _lock:
                if key in store:
                    store.move_to_end(key)
                    return store[key]
            _reads.set((before := _reads.get()) + reads)
            with snapshot() if reads else nullcontext():
                result = function(*args, **kwargs)
                moved = _reads.get() > before and current_catalogue().edition != current.edition
            if moved:
                return result
            with _lock:
                store[key] = result
                store.move_to_end(key)
                while len(store) > entries:
                    store.popitem(last=False)
            return result

        _stores.append((kept, store))
        return kept

    return decorate
