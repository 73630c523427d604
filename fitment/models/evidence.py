"""What engineers decided, what was tried, measured and timed, and what was asked without an answer."""

from django.db import models

from catalog.codes import Decision, Outcome, Position, Side, SpringKind
from catalog.models.bases import Fact, ListedItem
from catalog.models.constraints import constraints_of, key
from catalog.models.fields import Choice, Code, Count, Day, Figure, Link, Measure, Owner, Text
from fitment.sheets.evidence import (
    ENQUIRIES,
    FIT_DECISIONS,
    HARDPOINTS,
    JOB_TIMES,
    MEASUREMENTS,
    STANCES,
    TEST_FITS,
    WHEELS,
)


class FitDecision(Fact):
    """That a revision replaces a component: approved, rejected or proposed; orientation in degrees."""

    revision = Owner("catalog.Revision", "fit_decisions")
    component = Link("catalog.Component", "fit_decisions")
    conditions = Text()
    decision = Choice(Decision.choices)
    decided_on = models.DateField()
    orientation_deg = Measure(4)
    orientation_from = Text()
    remark = Text()

    class Meta:
        constraints = constraints_of(FIT_DECISIONS)


class Stance(Fact):
    """The standing word on an axle and location: wanted, in work, not offered."""

    axle = Owner("catalog.Axle", "stances")
    location = Link("catalog.Location", "stances")
    stance = Choice(Position.choices)
    reason = Text()
    next_step = Text()

    class Meta:
        constraints = constraints_of(STANCES)


class TestFit(Fact):
    """A revision tried on a real car."""

    __test__ = False  # the name is the trade's; pytest would collect the class

    ref = Code()
    revision = Owner("catalog.Revision", "test_fits")
    variant = Link("catalog.Variant", "test_fits")
    axle = Link("catalog.Axle", "test_fits")
    location = Link("catalog.Location", "test_fits")
    component = Link("catalog.Component", "test_fits")
    side = Choice(Side.choices)
    done_on = models.DateField()
    outcome = Choice(Outcome.choices)
    findings = Text()
    serial = Text()
    holder = Text()
    out_on = Day()
    back_on = Day()
    km = Count()

    class Meta:
        constraints = constraints_of(TEST_FITS)


class JobTime(Fact):
    """Minutes taken for a stated scope; the car is a pseudonym, never a number plate or VIN."""

    ref = Code()
    variant = Link("catalog.Variant", "job_times")
    side = Choice(Side.choices)
    equipment = Text()
    after_work = models.BooleanField()
    minutes = Figure(4)
    done_on = models.DateField()
    car = Code(blank=True, default="")

    class Meta:
        constraints = constraints_of(JOB_TIMES)


class JobTimePart(ListedItem):
    """One part of the scope of a job time, with end and location where stated."""

    job_time = Owner("fitment.JobTime", "part_rows")
    part = Link("catalog.Part", "job_time_rows")
    end = Code(blank=True, default="")
    location = Code(blank=True, default="")

    class Meta:
        constraints = [key("job_time", "position")]


class Measurement(Fact):
    """A dimension of a component on samples: mean, spread and instrument uncertainty (k = 1) in mm."""

    component = Owner("catalog.Component", "measurements")
    feature = Code()
    measured_on = models.DateField()
    mean_mm = Figure(6)
    samples = models.IntegerField()
    spread_mm = Measure(6)
    uncertainty_mm = Figure(6)

    class Meta:
        constraints = constraints_of(MEASUREMENTS)


class Hardpoint(Fact):
    """The ends of a link of the left corner (ISO 8855: x forward, y left, z up), mm."""

    axle = Owner("catalog.Axle", "hardpoints")
    link = Code()
    inner_x = Figure(4)
    inner_y = Figure(4)
    inner_z = Figure(4)
    outer_x = Figure(4)
    outer_y = Figure(4)
    outer_z = Figure(4)
    inner_location = Code(blank=True, default="")
    outer_location = Code(blank=True, default="")

    class Meta:
        constraints = constraints_of(HARDPOINTS)


class Wheel(Fact):
    """Wheel contact, wheel centre and spring of the left corner (ISO 8855), mm; top mount in N/mm."""

    axle = models.OneToOneField("catalog.Axle", on_delete=models.CASCADE, related_name="wheel")
    contact_x = Figure(4)
    contact_y = Figure(4)
    contact_z = Figure(4)
    centre_z = Figure(4)
    spring_kind = Choice(SpringKind.choices)
    spring_link = Code(blank=True, default="")
    spring_top_x = Figure(4)
    spring_top_y = Figure(4)
    spring_top_z = Figure(4)
    spring_low_x = Figure(4)
    spring_low_y = Figure(4)
    spring_low_z = Figure(4)
    top_mount_n_mm = Measure(3)

    class Meta:
        constraints = constraints_of(WHEELS, keyed=False)

    def __str__(self) -> str:
        return str(self.axle)


class Enquiry(Fact):
    """A question that found no answer, counted by day: the car as far as known, a place or a number.

    Codes are kept as text, so that the demand outlives the rows it names. No personal data.
    """

    asked_on = models.DateField()
    maker = Code(blank=True, default="")
    chassis = Code(blank=True, default="")
    variant = Code(blank=True, default="")
    location = Code(blank=True, default="")
    number = Code(blank=True, default="")
    count = models.IntegerField(default=1)

    class Meta:
        verbose_name_plural = "enquiries"
        constraints = constraints_of(ENQUIRIES)
