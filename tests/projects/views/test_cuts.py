import csv
import io
import math
import re

import pytest

from projects.models import Block, PanelDesign
from tests.factories import AT, Bench, BlockFactory, MemberFactory, design
from tests.projects.pages import at, words_of
from workshop.models import Machine

pytestmark = pytest.mark.django_db


class Sawn(Bench):
    """A bench whose project has a panel."""

    def __init__(self, **changed):
        super().__init__()
        design(self.member, self.project, **changed)

    def saw(self, **figures):
        made = {"shop": self.shop, "kind": "saw", "name": "the table saw", "created_at": AT, **figures}
        PanelDesign.objects.update(saw=Machine.objects.create(**made))
        return self


def page(bench):
    return at("cuts", bench.shop, bench.project.key)


def words(signed_in, bench):
    return words_of(signed_in(bench.member).get(page(bench)))


def table(signed_in, bench, kind):
    response = signed_in(bench.member).get(at("cuts-csv", bench.shop, bench.project.key, kind))
    return list(csv.reader(io.StringIO(response.content.decode("utf-8-sig"))))


def test_without_a_panel_the_page_leads_to_designing_one(signed_in):
    bench = Bench()
    response = signed_in(bench.member).get(page(bench))
    assert "No panel is designed yet" in words_of(response)
    assert at("panel", bench.shop, bench.project.key) in response.content.decode()


def test_blocks_that_are_cut_alike_are_drawn_once(signed_in):
    bench = Sawn()
    for position in (1, 2):
        BlockFactory(shop=bench.shop, project=bench.project, resin=bench.resin, position=position)
    said = words(signed_in, bench)
    assert "Blocks A–C: 568.3 mm × 198 mm, 50 strips, 6 bars each." in said


def test_blocks_of_the_project_are_named_by_their_letter_and_others_as_not_there_yet(signed_in):
    bench = Sawn()
    response = signed_in(bench.member).get(page(bench))
    said = words_of(response)
    assert "Block A: 568.3 mm × 198 mm, 50 strips, 6 bars." in said
    assert "Blocks 2–3, not yet in the project: 568.3 mm × 198 mm, 50 strips, 6 bars each." in said
    assert "Block 4, not yet in the project: " in said
    assert 'aria-label="Block A from above' in response.content.decode()
    assert 'aria-label="Block 4, not yet in the project from above' in response.content.decode()
    assert {row[1] for row in table(signed_in, bench, "bars")[1:]} == {
        "Block A",
        *(f"Block {number}, not yet in the project" for number in (2, 3, 4)),
    }
    assert table(signed_in, bench, "blocks")[1][:2] == ["Block A", "1"]


def test_a_block_of_other_stripes_is_no_block_of_the_plan(signed_in):
    bench = Sawn()
    BlockFactory(shop=bench.shop, project=bench.project, resin=bench.resin, position=1, gap_mm=1)
    BlockFactory(shop=bench.shop, project=bench.project, resin=bench.resin, position=2)
    names = [row[0] for row in table(signed_in, bench, "blocks")[1:]]
    assert names == ["Blocks A, C", "Block 3, not yet in the project", "Block 4, not yet in the project"]


def test_bars_with_equal_cuts_are_drawn_once(signed_in):
    assert "Bar 1–19: 15 of piece T from 568.3 mm × 30 mm." in words(signed_in, Sawn())


def test_the_settings_of_a_piece_are_a_short_list(signed_in):
    said = words(signed_in, Sawn())
    assert (
        "Piece T Rip to 30 mm Gauge 45° from a square cut Blade upright Stop 60 mm "
        "Between two cuts roll over, then slide to the stop How many 296 of them 2 for trial"
    ) in said


def test_an_angle_beyond_the_gauge_is_said_as_one_of_a_sled(signed_in):
    bench = Sawn(pattern="star6", sizes={"side_mm": 30.0}).saw(gauge_max_deg=50)
    assert "Gauge 60° from a square cut Beyond the gauge: sled 30°" in words(signed_in, bench)


def test_within_the_gauges_range_no_sled_is_named(signed_in):
    assert "sled" not in words(signed_in, Sawn().saw(gauge_max_deg=50)).split("at the saw")[0]


def test_a_piece_with_two_gauges_is_cut_in_two_passes(signed_in):
    said = words(signed_in, Sawn(pattern="peaks", sizes={"base_mm": 60.0, "height_mm": 52.0}))
    assert "two passes: part pairs first, then part each pair" in said


def test_the_page_warns_of_the_saw(signed_in):
    said = words(signed_in, Sawn())
    for care in (
        "Hands at least 150 mm off the blade",
        "glued-on tail or a carrier",
        "Stop the blade before",
    ):
        assert care in said


def test_a_ring_that_closes_is_close_enough(signed_in):
    # patterns.md: n=4, R=42.426, 0.1°, 2 cuts: 0.5924 mm; half a gap is 1 mm
    assert "leaves 0.6 mm open at the rim of a ring of 4 pieces, 42.4 mm" in words(signed_in, Sawn())
    assert "That is close enough." in words(signed_in, Sawn())


def test_a_ring_that_gapes_asks_for_two_halves(signed_in):
    # patterns.md: n=6, R=100, 0.1°, 2 cuts: 2.0944 mm
    bench = Sawn(pattern="hexagons", sizes={"side_mm": 100.0}).saw(angle_error_deg=0.1)
    said = words(signed_in, bench)
    assert "Your saw’s ±0.1° leaves 2.1 mm open at the rim of a ring of 6 pieces, 100 mm" in said
    assert "Glue two halves a hair fat and true the diameter" in said
    # 100 sin(0.3°) and 100 sin(0.6°); the stop 2 * 100 sin(60°) (tan(30.1°) - tan(30°))
    assert (
        "A hair fat is 0.1° at the gauge, towards blunter points, and the stop farther: piece T by 0.4 mm"
        in said
    )
    assert "Truing takes 0.5 mm off each face at the rim, 1 mm at most, and nothing at the middle" in said


