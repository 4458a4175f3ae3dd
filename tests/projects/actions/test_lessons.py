import pytest

from projects.actions import lessons as acts
from projects.actions import plan
from projects.models import Cause, CheckItem, Lesson, Project, Step
from tests.factories import (
    AT,
    Bench,
    BlockFactory,
    CheckItemFactory,
    ResinFactory,
    SpeciesFactory,
    StepFactory,
)
from tests.projects.room import Room
from workshop.models import Event

pytestmark = pytest.mark.django_db
SENTENCE = "Room above 18 °C for a night and a day"


def suspect(room, code="cold", status="suspected", evidence="12 °C at the cup"):
    return acts.suspect(room.member, room.failure, code=code, status=status, evidence=evidence, at=AT)


def learn(bench, **changed):
    values = {"failure": None, "sentence": SENTENCE, "step_kind": "pour", "resin": None, "species": None}
    return acts.learn(bench.member, {**values, **changed}, at=AT)


def lines(step):
    return [item.text for item in step.checks.all()]


def verbs(row):
    return list(Event.objects.filter(target_key=row.key).order_by("pk").values_list("verb", flat=True))


# --- causes ---


def test_a_cause_keeps_how_sure_it_is_and_what_speaks_for_it():
    room = Room()
    cause = suspect(room)
    assert (cause.failure, cause.code, cause.status) == (room.failure, Cause.Code.COLD, "suspected")
    assert cause.evidence == "12 °C at the cup"


def test_a_cause_named_again_is_the_same_one_with_another_standing():
    room = Room()
    suspect(room)
    again = suspect(room, status="confirmed", evidence="the test cup too")
    assert room.failure.causes.get() == again
    assert (again.status, again.evidence) == ("confirmed", "the test cup too")
    assert verbs(again) == ["suspected", "confirmed"]


def test_a_cause_named_again_in_the_same_words_writes_no_history():
    room = Room()
    cause = [suspect(room) for _ in range(2)][0]
    assert verbs(cause) == ["suspected"]


def test_history_tells_of_which_failure_the_cause_is():
    room = Room()
    assert Event.objects.get(target_key=suspect(room).key).target_label == "tacky or soft: too cold"


def test_causes_stand_with_the_confirmed_in_front_and_the_ruled_out_last():
    room = Room()
    for code, status in (("old", "ruled_out"), ("cold", "suspected"), ("ratio", "confirmed")):
        suspect(room, code=code, status=status)
    assert [cause.code for cause in Cause.objects.likeliest_first()] == ["ratio", "cold", "old"]


# --- lessons ---


def test_a_lesson_stands_last_on_the_checklist_of_a_step_to_do():
    bench = Bench()
    CheckItemFactory(step=bench.step, position=3, text="Gloves")
    lesson = learn(bench)
    assert lines(bench.step) == ["Gloves", SENTENCE]
    item = bench.step.checks.get(lesson=lesson)
    assert (item.position, item.shop, item.created_by) == (4, bench.shop, bench.member.user)


def test_a_lesson_keeps_its_failure():
    room = Room()
    assert learn(room, failure=room.failure).failure == room.failure


def test_two_lessons_stand_one_after_the_other():
    bench = Bench()
    learn(bench)
    learn(bench, sentence="Bottles warm")
    assert lines(bench.step) == [SENTENCE, "Bottles warm"]
    assert [item.position for item in bench.step.checks.all()] == [0, 1]


@pytest.mark.parametrize("state", ["under_way", "waiting", "done", "skipped"])
def test_a_step_that_is_no_longer_to_do_gets_no_lesson(state):
    bench = Bench()
    Step.objects.filter(pk=bench.step.pk).update(state=state)
    learn(bench)
    assert not CheckItem.objects.exists()


@pytest.mark.parametrize(
    "changed", [{"state": "finished"}, {"state": "set_aside"}, {"state": "idea"}, {"removed_at": AT}]
)
def test_a_project_that_is_not_live_gets_no_lesson(changed):
    bench = Bench()
    Project.objects.filter(pk=bench.project.pk).update(**changed)
    learn(bench)
    assert not CheckItem.objects.exists()


def test_a_step_taken_out_of_the_route_gets_no_lesson():
    bench = Bench()
    Step.objects.filter(pk=bench.step.pk).update(removed_at=AT)
    learn(bench)
    assert not CheckItem.objects.exists()


def test_a_step_of_another_kind_or_shop_gets_no_lesson():
    bench, other = Bench(), Bench()
    sand = StepFactory(shop=bench.shop, block=bench.block, kind="sand")
    learn(bench)
    assert lines(sand) == lines(other.step) == []


