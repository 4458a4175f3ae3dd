"""When to pour: best starts, what becomes of one now, and why there is none."""

from datetime import UTC, datetime, time, timedelta

import pytest

from projects import starts, starts_told
from projects.actions import bench as acts
from projects.turn import turn_of
from tests.factories import AT, Bench, BlockFactory, ResinFactory, StepFactory, key, moment
from tests.projects.pages import FRAGMENT, act, at, words_of
from workshop.changes import hours

pytestmark = pytest.mark.django_db

# Europe/Berlin, Tuesday 3 March 2026; the shop is 19 °C from 07 to 19 h and 15 °C at night
TUESDAY = datetime(2026, 3, 3, 7, 0, tzinfo=UTC)


TWO = {"pours": "2", "minutes": "45", "hours": "safe"}


@pytest.fixture
def at_ten(monkeypatch):
    """The page's clock stands at the worked example's morning."""
    monkeypatch.setattr("projects.views.starts.timezone.now", lambda: TUESDAY)


def page(bench):
    return at("starts", bench.shop, bench.step.key)


def shop_of_the_example(opens=8, closes=16, **resin):
    """The worked example: windows of 4 to 14 h at 20 °C, open from 8 to 16 every day."""
    bench = Bench(**{"recoat_open_h": 4, "recoat_close_h": 14, "recoat_c": 20, **resin})
    shop = bench.shop
    shop.day_c, shop.night_c, shop.day_from, shop.day_to = 19.0, 15.0, time(7), time(19)
    shop.save()
    hours.set_week(bench.member, {day: [(time(opens), time(closes))] for day in range(7)}, at=AT)
    shop.refresh_from_db()
    return bench


def plan(bench, pours=4, begin=TUESDAY, **more):
    return starts.Plan(bench.resin, pours, 45, since=TUESDAY, begin=begin, **more)


def wall(bench, moments):
    return [f"{moment:%a %H:%M}" for moment in (each.astimezone(bench.shop.tz) for each in moments)]


def test_the_best_start_of_the_worked_example_with_reserve():
    bench = shop_of_the_example()
    found = starts.starts_of(bench.shop, plan(bench))
    assert wall(bench, found.ways[0].starts) == ["Tue 09:05", "Tue 15:15", "Wed 08:00", "Wed 14:10"]
    assert found.ways[0].margin_minutes == 20


def test_each_day_has_its_best_start_once():
    bench = shop_of_the_example()
    days = [way.starts[0].date() for way in starts.starts_of(bench.shop, plan(bench)).ways]
    assert len(days) == len(set(days)) == 11  # ten times 24 hours touch eleven days


def test_every_pour_of_a_way_lies_in_its_window_and_in_opening_hours():
    bench = shop_of_the_example()
    for way in starts.starts_of(bench.shop, plan(bench)).ways:
        for window, start in zip(way.windows, way.starts[1:], strict=True):
            assert window.opens <= start <= window.closes
        assert all(8 <= start.astimezone(bench.shop.tz).hour < 16 for start in way.starts)


def test_a_start_at_four_says_when_its_window_opens_and_that_the_shop_is_shut():
    bench = shop_of_the_example(opens=8, closes=18)
    four = datetime(2026, 3, 3, 15, 0, tzinfo=UTC)
    found = starts.starts_of(bench.shop, plan(bench, pours=2, begin=four))
    said = starts_told.asked_said(found, TUESDAY, bench.shop.tz)
    # poured 16:00 to 16:45: 4 h and 14 h at 20 °C through that evening and night, as worked out in UTC
    assert said.sentences[0] == (
        "Poured at 16:00, the window for the next pour opens 21:45 and closes Wed 10:35."
    )
    assert said.sentences[1:] == (
        "The shop is shut as it opens. Go on Wed 08:00.", "Better: 08:00, then 14:10.",
    )  # fmt: skip


