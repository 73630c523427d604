"""`coverage/`: cells and each of them, platforms, the order of work, the smallest set of new sizes."""

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, ClassVar

from rest_framework.request import Request

from api.codec import encode
from api.endpoint import ReadEndpoint
from api.pagination import Page, PageRequest, links, page_answer, page_of_rows, read_page
from api.parameters import PAGING, Errors, Parameter, checked, control_sign, one
from api.problems import NotFound
from api.schema import Answered
from catalog.codes import CoverageState, End, Role
from catalog.models import Axle
from catalog.nearest import unknown
from fitment.coverage.cells import CoverageCell
from fitment.coverage.counting import CellKey
from fitment.coverage.summaries import PlatformCoverage, WorkRow
from fitment.coverage.uncovered_groups import UncoveredGroup
from fitment.engineering.constants import CARS_PER_ENQUIRY, EFFORT_DAYS
from fitment.engineering.families import Family
from fitment.readers.vocabulary import vocabulary
from fitment.services.coverage.cells import coverage, groups_of_cell, order_of_work, size_families
from fitment.services.coverage.engineering import joint_loads

Values = Mapping[str, Sequence[str]]
Read = Mapping[str, Callable[[Any], Collection[str]]]


def _check_known(
    values: Mapping[str, Sequence[str]], known: Mapping[str, Callable[[], Collection[str]]], errors: Errors
) -> None:
    """Adds an error for every value that is not known; `known` gives the values of a parameter when asked."""
    for name, given in values.items():
        if name in known:
            codes = known[name]()
            for value in given:
                if value not in codes:
                    errors.add(name, unknown(name, value, codes))


def _keeps(
    values: Mapping[str, Sequence[str]], read: Mapping[str, Callable[[Any], Collection[str]]]
) -> Callable[[Any], bool]:
    """Whether a row has, for every parameter given, one of the values given; `read` finds those of a row."""
    wanted = [(frozenset(values[name]), of) for name, of in read.items() if name in values]
    return lambda row: all(not given.isdisjoint(of(row)) for given, of in wanted)


def _repeatable(*names: str) -> tuple[Parameter, ...]:
    """Parameters that keep the rows with one of the values given."""
    return tuple(Parameter(name, f"Rows of this {name}.", repeatable=True) for name in names)


KNOWN: Mapping[str, Callable[[], Collection[str]]] = {
    "axle": lambda: set(Axle.objects.values_list("code", flat=True)),
    "end": lambda: End.values,
    "location": lambda: vocabulary().locations(),
    "component": lambda: vocabulary().components,
    "state": lambda: list(CoverageState),
    "maker": lambda: vocabulary().values["maker"],
    "chassis": lambda: vocabulary().values["chassis"],
    "part": lambda: vocabulary().parts,
}
OF_A_CELL: Read = {
    "axle": lambda cell: (cell.key.axle,),
    "end": lambda cell: (cell.end,),
    "location": lambda cell: (cell.key.location,),
    "component": lambda cell: (cell.key.component,),
    "state": lambda cell: (cell.state,),
    "maker": lambda cell: [maker for maker, _ in cell.count.platforms],
    "chassis": lambda cell: [chassis for _, chassis in cell.count.platforms],
    "part": lambda cell: [part for part, _ in cell.by],
}
OF_A_PLATFORM: Read = {
    "maker": lambda row: (row.maker,),
    "chassis": lambda row: (row.chassis,),
    "end": lambda row: (row.end,),
    "location": lambda row: (row.location,),
    "state": lambda row: (row.state,),
    "axle": lambda row: [axle for axle, _ in row.cells],
    "component": lambda row: [component for _, component in row.cells],
}


@dataclass(frozen=True)
class SizeFamilies:
    """The smallest sets of new sizes, a family a blank."""

    bodies_at_most: int | None
    families: tuple[Family, ...]


@dataclass(frozen=True)
class NarrowedPage:
    """A page of rows of which some are kept."""

    keeps: Callable[[Any], bool]
    asked: PageRequest

    def page(self, kept: Sequence[Any], key: Callable[[Any], tuple[Any, ...]]) -> Page:
        """The page of rows that stand in the order of their keys."""
        return page_of_rows(reversed(kept) if self.asked.backwards else kept, key, self.asked)


class CoverageList(ReadEndpoint):
    """What the lists of coverage share: for development, paged, changed by enquiries too."""

    minimum_roles = {"GET": Role.DEVELOPMENT}
    counted = True
    filters: ClassVar[Read]
    key_kinds: ClassVar[Sequence[type]]

    def __init_subclass__(cls, **options: Any) -> None:
        super().__init_subclass__(**options)
        cls.parameters = (*_repeatable(*cls.filters), *PAGING)

    def read(self, request: Request, **keys: str) -> NarrowedPage:
        errors = Errors()
        values = checked(request.GET, self.parameters, errors)
        _check_known(values, KNOWN, errors)
        page = read_page(values, self.key_kinds, errors)
        return NarrowedPage(_keeps(values, self.filters), page)


