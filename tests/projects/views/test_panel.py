import pytest

from projects.advice import panel_hash
from projects.models import Block, PanelDesign
from projects.panel.patterns import NAMES
from projects.panel.rows import kept_of
from tests.factories import Bench, BlockFactory, SpeciesFactory
from tests.projects.pages import FRAGMENT, act, at, said_at, typed_in, words_of
from workshop.models import Event, Machine

pytestmark = pytest.mark.django_db

TYPED = {
    "pattern": "squares", "sizes_of": "squares", "width_mm": "600 mm", "height_mm": "420 mm",
    "size_side_mm": "60 mm", "strip_mm": "2 mm", "gap_mm": "2 mm", "finished_mm": "10 mm", "wood_0": "",
    "tint_0": "100 %", "saw": "", "origin_x_mm": "30 mm", "origin_y_mm": "30 mm", "turn_deg": "0°",
    "glue_mm": "0 mm", "overhang_mm": "0 mm", "lines": "alike",
}  # fmt: skip
LOOK = {"lamp": "on", "light": "warm", "eye_x": "0", "eye_z": "1900"}

# what is typed, the field, and the sentence at it
WRONG = [
    ("width_mm", "0", "0 mm is too little: 20 mm or more."),
    ("width_mm", "1e9", "is no unit for this."),
    ("height_mm", "", "This field is required."),
    ("height_mm", "100 m", "mm is too much: 5 000 mm or less."),
    ("size_side_mm", "0", "0 mm is too little: 2 mm or more, smaller pieces no saw can hold."),
    ("size_side_mm", "-60", "−60 mm is too little"),
    ("size_side_mm", "wide", "“wide” is not understood."),
    ("size_side_mm", "900 mm", "No piece stays whole in this panel."),
    ("size_side_mm", "3 mm", "pieces; 20 000 at most can be drawn and planned."),
    ("gap_mm", "0.1", "0.3 mm or more, thinner ones resin does not run into."),
    ("finished_mm", "0", "More than 0 mm is needed."),
    ("turn_deg", "400", "400° is too much: 360° or less."),
    ("glue_mm", "6", "6 mm is too much: 5 mm or less."),
    ("tint_0", "0", "More than 0 % is needed."),
    ("origin_x_mm", "", "Give both, or leave both empty"),
    ("saw", "999999", "Select a valid choice."),
    ("wood_0", "walnut", "Select a valid choice."),
    ("pattern", "tartan", "Select a valid choice."),
]


def page(bench):
    return at("panel", bench.shop, bench.project.key)


def typed(**changed):
    return {**TYPED, **LOOK, **changed}


def look_at(signed_in, bench, **changed):
    return signed_in(bench.member).get(page(bench), typed(**changed), **FRAGMENT)


def keep(signed_in, bench, **changed):
    return signed_in(bench.member).post(page(bench), {**typed(**changed), **act()})


def test_a_panel_that_changes_a_poured_block_asks_why(signed_in):
    bench = Bench()
    bench.weigh_b(bench.meet())
    bench.pour()
    response = keep(signed_in, bench, strip_mm="3 mm")
    assert response.status_code == 422
    assert "strip 2 mm, now 3 mm" in words_of(response)
    sent = {"asked": typed_in(response)["asked"], "why": "It was built differently"}
    assert keep(signed_in, bench, strip_mm="3 mm", **sent).status_code == 302
    event = Event.objects.filter(verb="changed", after__has_key="strip_mm").get()
    assert event.why == "It was built differently"


def test_a_panel_that_leaves_a_poured_block_as_it_is_asks_nothing(signed_in):
    bench = Bench()
    bench.weigh_b(bench.meet())
    bench.pour()
    assert keep(signed_in, bench, width_mm="660 mm").status_code == 302


# --- the page ---


def test_a_project_without_a_design_begins_with_squares(signed_in):
    found = typed_in(signed_in((bench := Bench()).member).get(page(bench)))
    assert (found["pattern"], found["width_mm"], found["size_side_mm"]) == ("squares", "600 mm", "60 mm")


def test_all_ten_patterns_are_called_by_their_names(signed_in):
    words = words_of(signed_in((bench := Bench()).member).get(page(bench)))
    names = (
        "chevron ridges nested hexagons hexagon rings rhombus cubes basketweave nested squares herringbone"
    )
    assert f"{names} six-point star eight-point star" in words


