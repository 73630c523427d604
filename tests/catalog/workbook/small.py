"""A small whole catalogue, every sheet with a row or more, to be spoilt by tests. Everything in it is invented."""

import csv
from copy import deepcopy
from pathlib import Path

Table = list[dict[str, str]]


def read(folder: Path) -> dict[str, Table]:
    """What a folder of CSV files holds."""
    found = {}
    for path in sorted(folder.glob("*.csv")):
        with path.open(encoding="utf-8", newline="") as file:
            found[path.stem] = list(csv.DictReader(file))
    return found


SHEETS = read(Path(__file__).parent / "small_catalogue")


def small() -> dict[str, Table]:
    """A copy to change."""
    return deepcopy(SHEETS)


def write(folder: Path, sheets: dict[str, Table]) -> Path:
    """Writes sheets as CSV files; the heads are the columns of the first row (of the small catalogue, when empty)."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, rows in sheets.items():
        heads = list(dict.fromkeys(column for row in rows for column in row)) or list(SHEETS[name][0])
        with (folder / f"{name}.csv").open("w", encoding="utf-8", newline="") as file:
            writer = csv.DictWriter(file, heads, restval="", lineterminator="\n")
            writer.writeheader()
            writer.writerows(rows)
    return folder
