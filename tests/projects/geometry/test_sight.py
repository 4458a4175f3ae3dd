import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from materials.science.errors import OutOfRange
from materials.science.light.transmission import absorption_per_mm, slab, tinted
from materials.science.light.viewing import cutoff_deg, open_fraction
from projects.geometry.panel import lay_out
from projects.geometry.patterns.registry import PATTERNS
from projects.geometry.sight import (
    brightness,
    lean_shift_deg,
    leaning_brightness,
    leaning_cone,
    leaning_open_share,
    open_share,
    viewing_cone,
)
from projects.geometry.stack import Stack
from tests.projects.geometry.laid import NAMES, panel_of

FAR = 1e6


def eye_at(panel, angle_deg, towards_deg=0.0):
    """An eye far away, at an angle from the normal, moved in a direction of the panel."""
    off = FAR * math.tan(math.radians(angle_deg))
    x, y = off * math.cos(math.radians(towards_deg)), off * math.sin(math.radians(towards_deg))
    return panel.width_mm / 2 + x, panel.height_mm / 2 + y, FAR


def squares_far():
    return panel_of("squares", 300, 300)


@pytest.mark.parametrize("name", ["squares", "cubes", "zigzag", "star8", "herringbone"])
@pytest.mark.parametrize("angle_deg", [0, 5, 10, 15, 30, 60])
def test_from_far_each_piece_is_open_as_its_own_slot_is(name, angle_deg):
    panel = panel_of(name, 300, 200, 17)
    found = open_share(panel, eye_at(panel, angle_deg, 25), 1.5)
    # the eye moves towards 25 degrees; across the stripes is 90 from their direction
    expected = [open_fraction(angle_deg, 2, 10, 1.5, deg - 25 - 90) for deg in panel.stripe_deg]
    assert found == pytest.approx(expected, abs=2e-3)


def rays_through(panel, piece, eye, index, count, seed):
    """The share of rays from resin in front that also leave resin behind: each traced back on its own."""
    rng = np.random.default_rng(seed)
    middle = panel.middle_mm[piece]
    ray = np.array([*(np.array(eye[:2]) - middle), eye[2]])
    ray /= np.linalg.norm(ray)
    inside = np.array([ray[0] / index, ray[1] / index, math.sqrt(1 - (ray[0] ** 2 + ray[1] ** 2) / index**2)])
    starts = rng.uniform(-60, 60, (count, 2))  # on the front face; the ray comes from the back
    backs = starts - inside[:2] / inside[2] * 10
    alpha = math.radians(panel.stripe_deg[piece])
    across = np.array([-math.sin(alpha), math.cos(alpha)])
    front, back = starts @ across % 4, backs @ across
    in_resin = front < 2  # a slot from 0 to 2, a strip from 2 to 4
    slot = np.floor(starts @ across / 4) * 4
    passes = (back >= slot) & (back <= slot + 2)
    return (passes & in_resin).sum() / in_resin.sum()


@pytest.mark.parametrize(("angle_deg", "towards_deg"), [(5, 0), (10, 30), (15, 60), (8, 90), (20, 80)])
def test_a_hundred_thousand_rays_count_the_same_open_share(angle_deg, towards_deg):
    panel = squares_far()
    eye = eye_at(panel, angle_deg, towards_deg)
    found = open_share(panel, eye, 1.5)
    for piece in (0, 1, 2, 3):
        counted = rays_through(panel, piece, eye, 1.5, 200_000, seed=piece)
        assert found[piece] == pytest.approx(counted, abs=5e-3)


@pytest.mark.parametrize("angle_deg", [0, 20, 45, 60])
def test_along_its_stripes_a_piece_loses_only_at_its_faces_and_in_its_tint(angle_deg):
    panel = panel_of("basket", 400, 240)
    tint = absorption_per_mm(0.7, 10)
    lying = np.nonzero(panel.stripe_deg < 1)[0]
    found = brightness(panel, eye_at(panel, angle_deg), 1.5, tint)[lying]
    path_mm = 10 / math.sqrt(1 - (math.sin(math.radians(angle_deg)) / 1.5) ** 2)
    assert found == pytest.approx(0.5 * slab(1.5, angle_deg) * tinted(0.7, path_mm, 10), rel=2e-3)


def test_at_twenty_degrees_pieces_across_are_black_and_those_along_still_bright():
    panel = panel_of("basket", 400, 240)
    found = brightness(panel, eye_at(panel, 20), 1.5, 0)
    along = panel.stripe_deg < 1
    assert found[~along].max() == 0
    assert found[along] == pytest.approx(0.46, abs=0.002)


@pytest.mark.parametrize("name", NAMES)
@settings(max_examples=15)
@given(
    st.floats(-2000, 2000), st.floats(-2000, 2000), st.floats(1, 5000), st.floats(1.3, 1.7), st.floats(0, 0.2)
)
def test_no_piece_is_brighter_than_its_resin_and_none_darker_than_black(name, x, y, z, index, tint):
    found = brightness(panel_of(name, 200, 150), (x, y, z), index, tint)
    assert np.isfinite(found).all()
    assert (found >= 0).all()
    assert (found <= 0.5).all()