def test_the_length_that_fat_halves_take_from_a_full_bar_is_said(signed_in):
    bench = Sawn(pattern="hexagons", sizes={"side_mm": 100.0}).saw(angle_error_deg=0.1)
    many, more = re.search(
        r"A full bar of (\d+) pieces T takes up to ([\d.]+) mm more length", words(signed_in, bench)
    ).groups()
    farther_mm = (
        200 * math.sin(math.radians(60)) * (math.tan(math.radians(30.1)) - math.tan(math.radians(30)))
    )
    assert float(more) == pytest.approx(int(many) * farther_mm, abs=0.06)


def test_a_ring_that_closes_needs_no_fat_halves(signed_in):
    assert "A hair fat is" not in words(signed_in, Sawn())


def test_test_pieces_are_as_many_with_fat_halves_as_without(signed_in):
    bench = Sawn(pattern="hexagons", sizes={"side_mm": 100.0}).saw(angle_error_deg=0.1)
    fat = words(signed_in, bench)
    close = words(signed_in, bench.saw(angle_error_deg=0.01))
    assert "A hair fat is" not in close
    assert [text.count("of them 2 for trial") for text in (fat, close)] == [1, 1]


def test_an_odd_ring_that_gapes_asks_for_a_dry_one(signed_in):
    bench = Sawn(pattern="cubes", sizes={"side_mm": 60.0}).saw(angle_error_deg=1)
    assert "Close a dry ring of 3 and correct the gauge until it shuts." in words(signed_in, bench)


def test_a_pattern_without_lines_to_meet_says_so(signed_in):
    said = words(signed_in, Sawn(pattern="basket", sizes={"side_mm": 40.0}))
    assert "Nothing in this pattern has to meet: lines end at every seam." in said


def test_without_a_saw_its_figures_are_said_to_be_common_practice(signed_in):
    assert "No saw is chosen: 2 mm cut, ±0.1° and ±0.1 mm are common practice, no source." in words(
        signed_in, Sawn()
    )


def test_a_panel_glued_without_overhang_is_to_be_made_larger(signed_in):
    assert "Glue the panel at least 4 mm larger on each side" in words(signed_in, Sawn())
    assert "Glue the panel at least" not in words(signed_in, Sawn(overhang_mm=4.0))


def test_the_offcut_is_the_sum_of_its_causes(signed_in):
    rows = table(signed_in, Sawn(), "offcut")
    causes, whole = [float(row[1]) for row in rows[1:-1]], float(rows[-1][1])
    assert len(causes) == 4
    assert sum(causes) == pytest.approx(whole, abs=0.03)


def test_a_design_that_the_block_no_longer_allows_says_why(signed_in):
    bench = Sawn()
    Block.objects.update(edge_mm=99)
    said = words(signed_in, bench)
    assert "can’t be cut The bars would be 30 mm wide, but a block gives 0 mm at most." in said


def test_what_comes_off_bars_is_shown_in_pages(signed_in):
    bench = Sawn(sizes={"side_mm": 30.0}, origin=[15.0, 15.0])
    first, second = (signed_in(bench.member).get(page(bench), {"page": n}) for n in (1, 2))
    assert len(first.context["page"].object_list) == 25
    assert first.context["page"].object_list[0] != second.context["page"].object_list[0]


def test_every_piece_comes_off_some_bar_once(signed_in):
    rows = table(signed_in, Sawn(), "bars")[1:]
    marks = [mark for row in rows for mark in row[-1].split(", ")]
    assert sorted(int(mark) for mark in marks if mark.isdigit()) == list(range(1, 281))


def test_pieces_that_lie_face_down_carry_an_f(signed_in):
    bench = Sawn(pattern="zigzag", sizes={"column_mm": 30.0, "bar_mm": 60.0, "angle_deg": 45.0},
                 height_mm=400.0, origin=[0.0, 0.0])  # fmt: skip
    marks = ", ".join(row[-1] for row in table(signed_in, bench, "bars")[1:])
    assert len(re.findall(r"\d+F", marks)) == 60  # patterns.md: 120 pieces, 60 flipped


@pytest.mark.parametrize(
    ("kind", "head"), [("settings", "piece"), ("bars", "bar"), ("blocks", "blocks"), ("offcut", "cause")]
)
def test_every_table_can_be_taken_along(signed_in, kind, head):
    rows = table(signed_in, Sawn(), kind)
    assert rows[0][0] == head
    assert len(rows) > 1


@pytest.mark.parametrize("kind", ["settings", "bars", "blocks", "offcut"])
def test_the_page_leads_to_every_table(signed_in, kind):
    bench = Sawn()
    content = signed_in(bench.member).get(page(bench)).content.decode()
    assert at("cuts-csv", bench.shop, bench.project.key, kind) in content


def test_a_table_that_there_is_not_is_no_such_page(signed_in):
    bench = Sawn()
    url = at("cuts-csv", bench.shop, bench.project.key, "lunch")
    assert signed_in(bench.member).get(url).status_code == 404


def test_a_project_without_a_panel_has_no_tables(signed_in):
    bench = Bench()
    url = at("cuts-csv", bench.shop, bench.project.key, "bars")
    assert signed_in(bench.member).get(url).status_code == 404


def test_a_stranger_finds_neither_page_nor_tables(signed_in):
    bench = Sawn()
    client = signed_in(MemberFactory())
    assert client.get(page(bench)).status_code == 404
    assert client.get(at("cuts-csv", bench.shop, bench.project.key, "bars")).status_code == 404