def test_a_lesson_of_a_resin_stands_on_its_steps_only():
    bench = Bench()
    other = StepFactory(shop=bench.shop, block=BlockFactory(shop=bench.shop))
    learn(bench, resin=bench.resin)
    assert (lines(bench.step), lines(other)) == ([SENTENCE], [])


def test_a_lesson_of_a_wood_stands_on_its_steps_only():
    bench = Bench()
    pear = SpeciesFactory(shop=bench.shop)
    other = StepFactory(shop=bench.shop, block=BlockFactory(shop=bench.shop, species=pear))
    learn(bench, species=pear)
    assert (lines(bench.step), lines(other)) == ([], [SENTENCE])


def test_a_lesson_of_a_resin_does_not_stand_on_a_step_without_a_block():
    bench = Bench()
    without = Step.objects.create(
        shop=bench.shop, created_at=AT, project=bench.project, kind="sand", title="Sand"
    )
    learn(bench, step_kind="sand", resin=bench.resin)
    assert lines(without) == []
    learn(bench, step_kind="sand")
    assert lines(without) == [SENTENCE]


# --- let go, and brought back ---


def test_a_lesson_let_go_leaves_the_checklists_but_not_what_was_ticked():
    bench = Bench()
    ticked = StepFactory(shop=bench.shop, block=bench.block)
    lesson = learn(bench)
    CheckItem.objects.filter(step=ticked).update(ticked_at=AT)
    acts.retire(bench.member, lesson, at=AT, retired=True)
    assert (lines(bench.step), lines(ticked)) == ([], [SENTENCE])
    assert not Lesson.objects.in_use().exists()


def test_a_step_that_was_begun_keeps_the_line_of_a_lesson_let_go():
    bench = Bench()
    lesson = learn(bench)
    Step.objects.filter(pk=bench.step.pk).update(state="under_way")
    acts.retire(bench.member, lesson, at=AT, retired=True)
    assert lines(bench.step) == [SENTENCE]


def test_a_lesson_brought_back_stands_on_the_checklists_again_once():
    bench = Bench()
    lesson = learn(bench)
    for retired in (True, False, False):
        acts.retire(bench.member, lesson, at=AT, retired=retired)
    assert lines(bench.step) == [SENTENCE]
    assert verbs(lesson) == ["learned", "let go of", "brought back"]


def test_other_lines_of_the_checklist_stay_when_a_lesson_goes():
    bench = Bench()
    CheckItemFactory(step=bench.step, text="Gloves")
    acts.retire(bench.member, learn(bench), at=AT, retired=True)
    assert lines(bench.step) == ["Gloves"]


# --- checklists follow ---


def test_a_new_step_gets_the_lessons_of_its_kind():
    bench = Bench()
    learn(bench)
    later = StepFactory(shop=bench.shop, block=bench.block)
    acts.follow(bench.project.steps, at=AT, by=bench.member.user)
    assert lines(later) == lines(bench.step) == [SENTENCE]


def test_checklists_follow_another_resin_of_the_block():
    bench = Bench()
    learn(bench, resin=bench.resin)
    plan.keep_block(bench.member, bench.block, {"resin": ResinFactory(shop=bench.shop)}, at=AT)
    assert lines(bench.step) == []
    plan.keep_block(bench.member, bench.block, {"resin": bench.resin}, at=AT)
    assert lines(bench.step) == [SENTENCE]


def test_a_new_project_begins_with_what_was_learned():
    bench = Bench()
    learn(bench)
    project = plan.begin_project(bench.member, title="Hall lantern", due_on=None, resin=bench.resin, at=AT)
    assert SENTENCE in lines(project.steps.get(kind="pour"))


def test_an_idea_gets_what_was_learned_meanwhile_once_it_is_planned():
    bench = Bench()
    Project.objects.update(state="idea")
    bench.project.refresh_from_db()
    learn(bench)
    plan.set_state(bench.member, bench.project, "planned", at=AT)
    assert lines(bench.step) == [SENTENCE]


@pytest.mark.parametrize("steps", [1, 5])
def test_checklists_follow_in_a_fixed_number_of_questions(steps, django_assert_num_queries):
    bench = Bench()
    learn(bench)
    for _ in range(steps):
        StepFactory(shop=bench.shop, block=bench.block)
    with django_assert_num_queries(6):  # of which two are the savepoint's
        acts.follow(bench.project.steps, at=AT, by=bench.member.user)
    assert CheckItem.objects.count() == steps + 1


def test_how_often_a_lesson_stands_and_was_ticked_is_counted():
    bench = Bench()
    done, *_ = [StepFactory(shop=bench.shop, block=bench.block) for _ in range(2)]
    learn(bench)
    CheckItem.objects.filter(step=done).update(ticked_at=AT)
    Step.objects.filter(pk=done.pk).update(state="done")
    told = Lesson.objects.told().get()
    assert (told.stands_on, told.ticked) == (2, 1)
