"""Small random catalogues and questions, dense in everything the rules have to tell apart."""

from datetime import date, timedelta
from random import Random

from catalog.conditions import NONE, Conditions, parse_conditions
from catalog.windows import Window
from fitment.domain.description import Description, Question
from fitment.domain.facts import Axle, Facts, FitDecision, Joint, Option, Part, Revision, TestFit, Variant

BASE = date(2020, 2, 25)
DAYS = 12
LETTERS = ("Y", "Z", "AA")
CHOICES = {
    "designation": ("18", "25"),
    "body": ("saloon", "estate"),
    "engine": ("E1", "E2"),
    "drivetrain": ("rwd", "awd"),
    "steering": ("left", "right"),
    "market": ("EU", "UK"),
}
OPTIONS = {
    "R1": Option("R1", "ride", True),
    "R2": Option("R2", "ride", True),
    "R3": Option("R3", "ride", True),
    "B1": Option("B1", "brake", False),
    "B2": Option("B2", "brake", False),
    "T": Option("T"),
    "U": Option("U"),
}
COMPONENTS = ("C1", "C2", "C3")
LAYOUTS = {"front": (("arm", "strut"), ("arm",), ("link", "arm")), "rear": (("arm", "toe"), ("toe",))}


def chance(random: Random, of: float) -> bool:
    return random.random() < of


def day(random: Random, within: int = DAYS) -> date:
    return BASE + timedelta(days=random.randrange(within))


def window(random: Random) -> Window:
    first = day(random) if chance(random, 0.5) else None
    last = day(random) if chance(random, 0.5) else None
    if first and last and first > last:
        first, last = last, first
    return Window(first, last)


def conditions(random: Random, *, of_joint: bool, most: int = 2) -> Conditions:
    if chance(random, 0.5):
        return NONE
    clauses = []
    for _ in range(random.randint(1, most)):
        kind = random.choice(["text", "option", "option", "built", "place"])
        sign = random.choice(["=", "=", "!="])
        if kind == "text":
            name = random.choice(list(CHOICES))
            clauses.append(f"{name} {sign} {random.choice(CHOICES[name])}")
        elif kind == "option":
            clauses.append(f"option.{random.choice(list(OPTIONS))} {sign} {random.choice(['yes', 'no'])}")
        elif kind == "built" and not of_joint:
            spans = [one for one in (window(random), window(random)) if one.first or one.last][:2]
            if spans:
                clauses.append(f"built {sign} {' | '.join(map(str, spans))}")
        elif kind == "place":
            name, values = random.choice(
                [("location", ["arm", "strut", "toe"]), ("axle", ["FX0", "FX1", "RX0"]), ("variant", ["V0", "V1"])]
            )
            clauses.append(f"{name} {sign} {random.choice(values)}")
    return parse_conditions("; ".join(clauses))


def axle(random: Random, code: str, end: str) -> Axle:
    layout = random.choice(LAYOUTS[end])
    joints = {}
    for location in layout:
        joints[location] = tuple(
            Joint(
                random.choice(COMPONENTS),
                window(random) if chance(random, 0.6) else Window(),
                conditions(random, of_joint=True, most=1) if chance(random, 0.4) else NONE,
                chance(random, 0.7),
            )
            for _ in range(random.choice([0, 1, 1, 2, 2, 3]))
        )
    in_range = {"arm": chance(random, 0.8), "strut": False, "link": True, "toe": True}
    return Axle(code, end, {location: in_range[location] for location in layout}, joints)


def variant(random: Random, number: int, *, platforms: int, open_ended: bool, alike: float) -> Variant:
    able = [code for code in OPTIONS if chance(random, 0.35)]
    standard: set[str] = set()
    for code in list(able):
        group = OPTIONS[code].group
        if chance(random, 0.15) and not any(OPTIONS[one].group == group != "" for one in standard):
            standard.add(code)
    first = day(random, 6)
    last = first + timedelta(days=random.randrange(DAYS)) if not open_ended else None
    maker, chassis = random.choice([("M1", "Q"), ("M2", "Q"), ("M2", "P")][:platforms])
    texts = {name: values[0] if chance(random, alike) else random.choice(values) for name, values in CHOICES.items()}
    return Variant(
        f"V{number}", maker, chassis, **texts, built_from=first, built_to=last,
        front_axle=random.choice(["FX0", "FX1", None] if chance(random, 0.3) else ["FX0", "FX1"]),
        rear_axle=random.choice(["RX0", None] if chance(random, 0.3) else ["RX0"]),
        options=frozenset(able) - standard, standard=frozenset(standard), in_operation=random.choice([0, 1, 7, 300]),
    )  # fmt: skip


