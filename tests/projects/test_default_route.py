"""The route that a new project begins with, and its checklists."""

from datetime import timedelta

import pytest

from projects import default_route
from projects.actions import plan
from projects.checklists import CHECKS, checks_of
from projects.models import CheckItem, Lesson, Project, Step, StepLink
from projects.planning.route import EVENING_BEFORE_MINUTES, MINUTES, RECOAT_CLOSES_MINUTES
from tests.factories import AT, MemberFactory, ResinFactory, SpeciesFactory

pytestmark = pytest.mark.django_db
KIND = Step.Kind
IN_ORDER = [
    KIND.BUY, KIND.BUY, KIND.CONDITION, KIND.CONDITION, KIND.MEASURE, KIND.SEAL, KIND.MEASURE, KIND.COMBS,
    KIND.MOULD, KIND.LOAD, KIND.CHECK, KIND.SET_OUT, KIND.POUR, KIND.CURE, KIND.DEMOULD, KIND.MARK,
    KIND.REST, KIND.FLATTEN,
    KIND.TEST_CUT, KIND.CUT, KIND.DRY_FIT, KIND.GLUE_UP, KIND.CLAMPED, KIND.GLUE_UP, KIND.CLAMPED, KIND.LEVEL,
    KIND.SAND, KIND.SAND, KIND.DRY, KIND.COAT, KIND.DRY, KIND.COAT, KIND.DRY, KIND.LIGHT, KIND.DRY, KIND.PACK,
]  # fmt: skip


def begin(member, **more):
    return plan.begin_project(
        member, **{"title": "Fanlight", "due_on": None, "resin": None, "at": AT, **more}
    )


def kinds(project):
    return list(project.steps.in_order().values_list("kind", flat=True))


def learn(shop, sentence, kind="pour", minutes=0, **more):
    at = AT + timedelta(minutes=minutes)
    return Lesson.objects.create(shop=shop, created_at=at, sentence=sentence, step_kind=kind, **more)


def said_before(project, kind="pour"):
    return [item.text for item in project.steps.get(kind=kind).checks.all()]


def test_a_piece_begins_with_the_route_of_the_bench():
    assert kinds(begin(MemberFactory())) == IN_ORDER


def test_buying_the_check_and_setting_out_are_steps_of_it():
    project = begin(MemberFactory())
    titles = dict(project.steps.values_list("title", "minutes"))
    assert (titles["Buy what is missing"], titles["Set out for the pour"]) == (30, 20)
    assert titles["Check for the pour, the evening before"] == 15


def test_the_pour_waits_for_the_evening_before():
    project = begin(MemberFactory())
    ties = StepLink.objects.of_project(project).filter(after__kind="pour")
    found = {tie.before.kind: (tie.open_min, tie.close_min, tie.hard) for tie in ties}
    assert found == {"check": (8 * 60, None, False)}


def test_the_second_coat_goes_on_within_the_planners_window():
    project = begin(MemberFactory())
    tie = StepLink.objects.of_project(project).get(before__kind="coat", after__kind="coat")
    assert (tie.open_min, tie.close_min, tie.hard) == (MINUTES["between_coats"], RECOAT_CLOSES_MINUTES, False)


def test_hours_that_the_planner_names_are_its_own():
    assert default_route.EVENING_BEFORE_MIN == EVENING_BEFORE_MINUTES


def test_a_test_casting_has_ties_of_its_own_steps_alone():
    project = begin(MemberFactory(), purpose="casting")
    assert StepLink.objects.of_project(project).count() == 1


def test_a_test_casting_ends_when_it_was_sawn_through():
    project = begin(MemberFactory(), purpose="casting")
    assert kinds(project) == [*IN_ORDER[2:16], KIND.TEST_CUT]


def test_what_cures_rests_or_dries_goes_by_itself():
    passive = begin(MemberFactory()).steps.filter(mode="passive").values_list("kind", flat=True)
    assert set(passive) == {KIND.BUY, KIND.CONDITION, KIND.CURE, KIND.REST, KIND.CLAMPED, KIND.DRY}


def test_steps_up_to_the_cut_belong_to_the_block():
    project = begin(MemberFactory())
    of_block = project.steps.filter(block=project.blocks.get()).values_list("kind", flat=True)
    assert list(of_block.order_by("position")) == IN_ORDER[2:20]