def test_a_start_that_leaves_too_little_of_its_window_says_when_somebody_is_there():
    bench = shop_of_the_example(opens=8, closes=18, recoat_close_h=11.6)
    four = datetime(2026, 3, 3, 15, 0, tzinfo=UTC)
    found = starts.starts_of(bench.shop, plan(bench, pours=2, begin=four))
    said = starts_told.asked_said(found, TUESDAY, bench.shop.tz)
    assert (said.kind, said.word) == ("caution", "tight")
    assert said.sentences[1].startswith("The shop is shut as it opens; somebody is there from Wed 08:00 to")


def test_a_start_whose_window_lies_in_the_night_says_that_nobody_is_there():
    bench = shop_of_the_example(recoat_close_h=8)
    four = datetime(2026, 3, 3, 14, 0, tzinfo=UTC)
    found = starts.starts_of(bench.shop, plan(bench, pours=2, begin=four))
    said = starts_told.asked_said(found, TUESDAY, bench.shop.tz)
    assert (said.kind, said.word) == ("stop", "nobody there")
    assert said.sentences[-1].startswith("Better: ")


def test_a_good_start_says_when_to_go_on():
    bench = shop_of_the_example()
    found = starts.starts_of(bench.shop, plan(bench, begin=TUESDAY + timedelta(minutes=65)))
    said = starts_told.asked_said(found, TUESDAY, bench.shop.tz)
    assert (said.kind, said.sentences[-1]) == (
        "clear", "Go on 15:15, Wed 08:00, Wed 14:10.",
    )  # fmt: skip


def test_a_start_while_the_shop_is_shut_is_said_to_be_one():
    bench = shop_of_the_example()
    found = starts.starts_of(bench.shop, plan(bench, begin=TUESDAY - timedelta(hours=3)))
    assert starts_told.asked_said(found, TUESDAY, bench.shop.tz).word == "shut"


def test_one_pour_has_nothing_to_follow():
    bench = shop_of_the_example(recoat_open_h=None)
    found = starts.starts_of(bench.shop, plan(bench, pours=1, begin=TUESDAY))
    assert found.ways[0].margin_minutes is None
    assert "nothing has to follow" in starts_told.asked_said(found, TUESDAY, bench.shop.tz).sentences[0]


def test_no_start_at_all_says_why_and_what_was_tried_with_success():
    bench = shop_of_the_example(opens=8, closes=18, recoat_open_h=3.5, recoat_close_h=10)
    ResinFactory(shop=bench.shop, name="Meer", recoat_open_h=11, recoat_close_h=40, use="casting")
    found = starts.starts_of(bench.shop, plan(bench))
    assert found.ways == ()
    assert found.why.startswith("Pour 3 can't follow pour 2: poured ")
    helps = starts_told.helps_said(found, TUESDAY, bench.shop.tz)
    assert "Pour it all at once, if its depth allows." in helps
    assert any(line.startswith("Meer instead: the first pour ") for line in helps)


def test_a_pour_that_lies_in_the_mould_bounds_the_next_start():
    bench = shop_of_the_example()
    until = TUESDAY + timedelta(hours=3)
    found = starts.starts_of(bench.shop, plan(bench, pours=2, until=until))
    assert [way.starts[0] <= until for way in found.ways] == [True]


def test_a_reading_of_a_warm_shop_opens_windows_sooner():
    from projects.actions import readings
    from workshop.acting import Moment

    bench = shop_of_the_example()
    before = starts.starts_of(bench.shop, plan(bench, pours=2)).asked.window.opens
    readings.take_reading(
        bench.member,
        {"kind": "temperature", "value": 29.0, "text": ""},
        key=key(),
        moment=Moment.now(TUESDAY),
    )
    assert starts.starts_of(bench.shop, plan(bench, pours=2)).asked.window.opens < before


