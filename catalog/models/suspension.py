"""Suspension layouts, the executions of them, and the original joint at each place."""

from django.db import models

from catalog.codes import End, LinkEnd, LinkRole, Per
from catalog.models.constraints import at_least_one, filled, flat, in_order, key, not_negative, one_of
from catalog.models.fields import Choice, Code, Count, Day, Link, Measure, Owner, Text


class Topology(models.Model):
    """A suspension layout of one end of the car."""

    code = Code()
    end = Choice(End.choices)
    title = Text()
    note = Text()

    class Meta:
        verbose_name_plural = "topologies"
        constraints = flat(key("code"), filled("code", "end", "title"), one_of("end", End))

    def __str__(self) -> str:
        return self.code


class Location(models.Model):
    """A joint of a topology. One code at one end of the car means the same everywhere (checked on load)."""

    topology = Owner("catalog.Topology", "locations")
    code = Code()
    link = Code()
    link_end = Choice(LinkEnd.choices)
    title = Text()
    role = Choice(LinkRole.choices)
    in_range = models.BooleanField(default=False)
    also_called = Text()

    class Meta:
        constraints = flat(
            key("topology", "code"),
            filled("code", "link", "link_end", "title", "role"),
            one_of("link_end", LinkEnd),
            one_of("role", LinkRole),
        )

    def __str__(self) -> str:
        return self.code


class Axle(models.Model):
    """One suspension execution; variants, even of several platforms, share it."""

    code = Code()
    end = Choice(End.choices)
    topology = Link("catalog.Topology", "axles")
    title = Text()

    class Meta:
        constraints = flat(key("code"), filled("code", "end"), one_of("end", End))

    def __str__(self) -> str:
        return self.code


class AxleLocation(models.Model):
    """What an axle says of one location: pieces, the movement asked, the force it must hold."""

    axle = Owner("catalog.Axle", "axle_locations")
    location = Link("catalog.Location", "axle_locations")
    pieces = Count()
    per = Choice(Per.choices)
    rotation_deg = Measure(4)
    tilt_deg = Measure(4)
    static_tilt_deg = Measure(4)
    retention_n = Measure(3)

    class Meta:
        constraints = flat(
            key("axle", "location"),
            at_least_one("pieces"),
            one_of("per", Per),
            not_negative("rotation_deg", "tilt_deg", "retention_n"),
        )

    def __str__(self) -> str:
        return f"{self.axle} {self.location}"


class Joint(models.Model):
    """A component at a location of an axle, in a production window and under conditions."""

    axle = Owner("catalog.Axle", "joints")
    location = Link("catalog.Location", "joints")
    component = Link("catalog.Component", "joints")
    built_from = Day()
    built_to = Day()
    conditions = Text()
    alternative = models.BooleanField(default=False)
    tell_apart = Text()

    class Meta:
        constraints = flat(
            key("axle", "location", "component", "built_from", "conditions", nulls_equal=True),
            in_order("built_from", "built_to"),
        )

    def __str__(self) -> str:
        return f"{self.axle} {self.location} {self.component}"
