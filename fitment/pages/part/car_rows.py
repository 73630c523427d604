"""The cars of a part in few rows: cars of one platform with the same joint, window and verdict stand together."""

from collections.abc import Iterable
from dataclasses import dataclass

from catalog.codes import End
from catalog.selectors.cars import VariantRow, variants_by_code
from fitment.answers.fit import PartCar
from fitment.pages.shared.addresses import address
from fitment.readers.names import names
from fitment.text.dates import window_words
from fitment.text.fit import verdict_words

_ORDER = ("fits", "depends", "not_known", "does_not_fit")


@dataclass(frozen=True, slots=True)
class CarLink:
    code: str
    href: str
    words: str


@dataclass(frozen=True, slots=True)
class PartCarRow:
    maker: str
    chassis: str
    place: str
    end: str
    built: str
    verdict: str
    word: str
    revision: str
    cars: tuple[CarLink, ...]


def rows_of(told: Iterable[PartCar]) -> list[PartCarRow]:
    """Rows by platform, joint, window and verdict (two queries)."""
    cars = list(told)
    variants = {row.code: row for row in variants_by_code(codes={car.variant for car in cars})}
    groups: dict[tuple[object, ...], list[PartCar]] = {}
    for car in cars:
        of = variants[car.variant]
        key = (of.maker, of.chassis, car.end, car.location, car.built_from, car.built_to, car.verdict, car.revision)
        groups.setdefault(key, []).append(car)
    rows = [_row(members, variants) for members in groups.values()]
    return sorted(rows, key=lambda row: (_ORDER.index(row.verdict), row.maker, row.chassis, row.end, row.place))


def _row(members: list[PartCar], variants: dict[str, VariantRow]) -> PartCarRow:
    first = members[0]
    of = variants[first.variant]
    return PartCarRow(
        maker=of.maker_title,
        chassis=of.chassis,
        place=names().location(first.end, first.location),
        end=End.word_of(first.end),
        built=window_words(first.built_from, first.built_to),
        verdict=first.verdict.value,
        word=verdict_words(first.verdict),
        revision=first.revision or "",
        cars=tuple(
            CarLink(each, address("/car/", {"variant": [each]}), _words(variants[each]))
            for each in sorted({car.variant for car in members})
        ),
    )


def _words(row: VariantRow) -> str:
    return f"{row.designation} {row.body}, {row.engine}, {row.drivetrain}, {row.steering}-hand, {row.market}"