def test_a_day_is_drawn_from_six_to_six_and_a_window_without_the_bracket_that_lies_elsewhere():
    bench = shop_of_the_example()
    found = starts.starts_of(bench.shop, plan(bench))
    tuesday, wednesday = starts_told.rows_of(found, found.ways[0], bench.shop.tz)
    assert (tuesday.name, wednesday.name) == ("Tue 3", "Wed 4")
    assert tuesday.sessions == [(2.0, 10.0)]
    assert [mark.span[0] for mark in tuesday.pours] == pytest.approx([3 + 5 / 60, 9.25])
    sides = [[(mark.begins, mark.ends) for mark in day.windows] for day in (tuesday, wednesday)]
    assert sides == [[(True, True), (True, False)], [(False, True), (True, True)]]


# --- the page ---


def test_the_page_shows_the_best_start_and_its_picture(signed_in):
    bench = shop_of_the_example()
    response = signed_in(bench.member).get(page(bench), {"pours": "2", "minutes": "45", "hours": "safe"})
    words = words_of(response)
    assert "The best start" in words
    assert "to spare before a window closes" in words
    assert 'class="draw days wide"' in response.content.decode()
    assert "missed for good" in words


RESERVE = "A reserve is in these windows: hours until one opens × 1.25, until it closes × 0.9."


@pytest.mark.parametrize(
    ("pours", "hours", "told"), [("2", "safe", True), ("2", "plain", False), ("1", "safe", False)]
)
def test_a_reserve_in_the_windows_is_said_beside_them(signed_in, pours, hours, told):
    bench = shop_of_the_example()
    asked = {"pours": pours, "minutes": "45", "begin": "", "hours": hours}
    response = signed_in(bench.member).get(page(bench), asked)
    before_the_fold = words_of(response).partition("Where this comes from")[0]
    assert (RESERVE in before_the_fold) is told


def test_typing_asks_for_the_findings_alone(signed_in):
    bench = shop_of_the_example()
    asked = {"pours": "2", "minutes": "45", "begin": "16:00", "hours": "plain"}
    response = signed_in(bench.member).get(page(bench), asked, **FRAGMENT)
    assert b"<html" not in response.content
    assert "16:00" in words_of(response)


@pytest.mark.parametrize("wrong", [{"pours": "0"}, {"minutes": "-5"}, {"pours": "two"}, {"begin": "25:99"}])
def test_a_figure_that_can_not_be_is_said_to_be_mended(signed_in, wrong):
    bench = shop_of_the_example()
    asked = {"pours": "2", "minutes": "45", "begin": "", "hours": "safe", **wrong}
    response = signed_in(bench.member).get(page(bench), asked)
    assert response.status_code == 200
    assert "Mend the marked figures" in words_of(response)


def test_a_sheet_that_names_no_window_is_asked_to_be_looked_at(signed_in):
    bench = shop_of_the_example(recoat_open_h=None, recoat_close_h=None)
    words = words_of(
        signed_in(bench.member).get(page(bench), {"pours": "3", "minutes": "45", "hours": "safe"})
    )
    assert "names no hours until the next pour" in words


def test_without_a_resin_one_is_asked_for(signed_in):
    bench = Bench()
    bench.block.resin = None
    bench.block.save()
    assert "No resin is chosen" in words_of(signed_in(bench.member).get(page(bench)))


def test_a_shop_that_never_opens_says_so(signed_in):
    bench = shop_of_the_example()
    hours.set_week(bench.member, {day: [] for day in range(7)}, at=AT)
    words = words_of(
        signed_in(bench.member).get(page(bench), {"pours": "2", "minutes": "45", "hours": "safe"})
    )
    assert "no opening is long enough to pour for 45 minutes" in words


def test_the_step_and_the_check_lead_to_it(signed_in):
    bench = Bench()
    client = signed_in(bench.member)
    for name in ("bench-step", "check"):
        assert page(bench) in client.get(at(name, bench.shop, bench.step.key)).content.decode()


def test_while_a_pour_lies_in_the_mould_its_window_is_named(signed_in):
    bench = shop_of_the_example()
    bench.weigh_b(bench.meet())
    acts.pour(bench.member, bench.step, key=key(), moment=moment(10), depth_mm=6.0, text="", more=True)
    words = words_of(signed_in(bench.member).get(page(bench)))
    assert "A pour lies in the mould: these come on top of it" in words


