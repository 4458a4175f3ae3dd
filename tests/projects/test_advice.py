import math
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.science.errors import OutOfRange
from materials.science.light import viewing
from materials.science.resin import mixing, sheet_clock
from projects import advice
from projects.geometry.stack import Block, Stack, needed_resin
from tests.factories import BlockFactory, ResinFactory, SpeciesFactory

PLAIN = {
    "strip_mm": 2.0, "gap_mm": 2.0, "finished_mm": 10.0, "flatten_mm": 1.0, "edge_mm": 3.0, "strips": 50,
    "length_mm": 600.0, "rim_mm": 4.0, "over_mm": 1.0, "film_percent": 3.0, "soak_percent": 2.0,
}  # fmt: skip
WORKED = {
    "strip_mm": 3, "gap_mm": 1.5, "finished_mm": 20, "flatten_mm": 1, "edge_mm": 3, "strips": 30,
    "length_mm": 400, "rim_mm": 5, "over_mm": 2, "film_percent": 4, "soak_percent": 1,
}  # fmt: skip
values = st.fixed_dictionaries(
    {
        "strip_mm": st.floats(0.2, 50),
        "gap_mm": st.floats(0.3, 20),
        "finished_mm": st.floats(1, 100),
        "flatten_mm": st.floats(0, 20),
        "edge_mm": st.floats(0, 50),
        "strips": st.integers(2, 300),
        "length_mm": st.floats(10, 1000),
        "rim_mm": st.floats(0, 50),
        "over_mm": st.floats(0, 20),
        "film_percent": st.floats(0, 50),
        "soak_percent": st.floats(0, 50),
    }
)
resins = st.builds(
    ResinFactory.build,
    parts_a=st.floats(10, 200),
    parts_b=st.floats(10, 200),
    density_a_g_ml=st.floats(0.9, 1.4),
    density_b_g_ml=st.floats(0.9, 1.4),
    refractive_index=st.floats(1.4, 1.6),
)


def small(values):
    """Whether the mixed resin stays below the million grams that the mixing door takes."""
    block = block_of(values)
    return needed_resin(block, values["film_percent"], values["soak_percent"]).total_ml < 600_000


def stack_of(values, index=1.55):
    return Stack(
        strip_mm=values["strip_mm"],
        gap_mm=values["gap_mm"],
        depth_mm=values["finished_mm"],
        flatten_mm=values["flatten_mm"],
        edge_mm=values["edge_mm"],
        resin_index=index,
    )


def block_of(values):
    return Block(
        stack_of(values),
        strips=values["strips"],
        length_mm=values["length_mm"],
        rim_mm=values["rim_mm"],
        over_mm=values["over_mm"],
    )


# --- the bridge adds nothing: each figure is that of the pure door, to the last digit ---


@given(values.filter(small), resins)
def test_the_figures_of_the_geometry_are_those_of_the_pure_block(typed, resin):
    said, block = advice.block_figures(typed, resin), block_of(typed)
    assert (said.pitch_mm, said.width_mm, said.poured_mm, said.resin_fraction) == (
        block.stack.pitch_mm,
        block.width_mm,
        block.poured_depth_mm,
        block.stack.resin_fraction,
    )
    assert (said.gap_ml, said.rim_ml, said.over_ml) == (block.gap_ml, block.rim_ml, block.over_ml)
    assert (said.mould_length_mm, said.mould_width_mm, said.fill_mm) == block.mould_inside_mm
    assert (said.strips, said.strips_length_mm) == (block.strips, block.strips_length_mm)
    assert said.wall_mm == block.mould_wall_mm


@given(values.filter(small), resins)
def test_the_resin_to_mix_is_that_of_the_pure_door(typed, resin):
    said = advice.block_figures(typed, resin)
    need = needed_resin(block_of(typed), typed["film_percent"], typed["soak_percent"])
    assert (said.film_ml, said.soak_ml, said.total_ml) == (need.film_ml, need.soak_ml, need.total_ml)


@given(values.filter(small), resins)
def test_the_masses_and_volumes_of_a_and_b_are_those_of_the_pure_doors(typed, resin):
    said = advice.block_figures(typed, resin).mix
    parts, densities = (resin.parts_a, resin.parts_b), (resin.density_a_g_ml, resin.density_b_g_ml)
    total_ml = needed_resin(block_of(typed), typed["film_percent"], typed["soak_percent"]).total_ml
    mixed_g = total_ml * mixing.mixed_density_g_ml(parts, *densities)
    assert said.mixed_g == mixed_g
    assert (said.a_g, said.b_g) == mixing.part_masses_g(mixed_g, parts)
    assert (said.a_ml, said.b_ml) == mixing.part_volumes_ml(mixed_g, parts, *densities)


