"""The sizes that press tools are made from: of the revision ordered, and of the joint it replaces on the car shown."""

from collections.abc import Iterable, Sequence
from decimal import Decimal

from catalog.codes import Seat, Status
from fitment.domain.interfaces import ComponentInterface, RevisionInterface
from fitment.domain.procedures import Goal
from fitment.engineering.pressed import press_in_force, press_of
from fitment.job.tools import PressSizes
from fitment.readers.interfaces import read_component_sizes, read_revisions
from fitment.rules.possible_cars import CarSpace


def press_sizes(goals: Sequence[tuple[Goal, str]], space: CarSpace) -> dict[str, PressSizes]:
    """By goal name, of the pressed parts only; goals come with the axle of the car shown (four queries).

    Where several original joints may sit at the place the tools suit all: widest bore, smallest eye, greatest force.
    """
    parts = {goal.part.code for goal, _ in goals}
    revisions = {
        (one.part, one.letter): one for one in read_revisions(parts, Status.values) if one.seat == Seat.PRESSED
    }
    pressed = [(goal, axle) for goal, axle in goals if (goal.part.code, goal.part.revision) in revisions]
    if not pressed:
        return {}
    at = {goal.name: _components(goal, axle, space) for goal, axle in pressed}
    known = read_component_sizes({code for codes in at.values() for code in codes})
    return {
        goal.name: _sizes(
            revisions[goal.part.code, goal.part.revision],
            [known[code].component for code in sorted(at[goal.name]) if code in known],
        )
        for goal, _ in pressed
    }


def _components(goal: Goal, axle: str, space: CarSpace) -> set[str]:
    """The original joints at the place that the revision is approved for."""
    part = space.facts.parts[goal.part.code]
    revision = next(one for one in part.revisions if one.letter == goal.part.revision)
    joints = space.facts.axles[axle].joints.get(goal.location, ())
    return {joint.component for joint in joints} & {
        component
        for component, decisions in revision.decisions.items()
        if any(one.decision == "approved" for one in decisions)
    }


def _sizes(revision: RevisionInterface, components: Sequence[ComponentInterface]) -> PressSizes:
    outside = revision.outside
    return PressSizes(
        body_min=None if outside is None else _size(outside.low),
        body_max=None if outside is None else _size(outside.high),
        bore_max=max((_size(one.bore.high) for one in components if one.bore is not None), default=None),
        eye=min((_size(one.arm_outside_mm) for one in components if one.arm_outside_mm is not None), default=None),
        force=max(_forces(revision, components), default=None),
    )


def _forces(revision: RevisionInterface, components: Sequence[ComponentInterface]) -> Iterable[float]:
    for component in components:
        press, _ = press_of(component, revision)
        force = None if press is None else press_in_force(press)
        if force is not None:
            yield force


def _size(mm: float) -> Decimal:
    return Decimal(str(mm))
