"""What recorded jobs teach about an axle, with today's facts."""

from collections.abc import Iterable, Iterator
from fractions import Fraction

from catalog.codes import Role
from fitment.domain.description import Description, Question
from fitment.domain.procedures import Goal, Workshop
from fitment.errors import FitmentError
from fitment.job.job_cars import job_cars
from fitment.job.job_plan import sides_of
from fitment.job.labour import Factor, RecordedJob, axle_factors
from fitment.query.job_parameters import PartAsked
from fitment.readers.editions import at_edition, kept_for_edition
from fitment.readers.procedures import JobTimeFacts, parts_of, read_job_times, workshop_of
from fitment.services.fit.answering import possible_space
from fitment.services.jobs.ordered_parts import order_parts


def factors_of(axles: Iterable[str]) -> dict[str, Factor]:
    """The factor of each axle; kept until the edition or the count of job times moves on."""
    with at_edition() as current:
        return {axle: _factor(axle, current.job_time_count) for axle in axles}


@kept_for_edition(entries=512)
def _factor(axle: str, job_times: int) -> Factor:
    workshop = workshop_of((axle,))
    jobs = list(_jobs(axle, workshop, read_job_times([axle])))
    return axle_factors(workshop, jobs, [axle])[axle]


def _jobs(axle: str, workshop: Workshop, rows: Iterable[JobTimeFacts]) -> Iterator[RecordedJob]:
    for row in rows:
        asked = [PartAsked(part, None, end or None, location or None) for part, end, location in row.parts]
        codes = tuple(sorted({one.part for one in asked}))
        try:
            space = possible_space(Question(car=Description(variant=row.variant), parts=codes))
            ordered = order_parts(space, asked, Role.PUBLIC)
            ends = {one.place[0] for one in ordered}
            if len(ends) != 1 or not any(region.variant.axle(end) == axle for region in space for end in ends):
                continue
            cars = job_cars(space, [one.case for one in ordered], workshop)
        except FitmentError:
            # a scope that is no job today teaches nothing
            continue
        parts = parts_of(codes, (axle,))
        yield RecordedJob(
            cars=tuple(cars),
            goals=tuple(Goal(parts.part(one.part.code, one.revision.letter), *one.place) for one in ordered),
            sides=sides_of(row.side),
            equipment=workshop.pieces(row.equipment.split()),
            after_work=row.after_work,
            minutes=Fraction(row.minutes),
            car=row.car,
        )
