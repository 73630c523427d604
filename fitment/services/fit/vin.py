"""What a VIN tells of the car, and the question that follows from it. The VIN itself goes no further than here."""

from dataclasses import dataclass
from typing import Annotated, Literal

from catalog.models import Maker, Variant, VinPattern, VinPatternVariant
from catalog.selectors import current_catalogue
from catalog.vin import DecodedVin, decode, matching
from catalog.windows import Window
from fitment.answers.fit import CatalogueRef
from fitment.domain.description import model_year_window

# In the order of the question's parameters; what all variants left have in common is stated.
_COMMON = ("designation", "body", "engine", "drivetrain", "steering", "market")


@dataclass(frozen=True, slots=True)
class VinAnswer:
    """What a VIN tells of the car; the VIN itself is not repeated.

    `check_digit`: `right`, or `wrong` where the region does not prescribe one (perhaps a typing error).
    `model_year_advisory`: the year is by the North American rule, which makers elsewhere need not follow; it then
    narrows nothing. `maker` is None where no maker of the catalogue has the identifier. `variants` agree with the
    masks, and with the model year where it counts. `query`: the parameters of `fitment/` that say the same.
    """

    catalogue: CatalogueRef
    check_digit: Annotated[
        Literal["right", "wrong"], "`wrong` only where the region prescribes none: perhaps a typing error."
    ]
    maker: str | None
    model_year: int | None
    model_year_advisory: Annotated[bool, "Outside North America the year narrows nothing."]
    variants: tuple[str, ...]
    query: Annotated[dict[str, str], "Parameters of `fitment/`."]


def vin_decode(*, text: str) -> VinAnswer:
    """Decode a VIN and find the cars it may stand for.

    Raises catalog.vin.BadVin, whose message never repeats the text.
    """
    decoded = decode(text)
    maker = Maker.objects.filter(wmi__contains=[decoded.wmi]).order_by("code").values_list("code", flat=True).first()
    cars = _cars(decoded)
    state = current_catalogue()
    return VinAnswer(
        catalogue=CatalogueRef(state.code, state.edition),
        check_digit="right" if decoded.check_digit_right else "wrong",
        maker=maker,
        model_year=decoded.model_year,
        model_year_advisory=not decoded.north_american,
        variants=tuple(car.code for car in cars),
        query=_query(decoded, maker, cars),
    )


def _cars(decoded: DecodedVin) -> list[Variant]:
    patterns = VinPattern.objects.filter(wmi=decoded.wmi)
    masks = [mask for _, mask in matching(patterns.values_list("wmi", "mask"), decoded)]
    rows = VinPatternVariant.objects.filter(pattern__in=patterns.filter(mask__in=masks))
    wanted = Variant.objects.filter(pk__in=rows.values("variant"))
    cars = list(wanted.select_related("platform__maker").order_by("code"))
    if decoded.north_american and decoded.model_year is not None:
        year = model_year_window(decoded.model_year)
        cars = [car for car in cars if year.overlaps(Window(car.built_from, car.built_to))]
    return cars


def _query(decoded: DecodedVin, maker: str | None, cars: list[Variant]) -> dict[str, str]:
    query: dict[str, str] = {}
    if len(cars) == 1:
        query["variant"] = cars[0].code
    elif cars:
        stated = [
            {"maker": car.platform.maker.code, "chassis": car.platform.chassis}
            | {name: getattr(car, name) for name in _COMMON}
            for car in cars
        ]
        query = {name: value for name, value in stated[0].items() if all(car[name] == value for car in stated)}
    elif maker is not None:
        query["maker"] = maker
    if cars and decoded.north_american and decoded.model_year is not None:
        query["model_year"] = str(decoded.model_year)
    return query
