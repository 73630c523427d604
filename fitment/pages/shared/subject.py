"""The subject of a sheet: what car it is about, in a few words. Pure."""

from collections.abc import Iterable, Mapping, Sequence

from catalog.selectors.cars import VariantRow
from fitment.domain.description import Description
from fitment.pages.shared.dates import built_words, day_words

_NAME = ("chassis", "designation", "body")


def subject_of(car: Description, variants: Sequence[VariantRow], makers: Mapping[str, str]) -> str:
    """What is stated of a car as a heading: 'QN4 18 saloon, built May 2018'.

    A stated variant is named by its chassis, designation and body. The maker (`makers`: titles by code) is
    named where the chassis is not.
    """
    stated = car.texts()
    if car.variant is not None:
        of_variant = next((row for row in variants if row.code == car.variant), None)
        if of_variant is not None:
            stated = {name: getattr(of_variant, name) for name in _NAME} | stated
    named = [stated[name] for name in _NAME if name in stated]
    if "chassis" not in stated and "maker" in stated:
        named = [makers.get(stated["maker"], stated["maker"]), *named]
    rest = [stated[name] for name in ("engine", "drivetrain") if name in stated and car.variant is None]
    words = " ".join(named) or "A car"
    return ", ".join((words, *rest, *_days(car)))


def _days(car: Description) -> Iterable[str]:
    window = car.day_windows().get("built")
    if window is not None:
        yield built_words(window)
    yield from (f"model year {year}" for year in car.model_years)
    yield from (f"first registered {day_words(day)}" for day in car.registered)
