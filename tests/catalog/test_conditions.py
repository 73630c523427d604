"""Conditions: one canonical form for all texts of one meaning, and clauses that hold or not."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.conditions import ATTRIBUTES, BadCondition, parse_conditions
from tests.fitment.rules import oracle

WORDS = st.sampled_from(["E20", "E30", "saloon", "left", "QN4", "a b"])
TEXT_CLAUSE = st.tuples(
    st.sampled_from([name for name in ATTRIBUTES if name != "built"]),
    st.booleans(),
    st.lists(WORDS, min_size=1, max_size=3),
)
OPTION_CLAUSE = st.tuples(
    st.sampled_from(["option.TOW", "option.AIR"]), st.booleans(), st.sampled_from([["yes"], ["no"], ["yes", "no"]])
)
BUILT_CLAUSE = st.tuples(
    st.just("built"),
    st.booleans(),
    st.lists(st.sampled_from(["2016", "2016-03..2018", "..2012"]), min_size=1, max_size=2),
)
CLAUSES = st.lists(st.one_of(TEXT_CLAUSE, OPTION_CLAUSE, BUILT_CLAUSE), min_size=1, max_size=4)
VALUES = dict.fromkeys(ATTRIBUTES, "E20")


def written(clauses, between: str = " ", around: str = " ") -> str:
    return f"{between};{between}".join(
        f"{name}{around}{'!=' if negated else '='}{around}{f'{around}|{around}'.join(values)}"
        for name, negated, values in clauses
    )


@given(CLAUSES, st.randoms())
def test_order_and_spaces_are_no_difference(clauses, chance):
    canonical = str(parse_conditions(written(clauses)))
    mixed = [
        (name, negated, chance.sample(values, len(values)))
        for name, negated, values in chance.sample(clauses, len(clauses))
    ]
    assert str(parse_conditions(written(mixed, between="", around=""))) == canonical
    assert str(parse_conditions(canonical)) == canonical


@given(
    CLAUSES,
    st.sets(st.sampled_from(["TOW", "AIR"])),
    st.sampled_from([date(2012, 12, 31), date(2016, 2, 29), date(2018, 6, 1)]),
)
def test_all_clauses_must_hold(clauses, options, day):
    windows = {
        "2016": (date(2016, 1, 1), date(2016, 12, 31)),
        "2016-03..2018": (date(2016, 3, 1), date(2018, 12, 31)),
        "..2012": (date.min, date(2012, 12, 31)),
    }

    def holds(name, negated, values) -> bool:
        if name == "built":
            found = any(windows[value][0] <= day <= windows[value][1] for value in values)
        elif name.startswith("option."):
            found = ("yes" if name[7:] in options else "no") in values
        else:
            found = VALUES[name] in values
        return found is not negated

    found = oracle.holds(parse_conditions(written(clauses)), VALUES, options, day)
    assert found == all(holds(*clause) for clause in clauses)


@pytest.mark.parametrize(
    ("text", "canonical"),
    [
        ("", ""),
        ("engine=E30|E20", "engine = E20 | E30"),
        ("market != AU|EU ; engine = E20", "engine = E20; market != AU | EU"),
        ("option.TOW != yes", "option.TOW = no"),
        ("built = 2016-03-01..2018-07-31 | 2020-01..", "built = 2016-03..2018-07 | 2020.."),
        ("engine = E20; engine = E20", "engine = E20"),
        ("body = saloon;", "body = saloon"),
    ],
)
def test_canonical_forms(text: str, canonical: str):
    assert str(parse_conditions(text)) == canonical


@pytest.mark.parametrize(
    ("text", "wrong"),
    [
        ("engine", "no '='"), ("engine =", "lacks a value"), ("engine = E20 |", "lacks a value"),
        ("motor = E20", "no attribute"),
        ("option. = yes", "no attribute"), ("option.TOW = 1", "yes or no"), ("built = soon", "not a date"),
        ("built = ..", "two open ends"), ("engine = E20;; body = saloon", "empty clause"), ("engine = a=b", "no '='"),
    ],
)  # fmt: skip
def test_what_is_no_condition(text: str, wrong: str):
    with pytest.raises(BadCondition, match=wrong):
        parse_conditions(text)