@given(values, resins)
def test_the_cone_of_view_is_that_of_the_pure_door_at_the_finished_depth(typed, resin):
    said = advice.figures_or_reason(typed, resin)[0]
    if said is not None:
        assert said.cutoff_deg == viewing.cutoff_deg(
            typed["gap_mm"], typed["finished_mm"], resin.refractive_index
        )


# --- worked by hand: 30 strips of 3 mm, gaps of 1.5 mm, 20 mm finished, 400 mm long, rim 5, over 2 ---
# pitch 3 + 1.5 = 4.5; width 30*3 + 29*1.5 = 133.5; poured 20 + 2*1 = 22; fraction 1.5 / 4.5 = 1/3
# gaps   400 * 1.5 * 29 * 22                  = 382 800 mm3 = 382.8 ml
# inside (400 + 10) * (133.5 + 10)            = 58 835 mm2
# rim    (58 835 - 400*133.5) * 22 = 5435*22  = 119 570 mm3 = 119.57 ml
# over   58 835 * 2                           = 117 670 mm3 = 117.67 ml
# block  382.8 + 119.57 + 117.67              = 620.04 ml
# film   4 % = 24.8016 ml; soak 1 % = 6.2004 ml; to mix 651.042 ml
# mould  410 x 143.5, filled to 22 + 2 = 24, walls 24 + 10 = 34
# cone   sin = 1.55 * 1.5 / sqrt(1.5^2 + 20^2) = 1.55 * 1.5 / 20.056171 = 0.1159244, so 6.6569 degrees
# resin  100 : 45 by mass at 1.12 and 0.98: density 145 / (100/1.12 + 45/0.98) = 145 / 135.204082 = 1.07245282
# mixed  651.042 * 1.07245282 = 698.2118 g; A 698.2118 * 100/145 = 481.5254; B 698.2118 * 45/145 = 216.6864
# A      481.5254 / 1.12 = 429.9334 ml; B 216.6864 / 0.98 = 221.1086 ml; together 651.042 again


def test_the_worked_block_has_the_sizes_worked_by_hand():
    said = advice.block_figures(WORKED, None)
    assert (said.pitch_mm, said.width_mm, said.poured_mm) == (4.5, 133.5, 22)
    assert said.resin_fraction == pytest.approx(1 / 3, abs=1e-12)
    assert said.strips_length_mm == 12_000


def test_the_worked_block_wants_the_resin_worked_by_hand():
    said = advice.block_figures(WORKED, None)
    assert (said.gap_ml, said.rim_ml, said.over_ml) == pytest.approx((382.8, 119.57, 117.67), abs=1e-9)
    assert (said.film_ml, said.soak_ml, said.total_ml) == pytest.approx((24.8016, 6.2004, 651.042), abs=1e-9)


def test_the_worked_block_takes_the_mould_worked_by_hand():
    said = advice.block_figures(WORKED, None)
    assert (said.mould_length_mm, said.mould_width_mm, said.fill_mm, said.wall_mm) == (410, 143.5, 24, 34)


def test_the_worked_block_shows_the_cone_worked_by_hand():
    said = advice.block_figures(WORKED, None)
    assert said.cutoff_deg == pytest.approx(math.degrees(math.asin(0.1159244)), abs=1e-4)
    assert said.cutoff_deg == pytest.approx(6.6569, abs=5e-5)


def test_the_worked_block_takes_the_masses_worked_by_hand():
    mix = advice.block_figures(WORKED, ResinFactory.build()).mix
    assert (mix.mixed_g, mix.a_g, mix.b_g) == pytest.approx((698.2118, 481.5254, 216.6864), abs=1e-3)


def test_the_worked_block_takes_the_volumes_worked_by_hand():
    mix = advice.block_figures(WORKED, ResinFactory.build()).mix
    assert (mix.mixed_ml, mix.a_ml, mix.b_ml) == pytest.approx((651.042, 429.9334, 221.1086), abs=1e-3)


# --- resins ---


def test_without_a_resin_there_are_volumes_and_no_masses():
    said = advice.block_figures(PLAIN, None)
    assert said.total_ml == pytest.approx(953.6352, abs=1e-9)  # 908.224 ml (worked in test_stack.py) * 1.05
    assert said.mix is None


