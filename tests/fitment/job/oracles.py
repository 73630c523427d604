"""Two independent judges of a plan: the definition tried on every set, and a general-purpose solver (OR-tools)."""

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import combinations

from ortools.sat.python import cp_model

from fitment.domain.procedures import Goal, Operation
from fitment.job.access_plan import JobSetup

Key = tuple[Fraction, int, list[str]]


class Facts:
    """The definition's words, read straight from the procedures and not from the product's graph."""

    def __init__(self, site: JobSetup) -> None:
        self.site = site
        shop, car = site.workshop, site.car
        self.operations: dict[str, Operation] = {}
        self.own: dict[tuple[str, str], str] = {}
        first_car: dict[str, str] = {}
        for end in site.ends:
            axle = shop.axles[car.axles[end]]
            for operation in axle.operations.values():
                name = f"{axle.code}/{operation.code}"
                if operation.zone == "car":
                    name = first_car.setdefault(operation.code, name)
                self.own[axle.code, operation.code] = name
                if name not in self.operations and f"{axle.code}/{operation.code}" not in car.absent:
                    self.operations[name] = operation
        self.here = {n for n, o in self.operations.items() if self.has(o.equipment)}

    def has(self, groups: Sequence[Sequence[str]]) -> bool:
        return all(set(group) & self.site.equipment for group in groups)

    def group(self, axle: str, codes: Sequence[str]) -> set[str] | None:
        """The names that meet a group; None when nothing stands in the way."""
        shop = self.site.workshop.axles[axle]
        if any(self.own[axle, c] not in self.operations and shop.operations[c].if_absent == "open" for c in codes):
            return None
        return {self.own[axle, c] for c in codes} & set(self.operations)

    def groups(self, axle: str, groups: Sequence[Sequence[str]]) -> list[set[str]]:
        return [found for group in groups if (found := self.group(axle, group)) is not None]

    def needs(self, name: str) -> list[set[str]]:
        operation = self.operations[name]
        return self.groups(operation.axle, operation.needs)

    def entails(self, name: str) -> set[str]:
        operation = self.operations[name]
        return {self.own[operation.axle, c] for c in operation.entails} & set(self.operations)

    def ways(self, goal: Goal) -> Iterator[list[set[str]]]:
        axle = self.site.car.axles[goal.end]
        bench = goal.part.bench
        for way in self.site.workshop.axles[axle].locations[goal.location].ways:
            if way.piece_out or bench is None or self.has(bench.equipment):
                yield self.groups(axle, way.operations)

    def minutes(self, name: str) -> Fraction:
        operation = self.operations[name]
        if name not in self.here:
            return Fraction(0)
        return (operation.remove + operation.refit) * (self.site.sides if operation.per_side else 1)

    def key(self, members: Sequence[str]) -> Key:
        return sum((self.minutes(n) for n in members), Fraction(0)), len(members), sorted(members)


def orderable(names: set[str], facts: Facts, allowed: set[str]) -> bool:
    """Whether the names can be put in an order, each after one allowed name of each of its groups."""
    done: set[str] = set()
    while ready := {n for n in names - done if all(g & allowed & done for g in facts.needs(n))}:
        done |= ready
    return done == names


def rests_on(groups: Sequence[set[str]], members: set[str], facts: Facts) -> set[str]:
    reached: set[str] = set()
    waiting = {n for g in groups for n in g} & members & facts.here
    while waiting:
        reached |= waiting
        waiting = {n for m in waiting for g in facts.needs(m) for n in g} & members & facts.here - reached
    return reached


def is_plan(members: set[str], facts: Facts, goals: Sequence[Goal]) -> bool:
    """The definition of a plan, word by word."""
    if any(facts.entails(n) - members for n in members) or not orderable(members, facts, members):
        return False
    for goal in goals:
        for groups in facts.ways(goal):
            base = rests_on(groups, members, facts)
            if all(g & base for g in groups) and orderable(base, facts, base):
                break
        else:
            return False
    return True


