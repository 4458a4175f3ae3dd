import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import box, unary_union

from materials.science.errors import OutOfRange
from projects.geometry.stack import Block, Stack, needed_resin

sizes_mm = st.floats(0.2, 80)
stacks = st.builds(
    Stack,
    strip_mm=sizes_mm,
    gap_mm=st.floats(0, 40),
    depth_mm=sizes_mm,
    flatten_mm=st.floats(0, 5),
)
blocks = st.builds(
    Block,
    stacks,
    strips=st.integers(1, 400),
    length_mm=st.floats(1, 3000),
    rim_mm=st.floats(0, 30),
    over_mm=st.floats(0, 10),
)


# --- worked by hand: the defaults, 50 strips, 600 long ---
# pitch 2 + 2 = 4; width 50*2 + 49*2 = 198; poured depth 10 + 2*1 = 12
# gaps   600 * 2 * 49 * 12                    = 705 600 mm3 = 705.6 ml
# inside (600 + 8) * (198 + 8) = 608 * 206    = 125 248 mm2
# rim    (125 248 - 600*198) * 12 = 6448 * 12 =  77 376 mm3 =  77.376 ml
# over   125 248 * 1                          = 125 248 mm3 = 125.248 ml
# all    705.6 + 77.376 + 125.248             = 908.224 ml
# wood   50 * 600 * 2 * 12                    = 720 000 mm3 = 720 ml


def test_the_default_block_has_the_sizes_worked_by_hand():
    block = Block(Stack(), strips=50, length_mm=600)
    assert (block.stack.pitch_mm, block.width_mm, block.poured_depth_mm) == (4, 198, 12)
    assert block.mould_inside_mm == (608, 206, 13)


def test_the_default_block_holds_the_resin_worked_by_hand():
    block = Block(Stack(), strips=50, length_mm=600)
    assert block.gap_ml == pytest.approx(705.6, abs=1e-9)
    assert block.rim_ml == pytest.approx(77.376, abs=1e-9)
    assert block.over_ml == pytest.approx(125.248, abs=1e-9)
    assert block.resin_ml == pytest.approx(705.6 + 77.376 + 125.248, abs=1e-9)


def test_the_default_block_takes_the_strips_worked_by_hand():
    block = Block(Stack(), strips=50, length_mm=600)
    assert (block.strip_height_mm, block.strips_length_mm, block.wood_ml) == (12, 30_000, 720)


# --- worked by hand: thin veneer, deep, no rim, nothing above: 0.6 and 1.5, 38 finished, 20 strips of 250 ---
# pitch 2.1; width 20*0.6 + 19*1.5 = 40.5; poured depth 38 + 2*1.5 = 41
# gaps 250 * 1.5 * 19 * 41 = 292 125 mm3 = 292.125 ml; wood 20*250*0.6*41 = 123 000 mm3 = 123 ml
# fraction 1.5/2.1 = 0.714286 of an endless stack; 292.125/415.125 = 0.703704 of this one


def test_a_thin_deep_block_without_rim_is_as_worked_by_hand():
    block = Block(Stack(0.6, 1.5, 38, flatten_mm=1.5), strips=20, length_mm=250, rim_mm=0, over_mm=0)
    assert block.width_mm == pytest.approx(40.5)
    assert block.resin_ml == pytest.approx(292.125)
    assert block.wood_ml == pytest.approx(123)
    assert block.stack.resin_fraction == pytest.approx(0.714286, abs=5e-7)
    assert block.resin_share == pytest.approx(0.703704, abs=5e-7)
    assert block.mould_inside_mm == pytest.approx((250, 40.5, 41))


def test_the_walls_of_the_mould_stand_ten_millimetres_above_the_resin():
    assert Block(Stack(), strips=50, length_mm=600).mould_wall_mm == 23


def test_film_and_soak_are_shares_of_what_fills_the_mould():
    # 908.224 ml: 3 % film 27.247, 2 % soak 18.164, together 953.635
    needed = needed_resin(Block(Stack(), strips=50, length_mm=600))
    assert needed.block_ml == pytest.approx(908.224)
    assert needed.film_ml == pytest.approx(27.247, abs=0.001)
    assert needed.soak_ml == pytest.approx(18.164, abs=0.001)
    assert needed.total_ml == pytest.approx(953.635, abs=0.001)


def test_without_film_and_soak_no_more_is_needed_than_fills_the_mould():
    block = Block(Stack(), strips=50, length_mm=600)
    assert needed_resin(block, film_percent=0, soak_percent=0).total_ml == block.resin_ml


def test_the_defaults_are_those_agreed_for_a_stack():
    assert Stack() == Stack(2, 2, 10, 600, 200, 1, 3, 1.55)


# --- the same volumes, from areas that shapely measures on the strips drawn one by one ---


