import html
import re

import pytest

from projects.actions import dry_fit
from projects.models import Block, PieceMark
from projects.panel.rows import design_hash
from tests.factories import AT, Bench, MemberFactory, design
from tests.projects.pages import act, at, words_of
from workshop.models import Event

pytestmark = pytest.mark.django_db


class Laid(Bench):
    """A bench whose project has a panel of 280 pieces."""

    def __init__(self, **changed):
        super().__init__()
        design(self.member, self.project, **changed)

    @property
    def version(self):
        return design_hash(self.project)

    def marks(self):
        return dry_fit.marks_of(self.project, self.version)


def page(bench):
    return at("dry-fit", bench.shop, bench.project.key)


def look(signed_in, bench, **query):
    return signed_in(bench.member).get(page(bench), query)


def press(signed_in, bench, mark, query="", **more):
    sent = {"mark": mark, "version": bench.version, **act(), **more}
    return signed_in(bench.member).post(page(bench) + query, sent)


def buttons(response):
    return [
        html.unescape(value)
        for value in re.findall(r'name="mark" value="([^"]*)"', response.content.decode())
    ]


def test_without_a_panel_the_page_leads_to_designing_one(signed_in):
    assert "No panel is designed yet" in words_of(look(signed_in, Bench()))


def test_a_design_that_can_not_be_cut_any_more_says_why(signed_in):
    bench = Laid()
    Block.objects.update(edge_mm=99)
    assert "no map The bars would be 30 mm wide" in words_of(look(signed_in, bench))


def test_rows_are_offered_first(signed_in):
    words = words_of(look(signed_in, Laid()))
    assert "0 of 280 pieces lie." in words
    assert "Row 1 1–10 One by one Row 2 11–30" in words


@pytest.mark.parametrize(
    ("way", "first"), [("rings", "Ring 1 1, 11–12, 31"), ("bars", "Bar 1 1–3, 11–16, 31–33, 240")]
)
def test_rings_and_bars_are_other_ways_to_lay(signed_in, way, first):
    assert first in words_of(look(signed_in, Laid(), by=way))


def test_a_pattern_without_rings_is_laid_by_repeats(signed_in):
    bench = Laid(pattern="basket", sizes={"side_mm": 40.0})
    assert "Repeat 1" in words_of(look(signed_in, bench, by="rings"))


@pytest.mark.parametrize(
    "query", [{"by": "colour"}, {"group": "0"}, {"group": "99"}, {"group": "one"}, {"group": "²"}]
)
def test_a_way_or_a_group_that_there_is_not_is_no_such_page(signed_in, query):
    assert look(signed_in, Laid(), **query).status_code == 404


def test_a_button_lays_the_whole_of_its_row(signed_in):
    bench = Laid()
    response = press(signed_in, bench, buttons(look(signed_in, bench))[1])
    assert response.status_code == 302
    assert sorted(bench.marks()) == list(range(11, 31))


def test_after_a_tick_one_is_where_one_was(signed_in):
    bench = Laid()
    response = press(signed_in, bench, "laid 1", "?by=rings&page=2")
    assert response.headers["Location"].endswith("?by=rings&page=2")


def test_a_whole_row_can_be_taken_off_again(signed_in):
    bench = Laid()
    press(signed_in, bench, buttons(look(signed_in, bench))[0])
    response = look(signed_in, bench)
    assert buttons(response)[0] == "off 1 2 3 4 5 6 7 8 9 10"
    press(signed_in, bench, buttons(response)[0])
    assert bench.marks() == {}


def test_a_row_of_which_some_lie_says_how_many(signed_in):
    bench = Laid()
    press(signed_in, bench, "laid 1 2 3")
    assert "Row 1 1–10 3 of 10 lie" in words_of(look(signed_in, bench))


def test_the_map_lights_the_pieces_that_lie(signed_in):
    bench = Laid()
    before = look(signed_in, bench).context["map"]
    press(signed_in, bench, "laid 1")
    after = look(signed_in, bench).context["map"]
    assert ("-0-16" in before, "-0-16" in after) == (False, True)


