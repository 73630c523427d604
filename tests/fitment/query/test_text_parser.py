"""Words in any order and spelling: read for certain, in several ways, or reported; none dropped in silence."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitment.query.text_parser import Heard, Reading, Unheard, combinations, lexicon, parse_text, plain, stated_by

WORDS = lexicon(
    [
        ("QN4", Reading("chassis", "QN4")),
        ("25", Reading("designation", "25")),
        ("18", Reading("designation", "18")),
        ("E25", Reading("engine", "E25")),
        ("estate", Reading("body", "estate")),
        ("saloon", Reading("body", "saloon")),
        ("awd", Reading("drivetrain", "awd")),
        ("left", Reading("steering", "left")),
        ("Tarnholt", Reading("maker", "TARNHOLT")),
        ("TOWBAR", Reading("option.TOWBAR", "yes")),
        ("Factory towbar", Reading("option.TOWBAR", "yes")),
        ("LM-210", Reading("part", "LM-210")),
    ]
)


def read(text: str) -> dict[str, list[str]]:
    sentence = parse_text(text, WORDS)
    assert not sentence.unheard, sentence.unheard
    (only,) = combinations(sentence.heard, lambda query: True)
    return only


@pytest.mark.parametrize(
    "text",
    [
        "qn4 25 estate awd 05/2018",
        "QN4-25 wagon 4x4 built in May 2018",
        "2018-05 awd, estate; 25 QN4",
        "qn425 station wagon all wheel drive 5.2018",
        "05/18 ESTATE qn4/25 4WD",
    ],
)
def test_any_order_and_spelling(text):
    assert read(text) == {
        "chassis": ["QN4"], "designation": ["25"], "body": ["estate"], "drivetrain": ["awd"], "built": ["2018-05"],
    }  # fmt: skip


@pytest.mark.parametrize(
    ("text", "query"),
    [
        ("lhd qn4", {"steering": ["left"], "chassis": ["QN4"]}),
        ("Sedan", {"body": ["saloon"]}),
        ("factory towbar", {"option.TOWBAR": ["yes"]}),
        ("without towbar", {"option.TOWBAR": ["no"]}),
        ("qn4 lm210", {"chassis": ["QN4"], "part": ["LM-210"]}),
        ("registered 14.05.2018", {"registered": ["2018-05-14"]}),
        ("MY18", {"model_year": ["2018"]}),
        ("model year 2018", {"model_year": ["2018"]}),
        ("2016-2018", {"built": ["2016..2018"]}),
    ],
)
def test_what_words_state(text, query):
    assert read(text) == query


def test_a_word_not_known_is_reported_with_what_is_near():
    sentence = parse_text("qn4 estte purple", WORDS)
    assert sentence.unheard == (Unheard("estte", (Reading("body", "estate"),)), Unheard("purple"))


@pytest.mark.parametrize("text", ["no estate", "without purple", "not qn4"])
def test_a_negation_of_what_cannot_be_absent_is_not_understood(text):
    """'No estate' must never be read as 'estate', nor be dropped."""
    sentence = parse_text(text, WORDS)
    assert sentence.heard == ()
    assert [word.text.split()[0] for word in sentence.unheard] == ["no"]


def test_a_negation_reaches_one_phrase_only():
    assert read("without towbar estate") == {"option.TOWBAR": ["no"], "body": ["estate"]}


def test_a_named_attribute_decides_what_a_word_means():
    words = lexicon([("25", Reading("designation", "25")), ("25", Reading("engine", "25"))])
    assert parse_text("engine 25", words).heard == (Heard("25", (Reading("engine", "25"),)),)
    assert len(parse_text("25", words).heard[0].readings) == 2


def test_a_day_that_may_be_read_both_ways_is_read_both_ways():
    heard = parse_text("3/4/2018", WORDS).heard
    assert {reading.value for reading in heard[0].readings} == {"2018-04-03", "2018-03-04"}
    assert len(combinations(heard, lambda query: True)) == 2


def test_combinations_leave_out_what_no_car_agrees_with():
    heard = (Heard("25", (Reading("designation", "25"), Reading("engine", "25"))),)
    assert combinations(heard, lambda query: "engine" in query) == ({"engine": ["25"]},)
    assert combinations(heard, lambda query: False) == ()


def test_one_attribute_cannot_have_two_values():
    heard = parse_text("saloon estate", WORDS).heard
    assert combinations(heard, lambda query: True) == ()
    assert stated_by(phrase.readings[0] for phrase in heard) == {"body": ["saloon", "estate"]}


@given(st.text(max_size=60))
def test_no_word_is_dropped_in_silence(text):
    """Every sign that could mean something stands in a phrase heard, a word unheard, or in the words of grammar."""
    from fitment.query.text_parser import ATTRIBUTES, NEGATIONS, NOISE

    sentence = parse_text(text, WORDS)
    told = "".join(plain(each.text) for each in (*sentence.heard, *sentence.unheard))
    grammar = NOISE | NEGATIONS | {name.upper() for name in ATTRIBUTES}
    for word in text.replace(",", " ").replace(";", " ").split():
        form = plain(word)
        assert not form or form in grammar or form in told or any(piece in told for piece in (form, form.lower()))


@given(st.permutations(["qn4", "25", "wagon", "awd", "05/2018", "no towbar"]))
def test_the_order_of_phrases_is_no_matter(phrases):
    assert read(" ".join(phrases)) == read("qn4 25 wagon awd 05/2018 no towbar") | {}
