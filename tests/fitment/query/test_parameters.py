"""Parameters -> a question: everything known is taken, everything else is refused by name."""

from datetime import date

import pytest

from catalog.codes import Role
from catalog.windows import Window
from fitment.domain.description import Description, Question, Vocabulary
from fitment.errors import BadParameters
from fitment.query.parameters import read_question, without_empty

NAMES = ("variant", "maker", "chassis", "designation", "body", "engine", "drivetrain", "steering", "market")
VOCABULARY = Vocabulary(
    values={name: frozenset() for name in NAMES}
    | {
        "variant": frozenset({"QN4-20-SAL"}),
        "maker": frozenset({"ALVA"}),
        "chassis": frozenset({"QN4", "QN6"}),
        "body": frozenset({"saloon", "estate"}),
    },
    options=frozenset({"SPORT"}),
    components=frozenset({"C1", "C2"}),
    places={"front": frozenset({"arm.inner"}), "rear": frozenset({"toe.outer"})},
    parts=frozenset({"LM-210", "LM-400"}),
    public_parts=frozenset({"LM-210"}),
    technologies=frozenset({"spherical"}),
    tools=frozenset({"lift", "puller"}),
)
VIN = "1M8GDM9AXKP042788"  # 49 CFR 565 worked example, widely printed (from memory)


def read(viewer: Role = Role.PUBLIC, **query: list[str]) -> Question:
    return read_question({name.replace("__", "."): values for name, values in query.items()}, VOCABULARY, viewer)


def refused(viewer: Role = Role.PUBLIC, **query: list[str]) -> dict[str, str]:
    with pytest.raises(BadParameters) as caught:
        read(viewer, **query)
    return dict(caught.value.errors)


def test_a_whole_question():
    found = read(
        maker=["ALVA"], chassis=["QN4"], built=["2018-05", "2016..2018-07"], registered=["2019-01-31"],
        model_year=["2018"], option__SPORT=["no"], component__front__arm__inner=["C1"], skip=["body", "option.SPORT"],
        part=["LM-210"], location=["arm.inner", "toe.outer"], end=["front"], duty=["road"], technology=["spherical"],
        equipment=["lift,puller"], include=["job"],
    )  # fmt: skip
    assert found == Question(
        car=Description(
            maker="ALVA",
            chassis="QN4",
            built=(Window(date(2018, 5, 1), date(2018, 5, 31)), Window(date(2016, 1, 1), date(2018, 7, 31))),
            registered=(date(2019, 1, 31),),
            model_years=(2018,),
            options=(("SPORT", False),),
            components=((("front", "arm.inner"), "C1"),),
        ),
        skipped=frozenset({"body", "option.SPORT"}),
        parts=("LM-210",),
        locations=frozenset({"arm.inner", "toe.outer"}),
        ends=frozenset({"front"}),
        duties=frozenset({"road"}),
        technologies=frozenset({"spherical"}),
        equipment=("lift", "puller"),
        include_job=True,
    )
    assert found.car.window() == Window(date(2018, 5, 1), date(2018, 5, 31))


def test_the_description_repeats_what_was_stated():
    found = read(chassis=["QN4"], built=["2018-05-01..2018-05-31", "2016.."], option__SPORT=["yes"])
    assert found.car.stated() == {"chassis": "QN4", "built": ["2018-05", "2016.."], "option.SPORT": "yes"}


@pytest.mark.parametrize(("name", "value", "nearest"), [
    ("chasis", "QN4", "'chassis'"),
    ("chassis", "QN5", "'QN4'"),
    ("body", "salon", "'saloon'"),
    ("duty", "rally", ""),
    ("end", "fornt", "'front'"),
    ("location", "arm.inside", "'arm.inner'"),
    ("technology", "sphericl", "'spherical'"),
    ("skip", "bodi", "'body'"),
    ("skip", "option.SPRT", "'option.SPORT'"),
    ("include", "jobs", "'job'"),
    ("equipment", "lifts", "'lift'"),
    ("option__SPRT", "yes", "'option.SPORT'"),
    ("option__SPORT", "perhaps", "'yes'"),
    ("component__front__arm__innr", "C1", "'component.front.arm.inner'"),
    ("component__rear__arm__inner", "C1", "'component.front.arm.inner'"),
    ("component__front__arm__inner", "C3", "'C1'"),
])  # fmt: skip
def test_what_is_not_known_is_refused_with_the_nearest_known(name, value, nearest):
    ((field, message),) = refused(**{name: [value]}).items()
    assert field == name.replace("__", ".")
    assert "is not known" in message
    assert nearest in message


@pytest.mark.parametrize(("name", "value"), [
    ("built", "soon"), ("built", "2018-13"), ("built", "2018-02-30"), ("built", ".."), ("built", "2019..2018"),
    ("registered", "2018-05"), ("registered", "2018-02-29"), ("model_year", "MMXX"), ("model_year", "20"),
    ("model_year", "\u0662\u0660\u0661\u0668"),
])  # fmt: skip
def test_dates_that_are_none(name, value):
    assert list(refused(**{name: [value]})) == [name]


def test_every_error_is_named_at_once():
    assert set(refused(chasis=["QN4"], body=["x"], built=["soon"], part=["LM-1"], skip=["colour"])) == {
        "chasis", "body", "built", "part", "skip",
    }  # fmt: skip


def test_one_thing_is_stated_once():
    assert read(chassis=["QN4", "QN4"]).car.chassis == "QN4"
    assert "twice" in refused(chassis=["QN4", "QN6"])["chassis"]
    assert "twice" in refused(option__SPORT=["yes", "no"])["option.SPORT"]


def test_an_empty_value_is_no_value():
    assert list(refused(chassis=[""])) == ["chassis"]
    assert without_empty({"chassis": [""], "body": ["saloon", " "]}) == {"body": ["saloon"]}


def test_to_the_public_a_prototype_is_as_unknown_as_a_code_that_does_not_exist():
    assert read(Role.SALES, part=["LM-400"]).parts == ("LM-400",)
    secret, missing = refused(part=["LM-400"])["part"], refused(part=["LM-500"])["part"]
    assert secret.replace("LM-400", "") == missing.replace("LM-500", "")
    assert "LM-400" not in missing


@pytest.mark.parametrize("name", ["maker", "built", "option__SPORT", "skip", "part", "equipment", "nothing"])
def test_a_vin_is_refused_and_never_repeated(name):
    for written in (VIN, "1M8-GDM9A XKP042788", VIN.lower()):
        errors = refused(**{name: [written]})
        assert list(errors) == [name.replace("__", ".")]
        assert written not in str(errors)


def test_a_vin_as_a_name_is_refused_and_never_repeated():
    assert VIN not in str(refused(**{VIN: ["x"]}))
