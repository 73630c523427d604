"""The review names tests that exist."""

import re
from pathlib import Path

from django.conf import settings

TABLE = Path(__file__).with_name("README.md").read_text()


def test_every_test_that_the_review_names_exists():
    named = re.findall(r"`(tests/[\w/]+\.py)(?:::(\w+))?`", TABLE)
    assert len(named) > 40
    for path, name in named:
        file = settings.ROOT / path
        assert file.exists(), path
        if name:
            assert re.search(rf"^def {name}\(", file.read_text(), re.M), f"{path}::{name}"


def test_every_line_says_by_what_it_is_shown():
    rows = [row for row in TABLE.splitlines() if re.match(r"\| \d+\.\d", row)]
    assert len(rows) > 40
    for row in rows:
        shown = row.rstrip("| ").rsplit("|", 1)[1].strip()
        assert shown in ("does not apply", "the same", "the locks") or "`tests/" in shown, row
