"""What is kept of an edition, and what is not."""

import pytest

from fitment.readers.editions import at_edition, forget, kept_for_edition, uncached
from tests import factories

pytestmark = pytest.mark.django_db


@pytest.fixture
def counted():
    """A reader that counts its calls, kept two at a time."""
    factories.catalogue()
    calls: list[str] = []

    @kept_for_edition(entries=2)
    def read(key: str) -> str:
        calls.append(key)
        return key.upper()

    return read, calls


def test_facts_are_read_once_an_edition(counted):
    read, calls = counted
    assert [read("a"), read("a")] == ["A", "A"]
    factories.next_edition()
    read("a")
    assert calls == ["a", "a"]


def test_the_least_used_is_forgotten_first(counted):
    read, calls = counted
    for key in ("a", "b", "a", "c", "a", "b"):
        read(key)
    assert calls == ["a", "b", "c", "b"]


def test_a_reader_inside_a_change_keeps_nothing(counted):
    read, calls = counted
    with uncached():
        read("a")
        read("a")
    read("a")
    assert calls == ["a", "a", "a"]


def test_all_can_be_forgotten(counted):
    read, calls = counted
    read("a")
    forget()
    read("a")
    assert calls == ["a", "a"]


def test_one_look_at_the_edition_serves_all_inside(counted, django_assert_num_queries):
    read, _ = counted
    read("a")
    with django_assert_num_queries(1), at_edition() as current:
        read("a")
        read("a")
    assert (current.code, current.edition) == ("TEST", 1)


def test_what_was_read_while_the_edition_moved_is_not_kept():
    factories.catalogue()
    calls: list[int] = []

    @kept_for_edition(entries=2)
    def read() -> int:
        factories.next_edition()
        calls.append(1)
        return len(calls)

    with at_edition():
        assert [read(), read()] == [1, 2]
