"""Each objection: what makes it, and the one fact that takes it away. Plain rows, nothing is stored."""

from datetime import timedelta
from types import SimpleNamespace
from zoneinfo import ZoneInfo

import pytest

from projects import second_look
from projects.models import Step, Timer
from tests.factories import AT

BERLIN = ZoneInfo("Europe/Berlin")  # the tests' morning is 10:00 on its walls
RESIN = SimpleNamespace(name="Tarn", min_c=15.0, max_c=28.0, max_depth_mm=25.0)


def clock(kind, due_h, closes_h=None, **more):
    """A clock that is due so many hours after the tests' morning."""
    closes_at = None if closes_h is None else AT + timedelta(hours=closes_h)
    return Timer(kind=kind, started_at=AT, due_at=AT + timedelta(hours=due_h), closes_at=closes_at, **more)


def hours_in(hours):
    """So many hours after the tests' morning."""
    return AT + timedelta(hours=hours)


def codes(*objections):
    return [each.code for each in second_look.found(*objections)]


def plain(text):
    """A sentence with its figures' narrow spaces as plain ones."""
    return text.replace("\u00a0", " ").replace("\u202f", " ")


# --- a cup, as one types ---


@pytest.mark.parametrize(("poured_g", "more"), [(0, True), (899, True), (900, False), (1100, False)])
def test_a_mould_with_clearly_less_than_it_wants_wants_another_pour(poured_g, more):
    assert second_look.more_to_come(1000, poured_g) is more


def test_nothing_typed_is_no_slip():
    assert second_look.slips(None, None, 300) == {}


@pytest.mark.parametrize(("a_g", "times"), [(599, None), (600, 2.0)])
def test_twice_what_is_wanted_is_more_likely_a_slip(a_g, times):
    assert second_look.slips(a_g, None, 300)["times_wanted"] == times


# --- windows ---


@pytest.mark.parametrize("kind", ["recoat", "tack", "coat"])
@pytest.mark.parametrize(("at_h", "when"), [(3.9, "soon"), (4, ""), (14, ""), (14.1, "late")])
def test_a_window_is_too_early_open_or_missed(kind, at_h, when):
    found = second_look.window([clock(kind, 4, 14)], hours_in(at_h), BERLIN)
    assert (found.code if found else "") == (f"{kind}_{when}" if when else "")


def test_a_window_that_opens_is_told_with_its_hour_and_what_is_left():
    found = second_look.window([clock("recoat", 4, 14)], hours_in(1), BERLIN)
    assert "takes another from 14:00 on" in found.sentence
    assert plain(found.name) == "3 h before the window opens"


def test_without_a_clock_no_window_is_missed():
    assert second_look.window([], AT, BERLIN) is None


@pytest.mark.parametrize(("at_h", "wet"), [(3.9, True), (4, False)])
def test_a_seal_coat_is_wet_until_its_clock_opens(at_h, wet):
    assert bool(second_look.still_wet("tack", [clock("tack", 4, 14)], hours_in(at_h), BERLIN)) is wet


def test_a_wet_seal_coat_is_told_with_its_hour_and_what_is_left():
    found = second_look.still_wet("tack", [clock("tack", 4)], hours_in(1.5), BERLIN)
    assert plain(found.sentence) == "The seal coat can be handled from 14:00 on: 2:30 h are left."


@pytest.mark.parametrize(("at_h", "missed"), [(14, False), (14.1, True)])
def test_a_seal_coat_is_missed_after_its_window(at_h, missed):
    assert bool(second_look.seal_missed([clock("tack", 4, 14)], hours_in(at_h), BERLIN)) is missed


def test_a_seal_coat_without_an_end_is_never_missed():
    assert second_look.seal_missed([clock("tack", 4)], hours_in(900), BERLIN) is None


@pytest.mark.parametrize(("at_h", "wet"), [(11, True), (12, False)])
def test_sealant_is_wet_until_its_clock_is_due(at_h, wet):
    assert bool(second_look.still_wet("sealant", [clock("sealant", 12)], hours_in(at_h), BERLIN)) is wet