def test_a_new_project_is_offered_the_origin_that_cuts_no_piece(signed_in):
    response = signed_in((bench := Bench()).member).get(page(bench))
    assert "Shifted a little, no piece is cut by the frame." in words_of(response)
    offered = signed_in(bench.member).get(page(bench) + response.context["calm_query"])
    assert offered.context["counts"].clipped == 0


def test_what_an_offer_carries_is_newer_than_a_draft(signed_in):
    response = signed_in((bench := Bench()).member).get(page(bench), typed())
    assert b"data-draft-newer" in response.content


def test_a_design_in_the_address_keeps_nothing(signed_in):
    signed_in((bench := Bench()).member).get(page(bench), typed(width_mm="900 mm"))
    assert not PanelDesign.objects.exists()


# --- as one changes something ---


def test_a_change_gets_the_drawing_and_its_figures_alone(signed_in):
    response = look_at(signed_in, Bench())
    assert response.templates[0].name == "projects/_panel_preview.html"
    assert b"<html" not in response.content


def test_the_spec_panel_has_its_pieces_bars_and_blocks(signed_in):
    # patterns.md: squares(60) on 600 x 420, origin (30, 30): 280 pieces, none cut, 20 bars, 4 blocks
    counts = look_at(signed_in, Bench()).context["counts"]
    assert (counts.pieces, counts.clipped, counts.bars, counts.blocks) == (280, 0, 20, 4)


def test_another_pattern_brings_its_own_sizes(signed_in):
    response = look_at(signed_in, Bench(), pattern="zigzag")
    assert typed_in(response)["size_angle_deg"] == "45"
    assert 'id="sizes" hx-swap-oob' in response.content.decode()


def test_while_one_types_the_sizes_are_not_replaced_under_the_finger(signed_in):
    assert 'id="sizes"' not in look_at(signed_in, Bench(), size_side_mm="6").content.decode()


def test_another_pattern_keeps_a_size_that_it_has_too(signed_in):
    response = look_at(signed_in, Bench(), pattern="basket", size_side_mm="44 mm")
    assert typed_in(response)["size_side_mm"] == "44 mm"


@pytest.mark.parametrize("name", list(NAMES))
def test_every_pattern_can_be_drawn_and_planned_by_its_own_sizes(signed_in, name):
    response = look_at(signed_in, Bench(), pattern=name, sizes_of="", size_side_mm="")
    assert response.context["reason"] == ""
    assert response.context["counts"].blocks > 0


def test_the_eye_far_to_the_side_sees_fewer_pieces_alight(signed_in):
    bench = Bench()
    before, aside = (look_at(signed_in, bench, eye_x=x).context["picture"] for x in ("0", "-1500"))
    assert aside.lit < before.lit == before.pieces


def test_an_eye_that_makes_no_sense_is_where_it_usually_is(signed_in):
    look = look_at(signed_in, Bench(), eye_x="left", eye_z="nan").context["look"]
    assert (look.eye_x_mm, look.eye_z_mm) == (0, 1900)


def test_the_first_look_is_from_straight_in_front(signed_in):
    response = signed_in((bench := Bench()).member).get(page(bench))
    assert response.context["look"].eye_x_mm == 0
    assert "Walk past in the middle" in words_of(response)


# --- strips that lean ---

ZIGZAG = {
    "pattern": "zigzag", "sizes_of": "zigzag", "size_column_mm": "30 mm", "size_bar_mm": "60 mm",
    "size_angle_deg": "45°",
}  # fmt: skip


def test_strips_stand_plumb_before_anybody_leans_them(signed_in):
    response = look_at(signed_in, Bench())
    assert response.context["look"].lean_deg == 0
    assert ">plumb</output>" in response.content.decode()
    assert "Brightest that far off" not in words_of(response)
    assert response.context["above"]


def test_leaning_strips_turn_the_bright_direction_by_snells_law(signed_in):
    response = look_at(signed_in, Bench(), lean="2", **ZIGZAG)
    sight = response.context["sight"]
    # asin(1.55 sin 2°), and the slopes tan 2° ± 2/10 turned outside by the same index
    assert sight.turned_deg == pytest.approx(3.101, abs=1e-3)
    assert (sight.low_deg, sight.high_deg) == pytest.approx((-14.623, 20.761), abs=1e-3)
    words = words_of(response)
    assert "−14.6° to 20.8°" in words
    assert "3.1° Brightest that far off the straight, to the side the strips lean to" in words
    assert f"the {sight.face_down} that lie face down to the other side" in words