def test_a_resin_by_volume_keeps_its_ratio_by_volume():
    resin = ResinFactory.build(parts_a=2, parts_b=1, basis="volume")
    mix = advice.block_figures(PLAIN, resin).mix
    # 953.6352 ml in thirds: two of A, one of B
    assert (mix.a_ml, mix.b_ml) == pytest.approx((635.7568, 317.8784), abs=1e-9)


def test_a_resin_by_volume_is_weighed_by_its_densities():
    resin = ResinFactory.build(parts_a=2, parts_b=1, basis="volume")
    mix = advice.block_figures(PLAIN, resin).mix
    # 635.7568 * 1.12 and 317.8784 * 0.98
    assert (mix.a_g, mix.b_g) == pytest.approx((712.047616, 311.520832), abs=1e-9)


def test_a_pour_within_the_depth_of_the_sheet_is_not_called_deep():
    # 25 mm of neat resin in a stack that is half resin: 50 mm; 12 mm are poured
    assert advice.block_figures(PLAIN, ResinFactory.build(max_depth_mm=25)).deeper_than_sheet_mm is None


def test_a_pour_deeper_than_the_sheet_says_how_deep_it_may_be():
    # 5 mm of neat resin in a stack that is half resin: 10 mm; 12 mm are poured
    assert advice.block_figures(PLAIN, ResinFactory.build(max_depth_mm=5)).deeper_than_sheet_mm == 10


def test_a_pour_exactly_as_deep_as_the_sheet_allows_is_not_called_deep():
    assert advice.block_figures(PLAIN, ResinFactory.build(max_depth_mm=6)).deeper_than_sheet_mm is None


def test_a_sheet_without_a_depth_calls_no_pour_deep():
    assert advice.block_figures(PLAIN, ResinFactory.build(max_depth_mm=None)).deeper_than_sheet_mm is None


def test_values_that_make_no_block_are_refused():
    with pytest.raises(OutOfRange, match="gap is -1 mm"):
        advice.block_figures({**PLAIN, "gap_mm": -1}, None)


def test_values_that_make_no_block_give_a_sentence_instead_of_figures():
    figures, reason = advice.figures_or_reason({**PLAIN, "finished_mm": 0.001}, None)
    assert figures is None
    assert reason == "depth is 0.001 mm, which is too low: it must be from 0.01 to 10000 mm"


# --- clocks ---


def test_the_clocks_of_a_pour_follow_the_sheet_at_its_own_temperature():
    recoat, demould = advice.pour_clocks(ResinFactory.build(), 25)
    assert (recoat["kind"], recoat["due_min"], recoat["closes_min"]) == ("recoat", 240, 840)
    assert (demould["kind"], demould["due_min"]) == ("demould", 1440)


def test_the_clocks_of_a_pour_take_twice_as_long_ten_degrees_colder():
    recoat, demould = advice.pour_clocks(ResinFactory.build(), 15)
    assert (recoat["due_min"], recoat["closes_min"], demould["due_min"]) == (480, 1680, 2880)


def test_the_clocks_of_a_pour_are_those_of_the_pure_door():
    recoat, demould = advice.pour_clocks(ResinFactory.build(), 19.3)
    assert recoat["due_min"] == 60 * sheet_clock.ten_degree_hours(4, 25, 19.3)
    assert demould["due_min"] == 60 * sheet_clock.ten_degree_hours(24, 25, 19.3)


def test_a_sheet_without_hours_starts_no_clock():
    resin = ResinFactory.build(recoat_open_h=None, recoat_close_h=None, demould_h=None)
    assert advice.pour_clocks(resin, 20) == []


def test_a_window_without_a_close_stays_open():
    recoat = advice.pour_clocks(ResinFactory.build(recoat_close_h=None), 25)[0]
    assert recoat["closes_min"] is None


@pytest.mark.parametrize(("temp_c", "cold"), [(12.9, True), (13, False)])
def test_a_demould_clock_says_when_it_is_so_cold_that_the_cure_may_stand_still(temp_c, cold):
    assert advice.pour_clocks(ResinFactory.build(min_c=None), temp_c)[1]["figures"]["cold"] is cold


# --- the version of a design ---

SHEET = {
    "parts_a": 101, "parts_b": 46, "density_a_g_ml": 1.13, "density_b_g_ml": 0.99, "refractive_index": 1.56,
    "pot_minutes": 91, "pot_mass_g": 101, "pot_c": 26, "max_depth_mm": 26, "min_c": 14, "max_c": 34,
    "recoat_open_h": 5, "recoat_close_h": 15, "demould_h": 25, "recoat_c": 26, "ratio_tolerance_percent": 3,
    "basis": "volume",
}  # fmt: skip


