"""`make bench`: every module `bench_*.py` here gives rows of a table; `python -m tests.benchmarks answers` runs one.

They run in a database of their own, which is made and dropped.
"""

import os
import sys
from importlib import import_module
from pathlib import Path

import django


def main(chosen: list[str]) -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
    os.environ["LOG_LEVEL"] = "ERROR"
    django.setup()

    from django.conf import settings
    from django.db import connection

    from tests.benchmarks.ratios import Ratio, table

    settings.ANONYMOUS_RATE = "1000000000/min"
    settings.ALLOWED_HOSTS = ["testserver"]
    names = sorted(path.stem for path in Path(__file__).parent.glob("bench_*.py"))
    wanted = [name for name in names if not chosen or name.removeprefix("bench_") in chosen]
    before = connection.settings_dict["NAME"]
    connection.creation.create_test_db(verbosity=0, autoclobber=True, serialize=False)
    ratios: list[Ratio] = []
    try:
        for name in wanted:
            print(f"{name.removeprefix('bench_')} ...", file=sys.stderr, flush=True)
            ratios += import_module(f"tests.benchmarks.{name}").rows()
    finally:
        connection.creation.destroy_test_db(before, verbosity=0)
    print(table(ratios))


if __name__ == "__main__":
    main(sys.argv[1:])
