from datetime import timedelta

import pytest
from django.utils import timezone

from projects.actions import plans
from projects.models import Plan, Step
from tests.factories import AT, MemberFactory, ProjectFactory, StepFactory, key
from tests.projects.pages import FRAGMENT, act, at, words_of
from tests.projects.schedule.rooms import Room
from workshop.changes import absences

pytestmark = pytest.mark.django_db


@pytest.fixture
def room():
    room = Room()
    room.lamp = room.project(("pack", 60), ("~dry", 600), ("pack", 60))
    return room


@pytest.fixture
def maker(signed_in, room):
    return signed_in(room.member)


def week(room, **asked):
    query = "&".join(f"{name}={value}" for name, value in asked.items())
    return f"{at('week', room.shop)}?{query}"


def page(room, name, *rows):
    return at(name, room.shop, *(row.key for row in rows))


def dated(step, hours=1, length=1):
    start = timezone.now().replace(microsecond=0) + timedelta(hours=hours)
    Step.objects.filter(pk=step.pk).update(planned_start=start, planned_end=start + timedelta(hours=length))
    return start


# --- the Week ---


@pytest.mark.parametrize("view", ["day", "week", "weeks"])
@pytest.mark.parametrize("by", ["day", "project", "hands", "list"])
def test_each_way_to_look_at_the_week_shows_the_work(maker, room, view, by):
    dated(room.steps(room.lamp)[0])
    response = maker.get(week(room, view=view, by=by))
    assert response.status_code == 200
    assert ("<figure" in response.content.decode()) == (by != "list")
    assert f"pack {room.lamp.code}" in words_of(response)


@pytest.mark.parametrize("name", ["week", "now", "when-done"])
def test_the_pages_say_who_is_away(maker, room, name):
    today = timezone.now().date()
    absences.enter(room.member, room.member, today, today + timedelta(days=13), at=timezone.now())
    assert f"{room.member.name} is away until" in words_of(maker.get(at(name, room.shop)))


def test_by_hands_the_days_away_are_drawn_with_words(maker, room):
    today = timezone.now().date()
    absences.enter(room.member, room.member, today, today, at=timezone.now())
    text = maker.get(week(room, by="hands")).content.decode()
    assert "url(#week-gone)" in text
    assert f"{room.member.name} is away</text>" in text


def test_days_on_which_everybody_is_away_are_drawn_as_shut(maker, room):
    open_days = maker.get(week(room)).content.decode()
    today = timezone.now().date()
    days = today - timedelta(days=today.weekday()), today + timedelta(days=6 - today.weekday())
    absences.enter(room.member, room.member, *days, at=timezone.now())
    text = maker.get(week(room)).content.decode()
    assert "everybody is away</text>" in text
    assert "everybody is away</text>" not in open_days
    assert text.count('class="l-lit"') < open_days.count('class="l-lit"')


def test_while_one_of_two_is_here_a_day_is_drawn_as_open(maker, room):
    MemberFactory(shop=room.shop, role="maker")
    today = timezone.now().date()
    absences.enter(room.member, room.member, today, today, at=timezone.now())
    assert "everybody is away</text>" not in maker.get(week(room)).content.decode()


def test_a_plan_says_whom_it_goes_around(maker, room):
    today = timezone.now().date()
    absences.enter(room.member, room.member, today, today + timedelta(days=13), at=timezone.now())
    plan = plans.propose(room.member, at=timezone.now())
    words = words_of(maker.get(page(room, "plan", plan)))
    assert f"{room.member.name} is away until" in words
    assert "A plan goes around it." in words


@pytest.mark.parametrize("name", ["week", "now"])
def test_at_the_days_end_a_plan_is_offered_until_somebody_makes_one(maker, room, name):
    now = timezone.now()
    # the shop opens this minute and shuts in ten: its day ends
    room.open(now.time().replace(second=0), (now + timedelta(minutes=10)).time().replace(second=0), range(7))
    dated(room.steps(room.lamp)[0], hours=0)
    assert "was not begun. A new plan can be made; nothing moves until you take it." in words_of(
        maker.get(at(name, room.shop))
    )
    maker.post(at("plan-make", room.shop), act())
    assert "was not begun. A new plan" not in words_of(maker.get(at(name, room.shop)))


def test_the_rooms_lead_to_the_week(maker, room):
    assert f'<a href="{at("week", room.shop)}"' in maker.get(at("now", room.shop)).content.decode()