@pytest.mark.parametrize("kind", ["demould", "recoat", "sealant"])
def test_another_clock_says_nothing_of_the_seal_coat(kind):
    timers = [clock(kind, 4, 14)]
    assert not codes(
        second_look.still_wet("tack", timers, AT, BERLIN),
        second_look.seal_missed(timers, hours_in(20), BERLIN),
    )


# --- what has not hardened ---


@pytest.mark.parametrize("kind", ["demould", "clamped", "coat", "wait"])
@pytest.mark.parametrize(("at_h", "soft"), [(11, True), (12, False)])
def test_what_still_hardens_is_not_worked_on(kind, at_h, soft):
    assert bool(second_look.still_hardening(clock(kind, 12), hours_in(at_h), BERLIN)) is soft


@pytest.mark.parametrize("kind", ["pot_life", "glue", "free", "recoat"])
def test_a_clock_that_hardens_nothing_is_in_nobodys_way(kind):
    assert second_look.still_hardening(clock(kind, 12), AT, BERLIN) is None


def test_what_still_hardens_is_told_with_its_name_its_hours_and_its_end():
    found = second_look.still_hardening(clock("clamped", 12, figures={"part": "part 1"}), hours_in(5), BERLIN)
    assert plain(found.sentence) == "Clamps, part 1: 7 h are left, until 22:00."


@pytest.mark.parametrize(
    ("kind", "position", "counts"),
    [("rest", 3, True), ("dry", 3, True), ("rest", 9, False), ("buy", 3, False)],
)
def test_a_wait_counts_where_it_hardens_something_and_comes_before(kind, position, counts):
    wait = clock("wait", 12, step=Step(kind=kind, position=position, title="Rest"))
    assert (second_look.hardens_for(Step(position=5), [wait]) == [wait]) is counts


# --- warmth and depth ---


@pytest.mark.parametrize(
    ("temp_c", "off"), [(14.9, True), (15, False), (28, False), (28.1, True), (None, False)]
)
def test_a_shop_outside_the_sheets_range_is_pointed_out(temp_c, off):
    assert bool(second_look.off_warmth(RESIN, temp_c, "metric")) is off


def test_a_cold_shop_is_told_with_figure_limit_and_what_to_do():
    found = second_look.off_warmth(RESIN, 11.0, "metric")
    assert plain(found.sentence) == "The shop has 11 °C; the sheet of Tarn ends at 15 °C."
    assert "never harden" in found.remedy


def test_a_warm_mould_is_told_to_cool():
    found = second_look.off_warmth(RESIN, 31.0, "metric", what="mould")
    assert (found.code, "gets hotter" in found.remedy) == ("warmth_mould", True)


def test_a_sheet_without_a_range_says_nothing_about_warmth():
    bare = SimpleNamespace(name="Tarn", min_c=None, max_c=None)
    assert second_look.off_warmth(bare, -5.0, "metric") is None


# 25 mm of neat resin in a stack that is half resin: 50 mm
@pytest.mark.parametrize(("depth_mm", "deep"), [(50, False), (50.01, False), (51, True)])
def test_a_pour_is_too_deep_beyond_the_sheets_depth_in_this_stack(depth_mm, deep):
    assert bool(second_look.too_deep(RESIN, depth_mm, 50.0, "metric")) is deep


def test_a_pour_that_is_too_deep_is_told_with_both_limits():
    found = plain(second_look.too_deep(RESIN, 60.0, 50.0, "metric").sentence)
    assert found == (
        "60 mm is deeper than the 50 mm that the sheet of Tarn allows in this stack (25 mm of neat resin)."
    )


def test_a_sheet_without_a_depth_allows_any():
    assert second_look.too_deep(RESIN, 500.0, None, "metric") is None


@pytest.mark.parametrize(("depth_mm", "slip"), [(13, False), (19.5, False), (19.6, True), (130, True)])
def test_one_and_a_half_times_the_planned_depth_is_more_likely_a_slip(depth_mm, slip):
    assert bool(second_look.depth_slip(depth_mm, 13.0, "metric")) is slip


def test_a_slip_of_a_digit_is_told_with_its_plan():
    found = plain(second_look.depth_slip(130.0, 13.0, "metric").sentence)
    assert found == "130 mm is 10 times the 13 mm planned for this pour."


