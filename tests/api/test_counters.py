"""The shared counts behind the throttle."""

import multiprocessing
from pathlib import Path

import pytest

from catalog.rates import SIZE, BadRate, Counters, parse_rate


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "counts"


def test_counts_within_a_window_and_starts_over_in_the_next(path):
    counters = Counters(path, b"key")
    assert [counters.count("a", seconds=60, now=600.0 + second)[0] for second in range(3)] == [1, 2, 3]
    assert counters.count("a", seconds=60, now=660.0) == (1, 60.0)
    assert counters.count("a", seconds=60, now=675.0) == (2, 45.0)
    counters.close()


def test_names_are_counted_apart_and_the_file_does_not_grow(path):
    counters = Counters(path, b"key")
    for number in range(1000):
        counters.count(f"address {number}", seconds=60, now=600.0)
    firsts = sum(counters.count(f"address {number}", seconds=60, now=600.0)[0] == 2 for number in range(1000))
    assert firsts >= 990  # two that meet in both rows would count together; about one in a thousand
    assert path.stat().st_size == SIZE
    counters.close()


def test_no_address_is_stored(path):
    counters = Counters(path, b"key")
    counters.count("anonymous:192.0.2.7", seconds=60)
    counters.close()
    assert b"192.0.2.7" not in path.read_bytes()


def _count_hundred(path: str) -> None:
    counters = Counters(Path(path), b"key")
    for _ in range(100):
        counters.count("a", seconds=3600, now=7200.0)


def test_processes_count_together(path):
    context = multiprocessing.get_context("spawn")
    processes = [context.Process(target=_count_hundred, args=(str(path),)) for _ in range(3)]
    for process in processes:
        process.start()
    for process in processes:
        process.join()
    assert Counters(path, b"key").count("a", seconds=3600, now=7200.0)[0] == 301


@pytest.mark.parametrize(("text", "wanted"), [("1200/min", (1200, 60)), ("5/s", (5, 1)), ("10/hour", (10, 3600))])
def test_rates(text, wanted):
    assert parse_rate(text) == wanted


@pytest.mark.parametrize("text", ["", "1200", "x/min", "0/min", "-1/min", "5/fortnight", "1.5/min"])
def test_bad_rates_say_how_one_is_written(text):
    with pytest.raises(BadRate, match="1200/min"):
        parse_rate(text)
