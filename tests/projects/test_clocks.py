from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from projects import clocks
from projects.actions import bench as acts
from projects.actions import free_clock, log
from projects.models import Timer
from tests.factories import AT, Bench, key, moment
from workshop.acting import Moment

pytestmark = pytest.mark.django_db

BERLIN = ZoneInfo("Europe/Berlin")
# the tests' morning is 09:00 UTC, 10:00 on the wall in Berlin; that day is a Tuesday


def cup_clock(now=AT, **resin):
    """The row of a pot life clock of a cup mixed on the tests' morning."""
    return row_of(Bench(**resin).meet().timers.get(), now)


def row_of(timer, now=AT):
    found = Timer.objects.with_story().select_related("shop").get(pk=timer.pk)
    return clocks.clock_row(found, now, found.shop.tz)


def poured(bench=None, at=None, **cup):
    """The clocks of a pour ten minutes after the morning, or at a moment: next pour and demould."""
    bench = bench or Bench()
    bench.meet(**cup)
    if at is None:
        entry = bench.pour(minutes=10).entry
    else:
        entry = acts.pour(
            bench.member, bench.step, key=key(), moment=Moment.now(at), depth_mm=13.0, text=""
        ).entry
    return [entry.timers.get(kind=kind) for kind in (Timer.Kind.RECOAT, Timer.Kind.DEMOULD)]


# --- what a clock is called and says ---


def test_a_pot_life_clock_is_called_by_its_cup():
    assert cup_clock().name == "Cup 1, pot life"


def test_the_clocks_of_a_pour_are_called_by_their_block():
    recoat, demould = poured()
    assert (row_of(recoat).name, row_of(demould).name) == ("Next pour on Block A", "Block A cures")


def test_a_clock_says_which_project_it_belongs_to():
    bench = Bench()
    assert row_of(bench.meet().timers.get()).subline == f"{bench.project.code} Stair window"


def test_a_pot_life_clock_says_when_it_rings_and_when_it_is_thick():
    # 10:00; 98.6 g: rings after 95.5 min, thick after 127.3 min
    row = row_of(Bench().meet(a_g=68).timers.get())
    assert (row.foot_left, row.foot_right) == ("parts met 10:00", "rings 11:35 · thick 12:07")


def test_the_clock_of_a_heavy_cup_says_only_the_sooner_time():
    row = cup_clock()  # half of 127.3 min
    assert (row.foot_left, row.foot_right) == ("parts met 10:00", "thick by 11:03")


def test_a_next_pour_clock_says_from_when_to_when():
    # poured 10:10; opens after 5 h 39 min 25 s, closes after 19 h 47 min 56 s
    recoat, _ = poured()
    row = row_of(recoat)
    assert (row.foot_left, row.foot_right) == ("poured 10:10", "opens 15:49, closes Wed 05:57")


def test_a_next_pour_clock_without_a_close_says_only_when_it_opens():
    recoat, _ = poured(Bench(recoat_close_h=None))
    assert row_of(recoat).foot_right == "opens 15:49"


def test_a_demould_clock_says_when_it_may_leave_the_mould():
    # poured 10:10; 33 h 56 min 28 s
    _, demould = poured()
    assert row_of(demould).foot_right == "out Wed 20:06, if hard"


def test_a_clock_leads_to_the_page_that_answers_it():
    bench = Bench()
    timer = bench.meet().timers.get()
    assert row_of(timer).href == f"/s/{bench.shop.key}/clocks/{timer.key}/"


def test_a_clock_is_drawn_in_slots_of_a_length_that_can_be_said():
    row = cup_clock()  # 64 min in at most 24 slots
    assert row.slot_unit == "one slot, five minutes"
    assert row.svg.startswith("<svg")


# --- what a maker must know about its figure ---