def test_pieces_that_glowed_alike_glow_differently_when_strips_lean(signed_in):
    bench = Bench()
    aside = {"eye_x": "1200", **ZIGZAG}
    plumb, one, other = (look_at(signed_in, bench, lean=lean, **aside) for lean in ("0", "5", "-5"))
    assert one.context["picture"].svg != plumb.context["picture"].svg
    assert one.context["picture"].lit != plumb.context["picture"].lit
    assert plumb.context["sight"].through > one.context["sight"].through
    assert one.context["sight"].through == pytest.approx(other.context["sight"].through)


def test_strips_that_lean_more_than_their_gap_never_glow_as_a_whole(signed_in):
    words = words_of(look_at(signed_in, Bench(), lean="5", gap_mm="0.5 mm"))
    assert "never whole From nowhere does all of it glow" in words


@pytest.mark.parametrize(("text", "lean"), [("9", 5), ("-9", -5), ("1.3", 1.5), ("much", 0), ("nan", 0)])
def test_a_lean_is_kept_to_its_rail(signed_in, text, lean):
    assert look_at(signed_in, Bench(), lean=text).context["look"].lean_deg == lean


def test_with_the_lamp_off_the_panel_is_drawn_by_day(signed_in):
    content = look_at(signed_in, Bench(), lamp="off").content.decode()
    assert 'class="box by-day"' in content
    assert "lit from behind" not in content


def test_numbers_directions_and_seams_are_drawn_when_asked_for(signed_in):
    plain = look_at(signed_in, Bench()).context["picture"].svg
    full = look_at(signed_in, Bench(), numbers="1", arrows="1", seams="1").context["picture"].svg
    assert [sign in plain for sign in (">280<", "l-ink arrow", "l-flame seam")] == [False] * 3
    assert [sign in full for sign in (">280<", "l-ink arrow", "l-flame seam")] == [True] * 3


def test_a_drawing_with_numbers_is_moved_over_and_not_shrunk(signed_in):
    picture = look_at(signed_in, Bench(), numbers="1").context["picture"]
    assert picture.svg.startswith('<svg width="616" height="436"')


def test_seams_are_counted_by_what_lines_do_there(signed_in):
    # 420/60 * 10 squares: 4 inner seams each meet; 9*7 + 10*6 rims between squares run along
    words = words_of(look_at(signed_in, Bench(), seams="1"))
    assert "Seams: 280 where lines meet. 123 rims (amber) across which lines jump by 2 mm." in words


def test_the_drawing_stays_below_two_hundred_kilobytes_at_two_thousand_pieces(signed_in):
    response = look_at(signed_in, Bench(), size_side_mm="22 mm")
    assert response.context["counts"].pieces > 2000
    assert len(response.context["picture"].svg.encode()) < 200_000
    assert response.context["picture"].shown is None


def test_of_ten_thousand_pieces_the_middle_is_drawn_and_the_page_says_so(signed_in):
    response = look_at(signed_in, Bench(), size_side_mm="10 mm")
    picture = response.context["picture"]
    assert response.context["counts"].pieces > 10_000
    assert len(picture.svg.encode()) < 200_000
    assert f"Only its middle is drawn, {picture.shown} pieces" in words_of(response)


def test_slivers_are_counted_and_a_better_origin_is_offered(signed_in):
    small = {"sizes_of": "basket", "size_side_mm": "40 mm", "width_mm": "400 mm", "height_mm": "240 mm"}
    begins = {"origin_x_mm": "2 mm", "origin_y_mm": "0 mm"}
    response = look_at(signed_in, Bench(), pattern="basket", **small, **begins)
    assert "slivers at the frame: of each less than a tenth is seen." in words_of(response)
    assert response.context["counts"].calm_slivers < response.context["counts"].slivers


def test_a_cut_wider_than_a_strip_is_to_be_minded(signed_in):
    words = words_of(look_at(signed_in, Bench(), strip_mm="0.6 mm"))
    assert "The cut takes 2 mm, more than a strip of 0.6 mm." in words


def test_pieces_too_short_to_hold_ask_for_a_carrier(signed_in):
    words = words_of(look_at(signed_in, Bench(), size_side_mm="30 mm", origin_x_mm="15", origin_y_mm="15"))
    assert "a carrier or a glued-on tail, hands at least 150 mm off the blade" in words


def test_the_frame_leaves_room_for_the_wood_to_move(signed_in):
    bench = Bench()
    wood = SpeciesFactory(shop=bench.shop, radial=0.0019, tangential=0.0027)
    # 600 mm, half of it wood, four points: 600 * 0.5 * 0.0027 * 4
    response = look_at(signed_in, bench, wood_0=str(wood.pk))
    assert response.context["clearance_mm"] == pytest.approx(3.24)


