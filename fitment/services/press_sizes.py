"""The sizes that press tools are made from: of the revision ordered, and of the joint it replaces on the car shown."""

from collections.abc import Sequence

from catalog.models import Component, Revision, Seat
from fitment.job.press_tools import PressSizes
from fitment.job.procedures import Goal
from fitment.rules.possible_cars import Rooms


def press_sizes(goals: Sequence[tuple[Goal, str]], rooms: Rooms) -> dict[str, PressSizes]:
    """By goal name, of the pressed parts only; goals come with the axle of the car shown (two queries).

    Where several original joints may sit at the place the tools suit all: widest bore, smallest eye.
    """
    letters = {(goal.part.code, goal.part.revision) for goal, _ in goals}
    revisions = {
        (row.part.code, row.letter): row
        for row in Revision.objects.filter(
            part__code__in=[code for code, _ in letters], part__seat=Seat.PRESSED
        ).select_related("part")
        if (row.part.code, row.letter) in letters
    }
    pressed = [(goal, axle) for goal, axle in goals if (goal.part.code, goal.part.revision) in revisions]
    if not pressed:
        return {}
    at = {goal.name: _components(goal, axle, rooms) for goal, axle in pressed}
    named = {code for codes in at.values() for code in codes}
    components = {row.code: row for row in Component.objects.filter(code__in=named)}
    return {
        goal.name: _sizes(
            revisions[goal.part.code, goal.part.revision],
            [components[code] for code in at[goal.name] if code in components],
        )
        for goal, _ in pressed
    }


def _components(goal: Goal, axle: str, rooms: Rooms) -> set[str]:
    """The original joints at the place that the revision is approved for."""
    part = rooms.facts.parts[goal.part.code]
    revision = next(one for one in part.revisions if one.letter == goal.part.revision)
    joints = rooms.facts.axles[axle].joints.get(goal.location, ())
    return {joint.component for joint in joints} & {
        component
        for component, decisions in revision.decisions.items()
        if any(one.decision == "approved" for one in decisions)
    }


def _sizes(revision: Revision, components: Sequence[Component]) -> PressSizes:
    bores = [row.bore_max_mm for row in components if row.bore_max_mm is not None]
    eyes = [row.arm_outside_mm for row in components if row.arm_outside_mm is not None]
    return PressSizes(
        body_min=revision.outside_min_mm,
        body_max=revision.outside_max_mm,
        bore_max=max(bores, default=None),
        eye=min(eyes, default=None),
    )
