"""Lines of the log: their two forms, and what is never in them."""

import json
import logging
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.scrubbing import scrub
from config.logs import JsonFormatter, PlainFormatter, request_id

# 49 CFR 565.15 uses this VIN in no example; it is the well-known one of Wikipedia, "Vehicle identification number".
VIN = "1M8GDM9AXKP042788"


def record(message, *arguments, **extra):
    line = logging.LogRecord("jointbook.x", logging.INFO, "x.py", 1, message, arguments, None)
    line.__dict__.update(extra)
    return line


def test_a_json_line_has_time_level_logger_message_and_identifier():
    mark = request_id.set("abc123")
    line = json.loads(JsonFormatter().format(record("asked %s", "x", status=200)))
    request_id.reset(mark)
    assert line.pop("time").endswith("+00:00")
    assert line == {
        "level": "INFO", "logger": "jointbook.x", "message": "asked x", "request_id": "abc123", "status": 200,
    }  # fmt: skip


def test_a_line_is_one_line_even_with_a_trace():
    try:
        raise ValueError(f"bad {VIN}")
    except ValueError:
        line = logging.LogRecord("x", logging.ERROR, "x.py", 1, "failed\nreally", (), sys.exc_info())
    text = JsonFormatter().format(line)
    assert "\n" not in text
    assert VIN not in text
    assert "ValueError: bad [vin]" in json.loads(text)["exception"]


def test_a_plain_line_names_the_request():
    mark = request_id.set("abc123")
    assert PlainFormatter().format(record("asked %s", VIN)).endswith("INFO jointbook.x asked [vin] [abc123]")
    request_id.reset(mark)


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        (f"GET /number/{VIN}/", "GET /number/[vin]/"),
        (f"q={VIN.lower()}&x=1", "q=[vin]&x=1"),
        ("1M8GDM9A XKP042788 is it", "[vin] is it"),
        ("1M8-GDM9AX-KP042788", "[vin]"),
        ("Authorization: Token jb_" + "0a" * 32, "Authorization: [removed] [token]"),
        ("token jb_" + "0a" * 32 + " made", "[token] made"),
        ("Bearer abcdefghijklmnop", "[token]"),
        ("{'password': 'geheim', 'x': 1}", "{'password': '[removed]', 'x': 1}"),
        ("new_password1=geheim&y=2", "new_password1=[removed]&y=2"),
        ("sessionid=abc; csrftoken=def", "sessionid=[removed]; csrftoken=[removed]"),
        ("postgresql://anna:geheim@db/x", "postgresql://anna:[removed]@db/x"),
    ],
)
def test_what_is_taken_out(text, wanted):
    assert scrub(text) == wanted


@pytest.mark.parametrize(
    "text",
    ["GET /part/LM-210/ 200", "LM-210-C 2210", "TH 41.10-100", "chassis=QN4&built=2018-05", "no token was given",
     "3f2a9c0d1e4b5a6978877665544332211", "2026-11-25T09:06:44.445+00:00", "tension_link.inner",
     "the password is changed"],
)  # fmt: skip
def test_what_stays(text):
    assert scrub(text) == text


@given(
    st.text("ABCDEFGHJKLMNPRSTUVWXYZ0123456789", min_size=17, max_size=17).filter(
        lambda vin: any(sign.isdigit() for sign in vin)
    ),
    st.sampled_from(["'{}'", "vin: {}.", "/x/{}/", "a {} b", '"{}"', "({})", "{}"]),
)
def test_no_vin_survives_whatever_stands_around_it(vin, frame):
    assert vin not in scrub(frame.format(vin))
