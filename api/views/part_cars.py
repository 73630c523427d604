"""`parts/{part}/cars/`."""

from collections.abc import Iterator, Mapping
from typing import Any

from rest_framework.request import Request

from api.endpoint import ReadEndpoint
from api.pagination import PageRequest, page_answer, page_of_rows, read_page
from api.parameters import PAGING, Errors, checked, control_sign
from api.problems import NotFound
from api.schema import Answered
from catalog.selectors.visible import visible_parts
from fitment.answers.fit import PartCar
from fitment.services.fit.part_cars import part_cars, variants_of_part

KEY_KINDS = (str, str, str, str)
AT_A_TIME = 50


def _key(row: PartCar) -> tuple[str, ...]:
    return row.variant, row.end, row.location, row.built_from.isoformat()


def _rows(part: str, asked: PageRequest) -> Iterator[PartCar]:
    """The intervals from the cursor's variant on, computed for a few variants at a time as they are read."""
    variants = sorted(variants_of_part(part=part), reverse=asked.backwards)
    if asked.cursor is not None:
        edge = str(asked.cursor.key[0])
        variants = [code for code in variants if (code <= edge if asked.backwards else code >= edge)]
    for start in range(0, len(variants), AT_A_TIME):
        rows = part_cars(part=part, variants=variants[start : start + AT_A_TIME])
        yield from sorted(rows, key=_key, reverse=asked.backwards)


class PartCars(ReadEndpoint):
    """The cars of a part: intervals of equal verdict and revision, by variant and location."""

    parameters = PAGING
    answers = {"GET": Answered(PartCar, paged=True)}

    def read(self, request: Request, **keys: str) -> tuple[str, PageRequest]:
        errors = Errors()
        page = read_page(checked(request.GET, self.parameters, errors), KEY_KINDS, errors)
        part = keys["part"]
        if control_sign(part) or not visible_parts(self.role).filter(code=part).exists():
            raise NotFound("part", "" if control_sign(part) else part)
        return part, page

    def compute(self, asked: tuple[str, PageRequest]) -> Mapping[str, Any]:
        part, wanted = asked
        return page_answer(page_of_rows(_rows(part, wanted), _key, wanted), self.request, self.role)
