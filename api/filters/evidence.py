"""Lists of decisions and evidence."""

from api.filters.base import Choice, Day, Filters, Word, YesNo, rows_of
from catalog.codes import Decision, Measurable, Outcome, Position, Side
from catalog.models import Axle, Component, Location, Part, Revision, Variant
from fitment.models import JobTime, TestFit

parts, revisions, components, variants = map(rows_of, (Part, Revision, Component, Variant))
axles, locations, test_fits, job_times = map(rows_of, (Axle, Location, TestFit, JobTime))


class FitDecisionFilters(Filters):
    part = Word("revision__part__code", parts, text="Its part.")
    revision = Word("revision__letter", revisions, "letter", text="Its revision.")
    component = Word("component__code", components, text="Its component.")
    decision = Choice("decision", Decision.values, text="What was decided.")


class TestFitFilters(Filters):
    __test__ = False  # the name is the trade's; pytest would collect the class
    ref = Word("ref", test_fits, "ref", text="Its reference.")
    part = Word("revision__part__code", parts, text="Its part.")
    revision = Word("revision__letter", revisions, "letter", text="Its revision.")
    variant = Word("variant__code", variants, text="The car.")
    axle = Word("axle__code", axles, text="The axle.")
    location = Word("location__code", locations, text="The location.")
    component = Word("component__code", components, text="The component it was tried on.")
    outcome = Choice("outcome", Outcome.values, text="How it went.")
    side = Choice("side", Side.values, text="The side of the car.")


class JobTimeFilters(Filters):
    ref = Word("ref", job_times, "ref", text="Its reference.")
    variant = Word("variant__code", variants, text="The car.")
    part = Word("part_rows__part__code", parts, text="Jobs with this part.", distinct=True)
    side = Choice("side", Side.values, text="The side done.")
    after_work = YesNo("after_work", text="Whether after-work is counted.")


class MeasurementFilters(Filters):
    component = Word("component__code", components, text="Its component.")
    feature = Choice("feature", Measurable.values, text="What was measured.")
    measured_on = Day("measured_on", text="Measured on this day.")


class StanceFilters(Filters):
    axle = Word("axle__code", axles, text="The axle.")
    location = Word("location__code", locations, text="The location.")
    stance = Choice("stance", Position.values, text="The stance.")
