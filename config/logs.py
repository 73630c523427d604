"""How a line of the log looks: JSON for machines, plain for people.

Both are scrubbed, both name the request.
"""

import json
import logging
from contextvars import ContextVar
from datetime import UTC, datetime
from typing import Any

from catalog.scrubbing import scrub

request_id: ContextVar[str | None] = ContextVar("request_id", default=None)

_STANDARD = set(logging.makeLogRecord({}).__dict__) | {"message", "asctime", "taskName"}
_UNWANTED = {"request", "server_time", "status_code"}  # Django hands the whole request along; it is no text


class PlainFormatter(logging.Formatter):
    """`08:31:07 INFO jointbook.requests GET /car/ 200 12 ms [3f2a...]`"""

    def __init__(self) -> None:
        super().__init__("%(asctime)s %(levelname)s %(name)s %(message)s", datefmt="%H:%M:%S")

    def format(self, record: logging.LogRecord) -> str:
        text = scrub(super().format(record))
        current = request_id.get()
        return f"{text} [{current}]" if current else text


class JsonFormatter(logging.Formatter):
    """One JSON object a line: `time`, `level`, `logger`, `message`, `request_id`, and what the caller added."""

    def format(self, record: logging.LogRecord) -> str:
        line: dict[str, Any] = {
            "time": datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds"),
            "level": record.levelname,
            "logger": record.name,
            "message": scrub(record.getMessage()),
        }
        current = request_id.get()
        if current:
            line["request_id"] = current
        for name, value in record.__dict__.items():
            if name not in _STANDARD and name not in _UNWANTED:
                line[name] = value if isinstance(value, int | float | bool | None) else scrub(str(value))
        if record.exc_info:
            line["exception"] = scrub(self.formatException(record.exc_info))
        return json.dumps(line, ensure_ascii=False)


def logging_settings(*, level: str, json_lines: bool) -> dict[str, Any]:
    """The setting `LOGGING`: everything to standard output, in one of the two forms."""
    formatter = "config.logs.JsonFormatter" if json_lines else "config.logs.PlainFormatter"
    return {
        "version": 1,
        "disable_existing_loggers": False,
        "formatters": {"line": {"()": formatter}},
        "handlers": {"output": {"class": "logging.StreamHandler", "stream": "ext://sys.stdout", "formatter": "line"}},
        "root": {"handlers": ["output"], "level": level},
        "loggers": {
            # Django's own handlers would write a second, unscrubbed line.
            "django": {"handlers": [], "propagate": True},
            "django.server": {"handlers": [], "propagate": True},
            # Every request has its line from config.requests; Django's would repeat each 4xx.
            "django.request": {"level": "ERROR"},
            "axes": {"level": "WARNING"},
            "procrastinate": {"level": "WARNING"},
        },
    }
