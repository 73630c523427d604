"""HTTP parameters -> what a job is asked for: the one way in, for the API and the pages.

`part` is written `LM-210`, `LM-210@B` for one revision, and with `:front.tension_link.inner` behind it for one place.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from catalog.codes import FOR_SALE_ONCE, OF_CAR, EquipmentSet, Role, Side
from catalog.models import Revision
from catalog.nearest import shortened, unknown
from fitment.domain.description import Description, Vocabulary
from fitment.errors import BadParameters
from fitment.query.parameters import Errors, MultiDict, Query, as_lists, known_only, read_car, read_equipment
from fitment.readers.vocabulary import vocabulary as current_vocabulary

JOB_PARAMETERS = (*OF_CAR, "part", "side", "equipment")
MOST_PARTS = 20
FORM = "PART, PART@REVISION or PART:END.LOCATION"

Letters = Mapping[str, Iterable[str]]


@dataclass(frozen=True, slots=True)
class PartAsked:
    """One `part`: its code, the revision and the place where stated."""

    part: str
    revision: str | None = None
    end: str | None = None
    location: str | None = None

    def __str__(self) -> str:
        revision = f"@{self.revision}" if self.revision else ""
        place = f":{self.end}.{self.location}" if self.end else ""
        return f"{self.part}{revision}{place}"


@dataclass(frozen=True, slots=True)
class JobRequest:
    """A job asked for: the car as far as known, parts, side, equipment (`shop`, `home` or codes)."""

    car: Description
    parts: tuple[PartAsked, ...]
    side: Side = Side.BOTH
    equipment: str | tuple[str, ...] = EquipmentSet.SHOP

    @property
    def equipment_text(self) -> str:
        """`shop`, `home` or codes separated by commas."""
        return self.equipment if isinstance(self.equipment, str) else ",".join(self.equipment)

    def parameters(self) -> list[tuple[str, str]]:
        """The request as query parameters, canonical."""
        return [
            *self.car.parameters(),
            *(("part", str(part)) for part in self.parts),
            ("side", self.side),
            ("equipment", self.equipment_text),
        ]


def parse_job(query: MultiDict | Query, viewer: Role) -> JobRequest:
    """The job that parameters ask for, as this viewer may ask it.

    Raises BadParameters with every unknown parameter and value.
    """
    lists = as_lists(query)
    codes = {value.partition(":")[0].partition("@")[0] for value in lists.get("part", ())[: 2 * MOST_PARTS]}
    revisions = Revision.objects.filter(part__code__in=codes)
    if not viewer.is_staff:
        revisions = revisions.filter(status__in=FOR_SALE_ONCE)
    letters: dict[str, list[str]] = {}
    for part, letter in revisions.values_list("part__code", "letter"):
        letters.setdefault(part, []).append(letter)
    return read_job(lists, current_vocabulary(), letters, viewer)


def read_job(query: Query, vocabulary: Vocabulary, letters: Letters, viewer: Role) -> JobRequest:
    """`parse_job` against a given vocabulary and the letters this viewer may see of each part. Pure."""
    errors: Errors = []
    query = known_only(query, JOB_PARAMETERS, vocabulary, errors)
    car = read_car(query, vocabulary, errors)
    known = vocabulary.parts if viewer.is_staff else vocabulary.public_parts
    parts = _parts(query.get("part", ()), known, letters, vocabulary, errors)
    side = _side(query, errors)
    equipment = read_equipment(query, vocabulary, errors) or EquipmentSet.SHOP
    if errors:
        raise BadParameters(errors)
    return JobRequest(car, tuple(parts), side, equipment)


def _parts(
    values: Iterable[str], known: Iterable[str], letters: Letters, vocabulary: Vocabulary, errors: Errors
) -> list[PartAsked]:
    texts = list(values)
    if not texts and not any(field == "part" for field, _ in errors):
        errors.append(("part", f"is missing; name the parts of the job, {FORM}"))
    if len(texts) > MOST_PARTS:
        errors.append(("part", f"{len(texts)} parts are asked; a job takes at most {MOST_PARTS}"))
        return []
    known = frozenset(known)
    parts: list[PartAsked] = []
    for text in texts:
        part = _part(text, known, letters, vocabulary, errors)
        if part is None:
            continue
        if any((one.part, one.end, one.location) == (part.part, part.end, part.location) for one in parts):
            errors.append(("part", f"'{shortened(text)}' is asked twice; name it once"))
        parts.append(part)
    return parts


def _part(
    text: str, known: frozenset[str], letters: Letters, vocabulary: Vocabulary, errors: Errors
) -> PartAsked | None:
    head, colon, place = text.strip().partition(":")
    code, at, letter = head.partition("@")
    if code not in known:
        errors.append(("part", unknown("part", code, known)))
        return None
    if at and letter not in (seen := frozenset(letters.get(code, ()))):
        errors.append(("part", unknown(f"revision of {code}", letter, seen)))
        return None
    if not colon:
        return PartAsked(code, letter or None)
    end, _, location = place.partition(".")
    if location not in vocabulary.places.get(end, ()):
        places = [f"{end}.{location}" for end, locations in vocabulary.places.items() for location in locations]
        errors.append(("part", unknown("place", place, places)))
        return None
    return PartAsked(code, letter or None, end, location)


def _side(query: Query, errors: Errors) -> Side:
    values = list(dict.fromkeys(query.get("side", ())))
    known = [Side(value) for value in values if value in Side.values]
    errors += [("side", unknown("side", value, Side.values)) for value in values if value not in known]
    if len(values) > 1:
        errors.append(("side", "is given twice; write left, right or both"))
    return known[0] if known else Side.BOTH
