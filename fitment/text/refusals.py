"""The words of what cannot be answered, for API and pages alike. Pure."""

from collections.abc import Sequence

from fitment.errors import (
    DoesNotFit,
    Excluded,
    NoCommonCar,
    NoPlan,
    NoPossibleCar,
    OneJointTwice,
    OnHold,
    Refusal,
    SeveralPlaces,
    SeveralPlatforms,
)
from fitment.text.fit import verdict_words


def refusal_words(refusal: Refusal) -> str:
    """Why a question has no answer, in one sentence without its full stop.

    >>> refusal_words(NoCommonCar(["LM-210", "LM-230@B"]))
    'No car fits all of these together: LM-210, LM-230@B'
    """
    match refusal:
        case NoPossibleCar():
            return f"No car meets these together: {', '.join(refusal.fields) or 'the catalogue has no car'}"
        case SeveralPlatforms():
            return "The car may still be of several platforms; state more of it"
        case OneJointTwice():
            return f"{refusal.other} and {_code(refusal.part)} would both sit at {refusal.place}; choose one"
        case Excluded():
            return f"{refusal.other} and {_code(refusal.part)} are not fitted to one car"
        case SeveralPlaces():
            return f"{_code(refusal.part)} fits several places of this car; say which"
        case OnHold():
            look_for = "; ".join(hold.look_for for hold in refusal.holds)
            return f"{_code(refusal.part)}-{refusal.revision} is on hold; look for: {look_for}"
        case DoesNotFit():
            part = refusal.part.partition(":")[0].replace("@", "-")
            return f"{part} fits none of these cars: {verdict_words(refusal.verdict).lower()}"
        case NoCommonCar():
            return f"No car fits all of these together: {', '.join(refusal.parts)}"
        case NoPlan():
            return "There is no way in with this equipment"
    return "Too many possibilities are left; state more of the car"


def refusal_errors(refusal: Refusal) -> list[tuple[str, str]]:
    """What is wrong, field by field, with what would be right."""
    match refusal:
        case NoPossibleCar():
            return [(field, "no car meets this together with the other facts named here") for field in refusal.fields]
        case OneJointTwice() | Excluded():
            return [("part", refusal.part)]
        case SeveralPlaces():
            return [("part", f"write {refusal.part}:{place}") for place in refusal.places]
        case OnHold():
            return [("part", f"{refusal.part}: on hold")]
        case DoesNotFit():
            at = [f"{verdict_words(one.verdict).lower()} at {one.place}" for one in refusal.places]
            return [("part", f"{refusal.part}: {words}") for words in at or [verdict_words(refusal.verdict).lower()]]
        case NoPlan():
            return [(goal, _opened_by(sets)) for goal, sets in refusal.opens.items()]
    return []


def _code(part: str) -> str:
    """The code of a part as it was asked for: `LM-210@B:front.tie_rod.outer` is of LM-210."""
    return part.partition(":")[0].partition("@")[0]


def _opened_by(sets: Sequence[Sequence[str]]) -> str:
    if not sets:
        return "no way in is recorded that any equipment would open"
    return "would be opened by " + "; or ".join(" and ".join(codes) for codes in sets)
