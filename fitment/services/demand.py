"""Questions that found no answer, counted by car, place, number and day: logged, and listed for those who call."""

from dataclasses import dataclass
from datetime import date

from django.db import transaction
from django.db.models import F, Max, Sum
from django.utils import timezone

from catalog.charset import vin_fault
from catalog.models import Catalogue, Location, Maker, Platform, Variant
from catalog.nearest import unknown
from catalog.numbers import normal_form
from fitment.errors import BadParameters, FitmentError
from fitment.models import Enquiry

# Generous for a small maker's customers, small enough that a machine cannot fill the table or bend the demand.
ROWS_A_DAY = 5_000
COUNT_A_DAY = 200
NUMBER_LENGTH = 40
FIELDS = ("maker", "chassis", "variant", "location", "number")


class DayIsFull(FitmentError):
    """No more is logged today: of this question, or at all."""

    def __init__(self) -> None:
        super().__init__("As much as one day takes of this question is already logged; it is counted")


@dataclass(frozen=True, slots=True)
class EnquiryFields:
    """A question without an answer, checked: every code is one the catalogue has, the number in normal form."""

    maker: str = ""
    chassis: str = ""
    variant: str = ""
    location: str = ""
    number: str = ""


@dataclass(frozen=True, slots=True)
class CountedQuestion(EnquiryFields):
    """A question, how often it was asked, and when last."""

    count: int = 0
    last: date = date.min


def enquiry_check(values: dict[str, str]) -> EnquiryFields:
    """The enquiry that a form or request body states.

    Raises BadParameters with every unknown field and code, the nearest named, or when nothing is stated.
    """
    errors = [(name, unknown("field", name, FIELDS)) for name in values if name not in FIELDS]
    given = {name: values[name].strip() for name in FIELDS if values.get(name, "").strip()}
    errors += [(name, f"{fault}; it is not kept") for name, text in given.items() if (fault := vin_fault(text))]
    if not errors and not given:
        errors = [("", f"State at least one of {', '.join(FIELDS)}")]
    if not errors:
        errors = _car_errors(given) + _place_errors(given) + _number_errors(given)
    if errors:
        raise BadParameters(errors)
    if "number" in given:
        given["number"] = normal_form(given["number"])
    return EnquiryFields(**given)


@transaction.atomic
def enquiry_log(*, asked: EnquiryFields, today: date) -> Enquiry:
    """Count one more of this question today; the catalogue's counter advances, its edition does not.

    Raises DayIsFull.
    """
    catalogue = Catalogue.objects.select_for_update().first()  # one writer at a time: counts never race
    same = {name: getattr(asked, name) for name in FIELDS}
    found = Enquiry.objects.filter(asked_on=today, **same).first()
    if found is None:
        if Enquiry.objects.filter(asked_on=today).count() >= ROWS_A_DAY:
            raise DayIsFull
        found = Enquiry.objects.create(asked_on=today, **same)
    else:
        if found.count >= COUNT_A_DAY:
            raise DayIsFull
        found.count += 1
        found.save(update_fields=["count"])
    if catalogue is not None:
        Catalogue.objects.update(enquiry_count=F("enquiry_count") + 1)
    return found


def questions_recent(*, most: int) -> list[CountedQuestion]:
    """The latest, a row a day."""
    rows = Enquiry.objects.order_by("-asked_on", "-pk").values_list(*FIELDS, "count", "asked_on")
    return [CountedQuestion(*row) for row in rows[:most]]


def questions_by_count(*, most: int) -> list[CountedQuestion]:
    """The most asked over all days."""
    rows = Enquiry.objects.values(*FIELDS).annotate(times=Sum("count"), last=Max("asked_on"))
    ordered = rows.order_by("-times", "-last", *FIELDS).values_list(*FIELDS, "times", "last")
    return [CountedQuestion(*row) for row in ordered[:most]]


def number_asked_today(normal: str) -> int | None:
    """How often a number alone was asked for today; None where nobody did."""
    rows = Enquiry.objects.filter(asked_on=timezone.localdate(), **dict.fromkeys(FIELDS, "") | {"number": normal})
    return rows.values_list("count", flat=True).first()


def _car_errors(given: dict[str, str]) -> list[tuple[str, str]]:
    variants = Variant.objects.all()
    if maker := given.get("maker"):
        makers = list(Maker.objects.values_list("code", flat=True))
        if maker not in makers:
            return [("maker", unknown("maker", maker, makers))]
        variants = variants.filter(platform__maker__code=maker)
    if chassis := given.get("chassis"):
        platforms = Platform.objects.filter(maker__code=maker) if maker else Platform.objects.all()
        known = list(platforms.values_list("chassis", flat=True))
        if chassis not in known:
            return [("chassis", unknown("chassis", chassis, known))]
        variants = variants.filter(platform__chassis=chassis)
    if (variant := given.get("variant")) and not variants.filter(code=variant).exists():
        return [("variant", unknown("variant", variant, variants.values_list("code", flat=True)))]
    return []


def _place_errors(given: dict[str, str]) -> list[tuple[str, str]]:
    place = given.get("location")
    if place is None:
        return []
    known = {f"{end}.{code}" for end, code in Location.objects.values_list("topology__end", "code")}
    return [] if place in known else [("location", unknown("location", place, known))]


def _number_errors(given: dict[str, str]) -> list[tuple[str, str]]:
    normal = normal_form(given.get("number", "1"))
    if not normal:
        return [("number", "A number has at least one letter or digit")]
    if len(normal) > NUMBER_LENGTH:
        return [("number", f"A number has at most {NUMBER_LENGTH} letters and digits")]
    return []