def test_a_shop_of_inches_stands_back_in_feet(signed_in):
    bench = Bench()
    bench.shop.units = "inch"
    bench.shop.save()
    assert look_at(signed_in, bench).context["glow"] == ("3.1", "ft")


def test_more_tint_lets_less_light_through(signed_in):
    bench = Bench()
    clear, dark = (look_at(signed_in, bench, tint_0=tint).context["sight"] for tint in ("100 %", "50 %"))
    assert dark.through == pytest.approx(clear.through / 2)


# --- how the lines run ---


def test_the_rule_for_run_on_lines_says_its_sizes_and_its_cost(signed_in):
    run_on, _ = look_at(signed_in, Bench()).context["rules"]
    # bars of 30 mm at a pitch of 4 mm: 8 whole pitches are 32 mm, a side of 64 mm
    assert run_on.says.startswith("Bars of 32 mm are 8 whole pitches. Lines shift by 2 mm")
    assert run_on.sizes == "64 mm instead of 60 mm"


def test_the_rule_for_bars_all_alike_says_what_lines_do_at_rims(signed_in):
    _, alike = look_at(signed_in, Bench()).context["rules"]
    assert alike.says.endswith("any piece may lie anywhere. Lines jump by 2 mm at rims.")
    assert alike.query == ""


@pytest.mark.parametrize("name", ["squares", "hexagons", "zigzag", "herringbone", "cubes"])
@pytest.mark.parametrize("place", [0, 1])
def test_the_offered_sizes_keep_the_rule_also_when_kept(signed_in, name, place):
    bench = Bench()
    rule = look_at(signed_in, bench, pattern=name, strip_mm="2.3 mm").context["rules"][place]
    offered = typed_in(signed_in(bench.member).get(page(bench) + rule.query))
    signed_in(bench.member).post(page(bench), {**offered, **act()})
    kept = signed_in(bench.member).get(page(bench)).context["rules"][place]
    assert (rule.query != "", kept.query) == (True, "")


def test_run_on_lines_take_a_ring_from_one_bar(signed_in):
    # patterns.md: whole rings take 24 bars where 20 would hold the pieces
    assert look_at(signed_in, Bench(), lines="run_on").context["counts"].bars == 24


def test_a_pattern_without_rims_says_what_the_choice_still_decides(signed_in):
    basket = {"pattern": "basket", "sizes_of": "basket", "size_side_mm": "40 mm"}
    assert "lines end at every seam. The choice only decides" in words_of(
        look_at(signed_in, Bench(), **basket)
    )


# --- bad input ---


@pytest.mark.parametrize(("name", "text", "sentence"), WRONG)
def test_a_figure_that_can_not_be_gets_a_sentence_and_stays(signed_in, name, text, sentence):
    bench = Bench()
    response = keep(signed_in, bench, **{name: text})
    field = "origin_x_mm" if name.startswith("origin") else name
    assert response.status_code == 422
    assert sentence in " ".join(said_at(response, field).split())
    if name not in {"saw", "wood_0", "pattern"}:
        assert typed_in(response)[name] == text
    assert not PanelDesign.objects.exists()


def test_a_bar_wider_than_a_block_is_refused_with_both_figures(signed_in):
    response = keep(signed_in, Bench(), size_side_mm="410 mm", width_mm="2 m", height_mm="2 m")
    sentence = "The bars would be 205 mm wide, but a block gives 192 mm at most."
    assert said_at(response, "size_side_mm").startswith(sentence)


def test_a_piece_longer_than_any_bar_is_refused_with_both_figures(signed_in):
    response = keep(
        signed_in, Bench(), pattern="herringbone", size_width_mm="60 mm", size_ratio="12", width_mm="3 m",
        height_mm="3 m", sizes_of="herringbone",
    )  # fmt: skip
    # 12 widths of 60 mm, trim 3, stub 40, two cuts of 2 mm
    assert "needs a bar of 767 mm, but a block is 600 mm long at most." in said_at(response, "size_width_mm")


def test_while_something_is_wrong_the_page_says_what_to_do(signed_in):
    words = words_of(look_at(signed_in, Bench(), size_side_mm="0"))
    assert "Mend the marked figures, then it is drawn." in words


