import pytest

from tests.workshop.drawing.parsed import NUMBER, parsed
from workshop.drawing.frame import LEFT, TOP, Frame, round_step
from workshop.drawing.svg import picture

FRAME = Frame("wide", "f", 0, 100, 20, 120)


def test_values_lie_from_left_to_right_and_from_floor_to_top():
    assert (FRAME.x(0), FRAME.x(100)) == (LEFT, FRAME.edge)
    assert (FRAME.y(20), FRAME.y(120)) == (FRAME.floor, TOP)


def test_a_curve_is_cut_at_the_edge_between_its_last_two_points():
    assert FRAME.within([(0, 20), (80, 60), (120, 100)]) == [(0, 20), (80, 60), (100, 80)]
    assert FRAME.within([(0, 20), (80, 60)], until=40) == [(0, 20), (40, 40)]


def test_what_is_too_high_is_drawn_above_the_ground_and_cut_off_there():
    heights = [float(y) for y in NUMBER.findall(FRAME.path([(0, 20), (50, 1e6)]))[1::2]]
    assert heights[1] == pytest.approx(-FRAME.floor)
    ground = parsed(picture((10, 10), *FRAME.ground(), FRAME.clipped("<g/>")))
    assert [part.get("clip-path") for part in ground if part.get("clip-path")] == ["url(#f-ground)"]


@pytest.mark.parametrize(("span", "most", "step"), [(100, 5, 20), (100, 4, 25), (7, 20, 1), (9000, 3, 9000)])
def test_steps_are_round(span, most, step):
    assert round_step(span, most) == step


def test_figures_below_do_not_touch_one_another():
    ticks = FRAME.ticks([0, 1, 2, 50, 100], lambda value: f"{value:g} minutes")
    said = [part for part in ticks if part.startswith("<text")]
    assert ["0 minutes" in said[0], "50 minutes" in said[1], len(said)] == [True, True, 3]
