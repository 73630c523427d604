"""What a number or a stamp is: its chain, its cars, its upgrades, holds and near matches."""

from collections.abc import Iterable

from django.db.models import QuerySet

from catalog.chains import Chain
from catalog.codes import Near, Role, Rule
from catalog.models import Fastener, Hold, PartRule, Revision
from catalog.nearest import unknown
from catalog.numbers import folded_form, normal_form
from catalog.selectors.numbers import NumberChain, NumberRow, issuers, issuers_of, number_chain, numbers_near
from catalog.selectors.visible import visible_revisions, visible_rules
from catalog.stamps import Stamp, batch_is_held, letter_order, pairs_with, parse_stamp
from catalog.vin import has_vin_shape
from fitment.answers.fit import CatalogueRef, HoldNote, RuleNote
from fitment.answers.lookup import FastenerUse, Linked, LookUp, Match, NearNumber, NumberAsked, StampAnswer, Target
from fitment.errors import BadParameters
from fitment.query.parameters import VIN_REFUSED
from fitment.readers.editions import at_edition
from fitment.services.lookup.cars import cars_with, component_facts, upgrades_of

LEAST_PREFIX = 3
MOST_NEAR = 20


def look_up(*, number: str, issuer: str | None, viewer: Role) -> LookUp:
    """The answer to one look-up, known or not.

    Raises BadParameters for a number without a letter or digit, one of the shape of a VIN, and an unknown issuer.
    """
    normal = _checked(number, issuer, viewer)
    with at_edition() as current:
        found = (_match(name, normal, viewer) for name in issuers_of(normal) if issuer in (None, name))
        matches = tuple(match for match in found if match is not None)
        stamp = read_stamp(number, viewer)
        near: tuple[NearNumber, ...] = ()
        if not matches and stamp is None:
            folded = folded_form(number)
            rows = numbers_near(normal=normal, folded=folded, viewer=viewer, least=LEAST_PREFIX, most=MOST_NEAR)
            near = tuple(NearNumber(issuer, printed, Near(by)) for issuer, printed, by in rows)
        return LookUp(
            catalogue=CatalogueRef(current.code, current.edition),
            asked=NumberAsked(number, normal, issuer),
            matches=matches,
            stamp=stamp,
            near=near,
        )


def _checked(number: str, issuer: str | None, viewer: Role) -> str:
    errors: list[tuple[str, str]] = []
    normal = normal_form(number)
    if has_vin_shape(number):
        errors.append(("number", VIN_REFUSED))
    elif not normal:
        errors.append(("number", "a number has at least one letter or digit"))
    if issuer is not None and issuer not in (known := issuers(viewer)):
        errors.append(("issuer", unknown("issuer", issuer, known)))
    if errors:
        raise BadParameters(errors)
    return normal


def _match(issuer: str, normal: str, viewer: Role) -> Match | None:
    known = number_chain(issuer=issuer, normal=normal, viewer=viewer)
    if known is None:
        return None
    own = known.rows.get(normal, [])
    targets = _targets(known, normal)
    sides: dict[str, set[str | None]] = {}
    for target in targets:
        if target.component is not None:
            sides.setdefault(target.component, set()).add(target.side)
    facts = component_facts(sorted(sides)) if sides else None
    return Match(
        issuer=issuer,
        number=known.printed[normal],
        kind=own[0].kind if own else "other",
        targets=targets,
        current=_linked(known.chain.current(normal), known),
        replaces=_linked(known.chain.replaces(normal), known),
        replaced_by=_linked(known.chain.replaced_by(normal), known),
        links=_links(known),
        cars=cars_with(facts, sides) if facts else (),
        upgrades=upgrades_of(facts, sides) if facts else (),
        fasteners=_fasteners(normal),
    )


def _targets(known: NumberChain, normal: str) -> tuple[Target, ...]:
    """The number's own targets, else those of the nearest numbers forwards that have any."""

    def has_target(form: str) -> bool:
        return any(row.has_target for row in known.rows.get(form, ()))

    sources = [normal] if has_target(normal) else known.chain.nearest_forwards(normal, has_target)
    return tuple(
        _target(row, None if form == normal else known.printed[form])
        for form in sources
        for row in known.rows[form]
        if row.has_target
    )


def _target(row: NumberRow, via: str | None) -> Target:
    return Target(component=row.component, part=row.part, revision=row.revision, side=row.side, via=via)


def _linked(reached: dict[str, bool], known: NumberChain) -> tuple[Linked, ...]:
    return tuple(Linked(known.printed[form], rework) for form, rework in sorted(reached.items()))


def _links(known: NumberChain) -> tuple[tuple[str, str, str], ...]:
    chain: Chain = known.chain
    return tuple((known.printed[step.old], known.printed[step.new], step.exchange) for step in chain.steps)


def _fasteners(normal: str) -> tuple[FastenerUse, ...]:
    rows = Fastener.objects.filter(normal=normal).values_list("operation__axle__code", "operation__code", "code")
    return tuple(FastenerUse(*row) for row in rows.order_by("operation__axle__code", "operation__code", "code"))


def read_stamp(text: str, viewer: Role) -> StampAnswer | None:
    """What a stamp says, or None where the text is none or names a revision the viewer may not know of."""
    stamp = parse_stamp(text)
    if stamp is None:
        return None
    revision = _stamped(stamp, viewer).select_related("part").first()
    return None if revision is None else _stamp(revision, stamp, viewer)


def is_stamp(text: str, viewer: Role) -> bool:
    """Whether a text is a stamp of a revision that the viewer may know of (one query)."""
    stamp = parse_stamp(text)
    return stamp is not None and _stamped(stamp, viewer).exists()


def _stamped(stamp: Stamp, viewer: Role) -> QuerySet[Revision]:
    return visible_revisions(viewer).filter(part__code__iexact=stamp.part, letter__iexact=stamp.letter)


def _stamp(revision: Revision, stamp: Stamp, viewer: Role) -> StampAnswer:
    part = revision.part
    rules = list(visible_rules(viewer).filter(part=part).select_related("other").order_by("rule", "other__code"))
    letters = {row.letter: row.exchange for row in part.revisions.all()}
    seen = set(visible_revisions(viewer).filter(part=part).values_list("letter", flat=True))
    alone = any(rule.rule == Rule.SAME_REVISION for rule in rules)
    pairs = [letter for letter in pairs_with(revision.letter, letters, same_revision=alone) if letter in seen]
    return StampAnswer(
        part=part.code,
        revision=revision.letter,
        batch=stamp.batch,
        status=revision.status,
        holds=_open_holds(revision.holds.all(), stamp.batch, viewer),
        pairs_with=tuple(sorted(pairs, key=letter_order)),
        rules=tuple(_rule(rule) for rule in rules),
    )


def _open_holds(holds: Iterable[Hold], batch: str, viewer: Role) -> tuple[HoldNote, ...]:
    """The open holds on a batch; without one, all open holds of the revision. Causes are for staff."""
    rows = [
        hold
        for hold in holds
        if hold.closed_on is None and (not batch or batch_is_held(batch, hold.batch_from, hold.batch_to))
    ]
    return tuple(
        HoldNote(
            batch_from=hold.batch_from,
            batch_to=hold.batch_to,
            look_for=hold.look_for,
            opened_on=hold.opened_on,
            cause=hold.cause if viewer.is_staff else None,
        )
        for hold in sorted(rows, key=lambda hold: (hold.opened_on, hold.batch_from))
    )


def _rule(rule: PartRule) -> RuleNote:
    return RuleNote(rule=rule.rule, other=rule.other.code if rule.other else None, note=rule.note)