def test_a_saw_with_a_kept_width_is_used(signed_in):
    bench = Bench()
    saw = Machine.objects.create(
        shop=bench.shop, kind="saw", name="big", kerf_mm=6, created_at=bench.shop.created_at
    )
    more = look_at(signed_in, bench, saw=str(saw.pk)).context["counts"]
    assert more.bars > look_at(signed_in, bench).context["counts"].bars


def test_a_larger_mould_makes_longer_blocks(signed_in):
    bench = Bench()
    before = look_at(signed_in, bench).context["counts"].bars
    Machine.objects.create(
        shop=bench.shop,
        kind="mould",
        name="long",
        bed_mm=300,
        max_length_mm=1200,
        created_at=bench.shop.created_at,
    )
    assert look_at(signed_in, bench).context["counts"].bars < before


# --- keeping it ---


def test_a_design_is_kept(signed_in):
    bench = Bench()
    assert keep(signed_in, bench).status_code == 302
    row = bench.project.panel
    assert (row.pattern, row.sizes, row.origin, row.lines) == (
        "squares",
        {"side_mm": 60.0},
        [30, 30],
        "alike",
    )


def test_a_kept_design_stands_in_the_fields_again(signed_in):
    bench = Bench()
    keep(signed_in, bench, width_mm="24 in", turn_deg="45")
    found = typed_in(signed_in(bench.member).get(page(bench)))
    assert (found["width_mm"], found["turn_deg"], found["origin_x_mm"]) == ("609.6 mm", "45°", "30 mm")


def test_strip_gap_thickness_and_wood_go_to_the_block(signed_in):
    bench = Bench()
    wood = SpeciesFactory(shop=bench.shop)
    keep(signed_in, bench, strip_mm="3 mm", finished_mm="14 mm", wood_0=str(wood.pk))
    block = Block.objects.get(pk=bench.block.pk)
    assert (block.strip_mm, block.finished_mm, block.species) == (3, 14, wood)


def test_a_pattern_chosen_without_script_is_kept_with_its_own_sizes(signed_in):
    bench = Bench()
    keep(signed_in, bench, pattern="herringbone")
    assert bench.project.panel.sizes == {"width_mm": 20, "ratio": 3}


def test_history_tells_what_a_design_was_and_became(signed_in):
    bench = Bench()
    keep(signed_in, bench)
    keep(signed_in, bench, size_side_mm="70 mm")
    event = Event.objects.filter(verb="changed", target_key=bench.project.panel.key).get()
    assert (event.before, event.after) == ({"pattern_side_mm": 60.0}, {"pattern_side_mm": 70.0})


def test_a_design_kept_unchanged_leaves_no_line_of_history(signed_in):
    bench = Bench()
    keep(signed_in, bench)
    before = Event.objects.count()
    keep(signed_in, bench)
    assert Event.objects.count() == before


def test_a_design_sent_twice_is_kept_once(signed_in):
    bench = Bench()
    sent = {**typed(), **act()}
    for _ in range(2):
        assert signed_in(bench.member).post(page(bench), sent).status_code == 302
    assert Event.objects.filter(verb="designed").count() == 1


def test_each_shape_may_come_from_its_own_block(signed_in):
    bench = Bench()
    other = BlockFactory(shop=bench.shop, project=bench.project, position=1, strip_mm=3)
    keep(signed_in, bench, pattern="star6", wood_1="", tint_1="80 %", shape_R=str(bench.block.key),
         shape_T=str(other.key), origin_x_mm="", origin_y_mm="")  # fmt: skip
    design = kept_of(bench.project).design
    assert [stack.strip_mm for stack in design.stacks] == [2, 3]
    assert bench.project.panel.overrides["tints"][str(other.key)] == 0.8


# --- its version ---


def test_the_version_is_the_same_for_a_row_made_and_read_again(signed_in):
    bench = Bench()
    keep(signed_in, bench)
    assert panel_hash(bench.project) == bench.project.panel.hash


CHANGES = {
    "size_side_mm": "62 mm", "width_mm": "610 mm", "strip_mm": "3 mm", "turn_deg": "1", "lines": "run_on",
    "glue_mm": "0.2 mm",
}  # fmt: skip


@pytest.mark.parametrize("name", list(CHANGES))
def test_the_version_changes_with_every_figure(signed_in, name):
    bench = Bench()
    keep(signed_in, bench)
    before = panel_hash(bench.project)
    keep(signed_in, bench, **{name: CHANGES[name]})
    assert panel_hash(bench.project) != before


def test_a_project_without_a_panel_has_no_version():
    assert panel_hash(Bench().project) == ""
