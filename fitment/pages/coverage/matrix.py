"""The matrix: platforms down, joints across, an end of the car a table; a cell opens into axles and components."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby

from catalog.codes import CoverageState, End
from fitment.coverage.cells import CoverageCell
from fitment.coverage.counting import CarShare, CellKey
from fitment.coverage.summaries import PlatformCoverage
from fitment.pages.coverage.lists import CellView, FilteredCoverage, cell_view
from fitment.pages.shared.addresses import Query, address
from fitment.readers.vocabulary import names
from fitment.services.coverage.cells import links_of_joints
from fitment.templatetags.figures import thousands
from fitment.text.coverage import matrix_label

SHADES = (1, 10_000, 50_000, 150_000, 400_000)  # cars from which a cell is a shade darker


@dataclass(frozen=True, slots=True)
class MatrixCell:
    """A platform at a location; `shade` by its uncovered cars."""

    state: CoverageState
    cars: str
    shade: int
    href: str
    id: str
    label: str
    open: bool


@dataclass(frozen=True, slots=True)
class OpenedCell:
    """What stands behind a cell of the matrix: axles and components with the platform's share, cars by state."""

    title: str
    close: str
    cells: tuple[tuple[CellView, CarShare], ...]
    states: tuple[tuple[CoverageState, Fraction], ...]


@dataclass(frozen=True, slots=True)
class MatrixRow:
    maker: str
    chassis: str
    cells: tuple[MatrixCell | None, ...]
    opened: OpenedCell | None


@dataclass(frozen=True, slots=True)
class MatrixEnd:
    """One end of the car: links with their number of joints, joints, platforms."""

    end: str
    links: tuple[tuple[str, int], ...]
    joints: tuple[str, ...]
    rows: tuple[MatrixRow, ...]

    @property
    def columns(self) -> int:
        return len(self.joints) + 1


def matrix_ends(shown: FilteredCoverage, query: Query, opened: str, path: str) -> list[MatrixEnd]:
    """Both tables; `opened` is the open cell, as `_place` names it."""
    links = links_of_joints()
    by_key = {cell.key: cell for cell in shown.cells}
    found = []
    for end in End:
        rows = [row for row in shown.platforms if row.end == end]
        if not rows:
            continue
        columns = sorted({row.location for row in rows}, key=lambda code: (links.get((end, code), code), code))
        grouped = groupby(columns, key=lambda code: links.get((end, code), code))
        found.append(
            MatrixEnd(
                end,
                tuple((link.replace("_", " "), len(list(group))) for link, group in grouped),
                tuple(code.rpartition(".")[2].replace("_", " ") for code in columns),
                tuple(_rows(rows, columns, by_key, query, opened, path)),
            )
        )
    return found


def shade(cars: Fraction) -> int:
    """How dark a cell is: 0 without uncovered cars, then a step at each figure of SHADES."""
    return sum(cars >= minimum for minimum in SHADES) if cars else 0


def short(cars: Fraction) -> str:
    """Cars in at most four signs.

    >>> [short(Fraction(cars)) for cars in (0, 49, 9500, 602210, 1204000)]
    ['0', '49', '9.5k', '602k', '1.2M']
    """
    for minimum, unit in ((1_000_000, "M"), (1_000, "k")):
        if cars >= minimum * Fraction(9995, 10000):
            figure = float(cars / minimum)
            return f"{figure:.1f}{unit}" if figure < 9.95 else f"{figure:.0f}{unit}"
    return f"{float(cars):.0f}" if cars == 0 or cars >= 1 else "<1"


def _rows(
    rows: Sequence[PlatformCoverage],
    columns: Sequence[str],
    cells: dict[CellKey, CoverageCell],
    query: Query,
    opened: str,
    path: str,
) -> Iterator[MatrixRow]:
    close = address(path, query, dropping=["open"], at="matrix")
    makers = names().makers
    for (maker, chassis), several in groupby(rows, key=lambda row: (row.maker, row.chassis)):
        at = {row.location: row for row in several}
        marks = []
        for row in (at.get(code) for code in columns):
            place = _place(row) if row else ""
            href = close if place == opened else address(path, query, adding={"open": place}, at="opened")
            marks.append(_cell(row, href, place == opened) if row else None)
        open_row = next((row for row in at.values() if _place(row) == opened), None)
        behind = None if open_row is None else _opened(open_row, cells, close)
        yield MatrixRow(makers.get(maker, maker), chassis, tuple(marks), behind)


def _place(row: PlatformCoverage) -> str:
    """How an address names a cell of the matrix."""
    return f"{row.maker}/{row.chassis}/{row.end}/{row.location}"


def _cell(row: PlatformCoverage, href: str, is_open: bool) -> MatrixCell:
    return MatrixCell(
        row.state,
        short(row.uncovered) if row.uncovered else "",
        shade(row.uncovered),
        href,
        f"c-{_place(row).replace('/', '-').replace('.', '-')}",
        matrix_label(row.chassis, names().location(row.end, row.location), row.state, thousands(row.uncovered)),
        is_open,
    )


def _opened(row: PlatformCoverage, cells: dict[CellKey, CoverageCell], close: str) -> OpenedCell:
    platform = (row.maker, row.chassis)
    keys = (CellKey(axle, row.location, component) for axle, component in row.cells)
    behind = (cells[key] for key in keys if key in cells)
    return OpenedCell(
        f"{row.chassis}, {names().location(row.end, row.location)}",
        close,
        tuple((cell_view(cell), cell.count.platforms[platform]) for cell in behind),
        tuple(row.states.items()),
    )
