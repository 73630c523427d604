"""The first page: one box that takes what is known, and the steps for those who would rather pick."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.utils import timezone

from catalog.roles import role_of
from catalog.selectors.cars import VariantRow, makers_with_cars, platforms_of, variants_of
from catalog.selectors.titles import typed_examples
from fitment.pages.shared.addresses import address, number_address
from fitment.pages.shared.page import page
from fitment.pages.shared.understood import understood_view
from fitment.readers.editions import kept_for_edition
from fitment.services.fit.understanding import Understanding, understand
from fitment.text.dates import MONTHS, window_words
from fitment.text.names import drive_words

MOST_YEARS = 40


@dataclass(frozen=True, slots=True)
class StepChoice:
    href: str
    label: str
    hint: str = ""
    value: str = ""


@dataclass(frozen=True, slots=True)
class WalkStep:
    """One step: `state` is done, now or later. `chosen` and `change` of one that is done."""

    name: str
    title: str
    state: str
    choices: tuple[StepChoice, ...] = ()
    chosen: str = ""
    change: str = ""
    years: tuple["Year", ...] = ()
    skip: StepChoice | None = None


@dataclass(frozen=True, slots=True)
class Month:
    label: str
    words: str
    href: str = ""


@dataclass(frozen=True, slots=True)
class Year:
    year: int
    href: str
    months: tuple[Month, ...]


@dataclass(frozen=True, slots=True)
class Walk:
    """The steps as they stand; `lost` says which parameter names nothing."""

    steps: tuple[WalkStep, ...]
    lost: tuple[str, ...] = field(default=())


def walk(*, maker: str, chassis: str, variant: str, today: date) -> Walk:
    """The steps for what is chosen so far; an unknown choice is as if it were not made, and said."""
    makers = {row.code: row for row in makers_with_cars()}
    if maker not in makers:
        choices = (StepChoice(address("/", {"maker": [row.code]}, at="steps"), row.title) for row in makers.values())
        first = WalkStep("maker", "Maker", "now", tuple(choices))
        return Walk((first, *_later("chassis", "variant", "built")), (maker,) if maker else ())
    done = [WalkStep("maker", "Maker", "done", chosen=makers[maker].title, change=address("/", {}, at="steps"))]

    platforms = {row.chassis: row for row in platforms_of(maker=maker)}
    at_maker = {"maker": [maker]}
    if chassis not in platforms:
        platform_choices = tuple(
            StepChoice(
                address("/", {**at_maker, "chassis": [row.chassis]}, at="steps"),
                row.chassis,
                f"{_shorter(row.title, makers[maker].title, row.chassis)}{window_words(row.built_from, row.built_to)}",
            )
            for row in platforms.values()
        )
        step = WalkStep("chassis", "Chassis", "now", platform_choices)
        return Walk((*done, step, *_later("variant", "built")), (chassis,) if chassis else ())
    done.append(WalkStep("chassis", "Chassis", "done", chosen=chassis, change=address("/", at_maker, at="steps")))

    variants = {row.code: row for row in variants_of(maker=maker, chassis=chassis)}
    at_chassis = {**at_maker, "chassis": [chassis]}
    if variant not in variants:
        ask = StepChoice(address("/car/", at_chassis), "Not sure: ask me only what matters")
        step = WalkStep("variant", "Variant", "now", _variant_choices(variants.values(), at_chassis), skip=ask)
        return Walk((*done, step, *_later("built")), (variant,) if variant else ())
    row = variants[variant]
    done.append(WalkStep("variant", "Variant", "done", chosen=str(row), change=address("/", at_chassis, at="steps")))
    car = {"variant": [variant]}
    unknown = StepChoice(address("/car/", car), "Build month not known")
    years = tuple(_years(row.built_from, row.built_to or today, car))
    return Walk((*done, WalkStep("built", "Build month", "now", years=years, skip=unknown)))


def _later(*names: str) -> tuple[WalkStep, ...]:
    titles = {"chassis": "Chassis", "variant": "Variant", "built": "Build month"}
    return tuple(WalkStep(name, titles[name], "later") for name in names)


def _shorter(title: str, maker: str, chassis: str) -> str:
    """What a platform's title says beyond its maker and chassis code, with a comma behind it."""
    rest = title.replace(maker, "").replace(chassis, "").strip(" ,()")
    return f"{rest}, " if rest else ""


def _variant_choices(rows: Iterable[VariantRow], query: dict[str, list[str]]) -> tuple[StepChoice, ...]:
    """Cars by what tells them apart; what all of them have in common is left out of the hint."""
    cars = list(rows)
    telling = [
        name for name in ("engine", "drivetrain", "steering", "market") if len({getattr(car, name) for car in cars}) > 1
    ]
    return tuple(
        StepChoice(
            address("/", {**query, "variant": [car.code]}, at="steps"),
            f"{car.designation} {car.body}",
            ", ".join((*_told(car, telling), window_words(car.built_from, car.built_to))),
            car.code,
        )
        for car in cars
    )


def _told(car: VariantRow, telling: Iterable[str]) -> Iterable[str]:
    for name in telling:
        value = getattr(car, name)
        yield drive_words(value) if name == "steering" else value


def _years(first: date, last: date, car: dict[str, list[str]]) -> Iterable[Year]:
    """The months of the car's window; at most the last MOST_YEARS years, since a page has an end."""
    for year in range(max(first.year, last.year - MOST_YEARS + 1), last.year + 1):
        months = tuple(
            Month(
                MONTHS[month - 1][:3],
                f"{MONTHS[month - 1]} {year}",
                address("/car/", {**car, "built": [f"{year}-{month:02d}"]})
                if (first.year, first.month) <= (year, month) <= (last.year, last.month)
                else "",
            )
            for month in range(1, 13)
        )
        yield Year(year, address("/car/", {**car, "built": [str(year)]}), months)


LONGEST_TEXT = 200

examples = kept_for_edition(entries=1)(typed_examples)


@page(methods="GET HEAD POST")
def start(request: HttpRequest) -> HttpResponse:
    if request.method == "POST":
        return _ask(request)
    return render(request, "start/page.html", _context(request))


def _ask(request: HttpRequest) -> HttpResponse:
    """Send a reader who was understood to the answer; tell the others what was not."""
    text = request.POST.get("q", "").strip()[:LONGEST_TEXT]
    understood = understand(text=text, viewer=role_of(request.user))
    target = _target(understood)
    if target is None and understood.looks_like_number and not understood.stamps:
        target = number_address(text)
    if target is not None:
        return HttpResponseRedirect(target, status=303)
    heard = understood_view(understood, text)
    context = _context(request) | {"asked_text": "" if understood.private else text, "hearing": heard}
    return render(request, "start/page.html", context, status=422)


def _target(understood: Understanding) -> str | None:
    """Where a text of one certain meaning leads; a number that nobody knows leads to what is near it."""
    if understood.several:
        return None
    if understood.number is not None:
        return number_address(understood.number)
    if understood.part is not None:
        return f"/part/{understood.part}/"
    if understood.certain_car is not None:
        return address("/car/", understood.certain_car)
    return None


def _context(request: HttpRequest) -> dict[str, Any]:
    chosen = {name: request.GET.get(name, "") for name in ("maker", "chassis", "variant")}
    return {"walk": walk(**chosen, today=timezone.localdate()), "hearing": None, "examples": examples()}
