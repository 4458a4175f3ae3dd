from datetime import date, timedelta

import pytest

from projects.actions import plan, work
from projects.models import CheckItem, Lesson, Project, Step
from tests.factories import (
    AT,
    Bench,
    MemberFactory,
    ProjectFactory,
    ResinFactory,
    SpeciesFactory,
    key,
    moment,
)  # fmt: skip
from tests.workshop.photos import photo
from workshop import pictures
from workshop.models import Event
from workshop.refusals import Refused

pytestmark = pytest.mark.django_db
STATE = Project.State


def row(project):
    return Project.objects.get(pk=project.pk)


def events_about(project):
    return list(Event.objects.filter(target_key=project.key).order_by("pk"))


@pytest.fixture
def member():
    return MemberFactory()


@pytest.fixture
def project(member):
    return ProjectFactory(shop=member.shop)


# --- its facts ---


def test_a_project_has_its_new_facts(member, project):
    values = {"title": "Fanlight", "due_on": date(2026, 5, 1), "purpose": "casting", "customer": "Wray"}
    plan.change_project(member, project, values, at=AT)
    assert {name: getattr(row(project), name) for name in values} == values


def test_history_keeps_only_what_changed_of_a_project(member, project):
    plan.change_project(member, project, {"title": "Stair window", "due_on": date(2026, 5, 1)}, at=AT)
    [event] = events_about(project)
    assert (event.verb, event.before, event.after) == ("changed", {"due_on": None}, {"due_on": "2026-05-01"})


def test_a_project_kept_as_it_was_writes_no_history(member, project):
    plan.change_project(member, project, {"title": "Stair window"}, at=AT)
    assert events_about(project) == []


def test_a_project_is_found_by_what_it_is_called_now(member, project):
    plan.change_project(member, project, {"title": "Türsäule", "customer": "WRAY & Söhne"}, at=AT)
    found = Project.objects.of(member.shop)
    for text in ("TÜRSÄULE", "söhne wray", project.code):
        assert list(found.saying(text)) == [project]
    assert not found.saying("stair").exists()


# --- where it stands ---


def test_a_finished_project_says_since_when(member, project):
    plan.set_state(member, project, "finished", at=AT)
    assert (row(project).state, row(project).finished_at) == (STATE.FINISHED, AT)


def test_a_project_is_set_aside_with_its_reason(member, project):
    plan.set_state(member, project, "set_aside", at=AT, why=" the glass is late ")
    assert (row(project).state, row(project).set_aside_why) == (STATE.SET_ASIDE, "the glass is late")
    [event] = events_about(project)
    assert (event.verb, event.why, event.before) == ("set aside", "the glass is late", {"state": "planned"})


def test_a_project_is_not_set_aside_without_a_reason(member, project):
    with pytest.raises(Refused, match="Say why it is set aside"):
        plan.set_state(member, project, "set_aside", at=AT, why=" ")


@pytest.mark.parametrize("over", ["finished", "set_aside"])
def test_a_project_taken_up_again_forgets_why_it_was_over(member, project, over):
    plan.set_state(member, project, over, at=AT, why="no light")
    plan.take_up(member, project, at=AT)
    found = row(project)
    assert (found.state, found.finished_at, found.set_aside_why) == (STATE.PLANNED, None, "")


def test_a_project_in_which_something_was_done_is_taken_up_under_way():
    bench = Bench()
    work.tell(bench.member, bench.step, "began", key=key(), moment=moment())
    plan.set_state(bench.member, bench.project, "set_aside", at=AT, why="no light")
    plan.take_up(bench.member, bench.project, at=AT)
    assert row(bench.project).state == STATE.UNDER_WAY


def test_a_state_it_has_already_writes_no_history(member, project):
    plan.set_state(member, project, "planned", at=AT)
    assert events_about(project) == []


# --- its cover ---


