"""Kinds of cell that evidence alone has: places of a car, and the scope of a job."""

import re

from catalog.codes import EquipmentSet
from catalog.numbers import normal_form
from catalog.sheets.kinds import BadCell, CodeKind, Kind, ListKind, PartNumberKind

_PLACE = re.compile(r"(front|rear)\.(.+)", re.DOTALL)


def place_fault(text: str) -> str | None:
    """Why a text is not `END.LOCATION`, or None."""
    return None if _PLACE.fullmatch(text) else f"'{text}' does not begin with front. or rear."


class PlaceKind(CodeKind):
    """A place of a car: `END.LOCATION`."""

    def read(self, text: str) -> str:
        if fault := place_fault(text):
            raise BadCell(fault, "write END.LOCATION, such as front.tension_link.inner")
        return super().read(text)


class NormalNumberKind(PartNumberKind):
    """A part number in normal form, as the service keeps what was asked: another spelling is the same question."""

    def read(self, text: str) -> str:
        return normal_form(super().read(text))


class ScopeKind(Kind):
    """One part of a job: `PART` or `PART:END.LOCATION`."""

    def read(self, text: str) -> str:
        part, colon, place = text.partition(":")
        CodeKind().read(part)
        if not part or (colon and place_fault(place)):
            raise BadCell(f"'{text}' names no part of a job", "write PART or PART:END.LOCATION")
        return f"{part}:{PlaceKind().read(place)}" if colon else part


class ScopeEquipmentKind(ListKind):
    """`shop`, `home`, or a list of equipment."""

    def read(self, text: str) -> str:
        words = ListKind.read(self, text).split()
        if len(words) > 1 and set(words) & set(EquipmentSet.values):
            raise BadCell(f"'{text}' mixes a set with single pieces", "write shop, home, or a list of equipment")
        return " ".join(words)


def scope_split(text: str) -> tuple[str, str, str]:
    """Part, end and location of one part of a job.

    >>> scope_split("LM-210:front.tension_link.inner")
    ('LM-210', 'front', 'tension_link.inner')
    """
    part, _, place = text.partition(":")
    end, _, location = place.partition(".")
    return part, end, location


def scope_join(part: str, end: str, location: str) -> str:
    return f"{part}:{end}.{location}" if location else part
