"""An engineer's word on a revision and a component, and the developers' word on a place."""

from django.db import models

from catalog.codes import Decision, Position
from catalog.models.bases import Fact
from catalog.models.constraints import constraints_of
from catalog.models.fields import Choice, Link, Measure, Owner, Text
from fitment.sheets.decisions import FIT_DECISIONS, STANCES


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
