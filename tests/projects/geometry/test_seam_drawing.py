import re

import pytest

from projects.geometry.drawing import panel_svg
from projects.geometry.panel import lay_out
from projects.geometry.patterns.registry import EXAMPLES, PATTERNS
from projects.geometry.seam_drawing import with_seams
from projects.geometry.seams import find_seams
from projects.geometry.stack import Stack
from tests.workshop.drawing.parsed import parsed


def panel_of(name):
    return lay_out(PATTERNS[name](*EXAMPLES[name]), 300, 200, Stack())


def drawn(panel, **options):
    return with_seams(panel_svg(panel, **options), panel, find_seams(panel), **options)


@pytest.mark.parametrize("name", PATTERNS)
def test_every_seam_is_drawn_once_at_its_length(name):
    panel = panel_of(name)
    paths = "".join(re.findall(r'd="(M[^"]*)" class="[^"]*seam"', drawn(panel)))
    steps = re.findall(r"l(-?[\d.e-]+) (-?[\d.e-]+)", paths)
    lengths = [(float(x) ** 2 + float(y) ** 2) ** 0.5 for x, y in steps]
    seams = find_seams(panel)
    assert len(lengths) == len(seams.length_mm)
    # each end is rounded to a tenth of a drawing unit, which is a millimetre here
    assert sum(lengths) == pytest.approx(seams.length_mm.sum(), abs=0.15 * len(lengths))


@pytest.mark.parametrize("name", PATTERNS)
def test_the_drawing_stays_one_whole_picture(name):
    assert parsed(drawn(panel_of(name))).get("role") == "img"


def test_with_numbers_seams_follow_the_larger_drawing():
    panel = lay_out(PATTERNS["squares"](20), 300, 200, Stack())
    plain, lettered = (parsed(drawn(panel, numbers=numbers)) for numbers in (False, True))
    reach = [max(map(float, re.findall(r"M([\d.]+) ", root[-1][0].get("d")))) for root in (plain, lettered)]
    assert reach[1] > reach[0]


def test_seams_where_lines_jump_are_drawn_as_light():
    assert drawn(panel_of("hexagons")).count("l-flame seam") == 1
