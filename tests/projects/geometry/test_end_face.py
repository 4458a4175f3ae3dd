import pytest
from hypothesis import given
from hypothesis import strategies as st

from projects.geometry.end_face import BREAK, FINEST, FLATTEST, EndFace
from projects.geometry.stack import Block, Stack

blocks = st.builds(
    Block,
    st.builds(
        Stack,
        strip_mm=st.floats(0.05, 60),
        gap_mm=st.just(0) | st.floats(0.05, 60),
        depth_mm=st.floats(0.5, 400),
    ),
    strips=st.integers(1, 3000),
    length_mm=st.just(600),
    rim_mm=st.floats(0, 40),
    over_mm=st.floats(0, 15),
)
faces = st.builds(EndFace, blocks, span=st.floats(200, 1100), tallest=st.floats(120, 240))


def test_a_block_that_fits_is_drawn_as_large_as_its_frame_allows():
    # inside 206 by 13 mm in 412 by 200 units: 2 units a millimetre
    face = EndFace(Block(Stack(), 50, 600), span=412, tallest=200)
    assert (face.scale, face.width, face.height) == (2, 412, 26)
    assert (face.missing, face.broken_deep, face.gap_across()) == (0, False, None)


def test_a_block_too_wide_to_be_read_whole_keeps_its_scale_and_loses_its_middle():
    # 13 mm are drawn 40 high: a pitch of 4 takes 12.3, the rim 12.3; (412 - 26)/2 - 12.3 = 180.7, 14 pitches
    face = EndFace(Block(Stack(), 400, 600), span=412, tallest=200)
    assert face.scale == pytest.approx(40 / 13)
    assert (face.each_side, face.missing) == (14, 400 - 28)


@given(faces)
def test_a_face_stays_within_its_frame(face):
    assert face.width <= face.span + 1e-6
    assert face.height <= face.tallest + 1e-6


@given(faces)
def test_what_is_drawn_whole_can_be_told_apart(face):
    if not face.missing and not face.broken_deep:
        stack = face.block.stack
        finest_mm = min(stack.strip_mm, stack.gap_mm or stack.strip_mm)
        frame = min(face.span / face.block.mould_inside_mm[1], face.tallest / face.block.mould_inside_mm[2])
        readable = face.scale * finest_mm >= FINEST - 1e-6 and face.height >= FLATTEST - 1e-6
        assert readable or face.scale >= frame - 1e-9


@given(faces)
def test_a_break_leaves_strips_at_either_side_and_a_gap_that_is_seen(face):
    if face.missing:
        start, end = face.gap_across()
        assert face.each_side >= 1
        assert 0 < start < end < face.width
        assert end - start >= BREAK - 1e-6


@given(faces, st.floats(0, 1), st.floats(0, 1))
def test_higher_in_the_mould_is_never_drawn_lower(face, one, other):
    low, high = sorted((one, other))
    fill_mm = face.block.mould_inside_mm[2]
    assert face.up(low * fill_mm) <= face.up(high * fill_mm) + 1e-6
    assert face.up(fill_mm) == pytest.approx(face.height)


@given(faces)
def test_strips_never_lie_on_each_other(face):
    boxes = face.strip_boxes(0, 0)
    assert len(boxes) + face.missing == face.block.strips
    if face.block.stack.strip_mm * face.scale > 0.75:
        assert all(a[0] + a[2] <= b[0] + 1e-6 for a, b in zip(boxes, boxes[1:], strict=False))
