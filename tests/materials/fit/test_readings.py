import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.fit.readings import LEAST, MOST, NotReadings, readings_in

MORE = "".join(f"\n{n} {20 + n}" for n in range(100, 100 + LEAST))


def first_of(line, system="metric"):
    """How one line is read; the others are there because a curve needs them."""
    return readings_in(line + MORE, system)[0]


def faults_of(text):
    with pytest.raises(NotReadings, match=".") as told:
        readings_in(text)
    return told.value.sentences


@pytest.mark.parametrize(
    "line",
    [
        "12.5 31.25",
        "12,5 31,25",
        "12,5;31,25",
        "12,5 ; 31,25;",
        "12.5,31.25",
        "12.5, 31.25",
        "12,5, 31,25",
        "12,5\t31,25",
        '"12,5";"31,25"',
        "12.5 min; 31.25 °C",
        "12.5 min 31.25 C",
        "0:12:30 31.25",
        "12.5\u00a0min 31.25",
    ],
)
def test_a_pair_is_read_however_it_is_set_apart(line):
    assert first_of(line) == pytest.approx((12.5, 31.25))


def test_a_bare_figure_is_in_the_shops_unit_and_a_named_one_in_its_own():
    assert first_of("1 77", "inch") == pytest.approx((1, 25))
    assert first_of("1 25 °C", "inch") == pytest.approx((1, 25))
    assert first_of("1 77 °F") == pytest.approx((1, 25))


@pytest.mark.parametrize(
    "heading", ["minutes;temperature", "Time (min), T [°C]", "\ufefft,T", "# made by a logger"]
)
def test_a_heading_is_passed_over(heading):
    assert first_of(f"{heading}\n3 24") == (3, 24)


def test_empty_lines_count_for_the_numbers_of_lines_and_for_nothing_else():
    assert faults_of("1 20\n\n\nabc 3") == ["Line 4: “abc” is no number."]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("0 20\n1 abc", "Line 2: “abc” is no number."),
        ("0 20\nabc", "Line 2: “abc” is no number."),
        ("0 20\n7", "Line 2: “7” holds 1 figure. Two are wanted: minutes, then temperature."),
        ("0;20;3", "Line 1: “0;20;3” holds 3 figures. Two are wanted: minutes, then temperature."),
        ("1,2,3", "Line 1: “1,2,3” can be read in two ways. Put a semicolon between time and temperature."),
        ("1:30 25", "Line 1: “1:30” can be read in two ways. Write minutes, or hours:minutes:seconds."),
        ("-1 25", "Line 1: “-1” is before the parts met. Count the minutes from then."),
        ("5 25\n4 26", "Line 2: 4 min comes after 5 min. The times must rise."),
        ("5 9999", "Line 1: “9999” can't be the warmth of a cup."),
        ("90000 25", "Line 1: 90000 min is more than a week. Write minutes, not seconds."),
    ],
)
def test_what_is_wrong_is_said_with_its_line(text, told):
    assert faults_of(text)[0] == told


def test_after_a_few_faults_only_their_number_is_told():
    told = faults_of("0 20\n" + "x\n" * 9)
    assert len(told) == 5
    assert told[-1] == "And 5 more lines like that."


@pytest.mark.parametrize(
    ("count", "told"), [(0, "There is no reading"), (1, "one reading"), (5, "5 readings")]
)
def test_too_few_readings_are_refused(count, told):
    (sentence,) = faults_of("\n".join(f"{n} {20 + n}" for n in range(count)))
    assert told in sentence
    assert "6 or more are needed" in sentence


def test_too_many_readings_are_refused():
    (sentence,) = faults_of("\n".join(f"{n} 20" for n in range(MOST + 1)))
    assert "Keep every second line" in sentence


@given(st.lists(st.tuples(st.floats(0, 5000), st.floats(-15, 400)), min_size=6, max_size=40))
def test_what_is_written_is_read_back(pairs):
    written = sorted((round(at, 3), round(temp, 2)) for at, temp in pairs)
    text = "\n".join(f"{at:.3f};{temp:.2f}".replace(".", ",") for at, temp in written)
    assert readings_in(text) == written


@given(st.text(max_size=200))
def test_any_text_is_read_or_refused_in_words(text):
    try:
        found, sentences = readings_in(text), ["none"]
    except NotReadings as told:
        found, sentences = [(0, 0)] * LEAST, told.sentences
    assert len(found) >= LEAST
    assert sentences
    assert all(sentences)
