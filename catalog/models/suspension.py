"""Suspension layouts, the executions of them, and the original joint at each place."""

from django.db import models

from catalog.codes import End, LinkEnd, LinkRole, Per
from catalog.models.bases import Coded, Fact
from catalog.models.constraints import constraints_of
from catalog.models.fields import Choice, Code, Count, Day, Link, Measure, Owner, Text
from catalog.sheets.suspension import AXLE_LOCATIONS, AXLES, JOINTS, LOCATIONS, TOPOLOGIES


class Topology(Coded):
    """A suspension layout of one end of the car."""

    end = Choice(End.choices)
    title = Text()
    note = Text()

    class Meta:
        verbose_name_plural = "topologies"
        constraints = constraints_of(TOPOLOGIES)


class Location(Coded):
    """A joint of a topology. One code at one end of the car means the same everywhere (checked on load)."""

    topology = Owner("catalog.Topology", "locations")
    link = Code()
    link_end = Choice(LinkEnd.choices)
    title = Text()
    role = Choice(LinkRole.choices)
    in_range = models.BooleanField(default=False)
    also_called = Text()

    class Meta:
        constraints = constraints_of(LOCATIONS)


class Axle(Coded):
    """One suspension execution; variants, even of several platforms, share it."""

    end = Choice(End.choices)
    topology = Link("catalog.Topology", "axles")
    title = Text()

    class Meta:
        constraints = constraints_of(AXLES)


class AxleLocation(Fact):
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
        constraints = constraints_of(AXLE_LOCATIONS)


class Joint(Fact):
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
        constraints = constraints_of(JOINTS)
