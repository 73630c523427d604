"""Procedures, bench work and recorded times as the job's pure functions read them; only the axles asked for."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, fields
from decimal import Decimal
from fractions import Fraction
from typing import Any

from django.db.models import Model, Q, QuerySet

from catalog.codes import EquipmentKind, Per
from catalog.models import (
    Axle,
    AxleLocation,
    Equipment,
    Fastener,
    FastenerChange,
    Hazard,
    Operation,
    OperationConsumable,
    OperationEntail,
    OperationEquipment,
    OperationHazard,
    OperationNeed,
    Part,
    PartBenchEquipment,
    Way,
    WayOperation,
)
from fitment.domain import procedures as pure
from fitment.models import JobTime, JobTimePart
from fitment.readers.editions import kept_for_edition

Numbered = Iterable[tuple[Any, int, int, str]]


@kept_for_edition(entries=64)
def workshop_of(axles: tuple[str, ...]) -> pure.Workshop:
    """`read_workshop`, kept for one edition; axles sorted."""
    return read_workshop(axles)


@kept_for_edition(entries=64)
def parts_of(codes: tuple[str, ...], axles: tuple[str, ...]) -> "PartsReader":
    """A reader of these parts at these axles, kept for one edition; both sorted."""
    return PartsReader(codes, axles)


def read_workshop(axles: Collection[str]) -> pure.Workshop:
    """The procedures of these axles, and all equipment and hazards (a constant number of queries)."""
    equipment = {
        code: pure.Equipment(code, title, kind == EquipmentKind.CONSUMABLE, home, least_grade)
        for code, title, kind, home, least_grade in Equipment.objects.values_list(
            "code", "title", "kind", "home", "least_grade"
        )
    }
    hazards = {
        row[0]: pure.Hazard(*row) for row in Hazard.objects.values_list("code", "title", "least_grade", "caution")
    }
    ends = dict(Axle.objects.filter(code__in=axles).values_list("code", "end"))
    operations, places = _operations(axles), _places(axles)
    return pure.Workshop(
        {code: pure.AxleProcedures(code, end, operations[code], places[code]) for code, end in ends.items()},
        equipment,
        hazards,
    )


def _grouped(rows: Numbered) -> dict[Any, pure.Groups]:
    """(owner, group, position, code) rows as groups of alternatives, both in their written order."""
    found: dict[Any, dict[int, list[tuple[int, str]]]] = defaultdict(lambda: defaultdict(list))
    for owner, group, position, code in rows:
        found[owner][group].append((position, code))
    return {
        owner: tuple(tuple(code for _, code in sorted(groups[number])) for number in sorted(groups))
        for owner, groups in found.items()
    }


def _listed(rows: Iterable[tuple[Any, int, str]]) -> dict[Any, tuple[str, ...]]:
    """(owner, position, code) rows as lists in their written order."""
    found: dict[Any, list[tuple[int, str]]] = defaultdict(list)
    for owner, position, code in rows:
        found[owner].append((position, code))
    return {owner: tuple(code for _, code in sorted(codes)) for owner, codes in found.items()}


def _operations(axles: Collection[str]) -> dict[str, dict[str, pure.Operation]]:
    def of(rows: QuerySet[Any]) -> QuerySet[Any]:
        return rows.filter(operation__axle__code__in=axles)

    at = ("operation_id", "group", "position")
    needs = _grouped(of(OperationNeed.objects.all()).values_list(*at, "needed__code"))
    equipment = _grouped(of(OperationEquipment.objects.all()).values_list(*at, "equipment__code"))
    in_list = ("operation_id", "position")
    entails = _listed(of(OperationEntail.objects.all()).values_list(*in_list, "entailed__code"))
    consumables = _listed(of(OperationConsumable.objects.all()).values_list(*in_list, "consumable__code"))
    hazards = _listed(of(OperationHazard.objects.all()).values_list(*in_list, "hazard__code"))
    fasteners: dict[int, list[pure.Fastener]] = defaultdict(list)
    same_names = _same_names(pure.Fastener, Fastener)
    for row in of(Fastener.objects.order_by("code")):
        fasteners[row.operation_id].append(pure.Fastener(**{name: getattr(row, name) for name in same_names}))
    found: dict[str, dict[str, pure.Operation]] = defaultdict(dict)
    same_names = _same_names(pure.Operation, Operation)
    for row in Operation.objects.filter(axle__code__in=axles).select_related("axle"):
        found[row.axle.code][row.code] = pure.Operation(
            axle=row.axle.code,
            remove=pure.ThreePoint(row.remove_min, row.remove_likely, row.remove_max).expected,
            refit=pure.ThreePoint(row.refit_min, row.refit_likely, row.refit_max).expected,
            needs=needs.get(row.pk, ()),
            entails=entails.get(row.pk, ()),
            equipment=equipment.get(row.pk, ()),
            consumables=consumables.get(row.pk, ()),
            hazards=hazards.get(row.pk, ()),
            fasteners=tuple(fasteners[row.pk]),
            **{name: getattr(row, name) for name in same_names},
        )
    return found


def _same_names(fact: type[pure.Operation] | type[pure.Fastener], model: type[Model]) -> list[str]:
    """What a fact and the row it is read from have under one name."""
    columns = {column.attname for column in model._meta.concrete_fields}
    return [field.name for field in fields(fact) if field.name in columns]


def _places(axles: Collection[str]) -> dict[str, dict[str, pure.AxleLocation]]:
    rows = WayOperation.objects.filter(way__axle__code__in=axles)
    groups = _grouped(rows.values_list("way_id", "group", "position", "operation__code"))
    ways: dict[tuple[str, str], list[pure.Way]] = defaultdict(list)
    titles: dict[tuple[str, str], str] = {}
    named = Way.objects.filter(axle__code__in=axles).order_by("code")
    for pk, axle, location, title, code, piece_out in named.values_list(
        "pk", "axle__code", "location__code", "location__title", "code", "piece_out"
    ):
        ways[axle, location].append(pure.Way(code, groups.get(pk, ()), piece_out))
        titles[axle, location] = title
    said: dict[tuple[str, str], tuple[int | None, str]] = {}
    for axle, location, title, pieces, per in AxleLocation.objects.filter(axle__code__in=axles).values_list(
        "axle__code", "location__code", "location__title", "pieces", "per"
    ):
        said[axle, location] = pieces, per
        titles[axle, location] = title
    found: dict[str, dict[str, pure.AxleLocation]] = defaultdict(dict)
    for axle, location in {*ways, *said}:
        pieces, per = said.get((axle, location), (None, ""))
        found[axle][location] = pure.AxleLocation(
            pieces or 1, per == Per.AXLE, tuple(ways[axle, location]), titles[axle, location]
        )
    return found


@dataclass(frozen=True, slots=True)
class PartFacts:
    """What a part brings to a job, whatever its revision; and what its rules ask."""

    bench: pure.Bench | None
    kit_pieces: int
    seat: str


class PartsReader:
    """Parts as a job needs them: read once for all that may be ordered or added."""

    def __init__(self, codes: Collection[str], axles: Collection[str]) -> None:
        """Three queries: the parts, their bench equipment, and what their revisions change at these axles."""
        equipment = _grouped(
            PartBenchEquipment.objects.filter(part__code__in=codes).values_list(
                "part__code", "group", "position", "equipment__code"
            )
        )
        self.facts = {
            row.code: PartFacts(_bench(row, equipment.get(row.code, ())), row.kit_pieces or 1, row.seat)
            for row in Part.objects.filter(code__in=codes)
        }
        self._changes = _changes(codes, axles)

    def part(self, code: str, revision: str) -> pure.PartWork:
        facts = self.facts[code]
        return pure.PartWork(code, revision, facts.kit_pieces, facts.bench, self._changes.get((code, revision), {}))


def _bench(row: Part, equipment: pure.Groups) -> pure.Bench | None:
    """None without minutes, skill or equipment: nothing is done on a bench."""
    minutes = (row.bench_min, row.bench_likely, row.bench_max)
    given = [figure for figure in minutes if figure is not None]
    if not given and row.bench_skill is None and not equipment:
        return None
    expected = Fraction(0)
    if given:
        # one or two figures of three are the best there is: the others stand at the nearest given
        likely = row.bench_likely if row.bench_likely is not None else given[0]
        least = row.bench_min if row.bench_min is not None else likely
        most = row.bench_max if row.bench_max is not None else max(given)
        expected = pure.ThreePoint(least, likely, most).expected
    return pure.Bench(expected, row.bench_skill or 1, equipment)


def _changes(
    codes: Collection[str], axles: Collection[str]
) -> Mapping[tuple[str, str], Mapping[tuple[str, str, str], pure.FastenerChange]]:
    found: dict[tuple[str, str], dict[tuple[str, str, str], pure.FastenerChange]] = defaultdict(dict)
    at = "fastener__operation__axle__code fastener__operation__code fastener__code"
    said = "supplied torque_nm angle_deg locking"
    rows = FastenerChange.objects.filter(
        revision__part__code__in=codes, fastener__operation__axle__code__in=axles
    ).values_list("revision__part__code", "revision__letter", *at.split(), *said.split())
    for part, letter, axle, operation, fastener, supplied, torque, angle, locking in rows:
        change = pure.FastenerChange(supplied or 0, torque, angle, locking)
        found[part, letter][axle, operation, fastener] = change
    return found


@dataclass(frozen=True, slots=True)
class JobTimeFacts:
    """A recorded job as it was written down. parts: (part, end, location), the last two empty where not stated."""

    variant: str
    parts: tuple[tuple[str, str, str], ...]
    side: str
    equipment: str
    after_work: bool
    minutes: Decimal
    car: str


def read_job_times(axles: Collection[str]) -> list[JobTimeFacts]:
    """The recorded jobs of all cars with one of these axles (two queries)."""
    here = Q(variant__front_axle__code__in=axles) | Q(variant__rear_axle__code__in=axles)
    rows = list(JobTime.objects.filter(here).select_related("variant").order_by("ref"))
    parts: dict[int, list[tuple[int, tuple[str, str, str]]]] = defaultdict(list)
    for job, position, part, end, location in JobTimePart.objects.filter(
        job_time_id__in=[row.pk for row in rows]
    ).values_list("job_time_id", "position", "part__code", "end", "location"):
        parts[job].append((position, (part, end, location)))
    return [
        JobTimeFacts(
            variant=row.variant.code,
            parts=tuple(stated for _, stated in sorted(parts[row.pk])),
            side=row.side,
            equipment=row.equipment,
            after_work=row.after_work,
            minutes=row.minutes,
            car=row.car,
        )
        for row in rows
    ]
