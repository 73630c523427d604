"""The demo catalogue many times over: makers, cars, axles, joints and parts anew, reference tables shared."""

import csv
import re
from collections.abc import Iterator
from pathlib import Path

from fitment.sheets import SHEETS

DEMO = Path(__file__).resolve().parents[2] / "fixtures" / "demo"
ONE_OF_ITS_KIND = {
    "catalogue",
    "topologies",
    "locations",
    "options",
    "equipment",
    "hazards",
    "materials",
    "technologies",
}
# Columns that name things which every copy has of its own.
OWN = {
    "maker", "variant", "axle", "component", "part", "front_axle", "rear_axle", "variants", "other", "issuer", "ref",
    "parts",
}  # fmt: skip
_NAMED = re.compile(r"\b(maker|variant|axle)( !?= )([^;]+)")
Rows = list[list[str]]


def read_demo() -> dict[str, Rows]:
    """Heads and rows of every sheet of the demo."""
    found = {}
    for sheet in SHEETS:
        with (DEMO / f"{sheet.name}.csv").open(encoding="utf-8", newline="") as file:
            found[sheet.name] = list(csv.reader(file))
    return found


def multiplied(times: int, demo: dict[str, Rows] | None = None) -> dict[str, Rows]:
    """The demo `times` over; the first copy is the demo itself."""
    demo = demo or read_demo()
    made = {}
    for name, (heads, *rows) in demo.items():
        own = [at for at, head in enumerate(heads) if head in OWN]
        conditions = heads.index("conditions") if "conditions" in heads else None
        copies = 1 if name in ONE_OF_ITS_KIND else times
        made[name] = [heads, *(row for copy in range(copies) for row in _copy(rows, own, conditions, copy, name))]
    return made


def _copy(rows: Rows, own: list[int], conditions: int | None, copy: int, name: str) -> Iterator[list[str]]:
    if copy == 0:
        yield from rows
        return
    end = f"~{copy}"
    for row in rows:
        new = list(row)
        for at in own:
            new[at] = " ".join(_renamed(word, end) for word in row[at].split(" ")) if row[at] else ""
        if conditions is not None and row[conditions]:
            new[conditions] = _NAMED.sub(lambda found: found[1] + found[2] + _values(found[3], end), row[conditions])
        if name == "vin_patterns":
            new[0] = _wmi(copy)
        if name == "makers":
            new[2] = _wmi(copy) if row is rows[0] else ""
        yield new


def _renamed(word: str, end: str) -> str:
    part, colon, place = word.partition(":")
    return f"{part}{end}{colon}{place}"


def _values(text: str, end: str) -> str:
    return " | ".join(value.strip() + end for value in text.split("|"))


def _wmi(copy: int) -> str:
    signs = "0123456789ABCDEFGHJKLMNPRSTUVWXYZ"
    return "Z" + signs[copy // len(signs) % len(signs)] + signs[copy % len(signs)]


def write(folder: Path, sheets: dict[str, Rows]) -> Path:
    folder.mkdir(parents=True, exist_ok=True)
    for name, rows in sheets.items():
        with (folder / f"{name}.csv").open("w", encoding="utf-8", newline="") as file:
            csv.writer(file, lineterminator="\n").writerows(rows)
    return folder
