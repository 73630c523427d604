"""A backup is worth what its restore is: the whole state comes back, accounts and history too."""

import filecmp
import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

import pytest
from django.conf import settings

from config.embedded import server

NAMES = ("first", "second", "third")
COUNTS = """SELECT (SELECT count(*) FROM auth_user), (SELECT count(*) FROM catalog_apitoken),
    (SELECT count(*) FROM catalog_change), (SELECT edition FROM catalog_catalogue)"""


@pytest.fixture
def folder():
    """A folder for installations, whose servers run until the end: starting one for each command takes its time."""
    folder = Path(tempfile.mkdtemp(prefix="jb-"))
    for name in NAMES:
        server.hold(folder / name)
    yield folder
    for name in NAMES:
        server.let_go(folder / name, wait=True)
    shutil.rmtree(folder)


def manage(data_dir, *arguments):
    environment = {
        key: value for key, value in os.environ.items() if key not in ("DATABASE_URL", "DJANGO_SETTINGS_MODULE")
    } | {"DATA_DIR": str(data_dir)}
    done = subprocess.run(
        [sys.executable, "manage.py", *arguments],
        cwd=settings.ROOT, env=environment, capture_output=True, text=True, timeout=120,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def same_folders(one, other):
    names = sorted(path.name for path in one.iterdir())
    assert names
    assert names == sorted(path.name for path in other.iterdir())
    return filecmp.cmpfiles(one, other, names, shallow=False)[0] == names


def test_a_restored_backup_is_the_same_installation(folder):
    first, second, third = (folder / name for name in NAMES)
    manage(first, "migrate", "--verbosity", "0")
    manage(first, "load_catalogue", str(settings.ROOT / "fixtures" / "demo"))
    manage(first, "create_token", "anna", "--role", "editor")
    manage(first, "dump_catalogue", str(folder / "dumped"))

    manage(first, "postgres", "pg_dump", "--format=custom", "--no-owner", f"--file={folder / 'backup'}")
    manage(
        second, "postgres", "pg_restore", "--no-owner", "--exit-on-error", "--dbname=jointbook", str(folder / "backup")
    )
    manage(second, "dump_catalogue", str(folder / "restored"))
    assert same_folders(folder / "dumped", folder / "restored")
    assert manage(second, "postgres", "psql", "-At", "-c", COUNTS) == manage(
        first, "postgres", "psql", "-At", "-c", COUNTS
    )
    assert "No planned migration operations" in manage(second, "migrate", "--plan")

    manage(third, "migrate", "--verbosity", "0")
    manage(third, "load_catalogue", str(folder / "dumped"))
    manage(third, "dump_catalogue", str(folder / "again"))
    assert same_folders(folder / "dumped", folder / "again")
