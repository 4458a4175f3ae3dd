import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.science.errors import OutOfRange, UnknownName
from materials.science.reference.load import abrasives, belts
from materials.science.surface.abrasives import (
    BareGrade,
    NoSize,
    belts_total_mm,
    grain_um,
    nearest,
    next_least_mm,
    progression,
    step_level,
    step_ratio,
)
from tests.data.rows import rows

P_GRADES = [f"P{row.grade}" for row in abrasives() if row.system == "P" and row.grain_um]


@pytest.mark.parametrize(
    "row",
    [
        *rows("abrasives", quantity="mean/median grain size"),
        *rows("abrasives", quantity="CAMI grit mean size"),
    ],
)
def test_grains_are_as_large_as_printed(row):
    assert grain_um(row["inputs"]["grade"]) == row["expected"]


@pytest.mark.parametrize("row", rows("abrasives", quantity="nearest FEPA grade"))
def test_a_grade_finds_its_like_in_the_other_system(row):
    if row["inputs"]["cami"] in ("CAMI 800", "CAMI 1000"):
        with pytest.raises(NoSize, match="no published size of the grains of CAMI"):
            nearest(row["inputs"]["cami"])
    else:
        assert nearest(row["inputs"]["cami"]) == row["expected"]


@pytest.mark.parametrize("row", rows("abrasives", quantity="size ratio of step"))
def test_steps_are_as_large_as_worked_out(row):
    found = step_ratio(row["inputs"]["from"], row["inputs"]["to"])
    assert found == pytest.approx(row["expected"], abs=row["tolerance"])


@pytest.mark.parametrize("row", rows("abrasives", quantity="wide belt"))
def test_belts_take_off_what_the_table_prints(row):
    own = next(belt for belt in belts() if belt.grade == row["inputs"]["grit"])
    assert own.most_mm == pytest.approx(row["expected"]["max_in"] * 25.4, abs=1e-4)
    assert own.next_least_mm == pytest.approx(row["expected"]["next_min_in"] * 25.4, abs=1e-4)


@pytest.mark.parametrize("row", rows("abrasives", quantity="worked sequence"))
def test_a_sequence_of_belts_takes_off_the_printed_total(row):
    assert belts_total_mm(tuple(row["inputs"]["seq"])) == pytest.approx(row["expected"]["mm"], abs=2.6e-3)


@pytest.mark.parametrize("row", rows("abrasives", quantity="next-belt removal"))
def test_after_a_coarse_belt_one_grain_goes(row):
    found = next_least_mm(row["inputs"]["grit"]) * 1000 / grain_um(row["inputs"]["grit"], "CAMI")
    assert found == pytest.approx(row["expected"], abs=row["tolerance"])


@pytest.mark.parametrize(
    ("a", "b", "ratio"),
    [
        ("P80", "P120", 1.61),
        ("P120", "P180", 1.52),
        ("P180", "P240", 1.40),
        ("P240", "P320", 1.27),
        ("P80", "P180", 2.45),
    ],
)
def test_the_trades_steps_have_the_reference_ratios(a, b, ratio):
    assert step_ratio(a, b) == pytest.approx(ratio, abs=0.006)


@pytest.mark.parametrize("bare", ["400", " 400 "])
def test_a_number_alone_is_refused_since_it_could_be_either(bare):
    with pytest.raises(BareGrade, match='"400" could be P400 or CAMI 400, whose grains differ: say which'):
        grain_um(bare)


def test_one_number_means_two_sizes():
    assert grain_um(400, "P") / grain_um(400, "CAMI") == pytest.approx(1.5, abs=0.03)


@pytest.mark.parametrize("grade", ["P3000", "P5000"])
def test_grades_without_a_published_size_say_so(grade):
    with pytest.raises(NoSize, match=f"no published size of the grains of {grade} was found"):
        grain_um(grade)


@pytest.mark.parametrize("grade", ["P130", "B120", ""])
def test_an_unknown_grade_lists_the_known_ones(grade):
    with pytest.raises(UnknownName, match="known are: .*P120"):
        grain_um(grade)


def test_a_grade_of_one_system_is_not_read_as_the_other():
    with pytest.raises(UnknownName, match="P120 of CAMI"):
        grain_um("P120", "CAMI")


def test_every_grade_names_its_source():
    assert all(row.source for row in (*abrasives(), *belts()))


@given(st.sampled_from(P_GRADES), st.sampled_from(P_GRADES))
def test_a_progression_gets_finer_by_usual_steps_until_its_end(one, other):
    if grain_um(one) == grain_um(other):
        return
    start, finish = sorted((one, other), key=grain_um, reverse=True)
    steps = progression(start, finish)
    assert (steps[0].grade, steps[-1].grade) == (start, finish)
    assert all(step.level == "clear" for step in steps[1:])


def test_the_usual_way_from_eighty_is_found():
    assert [step.grade for step in progression("P80", "P320")] == ["P80", "P120", "P180", "P280", "P320"]


@pytest.mark.parametrize(
    ("ratio", "level"), [(1.65, "clear"), (1.66, "caution"), (2.2, "caution"), (2.21, "stop")]
)
def test_a_step_is_judged_by_its_ratio(ratio, level):
    assert step_level(ratio) == level


def test_a_progression_does_not_go_back():
    with pytest.raises(OutOfRange, match="start is 100 µm, which is too low"):
        progression("P150", "P120")


def test_a_progression_keeps_to_one_system():
    with pytest.raises(UnknownName, match='no grade of CAMI is called "P80"'):
        progression("P80", "CAMI 400")
