import cmath
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.science.errors import OutOfRange
from projects.geometry.half_rings import half_ring_truing
from projects.geometry.seams import ring_gap


def half_laid(pieces, faces, radius_mm, cut_off_deg):
    """Half a ring laid piece by piece from its middle: how far its rim reaches over a straight diameter."""
    at = complex(radius_mm, 0)
    for _ in range(pieces // 2):
        at *= cmath.rect(1, math.radians(360 / pieces + faces * cut_off_deg))
    # laid evenly on its diameter, both ends reach over it by half of the angle that is too much
    over = (cmath.phase(at) % (2 * math.pi) - math.pi) / 2
    return radius_mm * math.sin(over)


RINGS = [(6, 2), (4, 2), (8, 1), (6, 1), (12, 2)]


@pytest.mark.parametrize(("pieces", "faces"), RINGS)
@pytest.mark.parametrize("error_deg", [0.05, 0.1, 0.25])
def test_a_half_laid_piece_by_piece_reaches_over_by_what_is_allowed(pieces, faces, error_deg):
    found = half_ring_truing(pieces, 100, error_deg, faces)
    set_to = found.gauge_deg
    assert half_laid(pieces, faces, 100, set_to) == pytest.approx(found.face_mm)
    assert half_laid(pieces, faces, 100, set_to + error_deg) == pytest.approx(found.most_mm)
    # the leanest half that this saw cuts is just straight: there is nothing to fill
    assert half_laid(pieces, faces, 100, set_to - error_deg) == pytest.approx(0, abs=1e-9)


@given(st.sampled_from(RINGS), st.floats(5, 500), st.floats(0, 1))
def test_four_faces_share_what_a_whole_ring_would_be_too_fat(ring, radius, error):
    pieces, faces = ring
    found = half_ring_truing(pieces, radius, error, faces)
    open_deg, _ = ring_gap(pieces, radius, error, faces)
    assert found.face_mm == pytest.approx(radius * math.sin(math.radians(open_deg / 4)))
    assert 0 <= found.face_mm <= found.most_mm <= 2 * found.face_mm + 1e-9


@given(st.sampled_from([(6, 2), (4, 2), (12, 2)]), st.floats(5, 500), st.floats(0.01, 1))
def test_a_longer_piece_has_its_point_on_the_bars_far_edge(ring, bar, error):
    pieces, faces = ring
    found = half_ring_truing(pieces, bar, error, faces)
    near = 2 * bar * math.tan(math.pi / pieces) * found.longer
    # the two cuts of the fatter point begin at the ends of the near edge and meet in the middle
    edge_deg = 90 - 180 / pieces - error
    assert near / 2 * math.tan(math.radians(edge_deg)) == pytest.approx(bar)


def test_a_point_with_one_cut_needs_no_longer_piece():
    assert half_ring_truing(8, 60, 0.1, 1).longer == 1


def test_a_saw_without_error_leaves_nothing_to_true():
    assert half_ring_truing(6, 100, 0) == (0, 0, 0, 1)


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ((3, 60, 0.1, 1), "half ring pieces is 1.5 pieces, which is too low"),
        ((7, 60, 0.1), "half ring pieces is 3.5 pieces, which is not a whole number"),
        ((2, 60, 0.1), "half ring pieces is 1 pieces, which is too low"),
        ((6, 0, 0.1), "radius is 0 mm"),
        ((6, 60, 11), "error is 11 °"),
        ((6, 60, 0.1, 3), "faces"),
    ],
)
def test_a_ring_that_has_no_halves_is_refused(wrong, words):
    with pytest.raises(OutOfRange, match=words):
        half_ring_truing(*wrong)
