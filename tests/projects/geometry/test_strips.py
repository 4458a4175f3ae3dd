import numpy as np
import pytest
import shapely
from hypothesis import assume, given
from hypothesis import strategies as st

from materials.science.errors import OutOfRange
from projects.geometry.stack import Stack
from projects.geometry.strips import (
    Growth,
    Thicknesses,
    Yield,
    any_binds,
    from_board,
    from_sheet,
    inch_mm,
    slots_room_mm,
    stack_growth,
    stack_mm,
)
from tests.data.rows import rows


@pytest.mark.parametrize("row", rows("veneer", quantity="inch fraction"))
def test_a_fraction_of_an_inch_is_as_worked(row):
    assert inch_mm(row["inputs"]["inch"]) == pytest.approx(row["expected"], abs=row["tolerance"])


@pytest.mark.parametrize("wrong", ["", "thin", "1/0", "1/42 mm"][1:])
def test_what_is_no_fraction_of_an_inch_is_refused(wrong):
    with pytest.raises(ValueError, match="is no fraction of an inch"):
        inch_mm(wrong)


def tenths(low, high):
    """Lengths as a rule reads them: a tie is then a tie, and not a matter of rounding."""
    return st.integers(10 * low, 10 * high).map(lambda value: value / 10)


@given(tenths(100, 3000), tenths(50, 600), tenths(50, 900), tenths(5, 60), tenths(0, 4))
def test_the_strips_of_a_sheet_lie_on_it_side_by_side(long_mm, wide_mm, length, height, kerf):
    found = from_sheet((long_mm, wide_mm), (length, height), kerf)
    laid = [
        shapely.box(
            n * (length + kerf),
            m * (height + kerf),
            n * (length + kerf) + length,
            m * (height + kerf) + height,
        )
        for n in range(60)
        for m in range(130)
        if n * (length + kerf) + length <= long_mm + 1e-6 and m * (height + kerf) + height <= wide_mm + 1e-6
    ]
    assert found.strips == len(laid)
    assert found.used_fraction == pytest.approx(sum(strip.area for strip in laid) / (long_mm * wide_mm))


def test_across_the_grain_a_sheet_gives_other_strips():
    along, across = (from_sheet((2500, 620), (600, 12), grain_along=way) for way in (True, False))
    assert (along.strips, across.strips) == (4 * 51, 208)


def test_a_board_gives_strips_off_its_edge_and_none_if_too_thin():
    # 1300 long: two of 600 and a cut; 100 wide: (100 + 2)/(2.5 + 2) = 22 slices
    assert from_board((1300, 100, 14), (600, 12, 2), 2, 0.5).strips == 44
    assert from_board((1300, 100, 11), (600, 12, 2), 2).strips == 0


def test_as_many_sheets_are_needed_as_hold_the_strips():
    assert [Yield(50, 0.9).sheets_for(strips) for strips in (1, 50, 51)] == [1, 1, 2]
    with pytest.raises(OutOfRange, match="strips per sheet is 0"):
        Yield(0, 0).sheets_for(5)


@given(st.integers(1, 500), st.integers(1, 5000))
def test_whole_sheets_and_the_share_of_the_last_hold_exactly_the_strips(each, strips):
    found = Yield(each, 0.9)
    share = found.last_fraction(strips)
    assert 0 < share <= 1 + 1e-9
    assert (found.sheets_for(strips) - 1 + share) * each == pytest.approx(strips)


@given(st.floats(1.9, 2.6), st.integers(2, 80), st.floats(2.0, 2.6), st.floats(-0.02, 0.02))
def test_a_stack_between_the_widths_lies_in_its_slots_and_no_other_does(strip, strips, slot, grow):
    run, wall = (strips - 1) * (4 + grow), (strips - 1) * 4
    # where the first strip may begin so that it lies in its slot, and so that the last one does
    begin, end = max(0, wall - run), min(slot - strip, wall + slot - strip - run)
    assume(abs(end - begin) > 1e-6)
    assert Growth(run + strip, 0, 0).lies_between(*slots_room_mm(strips, 4, slot, strip)) == (begin <= end)


@given(st.lists(st.floats(0.4, 3), min_size=2, max_size=60), st.floats(0.01, 0.2))
def test_every_reading_is_in_the_class_next_to_it(readings, step):
    classes = Thicknesses(tuple(readings)).classes(step)
    assert sorted(index for held in classes.values() for index in held) == list(range(len(readings)))
    for middle, held in classes.items():
        assert all(abs(readings[index] - middle) <= step / 2 + 1e-5 for index in held)


def test_the_chance_to_bind_is_that_of_a_hundred_thousand_strips():
    lot = Thicknesses((0.57, 0.59, 0.60, 0.61, 0.63))
    rng = np.random.default_rng(2)
    strips = rng.normal(lot.mean_mm + 0.02, lot.spread_mm, 100_000)
    assert lot.binding_chance(0.64, seal_mm=0.01) == pytest.approx((strips > 0.64).mean(), abs=0.004)


def test_strips_all_alike_bind_or_do_not():
    lot = Thicknesses((0.6, 0.6))
    assert (lot.binding_chance(0.61), lot.binding_chance(0.59)) == (0, 1)


@given(st.floats(0, 1), st.integers(1, 200))
def test_one_of_many_binds_sooner_than_one(chance, strips):
    assert any_binds(chance, strips) >= chance - 1e-12


# 20 strips, each 0.03 thicker: 0.6 mm; and a sealer of 0.1 on each face: 4 mm (worked by hand)
def test_a_stack_grows_with_every_strip_and_every_coat():
    thicker = Thicknesses((1.53, 1.53))
    assert stack_growth(Stack(1.5, 3), 20, thicker).over_mm == pytest.approx(0.6)
    assert stack_growth(Stack(1.5, 3), 20, Thicknesses((1.5, 1.5)), 0.1).over_mm == pytest.approx(4)


def test_combs_that_hold_the_pitch_keep_a_stack_from_growing():
    grown = stack_growth(Stack(1.5, 3), 20, Thicknesses((1.53, 1.53)), gaps_held=False)
    assert grown.over_mm == pytest.approx(0.03)


def test_the_spread_of_a_stack_is_that_of_many_stacks():
    lot = Thicknesses((1.46, 1.48, 1.50, 1.52, 1.54))
    rng = np.random.default_rng(4)
    widths = rng.normal(lot.mean_mm, lot.spread_mm, (20_000, 20)).sum(axis=1) + 19 * 3
    grown = stack_growth(Stack(1.5, 3), 20, lot)
    assert 2 * widths.std() == pytest.approx(grown.spread_mm, rel=0.03)
    assert widths.mean() == pytest.approx(grown.width_mm, abs=0.01)


def test_a_stack_fits_with_its_spread_or_not_at_all():
    assert Growth(198, 2, 0).fits(200)
    assert not Growth(198, 2.1, 0).fits(200)


def test_strips_as_measured_make_the_stack():
    assert stack_mm([1.4, 1.5, 1.6], 3) == pytest.approx(10.5)
    with pytest.raises(OutOfRange, match="strips is 0 strips"):
        stack_mm([], 3)


def test_a_single_reading_is_too_few():
    with pytest.raises(OutOfRange, match="readings is 1"):
        Thicknesses((0.6,))
