"""Topologies, locations and axles."""

from typing import Any

from rest_framework import serializers

from api.serializers.base import Count, Day, Figure, Groups, Href, Row, Text, Word
from catalog.models import Way


class LocationSerializer(Row):
    """A joint of a topology."""

    table = "locations"
    topology = Text(source="topology.code")
    end = Text(source="topology.end")
    location = Text(source="code")
    link = Text()
    link_end = Text()
    title = Text()
    role = Text()
    in_range = serializers.BooleanField(help_text="Whether our range covers it.")
    also_called = Text()
    href = Href("locations", "topology.code", "code")


class LocationOfTopologySerializer(Row):
    """A joint of this topology."""

    table = "topologies.locations"
    location = Text(source="code")
    link = Text()
    link_end = Text()
    title = Text()
    role = Text()
    in_range = serializers.BooleanField()
    also_called = Text()
    href = Href("locations", "topology.code", "code")


class TopologySerializer(Row):
    """A suspension layout of one end of the car."""

    table = "topologies"
    topology = Text(source="code")
    end = Text()
    title = Text()
    note = Text()
    href = Href("topologies", "code")


class TopologyDetailSerializer(TopologySerializer):
    """A suspension layout with its joints."""

    table = "topologies.detail"
    locations = LocationOfTopologySerializer(many=True)


class AxleSerializer(Row):
    """One suspension execution."""

    table = "axles"
    axle = Text(source="code")
    end = Text()
    topology = Text(source="topology.code")
    title = Text()
    href = Href("axles", "code")


class AxleLocationSerializer(Row):
    """What the axle says of one location: degrees each way, newtons."""

    table = "axles.axle_locations"
    location = Text(source="location.code")
    pieces = Count()
    per = Word()
    rotation_deg = Figure()
    tilt_deg = Figure()
    static_tilt_deg = Figure()
    retention_n = Figure()


class JointSerializer(Row):
    """An original joint at a location, in a window and under conditions."""

    table = "axles.joints"
    location = Text(source="location.code")
    component = Text(source="component.code")
    built_from = Day()
    built_to = Day()
    conditions = Text()
    alternative = serializers.BooleanField()
    tell_apart = Text()


def operations_of(way: Way) -> list[list[str]]:
    """The groups of a way: each is met by one of its operations."""
    return grouped((row.group, row.position, row.operation.code) for row in way.operation_rows.all())


def grouped(rows: Any) -> list[list[str]]:
    """Codes by group, from (group, position, code).

    >>> grouped([(1, 0, "b"), (0, 1, "c"), (0, 0, "a")])
    [['a', 'c'], ['b']]
    """
    groups: dict[int, list[str]] = {}
    for group, _, code in sorted(rows):
        groups.setdefault(group, []).append(code)
    return list(groups.values())


class WaySerializer(Row):
    """One way in to a joint."""

    table = "axles.ways"
    location = Text(source="location.code")
    way = Text(source="code")
    operations = Groups(of=operations_of)
    piece_out = serializers.BooleanField(help_text="Whether the piece comes out of the car.")


class AxleDetailSerializer(AxleSerializer):
    """One suspension execution with its joints and the ways in to them."""

    table = "axles.detail"
    axle_locations = AxleLocationSerializer(many=True)
    joints = JointSerializer(many=True)
    ways = WaySerializer(many=True)