def test_a_group_is_shown_piece_by_piece_with_bar_and_arrow(signed_in):
    words = words_of(look(signed_in, Laid(), by="rings", group="1"))
    assert "31 bar 1, cut 3, arrow at 0° It lies Turned Swapped" in words


def test_pieces_that_lie_face_down_say_so(signed_in):
    bench = Laid(pattern="zigzag", sizes={"column_mm": 30.0, "bar_mm": 60.0, "angle_deg": 45.0})
    assert re.search(r"\b\d+F bar", words_of(look(signed_in, bench, group="1")))


@pytest.mark.parametrize(
    ("state", "word"), [("turned", "laid turned"), ("swapped", "another piece lies there")]
)
def test_a_piece_that_lies_otherwise_is_noted_and_stays_to_be_seen(signed_in, state, word):
    bench = Laid()
    press(signed_in, bench, f"{state} 12", "?by=rings&group=1")
    assert bench.marks() == {12: state}
    assert f"12 {word}" in words_of(look(signed_in, bench))


def test_all_laid_says_that_nothing_is_missing(signed_in):
    bench = Laid()
    press(signed_in, bench, "laid " + " ".join(map(str, range(1, 281))))
    assert "all laid Nothing is missing before the glue." in words_of(look(signed_in, bench))


def test_marks_of_an_older_version_are_said_to_be_of_one(signed_in):
    bench = Laid()
    press(signed_in, bench, "laid 1 2 3")
    design(bench.member, bench.project, turn_deg=10.0)
    words = words_of(look(signed_in, bench))
    assert "older version 3 pieces were ticked on an older version of this design." in words
    assert words.count("0 of ") == 1


def test_a_tick_on_a_map_of_before_is_refused_with_a_sentence(signed_in):
    bench = Laid()
    before = bench.version
    design(bench.member, bench.project, turn_deg=10.0)
    response = press(signed_in, bench, "laid 1", version=before)
    assert response.status_code == 422
    assert "The design was changed since this map was shown" in words_of(response)
    assert not PieceMark.objects.exists()


@pytest.mark.parametrize("mark", ["", "laid", "burnt 1", "laid one", "laid 1; 2", "1 laid"])
def test_a_press_that_says_nothing_is_asked_again(signed_in, mark):
    response = press(signed_in, Laid(), mark)
    assert response.status_code == 422
    assert "Press one of the buttons" in words_of(response)


def test_a_number_beyond_the_map_is_refused(signed_in):
    response = press(signed_in, Laid(), "laid 281")
    assert response.status_code == 422
    assert "There is no piece of that number on this map." in words_of(response)


def test_a_tick_sent_twice_is_done_once(signed_in):
    bench = Laid()
    sent = {"mark": "laid 1", "version": bench.version, **act()}
    for _ in range(2):
        assert signed_in(bench.member).post(page(bench), sent).status_code == 302
    assert Event.objects.filter(verb="laid").count() == 1


def test_a_long_panel_is_laid_page_by_page(signed_in):
    bench = Laid()
    first, last = (look(signed_in, bench, by="rings", page=n) for n in (1, 3))
    assert len(first.context["page"].object_list) == 24
    assert last.context["page"].object_list[-1].name == "Ring 70"


def test_a_viewer_sees_the_map_but_ticks_nothing(signed_in):
    bench = Laid()
    viewer = MemberFactory(shop=bench.shop, role="viewer")
    assert signed_in(viewer).get(page(bench)).status_code == 200
    assert signed_in(viewer).post(page(bench), {"mark": "laid 1", **act()}).status_code == 403


def test_a_stranger_finds_no_map(signed_in):
    bench = Laid()
    assert signed_in(MemberFactory()).get(page(bench)).status_code == 404


def test_two_thousand_pieces_have_a_map_without_numbers(signed_in):
    bench = Laid(sizes={"side_mm": 22.0}, origin=None)
    assert "<text" not in look(signed_in, bench).context["map"]


def test_the_moment_of_a_tick_is_kept(signed_in):
    bench = Laid()
    press(signed_in, bench, "laid 1")
    assert PieceMark.objects.get().at > AT
