"""Pages of computed rows: whatever the rows, their size and their keys, every row once, there and back."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from api.pagination import Cursor, PageRequest, page_of_rows, read_cursor
from api.parameters import Errors

texts = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), max_size=4)
keys = st.lists(st.tuples(texts, st.integers(-(2**31), 2**31)), unique=True, max_size=12).map(sorted)


def page(rows: list, size: int, cursor: Cursor | None):
    reading = rows[::-1] if cursor is not None and cursor.backwards else rows
    return page_of_rows(reading, lambda row: row, PageRequest(size, cursor))


@given(keys, st.integers(1, 5))
def test_every_row_once_there_and_back(rows, size):
    seen, cursor, last = [], None, None
    while True:
        last = page(rows, size, cursor)
        seen += last.rows
        assert len(last.rows) <= size
        if last.next is None:
            break
        cursor = last.next
    assert seen == rows
    back = last.rows[::-1]
    while last.previous is not None:
        last = page(rows, size, last.previous)
        back += last.rows[::-1]
    assert back == rows[::-1]


@given(keys, st.integers(1, 5), st.booleans())
def test_only_one_row_more_than_the_page_is_taken(rows, size, backwards):
    taken = []
    cursor = Cursor(("\U0010ffff" * 5, 0), True) if backwards else None

    def reading():
        for row in rows[::-1] if backwards else rows:
            taken.append(row)
            yield row

    page_of_rows(reading(), lambda row: row, PageRequest(size, cursor))
    assert len(taken) <= size + 1


@given(texts, st.integers(-(2**31), 2**31), st.booleans())
def test_a_cursor_reads_back_as_it_was_written(text, number, backwards):
    cursor = Cursor((text, number), backwards)
    errors = Errors()
    assert read_cursor(str(cursor), (str, int), errors) == cursor
    assert not errors.found


@given(st.text(max_size=30))
def test_any_other_text_is_an_error_and_no_failure(text):
    errors = Errors()
    found = read_cursor(text, (str, int), errors)
    assert (found is None) == bool(errors.found)
    assert found is None or str(found) == text


@pytest.mark.parametrize("key", [("a",), ("a", "b"), (1, "a"), ("a", 1, 2), ("a", True), ("a", None), ("a\0", 1)])
def test_a_key_of_another_list_is_an_error(key):
    errors = Errors()
    assert read_cursor(str(Cursor(key)), (str, int), errors) is None
    assert [field for field, _ in errors.found] == ["cursor"]