def plan_areas_mm2(block):
    """What lies inside the mould seen from above: everything, wood, and the stack's own outline."""
    length_mm, width_mm, _ = block.mould_inside_mm
    rim_mm, stack = block.rim_mm, block.stack
    strips = [
        box(
            rim_mm,
            rim_mm + n * stack.pitch_mm,
            rim_mm + block.length_mm,
            rim_mm + n * stack.pitch_mm + stack.strip_mm,
        )
        for n in range(block.strips)
    ]
    inside = box(0, 0, length_mm, width_mm)
    stacked = box(rim_mm, rim_mm, length_mm - rim_mm, width_mm - rim_mm)
    return inside, unary_union(strips, grid_size=1e-7), stacked


@pytest.mark.parametrize(
    "block",
    [
        Block(Stack(), 50, 600),
        Block(Stack(0.6, 1.5, 38), 20, 250, rim_mm=0, over_mm=0),
        Block(Stack(5, 1, 20, flatten_mm=0), 7, 333.3, rim_mm=12.5, over_mm=2.5),
        Block(Stack(), 1, 100),
    ],
    ids=["default", "thin", "thick", "one strip"],
)
def test_every_share_of_the_resin_equals_the_areas_that_shapely_measures(block):
    inside, wood, stacked = plan_areas_mm2(block)
    deep, over = block.poured_depth_mm / 1000, block.over_mm / 1000
    assert block.wood_ml == pytest.approx(wood.area * deep)
    assert block.gap_ml == pytest.approx(stacked.difference(wood, grid_size=1e-7).area * deep, abs=1e-6)
    assert block.rim_ml == pytest.approx(inside.difference(stacked).area * deep)
    assert block.over_ml == pytest.approx(inside.area * over)
    assert block.resin_ml == pytest.approx(
        inside.difference(wood, grid_size=1e-7).area * deep + inside.area * over
    )


# --- properties ---


@given(blocks)
def test_wood_and_resin_fill_the_mould_to_the_line(block):
    length_mm, width_mm, height_mm = block.mould_inside_mm
    assert block.wood_ml + block.resin_ml == pytest.approx(length_mm * width_mm * height_mm / 1000)


@given(blocks)
def test_no_volume_is_negative_and_all_are_finite(block):
    volumes = (block.gap_ml, block.rim_ml, block.over_ml, block.resin_ml, block.wood_ml)
    assert all(math.isfinite(volume) and volume >= -1e-9 for volume in volumes)
    assert 0 <= block.resin_share <= 1


@given(stacks, st.floats(0, 10))
def test_more_gap_never_lowers_the_resin_fraction(stack, more_mm):
    wider = Stack(stack.strip_mm, stack.gap_mm + more_mm, stack.depth_mm)
    assert wider.resin_fraction >= stack.resin_fraction - 1e-12


@given(stacks, st.integers(1, 300))
def test_one_more_strip_adds_one_pitch(stack, strips):
    assert stack.width_mm(strips + 1) - stack.width_mm(strips) == pytest.approx(stack.pitch_mm)


@given(blocks)
def test_the_share_of_a_block_is_below_that_of_an_endless_stack(block):
    assert block.resin_share <= block.stack.resin_fraction + 1e-12


@given(blocks, st.floats(0, 20), st.floats(0, 20))
def test_the_needed_resin_grows_with_either_share(block, film_percent, soak_percent):
    needed = needed_resin(block, film_percent, soak_percent)
    assert needed.total_ml == pytest.approx(block.resin_ml * (1 + (film_percent + soak_percent) / 100))


# --- refused ---


@pytest.mark.parametrize("field", ["strip_mm", "depth_mm", "max_length_mm", "max_width_mm"])
@pytest.mark.parametrize("value", [0, -1, math.nan, math.inf, 10_001])
def test_a_size_that_must_be_there_is_refused_when_it_is_not(field, value):
    with pytest.raises(OutOfRange, match="must be from 0.01 to 10000 mm") as refused:
        Stack(**{field: value})
    assert refused.value.name == field


@pytest.mark.parametrize("field", ["gap_mm", "flatten_mm", "edge_mm"])
def test_an_allowance_may_be_nothing_but_not_less(field):
    assert getattr(Stack(**{field: 0}), field) == 0
    with pytest.raises(OutOfRange, match="is -0.1 mm, which is too low"):
        Stack(**{field: -0.1})


def test_a_refractive_index_below_that_of_air_is_refused():
    with pytest.raises(OutOfRange, match="resin index is 0.9"):
        Stack(resin_index=0.9)


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"strips": 0}, "strips is 0 strips, which is too low"),
        ({"strips": 2.5}, "which is not a whole number"),
        ({"strips": 10_001}, "which is too high"),
        ({"length_mm": 0}, "length is 0 mm"),
        ({"rim_mm": -1}, "rim is -1 mm"),
        ({"over_mm": math.nan}, "over is not a number"),
    ],
)
def test_a_block_that_cannot_be_cast_is_refused(changed, words):
    with pytest.raises(OutOfRange, match=words):
        Block(**{"stack": Stack(), "strips": 50, "length_mm": 600, **changed})


def test_shares_below_nothing_are_refused():
    with pytest.raises(OutOfRange, match="film is -1 %"):
        needed_resin(Block(Stack(), 50, 600), film_percent=-1)


def test_a_stack_cannot_be_changed_behind_a_blocks_back():
    with pytest.raises(AttributeError, match="cannot assign"):
        Stack().strip_mm = 3