def test_the_cure_takes_as_long_as_the_sheet_says_at_the_warmth_of_the_shop():
    """As its clock will run: the sheet's 30 h are for 25 °C, and the shop's usual day has 20 °C."""
    member = MemberFactory()
    resin = ResinFactory(shop=member.shop, demould_h=30)
    assert begin(member, resin=resin).steps.get(kind="cure").minutes == round(30 * 60 * 2**0.5)


def test_without_a_sheet_the_cure_takes_three_days():
    assert begin(MemberFactory()).steps.get(kind="cure").minutes == 72 * 60


def test_sealing_takes_a_minute_and_a_half_a_strip():
    assert begin(MemberFactory()).steps.get(kind="seal").minutes == 1.5 * 50


def test_hours_with_a_name_are_the_planners():
    minutes = dict(begin(MemberFactory()).steps.values_list("kind", "minutes"))
    assert (minutes["mould"], minutes["rest"], minutes["pack"]) == (90 + 20, 24 * 60, 30)


def test_titles_fit_their_column_and_name_the_block():
    for line in (*default_route.PIECE, *default_route.CASTING):
        assert len(line.title.format(block="block A")) <= 60
    assert begin(MemberFactory()).steps.get(kind="cure").title == "Cure block A in the mould"


def test_each_step_has_the_checklist_of_its_kind():
    project = begin(MemberFactory())
    for step in project.steps.prefetch_related("checks"):
        assert tuple(item.text for item in step.checks.all()) == checks_of(step.kind, passive=step.is_passive)


def test_every_kind_but_other_work_has_a_checklist_whose_lines_fit():
    assert set(CHECKS) == set(KIND) - {KIND.OTHER}
    assert max(len(text) for lines in CHECKS.values() for text in lines) <= 60
    assert checks_of("other") == ()


def test_the_route_is_made_with_as_many_questions_as_ever(django_assert_max_num_queries):
    member = MemberFactory()
    with django_assert_max_num_queries(18):
        begin(member)


def test_customer_purpose_and_state_are_kept():
    project = begin(MemberFactory(), state="idea", customer="Maud Wray", customer_note="not too dark")
    project = Project.objects.get(pk=project.pk)
    assert (project.state, project.customer, project.customer_note) == ("idea", "Maud Wray", "not too dark")


# --- what the shop has learned ---


def test_a_lesson_stands_after_the_usual_lines():
    member = MemberFactory()
    lesson = learn(member.shop, "Heat on the evening before")
    project = begin(member)
    assert said_before(project) == [*checks_of("pour"), "Heat on the evening before"]
    assert CheckItem.objects.get(text=lesson.sentence).lesson == lesson


def test_lessons_stand_in_the_order_they_were_learned():
    member = MemberFactory()
    learn(member.shop, "second", minutes=1)
    learn(member.shop, "first")
    assert said_before(begin(member))[-2:] == ["first", "second"]


def test_a_lesson_of_another_kind_of_step_is_not_said_here():
    member = MemberFactory()
    learn(member.shop, "Runners on", kind="level")
    project = begin(member)
    assert said_before(project) == list(checks_of("pour"))
    assert said_before(project, "level")[-1] == "Runners on"


def test_a_lesson_about_a_resin_is_said_with_that_resin_only():
    member = MemberFactory()
    mine, other = (ResinFactory(shop=member.shop) for _ in range(2))
    learn(member.shop, "Warm it first", resin=mine)
    assert said_before(begin(member, resin=mine))[-1] == "Warm it first"
    assert "Warm it first" not in said_before(begin(member, resin=other))
    assert "Warm it first" not in said_before(begin(member))


def test_a_lesson_about_a_wood_waits_for_that_wood():
    member = MemberFactory()
    learn(member.shop, "Wipe it with spirit", species=SpeciesFactory(shop=member.shop))
    assert "Wipe it with spirit" not in said_before(begin(member))


def test_a_retired_lesson_is_not_said():
    member = MemberFactory()
    learn(member.shop, "Heat on", retired_at=AT)
    assert "Heat on" not in said_before(begin(member))


def test_a_lesson_of_another_shop_is_not_said():
    learn(MemberFactory().shop, "Heat on")
    assert "Heat on" not in said_before(begin(MemberFactory()))
