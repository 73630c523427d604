"""The cars of a number in few rows: cars of one platform with the same joint and window stand together."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from catalog.codes import End
from catalog.conditions import Clause, parse_conditions
from catalog.selectors.cars import VariantRow, variants_by_code
from fitment.answers.lookup import CarRow, VariantWindow
from fitment.pages.part.car_rows import CarLink
from fitment.pages.shared.addresses import address
from fitment.pages.start.steps import variant_words
from fitment.readers.names import names
from fitment.text.dates import window_words
from fitment.text.lookup import side_words


@dataclass(frozen=True, slots=True)
class NumberCarRow:
    """`href` asks for the platform with this joint stated; `conditions` in words."""

    maker: str
    chassis: str
    href: str
    component: str
    place: str
    end: str
    side: str
    built: str
    conditions: str
    alternative: bool
    cars: tuple[CarLink, ...]


def car_rows(told: Iterable[CarRow]) -> list[NumberCarRow]:
    """Rows by platform, component, place and window, the sides of one joint together (two queries)."""
    rows = list(told)
    variants = {row.code: row for row in variants_by_code(codes={car.variant for row in rows for car in row.variants})}
    groups: dict[tuple[str, str, CarRow], tuple[list[str | None], list[VariantWindow]]] = {}
    for row in rows:
        for car in row.variants:
            of = variants[car.variant]
            key = (of.maker, of.chassis, _without_side(row))
            sides, cars = groups.setdefault(key, ([], []))
            if row.side not in sides:
                sides.append(row.side)
            if car not in cars:
                cars.append(car)
    return [
        _row(row, sides, cars, variants)
        for (_, _, row), (sides, cars) in sorted(groups.items(), key=lambda item: _order(item[0]))
    ]


def component_query(component: str, end: str, location: str) -> dict[str, list[str]]:
    """The parameter that states an original joint."""
    return {f"component.{end}.{location}": [component]}


def condition_words(conditions: str) -> str:
    """Conditions in words: 'without Sport suspension, engine E20 or E25'."""
    return ", ".join(map(_clause_words, parse_conditions(conditions).clauses))


def _clause_words(clause: Clause) -> str:
    called = names()
    if clause.option is not None:
        return " or ".join(called.fact(clause.attribute, value) for value in sorted(clause.values))
    if clause.windows:
        several = [window_words(window.first, window.last) for window in clause.windows]
    else:
        several = [called.value(clause.attribute, value) for value in sorted(clause.values)]
    return f"{called.parameter(clause.attribute).lower()} {'not ' if clause.negated else ''}{' or '.join(several)}"


def _without_side(row: CarRow) -> CarRow:
    return CarRow(
        row.component, row.end, row.axle, row.location, None, row.built_from, row.built_to, row.conditions,
        row.alternative, (),
    )  # fmt: skip


def _order(key: tuple[str, str, CarRow]) -> tuple[object, ...]:
    maker, chassis, row = key
    return maker, chassis, row.component, row.end, row.location, row.built_from or date.min, row.conditions


def _row(
    row: CarRow, sides: list[str | None], cars: list[VariantWindow], variants: dict[str, VariantRow]
) -> NumberCarRow:
    of = variants[cars[0].variant]
    stated = component_query(row.component, row.end, row.location)
    first = min((car.built_from or date.min for car in cars), default=date.min)
    last = max((car.built_to or date.max for car in cars), default=date.max)
    return NumberCarRow(
        maker=of.maker_title,
        chassis=of.chassis,
        href=address("/car/", {"maker": [of.maker], "chassis": [of.chassis], **stated}),
        component=row.component,
        place=names().location(row.end, row.location),
        end=End.word_of(row.end),
        side=" and ".join(side_words(side) for side in sorted(sides, key=str) if side),
        built=window_words(None if first == date.min else first, None if last == date.max else last),
        conditions=condition_words(row.conditions),
        alternative=row.alternative,
        cars=tuple(
            CarLink(
                car.variant,
                address("/car/", {"variant": [car.variant], **stated}),
                f"{variant_words(variants[car.variant])}, {window_words(car.built_from, car.built_to)}",
            )
            for car in sorted(cars, key=lambda car: car.variant)
        ),
    )