# --- what stands before the pour ---


def behind_a_coat(**coat):
    """The worked example with a seal coat before its pour, planned until Monday the sixteenth, noon."""
    bench = shop_of_the_example()
    values = {"planned_end": datetime(2026, 3, 16, 11, tzinfo=UTC), "title": "Seal the strips", **coat}
    bench.step.position = 1
    bench.step.save()
    bench.coat = StepFactory(shop=bench.shop, block=bench.block, kind="seal", position=0, **values)
    return bench


def turn(bench, now=TUESDAY):
    return turn_of(bench.step, now)


def test_the_search_begins_when_what_stands_before_the_pour_is_planned_to_be_over(signed_in, at_ten):
    bench = behind_a_coat()
    words = words_of(signed_in(bench.member).get(page(bench), TWO))
    assert "It waits: “Seal the strips” is planned until Mon 16 Mar 12:00. The search begins then." in words
    assert "best, Mon 16 Mar" in words or "best, Tue 17 Mar" in words
    assert "best, today" not in words


def test_a_maker_can_look_from_now_all_the_same(signed_in, at_ten):
    bench = behind_a_coat()
    words = words_of(signed_in(bench.member).get(page(bench), {**TWO, "since": "now"}))
    assert "This is from now, as if it were over." in words
    assert "Mar 12:00. The search" not in words
    assert "Tue 17 Mar" not in words


def test_an_hour_that_is_asked_about_is_meant_for_the_day_of_its_turn(signed_in, at_ten):
    bench = behind_a_coat()
    words = words_of(signed_in(bench.member).get(page(bench), {**TWO, "begin": "13:00"}))
    assert "Poured at Mon 16 Mar 13:00" in words


def test_a_pour_with_nothing_before_it_is_looked_for_from_now(signed_in):
    bench = shop_of_the_example()
    text = signed_in(bench.member).get(page(bench)).content.decode()
    assert "It waits:" not in text
    assert 'name="since"' not in text
    assert turn(bench) is None


@pytest.mark.parametrize("state", ["done", "skipped"])
def test_what_is_over_stands_before_nothing(state):
    assert turn(behind_a_coat(state=state)) is None


def test_a_pour_that_has_begun_waits_for_nothing():
    bench = behind_a_coat()
    bench.step.state = "under_way"
    assert turn(bench) is None


def test_of_all_that_stands_before_a_pour_the_last_to_end_is_named():
    bench = behind_a_coat()
    bench.coat.position = 1
    bench.coat.save()
    bench.step.position = 2
    bench.step.save()
    StepFactory(shop=bench.shop, block=bench.block, kind="measure", position=0, planned_end=TUESDAY)
    assert turn(bench).step == bench.coat
    assert turn(bench).until == datetime(2026, 3, 16, 11, tzinfo=UTC)


def test_a_step_without_a_date_is_named_and_the_search_begins_now():
    found = turn(behind_a_coat(planned_end=None))
    assert (found.until, found.since(TUESDAY)) == (None, TUESDAY)
    said = starts_told.turn_said(found, True, TUESDAY, UTC)
    assert said.startswith("It waits: “Seal the strips” has no date yet. The search begins now;")


def test_a_step_that_should_be_over_is_said_to_be_late():
    found = turn(behind_a_coat(planned_end=TUESDAY - timedelta(hours=1)))
    said = starts_told.turn_said(found, True, TUESDAY, UTC)
    assert said == "It waits: “Seal the strips” should be over by now and is not. The search begins now."


def test_another_blocks_steps_do_not_stand_before_a_pour():
    bench = shop_of_the_example()
    other = BlockFactory(shop=bench.shop, project=bench.project, position=1)
    StepFactory(shop=bench.shop, block=other, kind="seal", position=0, planned_end=AT)
    assert turn(bench) is None


def test_nothing_can_be_sent_to_it(signed_in):
    bench = Bench()
    assert signed_in(bench.member).post(page(bench), act()).status_code == 405