def test_a_cover_is_chosen_and_taken_away(member, project):
    picture = pictures.take_in(photo(), member, at=AT)
    plan.set_cover(member, project, picture, at=AT)
    assert row(project).cover == picture
    plan.set_cover(member, project, None, at=AT)
    assert row(project).cover is None
    verbs = [event.verb for event in events_about(project)]
    assert verbs == ["chose the cover of", "took away the cover of"]


def test_the_same_cover_again_writes_no_history(member, project):
    plan.set_cover(member, project, None, at=AT)
    assert events_about(project) == []


# --- off the list ---


def test_a_removed_project_can_be_brought_back(member, project):
    plan.remove_project(member, project, at=AT, removed=True)
    assert row(project).removed_at == AT
    plan.remove_project(member, project, at=AT, removed=False)
    assert row(project).removed_at is None
    assert [event.verb for event in events_about(project)] == ["removed", "brought back"]


def test_a_project_whose_clock_runs_is_not_removed():
    bench = Bench()
    bench.meet()
    with pytest.raises(Refused, match="A clock of this project is running"):
        plan.remove_project(bench.member, bench.project, at=AT, removed=True)
    assert row(bench.project).removed_at is None


# --- its steps follow the block ---


def begun(member, **more):
    resin = ResinFactory(shop=member.shop, demould_h=24)
    return plan.begin_project(member, title="Fanlight", due_on=None, resin=resin, at=AT, **more)


def minutes_of(project, kind):
    return project.steps.get(kind=kind).minutes


def test_steps_take_as_long_as_the_blocks_new_figures_ask_for(member):
    project = begun(member)
    slower = ResinFactory(shop=member.shop, demould_h=60)
    plan.keep_block(member, project.blocks.get(), {"strips": 80, "resin": slower}, at=AT)
    # 60 h by the sheet at 25 °C; 2 ** 0.5 as long at the shop's 20 °C
    assert (minutes_of(project, "seal"), minutes_of(project, "cure")) == (120, round(3600 * 2**0.5))


def test_a_time_that_a_maker_set_stays(member):
    project = begun(member)
    project.steps.filter(kind="seal").update(minutes=40)
    plan.keep_block(member, project.blocks.get(), {"strips": 80}, at=AT)
    assert minutes_of(project, "seal") == 40


def test_a_step_that_was_begun_keeps_its_time(member):
    project = begun(member)
    project.steps.filter(kind="seal").update(state=Step.State.UNDER_WAY)
    plan.keep_block(member, project.blocks.get(), {"strips": 80}, at=AT)
    assert minutes_of(project, "seal") == 75


def test_a_lesson_about_a_wood_comes_when_the_wood_is_named(member):
    wood = SpeciesFactory(shop=member.shop)
    lesson = Lesson.objects.create(
        shop=member.shop, created_at=AT, sentence="Wipe it with spirit", step_kind="seal", species=wood
    )
    project = begun(member)
    assert not CheckItem.objects.filter(lesson=lesson).exists()
    for strips in (60, 61):  # said once, however often the block is kept
        plan.keep_block(member, project.blocks.get(), {"species": wood, "strips": strips}, at=AT)
    item = CheckItem.objects.get(lesson=lesson)
    assert item == project.steps.get(kind="seal").checks.last()


# --- the list ---


def test_what_is_wanted_soonest_stands_in_front(member):
    days = [None, AT.date() + timedelta(9), AT.date() + timedelta(2)]
    some_day, later, soon = (ProjectFactory(shop=member.shop, due_on=day) for day in days)
    assert list(Project.objects.of(member.shop).wanted_first()) == [soon, later, some_day]


@pytest.mark.parametrize(
    ("which", "states"),
    [
        ("at_work", {"planned", "under_way"}),
        ("idea", {"idea"}),
        ("finished", {"finished"}),
        ("set_aside", {"set_aside"}),
        ("all", set(STATE.values)),
    ],
)
def test_a_choice_of_the_list_has_projects_of_its_states(member, which, states):
    for state in STATE.values:
        ProjectFactory(shop=member.shop, state=state)
    found = Project.objects.of(member.shop).among(which)
    assert {project.state for project in found} == states
