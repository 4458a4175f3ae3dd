from datetime import UTC, date, datetime, time, timedelta

import pytest

from projects.actions import bench, dates, links, plan, route, work
from projects.models import Project, Step
from tests.factories import (
    AT,
    BlockFactory,
    LotFactory,
    MemberFactory,
    ProjectFactory,
    ResinFactory,
    StepFactory,
    key,
    moment,
)
from workshop.changes import absences, hours
from workshop.models import Event
from workshop.refusals import Refused
from workshop.told import Teller

pytestmark = pytest.mark.django_db


def utc(day, hour, minute=0):
    return datetime(2026, 3, day, hour, minute, tzinfo=UTC)


@pytest.fixture
def member():
    """A maker whose shop is open from eight to five UTC, Monday to Friday; AT is a Tuesday, 09:00."""
    member = MemberFactory(shop__zone="UTC")
    hours.set_week(member, {day: [(time(8), time(17))] if day < 5 else [] for day in range(7)}, at=AT)
    return member


def project_of(shop, *steps, due_on=None, state="planned"):
    """A project with steps from (title, minutes, mode)."""
    project = ProjectFactory(shop=shop, due_on=due_on, state=state)
    block = BlockFactory(shop=shop, project=project, resin=None)
    for position, (title, minutes, mode) in enumerate(steps):
        StepFactory(
            shop=shop, block=block, position=position, kind="other", title=title, minutes=minutes, mode=mode
        )
    return project


def hands(title, minutes):
    return title, minutes, "hands_on"


def itself(title, minutes):
    return title, minutes, "passive"


def planned():
    return {step.title: (step.planned_start, step.planned_end) for step in Step.objects.all()}


def test_steps_get_dates_in_opening_hours_and_what_goes_by_itself_through_the_night(member):
    project_of(member.shop, hands("saw", 120), itself("rest", 600), hands("glue", 30))
    route.lay_out(member, at=AT)
    assert planned() == {
        "saw": (utc(10, 9), utc(10, 11)),
        "rest": (utc(10, 11), utc(10, 21)),
        "glue": (utc(11, 8), utc(11, 8, 30)),
    }


def test_a_day_that_differs_is_heeded(member):
    hours.set_day(member, date(2026, 3, 10), [], at=AT, note="stocktaking")
    project_of(member.shop, hands("saw", 120))
    route.lay_out(member, at=AT)
    assert planned()["saw"][0] == utc(11, 8)


def test_what_is_wanted_soonest_has_the_hands_first(member):
    project_of(member.shop, hands("late", 60), due_on=date(2026, 5, 1))
    project_of(member.shop, hands("soon", 60), due_on=date(2026, 4, 1))
    project_of(member.shop, hands("some day", 60))
    route.lay_out(member, at=AT)
    found = planned()
    assert sorted(found, key=found.get) == ["soon", "late", "some day"]


@pytest.mark.parametrize("state", ["idea", "finished", "set_aside"])
def test_only_what_the_shop_works_on_gets_dates(member, state):
    project_of(member.shop, hands("saw", 60), state=state)
    route.lay_out(member, at=AT)
    assert planned()["saw"] == (None, None)
    assert not Event.objects.filter(verb=dates.LAID_OUT).exists()


def test_removed_projects_and_steps_get_no_dates(member):
    project_of(member.shop, hands("gone", 60))
    Project.objects.update(removed_at=AT)
    project_of(member.shop, hands("out", 60))
    Step.objects.filter(title="out").update(removed_at=AT)
    route.lay_out(member, at=AT)
    assert set(planned().values()) == {(None, None)}


def test_another_shops_steps_get_no_dates(member):
    project_of(MemberFactory().shop, hands("theirs", 60))
    route.lay_out(member, at=AT)
    assert planned()["theirs"] == (None, None)


def test_a_seal_coat_dries_before_what_comes_after_it(member):
    project = project_of(member.shop, hands("seal", 60), hands("measure", 20))
    project.steps.filter(title="seal").update(kind="seal")
    route.lay_out(member, at=AT)
    # 8 h until it is dry to handle (projects/planning/route.py): 10:00 to 18:00, after closing
    assert planned() == {"seal": (utc(10, 9), utc(10, 18)), "measure": (utc(11, 8), utc(11, 8, 20))}


def test_a_step_that_was_begun_keeps_the_start_it_was_planned_for(member):
    project = project_of(member.shop, hands("saw", 120))
    route.lay_out(member, at=AT)
    work.tell(member, project.steps.get(), "began", key=key(), moment=moment(90))
    route.lay_out(member, at=AT + timedelta(minutes=120))
    # begun 10:30; by 11:00 half an hour is done, an hour and a half is left
    assert planned()["saw"] == (utc(10, 9), utc(10, 12, 30))


def test_what_waits_is_over_when_its_clock_says(member):
    project = project_of(member.shop, itself("rest", 600), hands("glue", 30))
    work.wait(member, project.steps.get(title="rest"), key=key(), moment=moment(), minutes=180)
    route.lay_out(member, at=AT + timedelta(minutes=60))
    assert planned()["rest"][1] == utc(10, 12)
    assert planned()["glue"][0] == utc(10, 12)