def test_an_empty_shop_is_told_what_will_stand_here(signed_in):
    member = MemberFactory()
    words = words_of(signed_in(member).get(at("week", member.shop)))
    assert "Nothing is planned" in words
    assert "Make a plan" not in words


def test_steps_without_a_date_are_counted(maker, room):
    assert "3 steps have no date yet." in words_of(maker.get(week(room)))


def test_what_is_later_than_planned_is_said_and_moves_nothing(maker, room):
    before = dated(room.steps(room.lamp)[0], hours=-3)
    assert "1 step is later than planned." in words_of(maker.get(week(room)))
    assert Step.objects.get(position=0).planned_start == before


def test_two_things_at_once_for_one_pair_of_hands_are_a_clash(maker, room):
    lantern = room.project(("pack", 60))
    for step in (room.steps(room.lamp)[0], room.steps(lantern)[0]):
        dated(step, hours=2)
    view = week(room, view="day", on=(timezone.now() - timedelta(hours=4)).date())
    words = words_of(maker.get(week(room, view="weeks")))
    assert "two things at once for one pair of hands" in words
    assert maker.get(view).status_code == 200


def test_nonsense_in_the_address_shows_this_week(maker, room):
    assert maker.get(week(room, view="month", by="colour", on="soon")).status_code == 200


def test_a_stranger_finds_no_week(signed_in, room):
    assert signed_in(MemberFactory()).get(week(room)).status_code == 404


def test_the_week_is_only_read(maker, room):
    assert maker.post(week(room), act()).status_code == 405


def test_a_viewer_reads_the_week_without_acts(signed_in, room):
    viewer = signed_in(MemberFactory(shop=room.shop, role="viewer"))
    assert "Make a plan" not in words_of(viewer.get(week(room)))
    assert viewer.post(page(room, "plan-make"), act()).status_code == 403


def test_the_week_takes_as_many_queries_for_one_project_as_for_four(maker, room, django_assert_num_queries):
    for _ in range(3):
        room.project(("pack", 60), ("~dry", 600), resin=room.resin())
    for step in Step.objects.all():
        dated(step)
    maker.get(week(room))
    with django_assert_num_queries(QUERIES):
        maker.get(week(room))


QUERIES = 19


# --- plans ---


def make(maker, room, **typed):
    return maker.post(page(room, "plan-make"), act(**typed), follow=True)


def test_a_plan_is_made_read_and_taken(maker, room):
    response = make(maker, room)
    words = words_of(response)
    assert "A plan to take or to drop 3 steps move." in words
    assert "What is planned for the next 24 hours stays where it is" in words
    plan = Plan.objects.get()
    done = maker.post(page(room, "plan-accept", plan), act(), follow=True)
    assert "These are the dates now." in words_of(done)
    assert "Ines took a plan" in words_of(done)
    assert Step.objects.filter(planned_start=None).count() == 0


def test_the_former_dates_come_back_at_a_press(maker, room):
    make(maker, room)
    maker.post(page(room, "plan-accept", Plan.objects.get()), act())
    event = maker.get(week(room)).context["laid_out"]
    maker.post(page(room, "plan-back", event), act())
    assert Step.objects.filter(planned_start=None).count() == 3


def test_a_plan_is_dropped(maker, room):
    make(maker, room)
    maker.post(page(room, "plan-drop", Plan.objects.get()), act())
    assert Plan.objects.get().dropped_at
    assert "dropped" in words_of(maker.get(page(room, "plan", Plan.objects.get())))


def test_a_plan_that_lies_there_is_offered_on_the_week(maker, room):
    make(maker, room)
    assert "a plan lies here" in words_of(maker.get(week(room)))


def test_the_next_day_may_move_too_when_asked(maker, room):
    assert "may move too" in words_of(make(maker, room, all="yes"))
    assert Plan.objects.get().snapshot["kept"] is False


def test_a_plan_made_twice_by_a_double_press_is_one(maker, room):
    sent = act()
    first = maker.post(page(room, "plan-make"), sent)
    second = maker.post(page(room, "plan-make"), sent)
    assert first["Location"] == second["Location"]
    assert Plan.objects.count() == 1


def test_without_opening_hours_the_week_says_why_there_is_no_plan(maker, room):
    room.open(days=())
    response = maker.post(page(room, "plan-make"), act())
    assert response.status_code == 422
    assert "The shop has no opening hours ahead" in words_of(response)