def least_by_trying(site: JobSetup, goals: Sequence[Goal]) -> Key | None:
    """The least plan by trying every set of operations."""
    facts = Facts(site)
    names = sorted(facts.operations)
    best = None
    for count in range(len(names) + 1):
        for members in combinations(names, count):
            key = facts.key(members)
            if (best is None or key < best) and is_plan(set(members), facts, goals):
                best = key
    return best


class Model:
    """The same as a constraint model: members, what goals rest on, and a level each so that none rests on itself."""

    def __init__(self, site: JobSetup, goals: Sequence[Goal]) -> None:
        self.facts = facts = Facts(site)
        self.model = model = cp_model.CpModel()
        self.names = names = sorted(facts.operations)
        self.member = {n: model.new_bool_var(n) for n in names}
        base = {n: model.new_bool_var(f"base {n}") for n in facts.here}
        level = {n: model.new_int_var(0, len(names), f"level {n}") for n in names}
        low = {n: model.new_int_var(0, len(names), f"base level {n}") for n in facts.here}
        for n in names:
            for other in facts.entails(n):
                model.add_implication(self.member[n], self.member[other])
            for number, group in enumerate(facts.needs(n)):
                self._met(self.member[n], group, self.member, level, level[n], f"{n} {number}")
                if n in base:
                    self._met(base[n], group & facts.here, base, low, low[n], f"base {n} {number}")
                    for other in group & facts.here:
                        model.add_bool_or([base[n].negated(), self.member[other].negated(), base[other]])
            if n in base:
                model.add_implication(base[n], self.member[n])
        for goal in goals:
            taken = []
            for number, groups in enumerate(facts.ways(goal)):
                way = model.new_bool_var(f"{goal.name} {number}")
                taken.append(way)
                for group in groups:
                    model.add_bool_or([way.negated(), *(base[n] for n in group & facts.here)])
                    for other in group & facts.here:
                        model.add_bool_or([way.negated(), self.member[other].negated(), base[other]])
            model.add_bool_or(taken)
        self.scale = 1
        for n in names:
            self.scale = self.scale * (facts.minutes(n) * self.scale).denominator
        self.cost = sum(int(facts.minutes(n) * self.scale) * self.member[n] for n in names)
        self.count = sum(self.member.values())

    def _met(self, on, group, chosen, levels, level, label) -> None:  # type: ignore[no-untyped-def]
        support = []
        for n in sorted(group):
            rests = self.model.new_bool_var(f"{label} on {n}")
            self.model.add_implication(rests, chosen[n])
            self.model.add(levels[n] + 1 <= level).only_enforce_if(rests)
            support.append(rests)
        self.model.add_bool_or([on.negated(), *support])

    def _solve(self) -> tuple[int, cp_model.CpSolver]:
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = 1
        return solver.solve(self.model), solver

    def least(self) -> tuple[Fraction, int] | None:
        """Least minutes and fewest operations, proven; None where there is no plan."""
        self.model.minimize(self.cost * (len(self.names) + 1) + self.count)
        status, solver = self._solve()
        if status == cp_model.INFEASIBLE:
            return None
        assert status == cp_model.OPTIMAL
        members = [n for n in self.names if solver.value(self.member[n])]
        return sum((self.facts.minutes(n) for n in members), Fraction(0)), len(members)

    def has_smaller_names(self, members: frozenset[str], minutes: Fraction) -> bool:
        """Whether an equally cheap plan of as many operations has smaller sorted names."""
        model = self.model
        model.clear_objective()
        model.add(self.cost == int(minutes * self.scale))
        model.add(self.count == len(members))
        differs = []
        for at, name in enumerate(self.names):
            if name in members:
                continue
            first = model.new_bool_var(f"first difference {name}")
            model.add_implication(first, self.member[name])
            for before in self.names[:at]:
                literal = self.member[before] if before in members else self.member[before].negated()
                model.add_implication(first, literal)
            differs.append(first)
        model.add_bool_or(differs)
        status, _ = self._solve()
        return status != cp_model.INFEASIBLE
