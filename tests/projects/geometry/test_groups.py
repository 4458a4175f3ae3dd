import numpy as np
import pytest

from projects.geometry.groups import by_bar, repeats, rows
from projects.geometry.panel import lay_out
from projects.geometry.stack import Stack
from tests.projects.geometry.laid import NAMES, PANELS, example, panel_of


@pytest.mark.parametrize("panel", PANELS)
@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("group", [rows, repeats])
def test_every_piece_is_in_one_group(name, panel, group):
    laid = panel_of(name, *panel)
    assert sorted(number for numbers in group(laid) for number in numbers) == laid.number.tolist()


@pytest.mark.parametrize("name", NAMES)
def test_numbers_of_rows_follow_each_other(name):
    found = [number for row in rows(panel_of(name)) for number in row]
    assert found == sorted(found)


def test_pieces_of_a_row_lie_at_one_height():
    laid = panel_of("squares")
    high = laid.corners_mm[:, :, 1]
    for row in rows(laid):
        own = high[np.array(row) - 1]
        assert np.ptp(np.sort(own, axis=1), axis=0).max() < 1e-6


def test_a_glue_line_does_not_part_a_row():
    plain, glued = (lay_out(example("star8"), 600, 400, Stack(), glue_mm=glue) for glue in (0, 0.2))
    assert rows(glued) == rows(plain)


def test_a_whole_repeat_has_as_many_pieces_as_the_cell():
    laid = panel_of("star6")
    assert max(map(len, repeats(laid))) == len(laid.pattern.cell) == 12


def test_a_panel_of_whole_squares_has_a_ring_for_each():
    laid = lay_out(example("squares"), 600, 420, Stack(), origin=(30, 30))
    assert [len(ring) for ring in repeats(laid)] == [4] * 70


def test_bars_come_in_their_own_order():
    assert by_bar([3, 1, 3, 2, 1]) == [(2, 5), (4,), (1, 3)]
