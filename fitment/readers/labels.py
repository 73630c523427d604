"""The next question as it is asked: its choices with what they are called."""

from collections.abc import Iterable, Mapping
from itertools import zip_longest

from catalog.models import Component, Location, Maker, Platform
from catalog.windows import Window, write_range
from fitment.answers.fit import Choice, NextQuestion
from fitment.domain.facts import Facts
from fitment.readers.editions import kept_for_edition
from fitment.rules.answer import FitResult
from fitment.rules.attribute_relevance import DayInterval
from fitment.rules.attributes import Attribute
from fitment.rules.question import ChosenQuestion
from fitment.rules.residual import day_of

LABELS_KEPT = 512
_YES_NO = {True: ("yes", "Yes"), False: ("no", "No")}
_SIDES = {"left": "Left-hand drive", "right": "Right-hand drive"}


def next_question(answered: FitResult, *, staff: bool) -> NextQuestion | None:
    """The question with its choices in order (at most one query for what they are called)."""
    asked = answered.asked
    if asked is None:
        return None
    attribute = asked.attribute
    choices = tuple(
        Choice(value, {attribute.name: value}, label, hint, cars, left)
        for (value, label, hint), cars, left in zip_longest(
            _choices(asked, answered.space.facts), asked.cars, asked.left
        )
    )
    expected = asked.expected if staff and answered.undecided is not None else None
    return NextQuestion(attribute.name, choices, answered.undecided, expected, _title(attribute, answered.space.facts))


def interval_value(interval: DayInterval) -> str:
    """An interval as the parameter `built` takes it: full days, an open end empty."""
    first, last = day_of(interval.first), day_of(interval.last)
    return f"{first.isoformat() if first else ''}..{last.isoformat() if last else ''}"


def interval_label(interval: DayInterval) -> str:
    """An interval in short words.

    >>> interval_label(DayInterval(735142, 735172))
    '2013-10'
    """
    text = write_range(Window(day_of(interval.first), day_of(interval.last)))
    first, dots, last = text.partition("..")
    if not dots:
        return text
    return f"{first} to {last}" if first and last else f"from {first}" if first else f"up to {last}"


def _choices(asked: ChosenQuestion, facts: Facts) -> Iterable[tuple[str, str, str]]:
    """Value, label and hint of each choice."""
    attribute = asked.attribute
    if attribute.kind == "built":
        for interval in asked.intervals:
            yield interval_value(interval), interval_label(interval), ""
    elif attribute.kind == "option":
        for answer in asked.answers:
            yield (*_YES_NO[bool(answer)], "")
    else:
        values = [str(answer) for answer in asked.answers]
        titles = _titles(attribute.kind if attribute.kind == "component" else attribute.name, tuple(values))
        hints = _tell_apart(attribute, facts)
        for value in values:
            yield value, titles.get(value, value), hints.get(value, "")


@kept_for_edition(entries=LABELS_KEPT)
def _titles(attribute: str, values: tuple[str, ...]) -> Mapping[str, str]:
    if attribute == "component":
        return dict(Component.objects.filter(code__in=values).values_list("code", "title"))
    if attribute == "maker":
        return dict(Maker.objects.filter(code__in=values).values_list("code", "title"))
    if attribute == "chassis":
        rows = Platform.objects.filter(chassis__in=values).exclude(title="").values_list("chassis", "title")
        titles: dict[str, str] = {}
        for chassis, title in rows.order_by("maker__code"):
            titles[chassis] = f"{titles[chassis]}, {title}" if chassis in titles else f"{chassis}: {title}"
        return titles
    return _SIDES if attribute == "steering" else {}


def _tell_apart(attribute: Attribute, facts: Facts) -> Mapping[str, str]:
    """How to tell the joints at a place apart, by component."""
    if attribute.kind != "component":
        return {}
    end, location = attribute.place
    hints: dict[str, dict[str, None]] = {}
    for axle in facts.axles.values():
        for joint in axle.joints.get(location, ()) if axle.end == end else ():
            if joint.tell_apart:
                hints.setdefault(joint.component, {})[joint.tell_apart] = None
    return {component: "; ".join(texts) for component, texts in hints.items()}


def _title(attribute: Attribute, facts: Facts) -> str:
    """What the option, or the joint's place, is called."""
    if attribute.kind == "option":
        return facts.options[attribute.option].title
    if attribute.kind == "component":
        return _title_of_place(*attribute.place)
    return ""


@kept_for_edition(entries=LABELS_KEPT)
def _title_of_place(end: str, location: str) -> str:
    rows = Location.objects.filter(topology__end=end, code=location).order_by("topology__code")
    return rows.values_list("title", flat=True).first() or location