@pytest.mark.django_db
@pytest.mark.parametrize("name", PLAIN)
def test_the_design_changes_with_each_figure_of_the_block(name):
    block = BlockFactory()
    before = advice.design_hash(block)
    setattr(block, name, getattr(block, name) + 1)
    assert advice.design_hash(block) != before


@pytest.mark.django_db
@pytest.mark.parametrize("name", SHEET)
def test_the_design_changes_with_each_figure_of_the_resins_sheet(name):
    block = BlockFactory()
    before = advice.design_hash(block)
    setattr(block.resin, name, SHEET[name])
    assert advice.design_hash(block) != before


@pytest.mark.django_db
def test_the_design_changes_with_the_resin():
    block = BlockFactory()
    before = advice.design_hash(block)
    block.resin = ResinFactory(shop=block.shop)
    assert advice.design_hash(block) != before


@pytest.mark.django_db
def test_the_design_changes_with_the_wood():
    block = BlockFactory()
    before = advice.design_hash(block)
    block.species = SpeciesFactory(shop=block.shop)
    assert advice.design_hash(block) != before


@pytest.mark.django_db
def test_the_design_does_not_change_with_a_title():
    block = BlockFactory()
    before = advice.design_hash(block)
    block.project.title = "Fanlight"
    assert advice.design_hash(block) == before


@pytest.mark.django_db
def test_the_design_does_not_change_with_the_name_of_a_resin():
    block = BlockFactory()
    before = advice.design_hash(block)
    block.resin.name = "Tarn 91"
    assert advice.design_hash(block) == before


@pytest.mark.django_db
def test_the_design_is_the_same_when_it_is_read_again():
    block = BlockFactory()
    assert advice.design_hash(type(block).objects.get(pk=block.pk)) == advice.design_hash(block)


# --- what pours had in common ---

BERLIN = ZoneInfo("Europe/Berlin")


def cup_facts(**changed):
    facts = {
        "room_c": 20.0,
        "humidity_percent": None,
        "ratio_off_percent": 0.5,
        "tolerance_percent": 2.0,
        "sheet_min_c": None,
        "use_by_b": None,
        "met_at": "2026-03-10T23:30:00+00:00",
        "minutes_to_pour": 10.0,
        "pot_life_min": 90.0,
        "pot_life_heavier": False,
    }
    return {**facts, **changed}


def held(cup=None, **facts):
    return advice.conditions_of(
        {"depth_mm": 13.0, "allowed_mm": None, "cups": [cup or cup_facts()], **facts}, BERLIN
    )


def test_the_facts_of_a_failure_say_which_conditions_held():
    assert held() == {"cold": False, "ratio": False, "late": False, "heavy": False}
    assert held(cup_facts(room_c=12.0, sheet_min_c=15.0, humidity_percent=70.0, ratio_off_percent=-4.0)) == {
        "cold": True, "below_sheet": True, "damp": True, "ratio": True, "late": False, "heavy": False,
    }  # fmt: skip


@pytest.mark.parametrize(("use_by", "past"), [("2026-03-10", True), ("2026-03-11", False)])
def test_a_bottle_is_past_its_date_by_the_day_on_the_shops_wall(use_by, past):
    assert held(cup_facts(use_by_b=use_by))["old_b"] is past  # 23:30 UTC is the 11th in Berlin


def test_a_pour_deeper_than_its_stack_allows_is_deep():
    assert held(allowed_mm=12.0)["deep"] is True


def test_facts_gathered_before_their_limits_were_kept_say_what_they_can():
    old = {
        name: value for name, value in cup_facts().items() if name not in {"tolerance_percent", "sheet_min_c"}
    }
    assert advice.conditions_of({"depth_mm": 13.0, "cups": [old]}, BERLIN) == {
        "cold": False, "late": False, "heavy": False,
    }  # fmt: skip


def test_without_a_cup_no_condition_is_known():
    assert advice.conditions_of({}, BERLIN) == {}


def test_pours_of_one_kind_of_failure_are_compared():
    pours = [({"soft"}, {"cold": True}), ((), {"cold": False}), ((), {"cold": False})]
    (found,) = advice.contrasts(pours, "soft")
    assert (found.condition, found.failed_with, found.total_with) == ("cold", 1, 1)
