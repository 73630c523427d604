"""The web processes: `python -m config.web --host H --port P --workers N`."""

import argparse

from granian import Granian
from granian.constants import Interfaces
from granian.log import LogLevels

from config.processes import follow_parent
from config.settings import LOG_FORMAT, LOG_LEVEL, logging_settings

# A question is computing, not waiting: more threads than this would only take turns.
THREADS = 4


def main() -> None:
    follow_parent()
    parser = argparse.ArgumentParser(prog="config.web", description=__doc__)
    parser.add_argument("--host", required=True)
    parser.add_argument("--port", type=int, required=True)
    parser.add_argument("--workers", type=int, required=True)
    options = parser.parse_args()
    logs = logging_settings(level=LOG_LEVEL, json_lines=LOG_FORMAT == "json")
    Granian(
        "config.wsgi:application",
        address=options.host,
        port=options.port,
        interface=Interfaces.WSGI,
        workers=options.workers,
        blocking_threads=THREADS,
        websockets=False,
        workers_kill_timeout=10,
        respawn_failed_workers=True,
        log_level=LogLevels.warning,
        log_dictconfig=logs,
    ).serve()


if __name__ == "__main__":
    main()