def test_a_heavier_cup_is_marked_as_shorter_than_the_clock_says():
    # 314.5 g of A and 141.525 g of B
    assert cup_clock().marked == (
        "The sheet's time is for 100\u00a0g, this cup holds 456\u00a0g and lasts less: "
        "the clock runs for half of it, or less by the model."
    )


def test_a_light_cup_is_not_marked():
    assert row_of(Bench().meet(a_g=60).timers.get()).marked == ""


def test_a_cold_cure_is_marked():
    _, demould = poured(Bench(min_c=15), room_c=12)
    assert row_of(demould).marked.startswith("So cold that it may have stopped curing")


def test_a_warm_cure_is_not_marked():
    _, demould = poured(Bench(min_c=15), room_c=15)
    assert row_of(demould).marked == ""


# --- late ---


@pytest.mark.parametrize(
    ("after_due", "said"),
    [
        (timedelta(seconds=-1), ""),
        (timedelta(seconds=59), ""),
        (timedelta(minutes=1), "It was due 1 min ago."),
        (timedelta(minutes=59, seconds=59), "It was due 59 min ago."),
        (timedelta(minutes=65), "It was due 1 h 05 ago."),
        (timedelta(hours=30), "It was due 30 h 00 ago."),
    ],
)
def test_a_late_clock_says_how_late_it_is(after_due, said):
    timer = Bench().meet().timers.get()
    assert row_of(timer, timer.due_at + after_due).late_text == said


def test_an_answered_clock_is_not_late():
    bench = Bench()
    timer = bench.meet().timers.get()
    bench.pour(minutes=10)
    assert row_of(timer, timer.due_at + timedelta(hours=1)).late_text == ""


def test_a_late_clock_is_still_drawn():
    timer = Bench().meet().timers.get()
    assert row_of(timer, timer.due_at + timedelta(days=400)).svg.startswith("<svg")


# --- the clock on the wall ---


@pytest.mark.parametrize(
    ("moment", "said"),
    [
        (datetime(2026, 3, 10, 12, 7, tzinfo=UTC), "13:07"),
        (datetime(2026, 3, 10, 22, 59, tzinfo=UTC), "23:59"),
        (datetime(2026, 3, 10, 23, 0, tzinfo=UTC), "Wed 00:00"),
        (datetime(2026, 3, 9, 22, 30, tzinfo=UTC), "Mon 23:30"),
        (datetime(2026, 3, 12, 6, 0, tzinfo=UTC), "Thu 07:00"),
    ],
)
def test_another_day_on_the_shops_wall_is_named(moment, said):
    assert clocks.say_time(moment, AT, BERLIN) == said


def test_a_moment_a_week_away_is_said_with_its_date():
    assert clocks.say_time(datetime(2026, 3, 17, 9, 0, tzinfo=UTC), AT, BERLIN) == "Tue 17 Mar 10:00"


# In Berlin the clocks went from 02:00 to 03:00 on Sunday 29 March 2026, at 01:00 UTC (tz database).
SATURDAY = datetime(2026, 3, 28, 20, 0, tzinfo=UTC)  # 21:00 on the wall, winter time


def test_a_clock_across_the_change_to_summer_time_keeps_its_elapsed_hours():
    _, demould = poured(at=SATURDAY, room_c=25)
    assert demould.due_at == SATURDAY + timedelta(hours=24)


def test_a_clock_across_the_change_to_summer_time_is_due_by_the_clock_on_the_wall():
    _, demould = poured(at=SATURDAY, room_c=25)
    assert row_of(demould, SATURDAY).foot_right == "out Sun 22:00, if hard"


def test_a_clock_due_in_the_hour_that_is_left_out_is_said_in_summer_time():
    assert clocks.say_time(datetime(2026, 3, 29, 1, 0, tzinfo=UTC), SATURDAY, BERLIN) == "Sun 03:00"


