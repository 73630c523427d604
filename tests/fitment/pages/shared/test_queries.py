"""More rows, no more queries: the number of queries of each page does not grow with what it shows."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from fitment.readers.editions import forget
from tests import factories

PAGES = [
    "/", "/?maker=ALVA", "/?maker=ALVA&chassis=QN4", "/car/?chassis=QN4", "/car/?chassis=QN4&part=LM-210",
    "/number/TK8046/", "/number/LM-210-B/",
    "/part/LM-210/", "/part/LM-210/?all=yes", "/job/?variant=QN4-20-SAL&part=LM-210",
]  # fmt: skip


def queries(client, path: str) -> int:
    forget()
    with CaptureQueriesContext(connection) as seen:
        assert client.get(path).status_code == 200
    return len(seen)


def more_rows() -> None:
    """Cars, parts, revisions, papers and decisions, all met by the pages asked."""
    for at in range(6):
        factories.variant(f"QN4-2{at}-X", front_axle=factories.axle(), designation=f"2{at}")
        factories.decision(factories.revision(f"LM-6{at}0", "A"))
        factories.number(f"LM6{at}0", issuer="HOUSE", kind="part", part=factories.part(f"LM-6{at}0"))
        factories.revision("LM-210", "EFGHIJ"[at], change="again")
    factories.next_edition()


@pytest.mark.parametrize("path", PAGES)
def test_queries_do_not_grow(small, client, path):
    client.get(path)
    before = queries(client, path)
    more_rows()
    assert queries(client, path) <= before
