"""Which parts are answered at which places. Pure."""

from fitment.domain.description import Question
from fitment.domain.facts import Facts, Part, Place
from fitment.rules.places import PlaceOccupants

DECIDED = ("approved", "rejected")


def listed(
    facts: Facts, question: Question, occupants: dict[Place, PlaceOccupants], *, staff: bool
) -> list[tuple[Part, Place | None]]:
    """The parts and places to answer; a part asked for that sits nowhere has the place None.

    Unasked, a part is listed where a visible revision is approved or rejected for a component that some possible
    car has there. Asked for by name it is answered wherever the catalogue places such a component (for staff: one
    that any revision has any decision on).
    """
    found: list[tuple[Part, Place | None]] = []
    for part in facts.parts.values():
        if question.parts and part.code not in question.parts:
            continue
        if question.duties and part.duty not in question.duties:
            continue
        if question.technologies and part.technology not in question.technologies:
            continue
        if question.parts:
            places = named_places(facts, part, staff=staff)
            if not places:
                found.append((part, None))
        else:
            components = decided_components(part)
            places = {place for place, view in occupants.items() if not components.isdisjoint(view.components)}
        found.extend((part, place) for place in sorted(places) if _asked_about(place, question))
    return found


def named_places(facts: Facts, part: Part, *, staff: bool) -> set[Place]:
    """Every place of the catalogue at which a part asked for by name is answered."""
    components = any_components(part) if staff else decided_components(part)
    return {place for component in components for place in facts.placements.get(component, ())}


def decided_components(part: Part) -> set[str]:
    """The components that a visible revision is approved or rejected for, whatever the conditions."""
    return {
        component
        for revision in part.revisions
        if revision.visible
        for component, decisions in revision.decisions.items()
        if any(decision.decision in DECIDED for decision in decisions)
    }


def any_components(part: Part) -> set[str]:
    """The components that any revision has any decision on."""
    return {component for revision in part.revisions for component in revision.decisions}


def _asked_about(place: Place, question: Question) -> bool:
    end, location = place
    return (not question.ends or end in question.ends) and (not question.locations or location in question.locations)
