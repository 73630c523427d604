"""An engineer's word on a revision and a component, and the developers' word on a place."""

from django.db import models

from catalog.codes import Decision, Position
from catalog.models.constraints import filled, flat, key, one_of
from catalog.models.fields import Choice, Link, Measure, Owner, Text


class FitDecision(models.Model):
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
        constraints = flat(
            key("revision", "component", "conditions", "decision"), filled("decision"), one_of("decision", Decision)
        )

    def __str__(self) -> str:
        return f"{self.revision} {self.component} {self.decision}"


class Stance(models.Model):
    """The standing word on an axle and location: wanted, in work, not offered."""

    axle = Owner("catalog.Axle", "stances")
    location = Link("catalog.Location", "stances")
    stance = Choice(Position.choices)
    reason = Text()
    next_step = Text()

    class Meta:
        constraints = flat(key("axle", "location"), filled("stance"), one_of("stance", Position))

    def __str__(self) -> str:
        return f"{self.axle} {self.location} {self.stance}"