class Cells(CoverageList):
    """Cars and covered cars by axle, location in our range and component, and how near the others are to a part."""

    filters = OF_A_CELL
    key_kinds = (str, str, str)
    answers = {"GET": Answered(CoverageCell, paged=True)}

    def compute(self, asked: NarrowedPage) -> Mapping[str, Any]:
        page = asked.page(list(filter(asked.keeps, coverage().cells)), _cell_key)
        return page_answer(page, self.request, self.role)


class CellDetail(ReadEndpoint):
    """One cell, with its uncovered cars by what tells them apart.

    Each group has the conditions that exactly its cars of the cell meet (none: every car), what stands against
    revisions on them (`rejected`, `failed`), and what speaks for some (`proposed`; `tried`: passed there on a car of
    the same drivetrain and steering side).
    """

    minimum_roles = {"GET": Role.DEVELOPMENT}
    counted = True
    answers = {"GET": Answered(CoverageCell, more={"waiting": tuple[UncoveredGroup, ...]})}

    def read(self, request: Request, **keys: str) -> CoverageCell:
        checked(request.GET, self.parameters)
        wanted = CellKey(**keys)
        for cell in coverage().cells:
            if cell.key == wanted:
                return cell
        raise NotFound("cell", "" if any(map(control_sign, keys.values())) else " ".join(keys.values()))

    def compute(self, asked: CoverageCell) -> Mapping[str, Any]:
        return {
            **encode(asked, self.role),
            "waiting": [encode(group, self.role) for group in groups_of_cell(asked.key)],
        }


class Platforms(CoverageList):
    """The cells rolled up by platform and location: which platforms still need a design."""

    filters = OF_A_PLATFORM
    key_kinds = (str, str, str, str)
    answers = {"GET": Answered(PlatformCoverage, paged=True)}

    def compute(self, asked: NarrowedPage) -> Mapping[str, Any]:
        page = asked.page(list(filter(asked.keeps, coverage().platforms)), _platform_key)
        return page_answer(page, self.request, self.role)


class Work(CoverageList):
    """The uncovered cells, what pays most for a day's effort first, with the terms of the score."""

    filters = OF_A_CELL
    key_kinds = (int,)
    answers = {"GET": Answered(WorkRow, paged=True, more={"effort_days": dict[str, int], "per_enquiry": int})}

    def compute(self, asked: NarrowedPage) -> Mapping[str, Any]:
        # Scores are fractions and may be equal: a page begins at a rank.
        ranked = list(enumerate(order_of_work()))
        kept = [(rank, row) for rank, row in ranked if asked.keeps(row.cell)]
        page = asked.page(kept, lambda ranked: (ranked[0],))
        loads = joint_loads(tuple(_cell_key(row.cell) for _, row in page.rows))
        return {
            "effort_days": {state: int(days.value) for state, days in EFFORT_DAYS.items()},
            "per_enquiry": int(CARS_PER_ENQUIRY.value),
            "results": [encode(replace(row, load=loads.get(_cell_key(row.cell))), self.role) for _, row in page.rows],
            **links(page, self.request),
        }


class Sizes(ReadEndpoint):
    """The fewest new bodies and spacers that cover what waits, blank by blank."""

    minimum_roles = {"GET": Role.DEVELOPMENT}
    counted = True
    parameters = (
        Parameter("bodies_at_most", "Also the best sets of at most so many bodies.", kind="integer", minimum=1),
        Parameter("part", "Only this part's blank.", repeatable=True),
    )
    answers = {"GET": Answered(SizeFamilies)}

    def read(self, request: Request, **keys: str) -> tuple[list[str] | None, int | None]:
        errors = Errors()
        values = checked(request.GET, self.parameters, errors)
        _check_known(values, KNOWN, errors)
        errors.stop()
        at_most = one(values, "bodies_at_most")
        return values.get("part"), None if at_most is None else int(at_most)

    def compute(self, asked: tuple[list[str] | None, int | None]) -> Mapping[str, Any]:
        parts, at_most = asked
        families = size_families(parts=parts, bodies_at_most=at_most)
        return encode(SizeFamilies(at_most, tuple(families)), self.role)


def _cell_key(cell: CoverageCell) -> tuple[str, str, str]:
    return cell.key.axle, cell.key.location, cell.key.component


def _platform_key(row: PlatformCoverage) -> tuple[str, str, str, str]:
    return row.maker, row.chassis, row.end, row.location