@given(st.floats(0, 0.1), st.floats(0, 0.1))
def test_more_tint_is_never_brighter(tint, more):
    panel = squares_far()
    eye = eye_at(panel, 7, 40)
    assert (brightness(panel, eye, 1.5, tint + more) <= brightness(panel, eye, 1.5, tint) + 1e-15).all()


def test_face_down_pieces_of_upright_strips_look_like_the_others():
    panel = panel_of("zigzag")
    found = brightness(panel, eye_at(panel, 10, 90), 1.5, 0)
    assert found[panel.face_down].max() == pytest.approx(found[~panel.face_down].max(), rel=1e-3)


def test_from_the_distance_it_says_all_of_a_panel_glows_and_from_nearer_not():
    panel = panel_of("squares", 600, 420)
    cone = viewing_cone(panel, 1.5)
    assert cone.cutoff_deg == cutoff_deg(2, 10, 1.5)
    middle = (300, 210)
    assert open_share(panel, (*middle, cone.glow_mm), 1.5).min() > 0
    assert open_share(panel, (*middle, cone.glow_mm / 2), 1.5).min() == 0


def test_the_distance_is_half_the_reach_across_over_the_tangent_of_the_cutoff():
    panel = panel_of("basket", 400, 240)
    expected = 200 / math.tan(math.radians(cutoff_deg(2, 10, 1.5)))
    assert viewing_cone(panel, 1.5).glow_mm == pytest.approx(expected)


def test_a_slot_that_never_closes_glows_from_anywhere():
    panel = lay_out(PATTERNS["basket"](40), 400, 240, Stack(gap_mm=10, depth_mm=8))
    assert viewing_cone(panel, 1.5).glow_mm < 1e-3


def test_a_lean_of_two_degrees_turns_the_bright_direction_by_about_three():
    assert lean_shift_deg(2, 1.55) == pytest.approx(3, abs=0.15)
    assert lean_shift_deg(-2, 1.55) == -lean_shift_deg(2, 1.55)


@pytest.mark.parametrize(
    ("eye", "index", "tint", "words"),
    [
        ((0, 0, 0), 1.5, 0, "eye z is 0 mm, which is too low"),
        ((math.nan, 0, 500), 1.5, 0, "eye x is not a number"),
        ((0, 0, 500), 0.9, 0, "refractive index is 0.9"),
        ((0, 0, 500), 1.5, -1, "tint is -1"),
    ],
)
def test_an_eye_or_a_resin_that_cannot_be_is_refused(eye, index, tint, words):
    with pytest.raises(OutOfRange, match=words):
        brightness(squares_far(), eye, index, tint)


def test_strips_leaning_so_far_that_no_light_leaves_are_refused():
    with pytest.raises(OutOfRange, match="lean is 50 °"):
        lean_shift_deg(50, 1.55)


# --- strips that lean ---


def rays_between_leaning_walls(panel, piece, eye, index, lean_deg, count, seed):
    """The share of rays from resin in front that also leave resin behind, traced in the bar as it was cut."""
    rng = np.random.default_rng(seed)
    ray = np.array([*(np.array(eye[:2]) - panel.middle_mm[piece]), eye[2]])
    ray /= np.linalg.norm(ray)
    inside = ray / index
    inside[2] = math.sqrt(1 - inside[0] ** 2 - inside[1] ** 2)  # Snell: what runs along the face is kept
    front = np.column_stack([rng.uniform(-60, 60, (count, 2)), np.zeros(count)])
    back = front - inside / inside[2] * 10
    turn = math.radians(panel.turn_deg[piece])
    across = np.array([-math.sin(turn), math.cos(turn)])
    flip = -1 if panel.face_down[piece] else 1

    def place(points):
        """Where points lie across the bar, brought down along the lean to the bar's own middle height."""
        y, z = flip * (points[:, :2] @ across), flip * (points[:, 2] + 5)
        return y - z * math.tan(math.radians(lean_deg))

    resin = place(front) % 4 < 2
    slot = np.floor(place(front) / 4) * 4
    passes = (place(back) >= slot) & (place(back) <= slot + 2)
    return (passes & resin).sum() / resin.sum()


@pytest.mark.parametrize("name", ["squares", "zigzag", "star8"])
@pytest.mark.parametrize("lean_deg", [-5, -2, 2, 4])
@pytest.mark.parametrize(("angle_deg", "towards_deg"), [(0, 0), (6, 30), (12, 100), (9, 250)])
def test_rays_between_leaning_walls_count_the_same_open_share(name, lean_deg, angle_deg, towards_deg):
    panel = panel_of(name, 300, 300, 17)
    eye = eye_at(panel, angle_deg, towards_deg)
    found = leaning_open_share(panel, eye, 1.55, lean_deg)
    for piece in (0, 1, 2, 3, 7, 11):
        counted = rays_between_leaning_walls(panel, piece, eye, 1.55, lean_deg, 100_000, seed=piece)
        assert found[piece] == pytest.approx(counted, abs=8e-3)


