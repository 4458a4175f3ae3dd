import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.science.errors import OutOfRange
from projects.geometry.drawing import WIDTH, block_svg
from projects.geometry.stack import Stack
from tests.workshop.drawing.parsed import NUMBER, boxes_of, parsed, parts_of, texts_of

stacks = st.builds(
    Stack,
    strip_mm=st.floats(0.05, 60),
    gap_mm=st.just(0) | st.floats(0.05, 60),
    depth_mm=st.floats(0.5, 400),
    flatten_mm=st.floats(0, 10),
)


def strips_of(root):
    return [found for part in parts_of(root, "k-lam") for found in boxes_of(part.get("d"))]


def test_a_block_is_drawn_to_scale_with_all_its_strips():
    found = strips_of(parsed(block_svg(Stack(), 50)))
    left, right = found[0][0], found[-1][0] + found[-1][2]
    assert len(found) == 50
    assert (right - left) / found[0][3] == pytest.approx(198 / 12, rel=0.005)
    assert found[0][2] / found[0][3] == pytest.approx(2 / 12, rel=0.01)


def test_a_block_says_its_sizes():
    root = parsed(block_svg(Stack(), 50))
    assert [line for line, _, _ in texts_of(root)] == ["198 × 12 mm, 50 strips"]
    assert root.get("aria-label") == (
        "The end of a block: 50 strips of 2 mm with gaps of 2 mm, 198 mm wide, 12 mm deep."
    )


def test_a_block_of_four_hundred_strips_says_how_many_are_not_drawn():
    root = parsed(block_svg(Stack(), 400))
    assert f"the middle {400 - len(strips_of(root))} strips are not drawn" in [
        line for line, _, _ in texts_of(root)
    ]


@given(stacks, st.integers(1, 2000))
def test_any_block_is_a_well_formed_drawing_within_its_frame(stack, strips):
    root = parsed(block_svg(stack, strips))
    height = float(NUMBER.findall(root.get("viewBox"))[3])
    for x, y, wide, high in strips_of(root):
        assert -0.02 <= x <= x + wide <= WIDTH + 0.02
        assert -0.02 <= y <= y + high <= height
    assert all(-0.5 <= left <= right <= WIDTH + 0.5 for _, left, right in texts_of(root))


def test_a_block_without_strips_is_refused():
    with pytest.raises(OutOfRange, match="strips is 0"):
        block_svg(Stack(), 0)
