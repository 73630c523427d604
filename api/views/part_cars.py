"""`parts/{part}/cars/`."""

from collections.abc import Iterator, Mapping
from typing import Any

from rest_framework.request import Request

from api.codec import encode
from api.endpoint import ReadEndpoint
from api.pagination import DEFAULT_SIZE, Cursor, links, page_of_rows, read_cursor
from api.parameters import CURSOR, PAGING, Errors, checked, control_sign, one, whole
from api.problems import NotFound
from api.schema import Answered
from catalog.selectors.visible import visible_parts
from fitment.answers.fit import PartCar
from fitment.services.fit.part_cars import part_cars, variants_of_part

KEY_KINDS = (str, str, str, str)
AT_A_TIME = 50


def _key(row: PartCar) -> tuple[str, ...]:
    return row.variant, row.end, row.location, row.built_from.isoformat()


def _rows(part: str, cursor: Cursor | None) -> Iterator[PartCar]:
    """The intervals from the cursor's variant on, computed for a few variants at a time as they are read."""
    backwards = cursor is not None and cursor.backwards
    variants = sorted(variants_of_part(part=part), reverse=backwards)
    if cursor is not None:
        edge = str(cursor.key[0])
        variants = [code for code in variants if (code <= edge if backwards else code >= edge)]
    for start in range(0, len(variants), AT_A_TIME):
        rows = part_cars(part=part, variants=variants[start : start + AT_A_TIME])
        yield from sorted(rows, key=_key, reverse=backwards)


class PartCars(ReadEndpoint):
    """The cars of a part: intervals of equal verdict and revision, by variant and location."""

    parameters = PAGING
    answers = {"GET": Answered(PartCar, paged=True)}

    def read(self, request: Request, **keys: str) -> tuple[str, int, Cursor | None]:
        errors = Errors()
        values = checked(request.GET, self.parameters, errors)
        text = one(values, CURSOR.name)
        cursor = None if text is None else read_cursor(text, KEY_KINDS, errors)
        errors.stop()
        part = keys["part"]
        if control_sign(part) or not visible_parts(self.role).filter(code=part).exists():
            raise NotFound("part", "" if control_sign(part) else part)
        return part, whole(values, "page_size", DEFAULT_SIZE), cursor

    def compute(self, asked: tuple[str, int, Cursor | None]) -> Mapping[str, Any]:
        part, size, cursor = asked
        page = page_of_rows(_rows(part, cursor), _key, size, cursor)
        return {"results": [encode(row, self.role) for row in page.rows], **links(page, self.request)}
