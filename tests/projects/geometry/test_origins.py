import pytest

from materials.science.errors import OutOfRange
from projects.geometry.origins import calm_origin
from projects.geometry.stack import Stack
from tests.projects.geometry.laid import NAMES, example, panel_of


@pytest.mark.parametrize("name", NAMES)
def test_the_origin_offered_leaves_no_more_slivers_than_the_middle(name):
    origin = calm_origin(example(name), 317, 211, Stack(), tries=3)
    offered, middle = panel_of(name, 317, 211, origin=origin), panel_of(name, 317, 211)
    assert len(offered.slivers(0.1)) <= len(middle.slivers(0.1))


def test_slivers_are_got_rid_of_where_a_shift_does_it():
    assert len(panel_of("basket", 402, 242).slivers(0.1)) > 0
    origin = calm_origin(example("basket"), 402, 242, Stack(), tries=4)
    assert len(panel_of("basket", 402, 242, origin=origin).slivers(0.1)) == 0


@pytest.mark.parametrize("tries", [0, 2.5])
def test_tries_are_a_whole_number(tries):
    with pytest.raises(OutOfRange, match="tries is"):
        calm_origin(example("basket"), 400, 240, Stack(), tries=tries)