@pytest.mark.parametrize(
    ("left_mm", "depth_mm", "full"), [(0, 2, False), (0, 3, True), (-1, 13, True), (3, 13, False)]
)
def test_more_than_a_top_up_into_a_full_mould_is_asked_about(left_mm, depth_mm, full):
    assert bool(second_look.mould_full(depth_mm, left_mm, "metric")) is full


@pytest.mark.parametrize(("level", "wrong"), [("clear", False), ("caution", False), ("stop", True)])
def test_a_cup_is_wrong_where_its_ratio_says_stop(level, wrong):
    ratio = SimpleNamespace(level=level, error_percent=13.1, tolerance_percent=2.0)
    assert bool(second_look.wrong_cup(SimpleNamespace(cup=2), ratio)) is wrong


def test_a_cup_whose_b_is_not_weighed_is_not_called_wrong():
    assert second_look.wrong_cup(SimpleNamespace(cup=2), None) is None


# --- out of the mould ---

PLAN = {"length_mm": 600.0, "width_mm": 198.0, "depth_mm": 13.0}


@pytest.mark.parametrize(("at_h", "early"), [(23, True), (24, False)])
def test_a_block_is_early_until_its_clock_is_due(at_h, early):
    assert bool(second_look.early_out([clock("demould", 24)], hours_in(at_h), BERLIN)) is early


def test_an_early_block_is_told_how_many_hours_are_left():
    found = second_look.early_out([clock("demould", 24)], hours_in(10), BERLIN)
    assert plain(found.sentence) == "By its clock it leaves the mould Wed 10:00: 14 h are left."


@pytest.mark.parametrize(
    ("length_mm", "width_mm", "wrong_way"),
    [(198, 600, True), (600, 198, False), (199, 597, True), (598, None, False), (None, None, False)],
)
def test_length_and_width_typed_the_wrong_way_round_are_seen(length_mm, width_mm, wrong_way):
    typed = {"length_mm": length_mm, "width_mm": width_mm}
    assert bool(second_look.swapped(typed, PLAN, "metric")) is wrong_way


def test_a_block_that_is_almost_square_is_not_called_swapped():
    plan = {"length_mm": 200.0, "width_mm": 198.0}
    assert second_look.swapped({"length_mm": 198.0, "width_mm": 200.0}, plan, "metric") is None


@pytest.mark.parametrize(
    ("depth_mm", "off"), [(13, False), (16.9, False), (17, True), (9.2, False), (9, True), (None, False)]
)
def test_a_depth_off_by_more_than_three_tenths_is_asked_about(depth_mm, off):
    assert bool(second_look.far_off("depth_mm", "Depth", {"depth_mm": depth_mm}, PLAN, "metric")) is off


def test_a_measure_that_is_far_off_is_told_with_its_plan():
    found = second_look.far_off("depth_mm", "Depth", {"depth_mm": 26.0}, PLAN, "metric")
    assert plain(found.sentence) == "Depth 26 mm is 100 % more than the 13 mm planned."


def test_a_block_without_a_plan_has_nothing_to_be_off_from():
    assert second_look.far_off("depth_mm", "Depth", {"depth_mm": 26.0}, {}, "metric") is None


# --- pieces and figures ---


@pytest.mark.parametrize(
    ("missing", "sentence"),
    [(1, "1 piece of the panel is not ticked"), (2, "2 pieces of the panel are not ticked")],
)
def test_pieces_without_a_tick_are_counted(missing, sentence):
    assert sentence in second_look.unticked(missing).sentence


def test_a_panel_whose_pieces_all_lie_is_glued_without_a_word():
    assert second_look.unticked(0) is None


def test_figures_changed_after_the_pour_are_named():
    found = second_look.changed_after_pour("Block A", ["strips 50, now 52"], AT, hours_in(1), BERLIN)
    assert found.sentence == "Block A was poured 10:00, with strips 50, now 52."


@pytest.mark.parametrize(("changed", "poured_at"), [([], AT), (["strips 50, now 52"], None)])
def test_figures_may_change_before_the_pour_and_be_kept_as_they_are_after(changed, poured_at):
    assert second_look.changed_after_pour("Block A", changed, poured_at, AT, BERLIN) is None
