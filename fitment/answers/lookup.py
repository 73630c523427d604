"""What a look-up of a number or stamp returns, as data (5-api.md, cross-reference, has the shapes). Pure."""

from dataclasses import dataclass
from datetime import date
from typing import Annotated
from urllib.parse import quote

from catalog.codes import Near, Verdict
from fitment.answers.contract import INTERNAL, TextOrNull, member
from fitment.answers.fit import CatalogueRef, HoldNote, RuleNote


@dataclass(frozen=True, slots=True)
class NumberAsked:
    """The question as it was put, and the normal form that was looked for."""

    number: str
    normal: str
    issuer: str | None


@dataclass(frozen=True, slots=True)
class Target:
    """What a number stands for; `via` is the number forwards that has the target, None for its own."""

    component: str | None
    part: str | None
    revision: str | None
    side: str | None
    via: str | None = None


@dataclass(frozen=True, slots=True)
class Linked:
    """Another number of the chain, as printed, and whether the exchange takes rework."""

    number: str
    with_rework: bool


@dataclass(frozen=True, slots=True)
class VariantWindow:
    """The days on which a variant may have a joint row; None is an open end."""

    variant: str
    built_from: date | None
    built_to: date | None


@dataclass(frozen=True, slots=True)
class CarRow:
    """One joint row of a target component, with the variants of which some possible car has it."""

    component: str
    end: str
    axle: str
    location: str
    side: str | None
    built_from: date | None
    built_to: date | None
    conditions: str
    alternative: bool
    variants: tuple[VariantWindow, ...]


@dataclass(frozen=True, slots=True)
class Upgrade:
    """A part that fits, or depends, over all possible cars with the component at the place."""

    component: str
    end: str
    location: str
    part: str
    revision: str | None
    verdict: Verdict
    other_revisions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FastenerUse:
    """A step one of whose fasteners has the number."""

    axle: str
    operation: str
    fastener: str


@dataclass(frozen=True, slots=True)
class Match:
    """The number of one issuer."""

    issuer: str
    number: str
    kind: str
    targets: tuple[Target, ...]
    current: tuple[Linked, ...]
    replaces: tuple[Linked, ...]
    replaced_by: tuple[Linked, ...]
    links: Annotated[tuple[tuple[str, str, str], ...], INTERNAL]
    cars: tuple[CarRow, ...]
    upgrades: tuple[Upgrade, ...]
    fasteners: tuple[FastenerUse, ...]


@dataclass(frozen=True, slots=True)
class StampAnswer:
    """What a stamp `PART-REV BATCH` says; an empty batch was not read."""

    part: str
    revision: str
    batch: TextOrNull
    status: str
    holds: tuple[HoldNote, ...]
    pairs_with: tuple[str, ...]
    rules: tuple[RuleNote, ...]

    @member
    def cars_href(self) -> str:
        """The cars of the part."""
        return f"/api/v1/parts/{quote(self.part, safe='')}/cars/"


@dataclass(frozen=True, slots=True)
class NearNumber:
    """A number like the one asked for, and why."""

    issuer: str
    number: str
    by: Near


@dataclass(frozen=True, slots=True)
class LookUp:
    """The answer to one look-up; `near` only where there is neither match nor stamp."""

    catalogue: CatalogueRef
    asked: NumberAsked
    matches: tuple[Match, ...]
    stamp: StampAnswer | None
    near: tuple[NearNumber, ...]