@pytest.mark.parametrize("lean_deg", [-5, -2, 1, 3, 5])
@pytest.mark.parametrize("index", [1.45, 1.55])
def test_a_piece_is_open_whole_from_where_its_bright_direction_points(lean_deg, index):
    panel = panel_of("zigzag")
    turned = lean_shift_deg(lean_deg, index)
    for piece in (0, 1):  # face up, face down
        way = panel.stripe_normal[piece] * (-1 if panel.face_down[piece] else 1)
        shares = []
        for angle in (turned - 2, turned, turned + 2):
            x, y = panel.middle_mm[piece] + way * FAR * math.tan(math.radians(angle))
            shares.append(leaning_open_share(panel, (x, y, FAR), index, lean_deg)[piece])
        assert shares[1] == pytest.approx(1, abs=1e-9)
        assert max(shares[0], shares[2]) < 0.95


EYES = (st.floats(-2000, 2000), st.floats(-2000, 2000), st.floats(100, 5000))


@pytest.mark.parametrize("name", NAMES)
@settings(max_examples=15)
@given(*EYES, st.floats(1.3, 1.7), st.floats(0, 0.2))
def test_strips_that_stand_plumb_are_those_of_before(name, x, y, z, index, tint):
    panel = panel_of(name, 200, 150)
    plumb = leaning_brightness(panel, (x, y, z), index, tint, 0)
    assert (plumb == brightness(panel, (x, y, z), index, tint)).all()


@given(*EYES, st.floats(1.3, 1.7), st.floats(-5, 5))
def test_face_down_pieces_of_leaning_strips_are_those_of_the_other_lean(x, y, z, index, lean):
    panel, eye = panel_of("zigzag"), (x, y, z)
    one, other = (leaning_open_share(panel, eye, index, sign * lean) for sign in (1, -1))
    flipped = np.where(panel.face_down, other, one)  # as if all of them lay face up
    ray = np.array(eye) - np.column_stack([panel.middle_mm, np.zeros(len(panel.number))])
    ray /= np.linalg.norm(ray, axis=1)[:, None]
    slope = (ray[:, :2] * panel.stripe_normal).sum(axis=1) / np.sqrt(index**2 - (ray[:, :2] ** 2).sum(axis=1))
    assert flipped == pytest.approx(
        np.clip(1 - 5 * np.abs(slope - math.tan(math.radians(lean))), 0, 1), abs=1e-9
    )


@pytest.mark.parametrize("name", NAMES)
def test_the_cone_of_plumb_strips_is_that_of_before(name):
    panel = panel_of(name)
    low, high, glow = leaning_cone(panel, 1.5, 0)
    cone = viewing_cone(panel, 1.5)
    assert (-low, high, glow) == pytest.approx((cone.cutoff_deg, cone.cutoff_deg, cone.glow_mm))


@pytest.mark.parametrize("name", ["squares", "zigzag", "star8", "basket"])
@pytest.mark.parametrize("lean_deg", [-5, -2, 3])
def test_from_the_distance_it_says_all_of_a_leaning_panel_glows(name, lean_deg):
    panel = panel_of(name, 600, 420)
    cone = leaning_cone(panel, 1.5, lean_deg)
    assert leaning_open_share(panel, (300, 210, cone.glow_mm), 1.5, lean_deg).min() > 0
    assert leaning_open_share(panel, (300, 210, cone.glow_mm / 2), 1.5, lean_deg).min() == 0


@pytest.mark.parametrize("lean_deg", [-4, -1, 2, 5])
def test_beyond_its_two_angles_a_leaning_slot_is_shut(lean_deg):
    panel = panel_of("zigzag")
    low, high, _ = leaning_cone(panel, 1.5, lean_deg)
    x, y = panel.stripe_normal[0]
    towards = math.degrees(math.atan2(y, x))
    for angle, open_ in ((low - 0.2, False), (low + 0.2, True), (high - 0.2, True), (high + 0.2, False)):
        share = leaning_open_share(panel, eye_at(panel, angle, towards), 1.5, lean_deg)[0]
        assert (share > 0) == open_


def test_strips_that_lean_more_than_their_gap_lets_through_never_glow_as_a_whole():
    # a gap of 0.5 over 10 mm is open for 2.86 degrees inside
    panel = lay_out(PATTERNS["basket"](40), 400, 240, Stack(gap_mm=0.5))
    assert leaning_cone(panel, 1.5, 3).glow_mm is None
    assert leaning_cone(panel, 1.5, 2.7).glow_mm is not None


def test_a_lean_that_is_none_is_refused():
    with pytest.raises(OutOfRange, match="lean is 40 °"):
        leaning_brightness(squares_far(), (0, 0, 500), 1.5, 0, 40)
    with pytest.raises(OutOfRange, match="lean is -40 °"):
        leaning_cone(squares_far(), 1.5, -40)
