from datetime import timedelta

import pytest
from django.utils import timezone

from materials.models import Lot, Reading
from projects.actions import bench as acts
from projects.models import Project
from tests.factories import AT, Bench, MemberFactory, ProjectFactory, ResinFactory, key
from tests.projects.pages import ago, at, words_of

pytestmark = pytest.mark.django_db


def page(shop):
    return at("now", shop)


def met(bench, minutes=5, **cup):
    return acts.parts_meet(
        bench.member, bench.step, key=key(), moment=ago(minutes), resin=bench.resin, cup=bench.cup(**cup)
    )


# --- what a new shop does next ---


def test_an_empty_shop_begins_with_a_resin(signed_in):
    member = MemberFactory()
    words = words_of(signed_in(member).get(page(member.shop)))
    assert "An empty shop. First, a resin and its sheet." in words
    assert "Add a resin" in words


def test_a_shop_with_a_resin_puts_bottles_on_the_shelf(signed_in):
    member = MemberFactory()
    ResinFactory(shop=member.shop)
    words = words_of(signed_in(member).get(page(member.shop)))
    assert "A resin, no bottles. Put A and B on the shelf." in words
    assert "Bottles came in" in words


def test_a_shop_with_bottles_begins_a_project(signed_in):
    bench = Bench()
    Project.objects.update(removed_at=AT)
    words = words_of(signed_in(bench.member).get(page(bench.shop)))
    assert "All set out. Begin a project." in words


def test_a_shop_with_all_of_it_is_told_what_can_begin(signed_in):
    bench = Bench()
    words = words_of(signed_in(bench.member).get(page(bench.shop)))
    assert "Nothing presses. Pour Block A can begin." in words


def test_another_shops_things_are_not_ours(signed_in):
    Bench()
    member = MemberFactory()
    assert "An empty shop." in words_of(signed_in(member).get(page(member.shop)))
    assert Lot.objects.exists()


# --- what presses ---


def test_of_very_many_projects_it_says_which_it_looks_at(signed_in, monkeypatch):
    bench = Bench()
    ProjectFactory(shop=bench.shop)
    assert "this page looks at" not in words_of(signed_in(bench.member).get(page(bench.shop)))
    monkeypatch.setattr("projects.views.now.MOST_PROJECTS", 1)
    words = words_of(signed_in(bench.member).get(page(bench.shop)))
    assert "Of all projects this page looks at the 1 that press most" in words


def test_the_first_clock_stands_in_the_heading(signed_in):
    bench = Bench()
    timer = met(bench).timers.get()
    due = f"{timer.due_at.astimezone(bench.shop.tz):%H:%M}"
    words = words_of(signed_in(bench.member).get(page(bench.shop)))
    assert "Cup 1, pot life: thick by " in words
    assert due in words.split("Cup 1, pot life: thick by ")[1][:12]


def test_a_clock_that_is_past_stands_in_the_heading_as_due(signed_in):
    bench = Bench()
    met(bench, minutes=180)
    assert "Cup 1, pot life: it is due." in words_of(signed_in(bench.member).get(page(bench.shop)))


def test_a_begun_pour_comes_first_among_what_can_be_done(signed_in):
    bench = Bench()
    other = Bench()
    for row, more in ((other.project, {}), (other.step, {"state": "under_way"})):
        type(row).objects.filter(pk=row.pk).update(shop=bench.shop, **more)
    ProjectFactory(shop=bench.shop)
    response = signed_in(bench.member).get(page(bench.shop))
    assert response.context["steps"] == [other.step, bench.step]


def test_what_happened_last_is_shown_with_its_project(signed_in):
    bench = Bench()
    met(bench)
    words = words_of(signed_in(bench.member).get(page(bench.shop)))
    assert f"parts met Cup 1 of {bench.resin.name}: 314.5 g of A, then B went in Ines · Stair window" in words


# --- the air ---


def test_the_air_is_as_it_was_last_measured(signed_in):
    bench = Bench()
    met(bench, minutes=60, room_c=15.0, humidity_percent=70.0)
    met(bench, minutes=5, room_c=20.0, humidity_percent=50.0)
    words = words_of(signed_in(bench.member).get(page(bench.shop)))
    assert "20 °C Air 50 %" in words
    # dew point at 20 °C and 50 %: 9.27 °C (psychrometric tables, from memory), so a margin of 10.7 K
    assert "Above dew point 10.7 K" in words


def test_without_a_humidity_there_is_no_dew_point(signed_in):
    bench = Bench()
    met(bench)
    words = words_of(signed_in(bench.member).get(page(bench.shop)))
    assert "20 °C" in words
    assert "Above dew point" not in words


def test_without_a_measurement_nothing_is_said_of_the_air(signed_in):
    bench = Bench()
    assert not Reading.objects.exists()
    assert "<dl class=" not in signed_in(bench.member).get(page(bench.shop)).content.decode()


def test_a_measurement_that_arrived_later_but_was_taken_earlier_is_not_the_newest(signed_in):
    bench = Bench()
    met(bench, minutes=5, room_c=20.0)
    met(bench, minutes=60, room_c=15.0)
    newest = signed_in(bench.member).get(page(bench.shop)).context["air"]["temperature"]
    assert newest.value == 20
    assert timezone.now() - newest.taken_at < timedelta(minutes=6)
