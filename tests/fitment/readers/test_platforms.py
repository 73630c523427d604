"""The reader gives the rules exactly the facts that were written."""

from dataclasses import asdict
from random import Random

import pytest

from fitment.domain.description import Description
from fitment.domain.facts import Facts
from fitment.models import TestFit
from fitment.readers.platforms import all_cars_facts, cars_facts, part_facts, platform_facts
from tests import factories
from tests.fitment.rules import small_catalogues

pytestmark = pytest.mark.django_db


def write(facts: Facts) -> None:
    """Every fact as a row."""
    factories.catalogue(as_of=facts.as_of)
    for one in facts.options.values():
        factories.option(one.code, group=one.group, required=one.required)
    axles = {code: _axle(facts, code) for code in facts.axles}
    for one in facts.variants:
        factories.variant(
            one.code, platform=factories.platform(one.chassis, of=one.maker), designation=one.designation,
            body=one.body, engine=one.engine, drivetrain=one.drivetrain, steering=one.steering, market=one.market,
            built_from=one.built_from, built_to=one.built_to, front_axle=axles.get(one.front_axle),
            rear_axle=axles.get(one.rear_axle), options=" ".join(one.options), standard=" ".join(one.standard),
            in_operation=one.in_operation,
        )  # fmt: skip
    for one in facts.parts.values():
        technology = factories.technology(one.technology)
        factories.part(one.code, duty=one.duty, technology=technology)
        for each in one.revisions:
            _revision(one.code, each, axles)


def _axle(facts, code):
    one = facts.axles[code]
    topology = factories.topology(f"layout of {code}".replace(" ", "_"), end=one.end)
    made = factories.axle(code, of=topology)
    for location, in_range in one.locations.items():
        place = factories.location(location, topology=topology, in_range=in_range)
        keys = set()
        for joint in one.joints[location]:
            key = (joint.component, joint.window.first, str(joint.conditions))
            if key not in keys:
                keys.add(key)
                factories.joint(
                    joint.component, on=made, at=place, built_from=joint.window.first, built_to=joint.window.last,
                    conditions=str(joint.conditions), alternative=joint.alternative,
                )  # fmt: skip
    return made


def _revision(part, one, axles):
    made = factories.revision(part, one.letter, one.status, exchange=one.exchange)
    if one.held:
        factories.hold(made)
    factories.hold(made, batch_from="9", batch_to="12")
    for component, decisions in one.decisions.items():
        for each in _by_key(decisions):
            factories.decision(made, component, each.decision, each.decided_on, conditions=str(each.conditions))
    for component, tests in one.tests.items():
        for number, test in enumerate(tests):
            driven = factories.variant(
                f"{test.drivetrain}-{test.steering}", platform=factories.platform("TEST", of="TEST"),
                drivetrain=test.drivetrain, steering=test.steering,
            )  # fmt: skip
            axle = axles[test.axle]
            TestFit.objects.create(
                ref=f"{part}{one.letter}{component}{number}", revision=made, variant=driven, axle=axle,
                location=axle.topology.locations.get(code=test.location), component=factories.component(component),
                done_on=test.done_on, outcome="passed" if test.passed else "failed",
            )  # fmt: skip


def _by_key(decisions):
    """A key has one row: the first of the random ones."""
    return {(each.decision, str(each.conditions)): each for each in reversed(decisions)}.values()


def _parts(facts, components=None):
    """What is compared of parts: everything of their revisions, decisions without order."""
    return {
        code: [
            (
                each.letter, each.status, each.held, each.exchange, len(each.holds),
                {
                    name: sorted((one.decision, one.decided_on, str(one.conditions)) for one in _by_key(several))
                    for name, several in each.decisions.items()
                    if components is None or name in components
                },
                {
                    name: sorted(several, key=str)
                    for name, several in each.tests.items()
                    if components is None or name in components
                },
            )
            for each in part.revisions
        ]
        for code, part in facts.items()
    }  # fmt: skip


@pytest.mark.parametrize("seed", range(6))
def test_facts_are_read_as_they_were_written(seed):
    facts = small_catalogues.catalogue(Random(seed))
    write(facts)
    for maker, chassis in {(one.maker, one.chassis) for one in facts.variants}:
        read = platform_facts(maker, chassis)
        variants = [one for one in facts.variants if (one.maker, one.chassis) == (maker, chassis)]
        written = sorted(variants, key=lambda one: one.code)
        assert list(map(asdict, read.variants)) == list(map(asdict, written))
        assert set(read.axles) == {one.axle(end) for one in variants for end in ("front", "rear")} - {None}
        components = set()
        for code, axle in read.axles.items():
            assert axle.end == facts.axles[code].end
            assert axle.locations == facts.axles[code].locations
            for location, joints in facts.axles[code].joints.items():
                keys = {(one.component, one.window.first, str(one.conditions)): one for one in reversed(joints)}
                assert sorted(axle.joints.get(location, ()), key=str) == sorted(keys.values(), key=str)
                components |= {one.component for one in joints}
        used = {code for one in variants for code in one.options | one.standard}
        assert {code: (one.group, one.required) for code, one in read.options.items()} == {
            code: (facts.options[code].group, facts.options[code].required) for code in used
        }
        assert read.as_of == facts.as_of
        decided = {
            code: part
            for code, part in facts.parts.items()
            if any(components & set(each.decisions) for each in part.revisions)
        }
        expected = _parts(decided, components)
        found = _parts(read.parts, components)
        for code, rows in expected.items():
            # The batch hold that every revision has here, and the one on the whole revision where it is held.
            expected[code] = [(*row[:4], 2 if row[2] else 1, *row[5:]) for row in rows]
        assert found == expected


def test_a_part_by_name_has_all_its_decisions_and_their_places():
    facts = small_catalogues.catalogue(Random(3))
    write(facts)
    parts, placements = part_facts(["P1", "nothing"])
    assert set(parts) == {"P1"}
    decided = {component for each in facts.parts["P1"].revisions for component in each.decisions}
    assert {name for each in parts["P1"].revisions for name in each.decisions} == decided
    assert placements == {name: facts.placements[name] for name in decided & facts.placements.keys()}


def test_cars_of_many_platforms_are_read_without_what_no_question_needs():
    facts = small_catalogues.catalogue(Random(3))
    write(facts)
    everything = all_cars_facts(Description())
    assert {one.code for one in facts.variants} <= {one.code for one in everything.variants}
    assert not any(axle.joints for axle in everything.axles.values())
    one = facts.variants[0]
    stated = Description(body=one.body, components=((("front", "arm"), "C1"),))
    some = cars_facts(stated)
    assert {each.body for each in some.variants} == {one.body}
    assert {location for axle in some.axles.values() for location in axle.joints} <= {"arm"}