def test_how_late_a_clock_is_counts_elapsed_time_across_the_change():
    recoat, _ = poured(at=SATURDAY, room_c=25)  # due at 01:00 on the wall
    assert row_of(recoat, datetime(2026, 3, 29, 1, 30, tzinfo=UTC)).late_text == "It was due 1 h 30 ago."


def test_the_running_clocks_of_a_shop_come_the_next_due_first():
    bench = Bench()
    bench.meet(minutes=30)
    bench.pour(minutes=40)
    bench.meet(minutes=60)
    kinds = [timer.kind for timer in Timer.objects.of(bench.shop).running()]
    assert kinds == [Timer.Kind.POT_LIFE, Timer.Kind.RECOAT, Timer.Kind.DEMOULD]


def test_a_clock_of_another_shop_is_not_among_ours():
    Bench().meet()
    other = Bench()
    assert not Timer.objects.of(other.shop).running().exists()


# --- the clocks of the other acts ---


def set_by(kind, **figures):
    """A clock of a kind at a step, as an act leaves it: two hours, and a window of two more."""
    bench = Bench()
    clock = {"kind": kind, "due_min": 120, "closes_min": 240, "early_min": None, "figures": figures}
    entry = log.write(
        bench.member, "work", key=key(), moment=moment(), step=bench.step, detail={"clocks": [clock]}
    )
    return log.start_clocks(entry)[0]


@pytest.mark.parametrize(
    ("kind", "name", "begun", "end"),
    [
        ("tack", "Seal coat for Block A", "sealed 10:00", "opens 12:00, closes 14:00"),
        ("sealant", "Sealant of the mould dries", "sealed 10:00", "dry 12:00"),
        ("glue", "Open time of the glue, left half", "glued 10:00", "stiff by 12:00"),
        ("clamped", "Clamps, left half", "glued 10:00", "clamps off 12:00"),
        ("coat", "Next coat of finish", "coated 10:00", "opens 12:00, closes 14:00"),
        ("wait", "Wait", "began 10:00", "over 12:00"),
    ],
)
def test_each_kind_of_clock_has_its_words(kind, name, begun, end):
    row = row_of(set_by(kind, part="left half"))
    assert (row.name, row.foot_left, row.foot_right) == (name, begun, end)


@pytest.mark.parametrize("kind", Timer.Kind)
def test_no_kind_of_clock_is_without_a_word_for_what_is_left(kind):
    assert row_of(set_by(kind)).until


@pytest.mark.parametrize("kind", Timer.Kind)
def test_every_kind_of_clock_offers_something_that_was_done(kind):
    from projects.views.clocks import HOWS

    assert HOWS[kind]


def test_a_clock_with_a_name_is_called_by_it():
    assert row_of(set_by("wait", name="Cure in the mould")).name == "Cure in the mould"


def test_a_clock_of_no_project_has_no_line_below_its_name():
    bench = Bench()
    timer = free_clock.set_clock(bench.member, name="Kettle", minutes=10, key=key(), moment=moment())
    assert (row_of(timer).name, row_of(timer).subline) == ("Kettle", "")


def test_a_clock_that_was_over_as_it_began_is_shown_without_a_drawing():
    timer = set_by("wait")
    Timer.objects.filter(pk=timer.pk).update(due_at=timer.started_at)
    assert row_of(Timer.objects.get(pk=timer.pk)).svg == ""


def test_a_window_that_never_opens_is_shown_without_a_bracket():
    timer = set_by("tack")
    Timer.objects.filter(pk=timer.pk).update(closes_at=timer.due_at)
    assert row_of(Timer.objects.get(pk=timer.pk)).svg


def test_a_clock_says_which_law_stands_behind_it():
    by_law = set_by("coat", resin="Linden oil", sheet_c=20, temp_c=10, law="ten_degree")
    assert clocks.source(by_law).startswith("Linden oil sheet, for 20 °C; ten-degree rule to 10 °C")
    assert clocks.source(set_by("sealant", law="wall")) == "Ines set it; no rule stands behind it."
