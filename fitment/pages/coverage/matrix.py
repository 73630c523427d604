"""The matrix: platforms down, joints across, an end of the car a table; a cell opens into axles and components."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby

from django.urls import reverse

from catalog.codes import CoverageState
from catalog.models import Location
from fitment.coverage.cells import CoverageCell
from fitment.coverage.summaries import PlatformCoverage
from fitment.pages.shared.addresses import Query, address
from fitment.readers.names import names
from fitment.templatetags.figures import thousands
from fitment.text.coverage import LABELS
from fitment.text.fit import basis_label

SHADES = (1, 10_000, 50_000, 150_000, 400_000)  # cars from which a cell is a shade darker
BY_SHOWN = 3


@dataclass(frozen=True, slots=True)
class Mark:
    """A cell of the matrix."""

    state: CoverageState
    word: str
    cars: str
    shade: int
    href: str
    id: str
    label: str
    open: bool


@dataclass(frozen=True, slots=True)
class Line:
    """One axle and component behind a cell."""

    axle: str
    component: str
    title: str
    href: str
    state: CoverageState
    word: str
    cars: str
    uncovered: str
    basis: str
    by: tuple[tuple[str, str], ...]
    more: int
    conflict: bool


@dataclass(frozen=True, slots=True)
class Opened:
    title: str
    close: str
    lines: tuple[Line, ...]
    spread: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Row:
    maker: str
    chassis: str
    marks: tuple[Mark | None, ...]
    opened: Opened | None


@dataclass(frozen=True, slots=True)
class Half:
    """One end of the car: links with their number of joints, joints, platforms."""

    end: str
    links: tuple[tuple[str, int], ...]
    joints: tuple[str, ...]
    rows: tuple[Row, ...]

    @property
    def columns(self) -> int:
        return len(self.joints) + 1


def halves(
    platforms: Sequence[PlatformCoverage], cells: Iterable[CoverageCell], query: Query, opened: str, path: str
) -> list[Half]:
    """Both tables (one query for the links of the joints); `opened` is the open cell, as `place_of` names it."""
    links = {
        (end, code): link
        for end, code, link in Location.objects.filter(in_range=True).order_by("topology__code", "pk").values_list(
            "topology__end", "code", "link"
        )
    }  # fmt: skip
    by_key = {(cell.key.axle, cell.key.location, cell.key.component): cell for cell in cells}
    found = []
    for end in ("front", "rear"):
        rows = [row for row in platforms if row.end == end]
        if not rows:
            continue
        columns = sorted({row.location for row in rows}, key=lambda code: (links.get((end, code), code), code))
        grouped = groupby(columns, key=lambda code: links.get((end, code), code))
        found.append(
            Half(
                end,
                tuple((link.replace("_", " "), len(list(group))) for link, group in grouped),
                tuple(code.rpartition(".")[2].replace("_", " ") for code in columns),
                tuple(_rows(rows, columns, by_key, query, opened, path)),
            )
        )
    return found


def place_of(row: PlatformCoverage) -> str:
    """How an address names a cell of the matrix."""
    return f"{row.maker}/{row.chassis}/{row.end}/{row.location}"


def shade(cars: Fraction) -> int:
    """How dark a cell is: 0 without uncovered cars, then a step at each figure of SHADES."""
    return sum(cars >= least for least in SHADES) if cars else 0


def short(cars: Fraction) -> str:
    """Cars in at most four signs.

    >>> [short(Fraction(cars)) for cars in (0, 49, 9500, 602210, 1204000)]
    ['0', '49', '9.5k', '602k', '1.2M']
    """
    for least, unit in ((1_000_000, "M"), (1_000, "k")):
        if cars >= least * Fraction(9995, 10000):
            figure = float(cars / least)
            return f"{figure:.1f}{unit}" if figure < 9.95 else f"{figure:.0f}{unit}"
    return f"{float(cars):.0f}" if cars == 0 or cars >= 1 else "<1"


def whole(cars: Fraction) -> str:
    """Cars in full, thousands apart."""
    return thousands(float(cars))


def cell_address(axle: str, location: str, component: str) -> str:
    return address(reverse("coverage-cell", args=[axle, location]), {"component": [component]})


def _rows(
    rows: Sequence[PlatformCoverage],
    columns: Sequence[str],
    cells: Mapping[tuple[str, str, str], CoverageCell],
    query: Query,
    opened: str,
    path: str,
) -> Iterable[Row]:
    for (maker, chassis), several in groupby(rows, key=lambda row: (row.maker, row.chassis)):
        at = {row.location: row for row in several}
        marks = tuple(_mark(at[code], query, opened, path) if code in at else None for code in columns)
        open_row = next((row for row in at.values() if place_of(row) == opened), None)
        title = names().makers.get(maker, maker)
        yield Row(title, chassis, marks, None if open_row is None else _opened(open_row, cells, query, path))


def _mark(row: PlatformCoverage, query: Query, opened: str, path: str) -> Mark:
    place = place_of(row)
    is_open = place == opened
    anchor = f"c-{place.replace('/', '-').replace('.', '-')}"
    href = (
        address(path, query, dropping=["open"], at="matrix")
        if is_open
        else address(path, query, adding={"open": place}, at="opened")
    )
    word = LABELS[row.state]
    label = f"{row.chassis}, {names().location(row.end, row.location)}: {word}, {whole(row.uncovered)} cars uncovered"
    return Mark(
        row.state, word, short(row.uncovered) if row.uncovered else "", shade(row.uncovered), href, anchor, label,
        is_open,
    )  # fmt: skip


def _opened(
    row: PlatformCoverage, cells: Mapping[tuple[str, str, str], CoverageCell], query: Query, path: str
) -> Opened:
    there = [cells[axle, row.location, component] for axle, component in row.cells
             if (axle, row.location, component) in cells]  # fmt: skip
    lines = []
    for cell in there:
        share = cell.count.platforms[row.maker, row.chassis]
        key = cell.key
        lines.append(
            Line(
                key.axle, key.component, names().components.get(key.component, ""),
                cell_address(key.axle, key.location, key.component), cell.state, LABELS[cell.state],
                whole(share.cars), whole(share.uncovered), basis_label(cell.basis) if cell.basis else "",
                cell.by[:BY_SHOWN], max(0, len(cell.by) - BY_SHOWN), cell.conflict,
            )
        )  # fmt: skip
    return Opened(
        f"{row.chassis}, {names().location(row.end, row.location)}",
        address(path, query, dropping=["open"], at="matrix"),
        tuple(lines),
        tuple((LABELS[state], whole(cars)) for state, cars in row.states.items()),
    )
