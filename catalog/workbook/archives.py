"""Zip files from strangers: counted while they inflate, names looked at before anything is read."""

import io
import lzma
import zipfile
import zlib

from catalog.workbook.cells import MOST_BYTES, MOST_INFLATED, MOST_MEMBERS
from catalog.workbook.faults import Faults

_CHUNK = 1 << 16
_ENCRYPTED = 0x1
_DAMAGE = (zipfile.BadZipFile, zlib.error, lzma.LZMAError, EOFError, NotImplementedError, OSError, RuntimeError)


def megabytes(count: int) -> str:
    return f"{count // 1_000_000} MB"


def members_of(data: bytes, *, name: str, faults: Faults) -> dict[str, bytes]:
    """The files in a zip, inflated.

    Raises Refused when the archive is too big, damaged, encrypted, or holds names that lead elsewhere. What is
    counted is what really inflates, not what the archive claims.
    """
    if len(data) > MOST_BYTES:
        faults.add("", None, None, f"'{name}' has {len(data):,} bytes", f"at most {megabytes(MOST_BYTES)} are taken")
        faults.refuse()
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            infos = [info for info in archive.infolist() if not info.filename.endswith("/")]
            _look_at_names(archive.infolist(), name, faults)
            faults.refuse()
            return _inflate(archive, infos, name, faults)
    except _DAMAGE as error:
        faults.add("", None, None, f"'{name}' is damaged or cut short ({error})", "save it again and send it whole")
        faults.refuse()
        raise


def _look_at_names(infos: list[zipfile.ZipInfo], name: str, faults: Faults) -> None:
    if len(infos) > MOST_MEMBERS:
        faults.add("", None, None, f"'{name}' holds {len(infos)} files", f"at most {MOST_MEMBERS} are taken")
    seen: set[str] = set()
    for info in infos:
        # zipfile cuts a name at a NUL and mends separators; what counts is the name as written.
        written = info.orig_filename
        parts = written.replace("\\", "/").split("/")
        if written.startswith(("/", "\\")) or ".." in parts or "\\" in written or ":" in written or "\0" in written:
            faults.add(
                "",
                None,
                None,
                f"the file '{written}' in '{name}' has a path that leads elsewhere",
                "put the files into the archive by their names alone",
            )
        if written.casefold() in seen:
            faults.add("", None, None, f"the file '{written}' is in '{name}' twice", "keep one of them")
        seen.add(written.casefold())
        if info.flag_bits & _ENCRYPTED:
            faults.add("", None, None, f"'{written}' in '{name}' is encrypted", "save it without a password")


def _inflate(archive: zipfile.ZipFile, infos: list[zipfile.ZipInfo], name: str, faults: Faults) -> dict[str, bytes]:
    inflated, total = {}, 0
    for info in infos:
        chunks = []
        with archive.open(info) as member:
            while chunk := member.read(_CHUNK):
                total += len(chunk)
                if total > MOST_INFLATED:
                    faults.add(
                        "",
                        None,
                        None,
                        f"'{name}' inflates to more than {megabytes(MOST_INFLATED)}",
                        "send less at once",
                    )
                    faults.refuse()
                chunks.append(chunk)
        inflated[info.filename] = b"".join(chunks)
    return inflated