def test_a_plan_that_time_has_passed_over_says_so(maker, room):
    make(maker, room)
    Step.objects.filter(position=0).update(minutes=90)
    response = maker.post(page(room, "plan-accept", Plan.objects.get()), act())
    assert response.status_code == 422
    assert "changed in the shop since this plan was made" in words_of(response)


def test_taken_twice_is_taken_once(maker, room):
    make(maker, room)
    sent = act()
    for _ in range(2):
        assert maker.post(page(room, "plan-accept", Plan.objects.get()), sent).status_code == 302


def test_as_a_fragment_the_act_sends_the_browser_on(maker, room):
    response = maker.post(page(room, "plan-make"), act(), **FRAGMENT)
    assert response["HX-Redirect"].endswith(f"/week/plan/{Plan.objects.get().key}/")


def test_a_stranger_finds_no_plan(signed_in, maker, room):
    make(maker, room)
    stranger = signed_in(MemberFactory())
    assert stranger.get(page(room, "plan", Plan.objects.get())).status_code == 404


def test_another_shops_plan_is_not_ours(maker, room):
    other = Room()
    other.project(("pack", 60))
    plan = plans.propose(other.member, at=timezone.now())
    assert maker.get(page(room, "plan", plan)).status_code == 404
    assert maker.post(page(room, "plan-accept", plan), act()).status_code == 404


def test_a_search_is_watched_and_leads_to_its_plan(maker, room, django_capture_on_commit_callbacks):
    watched = maker.post(page(room, "plan-search-on"), act())
    assert "Looking for a better plan" in words_of(maker.get(watched["Location"]))
    with django_capture_on_commit_callbacks(execute=True):
        again = maker.post(page(room, "plan-search-on"), act(key=str(key())))
    done = maker.get(again["Location"], follow=True)
    assert "A plan to take or to drop" in words_of(done)


def test_a_plan_takes_as_many_queries_for_one_project_as_for_four(maker, room, django_assert_num_queries):
    for _ in range(3):
        room.project(("pack", 60), ("~dry", 600), resin=room.resin())
    plan = plans.propose(room.member, at=timezone.now())
    maker.get(page(room, "plan", plan))
    with django_assert_num_queries(18):
        maker.get(page(room, "plan", plan))


# --- when it is done ---


def test_the_page_of_days_names_one_for_each_project(maker, room):
    words = words_of(maker.get(page(room, "when-done")))
    assert room.lamp.title in words
    assert "Windows in ten days None is likely to be missed." in words


def told(room, times):
    """So many times somebody packed for 40 minutes."""
    for day in range(times):
        begun = AT - timedelta(days=30 + day)
        StepFactory(
            shop=room.shop, project=ProjectFactory(shop=room.shop, state="done"), block=None, kind="pack",
            title="Pack", state="done", started_at=begun, ended_at=begun + timedelta(minutes=40),
        )  # fmt: skip


def test_the_page_of_days_says_whose_the_spread_is(maker, room):
    url = page(room, "when-done")
    words = words_of(maker.get(url))
    assert "from your own log for 0 of 1 kind of work ahead; for the time being it is the usual" in words
    Step.objects.filter(shop=room.shop).update(kind="pack", title="Pack")
    told(room, times=5)
    words = words_of(maker.get(url))
    assert "comes from your own log for 1 of 1 kind of work ahead." in words


def test_the_week_asks_for_the_days_as_a_fragment(maker, room):
    response = maker.get(page(room, "when-done"), **FRAGMENT)
    assert "<html" not in response.content.decode()
    assert f'hx-get="{page(room, "when-done")}"' in maker.get(week(room)).content.decode()


def test_without_opening_hours_no_day_is_named(maker, room):
    room.open(days=())
    assert "no opening hours ahead" in words_of(maker.get(page(room, "when-done")))


def test_a_shop_without_work_has_no_days(signed_in):
    member = MemberFactory()
    words = words_of(signed_in(member).get(at("when-done", member.shop)))
    assert "Nothing is planned or under way." in words


def test_a_stranger_finds_no_days(signed_in, room):
    assert signed_in(MemberFactory()).get(page(room, "when-done")).status_code == 404


def test_days_take_as_many_queries_for_one_project_as_for_four(maker, room, django_assert_num_queries):
    for _ in range(3):
        room.project(("pack", 60), ("~dry", 600), resin=room.resin())
    told(room, times=5)
    maker.get(page(room, "when-done"), **FRAGMENT)
    with django_assert_num_queries(17):
        maker.get(page(room, "when-done"), **FRAGMENT)
