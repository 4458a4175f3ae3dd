from datetime import timedelta

import pytest

from projects import own_times
from projects.actions import plan, work
from projects.models import SandingSession, Step
from tests.factories import AT, Bench, StepFactory, key, moment

pytestmark = pytest.mark.django_db
DAY = 24 * 60


def worked(bench, took, kind="flatten", title="Flatten block A", day=0):
    """A step that was begun in the morning of a day and done so many minutes later."""
    step = StepFactory(shop=bench.shop, block=bench.block, kind=kind, title=title)
    work.tell(bench.member, step, "began", key=key(), moment=moment(day * DAY))
    work.tell(bench.member, step, "done", key=key(), moment=moment(day * DAY + took))
    return Step.objects.get(pk=step.pk)


def often(bench, minutes, **more):
    return [worked(bench, took, day=day, **more) for day, took in enumerate(minutes)]


def begun(bench):
    project = plan.begin_project(bench.member, title="Next", due_on=None, resin=bench.resin, at=AT)
    return {step.title: step for step in project.steps.all()}


# --- what is held alike ---


@pytest.mark.parametrize(
    ("first", "second"),
    [
        (("pour", "Pour block A"), ("pour", "Pour block B")),
        (("glue_up", "Glue up, part 1"), ("glue_up", "Glue up, part 2")),
        (("flatten", "Flatten it with the sled"), ("flatten", "By hand")),
    ],
)
def test_the_block_the_part_and_own_words_make_no_difference(first, second):
    assert own_times.kind_of(*first) == own_times.kind_of(*second)


def test_wet_sanding_is_not_held_against_dry():
    assert own_times.kind_of("sand", "Wet sand") != own_times.kind_of("sand", "Sand through the grades")


# --- what the log says ---


def test_five_times_in_the_log_count_drawn_towards_the_usual():
    # half of the median 40 and half of the usual 60, by hand: five records weigh as much as the default
    found = own_times.own_time([38, 39, 40, 41, 42], 60)
    assert (found.minutes, found.own, found.middle_min) == (50, True, 40)


def test_four_times_are_too_few():
    found = own_times.own_time([40] * 4, 60)
    assert (found.minutes, found.own, found.records) == (60, False, 4)


def test_what_was_begun_and_done_on_one_day_is_told():
    bench = Bench()
    often(bench, [38, 42])
    assert own_times.told(bench.shop)[own_times.kind_of("flatten", "Flatten block A")] == [42, 38]


def test_work_that_was_left_overnight_is_not_told():
    bench = Bench()
    worked(bench, took=DAY)
    assert own_times.told(bench.shop) == {}


def test_work_that_was_only_ticked_off_is_not_told():
    bench = Bench()
    step = StepFactory(shop=bench.shop, block=bench.block, kind="flatten", title="Flatten")
    work.tell(bench.member, step, "done", key=key(), moment=moment())
    assert own_times.told(bench.shop) == {}


def test_sanding_counts_by_its_sessions():
    bench = Bench()
    step = worked(bench, took=300, kind="sand", title="Wet sand")
    entry = step.entries.first()
    SandingSession.objects.create(
        shop=bench.shop,
        created_at=AT,
        entry=entry,
        step=step,
        grade="240",
        system="P",
        started_at=AT,
        ended_at=AT + timedelta(minutes=50),
        pauses=[[AT.isoformat(), (AT + timedelta(minutes=20)).isoformat()]],
    )
    assert own_times.told(bench.shop)[own_times.kind_of("sand", "Wet sand")] == [30]


def test_what_another_shop_did_says_nothing_here():
    often(Bench(), [40] * 5)
    assert own_times.told(Bench().shop) == {}


def test_only_the_newest_of_a_kind_count():
    bench = Bench()
    often(bench, [90, *[40] * own_times.ALIKE])
    assert own_times.told(bench.shop)[own_times.kind_of("flatten", "Flatten")] == [40] * own_times.ALIKE


# --- what is planned with it ---


def test_a_new_route_begins_with_the_shop_s_own_times():
    bench = Bench()
    before = begun(bench)["Flatten block A"].minutes
    often(bench, [before + 60] * 5)
    assert begun(bench)["Flatten block A"].minutes == before + 30


def test_what_follows_the_figures_of_the_block_does_not_follow_the_log():
    bench = Bench()
    usual = begun(bench)["Seal coat on the strips"].minutes
    often(bench, [300] * 5, kind="seal", title="Seal coat on the strips")
    assert begun(bench)["Seal coat on the strips"].minutes == usual


def test_what_goes_by_itself_has_no_own_time():
    step = StepFactory(kind="cure", title="Cure", mode="passive")
    assert own_times.of_step(step) is None


def test_a_kind_without_a_usual_time_takes_what_it_says_itself():
    step = StepFactory(kind="other", title="Draw the lines", minutes=25)
    assert own_times.of_step(step).usual_min == 25
