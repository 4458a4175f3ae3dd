from datetime import UTC, datetime, timedelta

import pytest
from django.utils import timezone

from projects.actions import bench as acts
from projects.models import LogEntry, Timer
from tests.factories import Bench, key
from tests.projects.pages import FRAGMENT, act, ago, at, said_at, typed_in, words_of
from workshop.acting import Moment

pytestmark = pytest.mark.django_db


def page(bench):
    return at("clocks", bench.shop)


def one_page(bench, timer):
    return at("clock-settle", bench.shop, timer.key)


def met(bench, minutes=5):
    """The clock of a cup whose parts met so many minutes ago."""
    batch = acts.parts_meet(
        bench.member, bench.step, key=key(), moment=ago(minutes), resin=bench.resin, cup=bench.cup()
    )
    return batch.timers.get()


# --- the list that pages poll ---


def test_the_page_shows_the_running_clocks(signed_in):
    bench = Bench()
    timer = met(bench)
    response = signed_in(bench.member).get(page(bench))
    assert b"<html" in response.content
    assert f'data-key="{timer.key}"' in response.content.decode()


def test_a_poll_gets_the_list_alone(signed_in):
    bench = Bench()
    timer = met(bench)
    response = signed_in(bench.member).get(page(bench), **FRAGMENT)
    assert response.content.decode().startswith('<ul class="clocks"')
    assert f'data-key="{timer.key}"' in response.content.decode()


def test_a_poll_is_never_answered_from_a_cache(signed_in):
    bench = Bench()
    assert signed_in(bench.member).get(page(bench), **FRAGMENT)["Cache-Control"] == "no-store"


def test_a_poll_carries_the_servers_own_moment(signed_in):
    bench = Bench()
    before = timezone.now().replace(microsecond=0)
    response = signed_in(bench.member).get(page(bench), **FRAGMENT)
    said = response.content.decode().split('data-now="')[1].split('"')[0]
    assert before <= datetime.fromisoformat(said) <= timezone.now()


def test_a_clock_carries_its_due_instant(signed_in):
    bench = Bench()
    timer = met(bench)
    content = signed_in(bench.member).get(page(bench), **FRAGMENT).content.decode()
    said = datetime.fromisoformat(content.split('data-due="')[1].split('"')[0])
    assert said == timer.due_at


def test_an_answered_clock_is_no_longer_listed(signed_in):
    bench = Bench()
    timer = met(bench)
    Timer.objects.update(settled_at=timer.started_at)
    assert "No clock is running." in words_of(signed_in(bench.member).get(page(bench)))


def test_the_clocks_of_another_shop_are_not_listed(signed_in):
    met(Bench())
    bench = Bench()
    assert "No clock is running." in words_of(signed_in(bench.member).get(page(bench)))


def test_a_late_clock_says_how_late_it_is(signed_in):
    bench = Bench()
    met(bench, minutes=180)
    assert "late It was due 1 h 56 ago." in words_of(signed_in(bench.member).get(page(bench)))  # 180 - 63.64


# --- the clock on the wall; Berlin went from 02:00 to 03:00 on 29 March 2026 at 01:00 UTC (tz database) ---


def poured_on_saturday(bench):
    """A demould clock of a pour on 28 March 2026, 21:00 on the wall in Berlin."""
    moment = Moment.now(datetime(2026, 3, 28, 20, 0, tzinfo=UTC))
    acts.parts_meet(
        bench.member, bench.step, key=key(), moment=moment, resin=bench.resin, cup=bench.cup(room_c=25)
    )
    pour = acts.pour(bench.member, bench.step, key=key(), moment=moment, depth_mm=13.0, text="")
    return pour.entry.timers.get(kind=Timer.Kind.DEMOULD)


def test_a_clock_across_the_change_to_summer_time_shows_the_time_on_the_wall(signed_in):
    bench = Bench()
    timer = poured_on_saturday(bench)
    response = signed_in(bench.member).get(one_page(bench, timer))
    # 24 hours after 21:00 winter time it is 22:00 summer time
    assert "<span data-left>Sun 22:00</span>" in response.content.decode()


def test_a_clock_across_the_change_to_summer_time_carries_its_elapsed_instant(signed_in):
    bench = Bench()
    timer = poured_on_saturday(bench)
    content = signed_in(bench.member).get(one_page(bench, timer)).content.decode()
    start, due = (content.split(f'data-{name}="')[1].split('"')[0] for name in ("started", "due"))
    assert (start, due) == ("2026-03-28T21:00:00+01:00", "2026-03-29T22:00:00+02:00")
    assert datetime.fromisoformat(due) - datetime.fromisoformat(start) == timedelta(hours=24)


# --- one clock, and what was done ---


def test_the_page_of_a_clock_says_where_its_figure_comes_from(signed_in):
    bench = Bench()
    words = words_of(signed_in(bench.member).get(one_page(bench, met(bench))))
    assert "sheet: 90 min for 100 g at 25 °C; ten-degree rule to 20 °C; half of that, or the model" in words


def test_the_page_of_a_demould_clock_warns_that_it_may_be_soft(signed_in):
    bench = Bench()
    words = words_of(signed_in(bench.member).get(one_page(bench, poured_on_saturday(bench))))
    assert "The clock says when it may be hard, not that it is." in words


def test_what_was_done_stops_the_clock(signed_in):
    bench = Bench()
    timer = met(bench)
    response = signed_in(bench.member).post(one_page(bench, timer), act(how="Poured in time"))
    assert (response.status_code, response["Location"]) == (302, at("now", bench.shop))
    timer.refresh_from_db()
    assert (timer.settled_how, timer.settled_by) == ("Poured in time", bench.member)


def test_an_answer_sent_twice_is_one_answer(signed_in):
    bench = Bench()
    timer = met(bench)
    client, sent = signed_in(bench.member), act(how="Poured in time")
    answers = [client.post(one_page(bench, timer), sent) for _ in range(2)]
    assert answers[0]["Location"] == answers[1]["Location"]
    assert LogEntry.objects.filter(kind="clock").count() == 1


def test_a_clock_that_somebody_answered_meanwhile_says_so(signed_in):
    bench = Bench()
    timer = met(bench)
    client = signed_in(bench.member)
    client.post(one_page(bench, timer), act(how="Poured in time"))
    response = client.post(one_page(bench, timer), act(how="It went off in the cup"))
    assert response.status_code == 422
    assert "Somebody has answered this clock already." in words_of(response)
    assert "settled Poured in time" in words_of(response)


def test_an_answer_without_words_is_asked_for(signed_in):
    bench = Bench()
    response = signed_in(bench.member).post(one_page(bench, met(bench)), act(how=" "))
    assert response.status_code == 422
    assert said_at(response, "how") == "This field is required."


def test_too_long_an_answer_is_kept_in_its_field(signed_in):
    bench = Bench()
    response = signed_in(bench.member).post(one_page(bench, met(bench)), act(how="x" * 201))
    assert response.status_code == 422
    assert "at most 200 characters" in said_at(response, "how")
    assert typed_in(response)["how"] == "x" * 201


def test_an_answered_clock_shows_what_was_done(signed_in):
    bench = Bench()
    timer = met(bench)
    client = signed_in(bench.member)
    client.post(one_page(bench, timer), act(how="Poured in time"))
    assert "settled Poured in time" in words_of(client.get(one_page(bench, timer)))