def test_a_cure_is_over_when_the_clock_of_its_pour_says():
    member = MemberFactory(shop__zone="UTC")
    resin = ResinFactory(shop=member.shop)
    project = plan.begin_project(member, title="Fanlight", due_on=None, resin=resin, at=AT)
    pour = project.steps.get(kind="pour")
    cup = {"a_g": 300.0, "room_c": 25.0, "humidity_percent": None, "lot_a": None, "lot_b": None}
    cup |= {f"lot_{part.lower()}": LotFactory(shop=member.shop, resin=resin, part=part) for part in "AB"}
    bench.parts_meet(member, pour, key=key(), moment=moment(), resin=resin, cup={**cup, "wanted_a_g": 300.0})
    bench.pour(member, pour, key=key(), moment=moment(10), depth_mm=13.0, text="")
    route.lay_out(member, at=AT + timedelta(minutes=60))
    # the sheet's 24 h at 25 °C, as warm as the shop
    assert project.steps.get(kind="cure").planned_end == AT + timedelta(minutes=10, hours=24)


def test_a_shop_that_never_opens_gives_no_dates(member):
    hours.set_week(member, {day: [] for day in range(7)}, at=AT)
    project_of(member.shop, itself("rest", 60), hands("saw", 60), itself("dry", 60))
    route.lay_out(member, at=AT)
    assert planned() == {"rest": (utc(10, 9), utc(10, 10)), "saw": (None, None), "dry": (None, None)}


# --- put back ---


def test_former_dates_come_back(member):
    project_of(member.shop, hands("saw", 120))
    route.lay_out(member, at=AT)
    first = planned()
    route.lay_out(member, at=AT + timedelta(days=1))
    assert planned() != first
    dates.dates_back(member, dates.last_dates(member.shop), at=AT + timedelta(days=1))
    assert planned() == first


def test_dates_that_were_put_back_offer_nothing_more(member):
    project_of(member.shop, hands("saw", 120))
    route.lay_out(member, at=AT)
    dates.dates_back(member, dates.last_dates(member.shop), at=AT)
    assert planned()["saw"] == (None, None)
    assert dates.last_dates(member.shop) is None


def test_dates_that_were_laid_out_again_are_not_put_back_by_the_older_line(member):
    project_of(member.shop, hands("saw", 120))
    route.lay_out(member, at=AT)
    older = dates.last_dates(member.shop)
    route.lay_out(member, at=AT + timedelta(days=1))
    with pytest.raises(Refused, match="have been changed again since"):
        dates.dates_back(member, older, at=AT)


def test_laying_out_what_stands_already_writes_no_history(member):
    project_of(member.shop, hands("saw", 120))
    for _ in range(2):
        route.lay_out(member, at=AT)
    assert Event.objects.filter(verb=dates.LAID_OUT).count() == 1


def test_history_tells_how_many_steps_and_none_of_their_keys(member):
    project_of(member.shop, hands("saw", 120), hands("glue", 30))
    route.lay_out(member, at=AT)
    told = Teller("metric").tell(dates.last_dates(member.shop))
    assert (told.did, told.changes) == ("laid out all dates of", (("steps", "", "2"),))


@pytest.mark.parametrize("size", [1, 6])
def test_dates_are_laid_out_with_as_many_questions_as_ever(member, size, django_assert_num_queries):
    for _ in range(size):
        project_of(member.shop, hands("saw", 120), itself("rest", 600), hands("glue", 30))
    with django_assert_num_queries(13):
        route.lay_out(member, at=AT)


# --- what waits for what, and who is away ---


def linked(member, before, after, **values):
    first, second = (Step.objects.get(title=title) for title in (before, after))
    return links.link(member, first, second, values, at=AT)


def test_the_least_wait_of_a_link_is_kept(member):
    project_of(member.shop, hands("saw", 60), hands("rest", 60), hands("glue", 60))
    linked(member, "saw", "glue", open_min=300)
    route.lay_out(member, at=AT)
    assert planned()["glue"] == (utc(10, 15), utc(10, 16))


def test_a_link_that_follows_the_warmth_is_taken_at_its_own(member):
    project_of(member.shop, hands("saw", 60), hands("glue", 60))
    linked(member, "saw", "glue", open_min=300, close_min=600, law="ten_degree", at_c=20.0)
    route.lay_out(member, at=AT)
    assert planned()["glue"][0] == utc(10, 15)


def test_a_link_from_what_is_done_is_kept_from_its_end(member):
    project_of(member.shop, hands("saw", 60), hands("glue", 60))
    linked(member, "saw", "glue", open_min=300)
    done = {"state": "done", "started_at": utc(10, 7), "ended_at": utc(10, 8)}
    Step.objects.filter(title="saw").update(**done)
    route.lay_out(member, at=AT)
    assert planned()["glue"][0] == utc(10, 13)


def test_pours_of_one_block_wait_for_their_resins_window(member):
    project_of(member.shop, hands("first", 60), hands("second", 60))
    resin = ResinFactory(shop=member.shop, recoat_open_h=4, recoat_close_h=14)
    for step in Step.objects.all():
        step.block.resin = resin
        step.block.save()
    Step.objects.update(kind="pour")
    route.lay_out(member, at=AT)
    assert planned()["second"][0] >= utc(10, 14)


def test_nothing_is_laid_into_days_on_which_everybody_is_away(member):
    project_of(member.shop, hands("saw", 60))
    absences.enter(member, member, date(2026, 3, 10), date(2026, 3, 12), at=AT)
    route.lay_out(member, at=AT)
    assert planned()["saw"][0] == utc(13, 8)
