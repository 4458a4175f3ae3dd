import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.science.errors import OutOfRange, UnknownName
from projects.geometry.lines import bars_of, scaled, width_for
from projects.geometry.panel import lay_out
from projects.geometry.patterns.hexagons import hexagons
from projects.geometry.saw import Saw
from projects.geometry.seams import find_seams
from projects.geometry.stack import Stack

widths = st.floats(5, 150)
stacks = st.builds(Stack, strip_mm=st.floats(0.5, 6), gap_mm=st.floats(0.5, 6))
saws = st.builds(Saw, kerf_mm=st.floats(0.5, 4))


def test_the_jump_at_rims_is_that_of_the_seams():
    # patterns.md: hexagons(40) at a pitch of 4 mm jump by -1.359 mm
    side = 40
    seams = find_seams(lay_out(hexagons(side), 600, 400, Stack()))
    found = bars_of(side * 3**0.5 / 2, Stack(), Saw()).rim_jump_mm
    assert found == pytest.approx(-1.359, abs=5e-4)
    assert seams.offset_mm[seams.kind == "along"] == pytest.approx(found)


@given(widths, stacks, saws)
def test_bars_for_lines_that_run_on_have_no_jump_at_rims(width_mm, stack, saw):
    width = width_for("run_on", width_mm, stack, saw)
    assert bars_of(width, stack, saw).rim_jump_mm == pytest.approx(0, abs=1e-6)


@given(widths, stacks, saws)
def test_bars_all_alike_do_not_shift_from_one_to_the_next(width_mm, stack, saw):
    width = width_for("alike", width_mm, stack, saw)
    assert bars_of(width, stack, saw).shift_mm == pytest.approx(0, abs=1e-6)


@given(widths, stacks, saws)
def test_no_jump_is_more_than_half_a_pitch(width_mm, stack, saw):
    found = bars_of(width_mm, stack, saw)
    for jump in (found.rim_jump_mm, found.shift_mm):
        assert -stack.pitch_mm / 2 - 1e-8 <= jump <= stack.pitch_mm / 2 + 1e-8


@given(widths, stacks, saws)
def test_the_offered_width_is_nearer_than_a_pitch(width_mm, stack, saw):
    for rule in ("run_on", "alike"):
        least = stack.pitch_mm + saw.kerf_mm  # narrower bars than that go up to the first that can be
        assert abs(width_for(rule, width_mm, stack, saw) - width_mm) <= max(stack.pitch_mm, least)


def test_a_kerf_of_whole_pitches_gives_both_at_once():
    saw = Saw(kerf_mm=4)
    assert width_for("run_on", 31, Stack(), saw) == width_for("alike", 31, Stack(), saw) == 32


@pytest.mark.parametrize(
    ("sizes", "expected"),
    [
        ({"side_mm": 60}, {"side_mm": 120}),
        ({"side_mm": 20, "rings": 3}, {"side_mm": 40, "rings": 3}),
        ({"column_mm": 30, "bar_mm": 60, "angle_deg": 45}, {"column_mm": 30, "bar_mm": 120, "angle_deg": 45}),
        ({"width_mm": 20, "ratio": 3}, {"width_mm": 40, "ratio": 3}),
    ],
)
def test_sizes_grow_with_the_bar_but_angles_and_counts_stay(sizes, expected):
    assert scaled(sizes, 2) == expected


def test_a_rule_that_is_none_is_refused_with_those_there_are():
    with pytest.raises(UnknownName, match='called "straight"; known are: alike, run_on'):
        width_for("straight", 30, Stack(), Saw())


def test_a_bar_without_width_is_refused():
    with pytest.raises(OutOfRange, match="bar is 0 mm"):
        bars_of(0, Stack(), Saw())
