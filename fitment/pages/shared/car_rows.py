"""Cars in few rows: those of one platform with the same joint, window and verdict stand together."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date

from catalog.codes import End
from catalog.selectors.cars import VariantRow, variants_by_code
from fitment.answers.fit import PartCar
from fitment.answers.lookup import CarRow, VariantWindow
from fitment.pages.shared.addresses import address
from fitment.readers.vocabulary import names
from fitment.text.dates import window_words
from fitment.text.fit import verdict_words
from fitment.text.lookup import condition_words, side_words


@dataclass(frozen=True, slots=True)
class CarLink:
    code: str
    href: str
    words: str


@dataclass(frozen=True, slots=True)
class CarsRow:
    """Cars of one platform. Of a part: `verdict` and `revision`; of a number: `component` and what limits it.

    `href` asks for the platform with the joint of the number stated; `conditions` in words.
    """

    maker: str
    chassis: str
    place: str
    end: str
    built: str
    cars: tuple[CarLink, ...]
    verdict: str = ""
    word: str = ""
    revision: str = ""
    href: str = ""
    component: str = ""
    side: str = ""
    conditions: str = ""
    alternative: bool = False


def rows_of_part(cars: Iterable[PartCar]) -> list[CarsRow]:
    """The cars of a part by platform, joint, window and verdict, the best news first (two queries)."""
    told = list(cars)
    variants = _variants(car.variant for car in told)
    groups: dict[tuple[object, ...], list[PartCar]] = {}
    for car in told:
        of = variants[car.variant]
        groups.setdefault((of.maker, of.chassis, replace(car, variant="")), []).append(car)
    rows = [(members[0].verdict.rank, _row_of_part(members, variants)) for members in groups.values()]
    rows.sort(key=lambda row: (row[0], row[1].maker, row[1].chassis, row[1].end, row[1].place))
    return [row for _, row in rows]


def rows_of_number(rows: Iterable[CarRow]) -> list[CarsRow]:
    """The cars of a number by platform, joint and window, the sides of one joint together (two queries)."""
    told = list(rows)
    variants = _variants(car.variant for row in told for car in row.variants)
    groups: dict[tuple[str, str, CarRow], tuple[list[str], list[VariantWindow]]] = {}
    for row in told:
        for car in row.variants:
            of = variants[car.variant]
            key = (of.maker, of.chassis, replace(row, side=None, variants=()))
            sides, cars = groups.setdefault(key, ([], []))
            if row.side and row.side not in sides:
                sides.append(row.side)
            if car not in cars:
                cars.append(car)
    ordered = sorted(groups.items(), key=lambda group: _order(*group[0]))
    return [_row_of_number(row, sides, cars, variants) for (_, _, row), (sides, cars) in ordered]


def component_query(component: str, end: str, location: str) -> dict[str, list[str]]:
    """The parameter that states an original joint."""
    return {f"component.{end}.{location}": [component]}


def _variants(codes: Iterable[str]) -> dict[str, VariantRow]:
    return {row.code: row for row in variants_by_code(codes=set(codes))}


def _order(maker: str, chassis: str, row: CarRow) -> tuple[object, ...]:
    return maker, chassis, row.component, row.end, row.location, row.built_from or date.min, row.conditions


def _row_of_part(cars: list[PartCar], variants: dict[str, VariantRow]) -> CarsRow:
    first = cars[0]
    of = variants[first.variant]
    return CarsRow(
        maker=of.maker_title,
        chassis=of.chassis,
        place=names().location(first.end, first.location),
        end=End.word_of(first.end),
        built=window_words(first.built_from, first.built_to),
        cars=tuple(
            CarLink(code, address("/car/", {"variant": [code]}), variants[code].in_full)
            for code in sorted({car.variant for car in cars})
        ),
        verdict=first.verdict.value,
        word=verdict_words(first.verdict),
        revision=first.revision or "",
    )


def _row_of_number(
    row: CarRow, sides: list[str], cars: list[VariantWindow], variants: dict[str, VariantRow]
) -> CarsRow:
    of = variants[cars[0].variant]
    stated = component_query(row.component, row.end, row.location)
    first = min(car.built_from or date.min for car in cars)
    last = max(car.built_to or date.max for car in cars)
    return CarsRow(
        maker=of.maker_title,
        chassis=of.chassis,
        place=names().location(row.end, row.location),
        end=End.word_of(row.end),
        built=window_words(None if first == date.min else first, None if last == date.max else last),
        cars=tuple(
            CarLink(
                car.variant,
                address("/car/", {"variant": [car.variant], **stated}),
                f"{variants[car.variant]}, {window_words(car.built_from, car.built_to)}",
            )
            for car in sorted(cars, key=lambda car: car.variant)
        ),
        href=address("/car/", {"maker": [of.maker], "chassis": [of.chassis], **stated}),
        component=row.component,
        side=" and ".join(map(side_words, sorted(sides))),
        conditions=condition_words(row.conditions, names()),
        alternative=row.alternative,
    )
