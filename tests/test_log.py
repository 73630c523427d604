"""Nothing that was logged while the tests ran names a person's car or opens a door.

The handler is set up in `conftest.py` for the whole run; that it would notice is what is tested here.
"""

import logging

import pytest

from tests.conftest import LogWatch


@pytest.fixture
def watch():
    return LogWatch()


def told(watch, message, *arguments):
    watch.handle(logging.LogRecord("x", logging.INFO, "x.py", 1, message, arguments, None))
    return watch.found


@pytest.mark.parametrize(
    "text", ["1M8GDM9AXKP042788 x", "jb_" + "0" * 64, "password=a long and private one", "vin=1m8gdm9axkp042788"]
)
def test_it_would_notice(watch, text, monkeypatch):
    monkeypatch.setattr("config.logs.scrub", lambda line: line)
    assert told(watch, "%s", text)


def test_what_is_scrubbed_is_no_find(watch):
    assert not told(watch, "GET /x/%s token %s", "1M8GDM9AXKP042788", "jb_" + "0" * 64)