def part(random: Random, code: str, axles: dict[str, Axle]) -> Part:
    revisions = []
    for letter in LETTERS[: random.randint(1, 3)]:
        decisions: dict[str, list[FitDecision]] = {}
        tests: dict[str, list[TestFit]] = {}
        for component in COMPONENTS:
            for _ in range(random.choice([0, 1, 1, 2, 3])):
                decisions.setdefault(component, []).append(
                    FitDecision(
                        random.choice(["approved", "approved", "approved", "rejected", "proposed"]),
                        day(random, 8), conditions(random, of_joint=False),
                    )
                )  # fmt: skip
            for _ in range(random.choice([0, 0, 0, 1, 2])):
                there = random.choice(list(axles.values()))
                tests.setdefault(component, []).append(
                    TestFit(
                        there.code, random.choice(list(there.locations)), component, day(random, 8),
                        chance(random, 0.5), random.choice(CHOICES["drivetrain"]), random.choice(CHOICES["steering"]),
                    )
                )  # fmt: skip
        revisions.append(
            Revision(
                letter,
                random.choice(["released"] * 6 + ["concept", "prototype", "withdrawn"]),
                held=chance(random, 0.1),
                exchange=random.choice(["", "one_way", "both_ways", "with_rework", "none"]),
                decisions={component: tuple(several) for component, several in decisions.items()},
                tests={component: tuple(several) for component, several in tests.items()},
            )
        )
    return Part(code, random.choice(["road", "competition"]), random.choice(["ball", "rubber"]), tuple(revisions))


def catalogue(random: Random) -> Facts:
    axles = {code: axle(random, code, end) for code, end in (("FX0", "front"), ("FX1", "front"), ("RX0", "rear"))}
    platforms = random.choice([1, 1, 1, 1, 2, 3])
    some_open = chance(random, 0.1)
    alike = random.choice([0.6, 0.95])
    variants = tuple(
        variant(random, number, platforms=platforms, open_ended=some_open and number == 0, alike=alike)
        for number in range(random.randint(1, 5))
    )
    parts = {code: part(random, code, axles) for code in ("P1", "P2")[: random.randint(1, 2)]}
    placements: dict[str, set[tuple[str, str]]] = {}
    ends: dict[str, set[str]] = {}
    for one in axles.values():
        for location in one.locations:
            ends.setdefault(location, set()).add(one.end)
        for location, joints in one.joints.items():
            for joint in joints:
                placements.setdefault(joint.component, set()).add((one.end, location))
    return Facts(
        variants=variants,
        axles=axles,
        options=OPTIONS,
        parts=parts,
        as_of=random.choice([None, BASE, BASE + timedelta(days=10), BASE + timedelta(days=372)]),
        placements={component: frozenset(places) for component, places in placements.items()},
        location_ends={location: frozenset(places) for location, places in ends.items()},
    )


def description(random: Random, facts: Facts) -> Description:
    """A description that, most often, some car meets."""
    one = random.choice(facts.variants)
    names = ("variant", "maker", "chassis", *CHOICES)
    stated = {}
    for name in names:
        if chance(random, {"variant": 0.1, "maker": 0.4, "chassis": 0.4}.get(name, 0.12)):
            stated[name] = one.code if name == "variant" else getattr(one, name)
    if chance(random, 0.1):
        name = random.choice(list(CHOICES))
        stated[name] = random.choice(CHOICES[name])
    spans = [span for span in (window(random),) if span.first or span.last]
    options = tuple(
        (code, code in one.standard or (code in one.options and chance(random, 0.5)))
        for code in sorted(OPTIONS)
        if chance(random, 0.08)
    )
    places = [("front", "arm"), ("front", "strut"), ("rear", "toe")]
    return Description(
        **stated,
        built=tuple(spans) if chance(random, 0.3) else (),
        registered=(day(random, 16),) if chance(random, 0.1) else (),
        model_years=(random.choice([2020, 2021]),) if chance(random, 0.1) else (),
        options=options,
        components=tuple((place, random.choice(COMPONENTS)) for place in places if chance(random, 0.08)),
    )


def question(random: Random, facts: Facts) -> Question:
    names = [
        "variant", "built", "body", "engine", "steering", "market", "drivetrain", "designation",
        *(f"option.{code}" for code in OPTIONS), "component.front.arm", "component.rear.toe",
    ]  # fmt: skip
    skipped = frozenset(name for name in names if chance(random, 0.12)) if chance(random, 0.4) else frozenset()
    return Question(
        car=description(random, facts),
        skipped=skipped,
        parts=("P1",) if chance(random, 0.2) else (),
        locations=frozenset({"arm"}) if chance(random, 0.1) else frozenset(),
        ends=frozenset({"front"}) if chance(random, 0.1) else frozenset(),
        duties=frozenset({"road"}) if chance(random, 0.1) else frozenset(),
        technologies=frozenset({"ball"}) if chance(random, 0.1) else frozenset(),
    )
