import pytest

from projects.actions import bench as acts
from projects.actions import work
from projects.models import LogEntry, Project, Step, Timer
from tests.factories import AT, Bench, key, moment
from workshop.refusals import Refused

pytestmark = pytest.mark.django_db
STATE = Step.State


class Whole(Bench):
    """A shop with a step that is begun and done as a whole."""

    def __init__(self, mode="hands_on"):
        super().__init__()
        Step.objects.filter(pk=self.step.pk).update(kind="rest", title="Rest", mode=mode, block=None)
        self.step = Step.objects.get(pk=self.step.pk)

    def tell(self, word, minutes=0, **more):
        return work.tell(self.member, self.step, word, key=key(), moment=moment(minutes), **more)

    def wait(self, at=0, **more):
        return work.wait(self.member, self.step, key=key(), moment=moment(at), **more)

    def row(self):
        return Step.objects.get(pk=self.step.pk)


def test_a_step_is_begun_and_done():
    whole = Whole()
    whole.tell("began", 5)
    assert (whole.row().state, whole.row().started_at) == (STATE.UNDER_WAY, moment(5).happened_at)
    whole.tell("done", 35)
    assert (whole.row().state, whole.row().ended_at) == (STATE.DONE, moment(35).happened_at)


def test_a_step_that_goes_by_itself_waits_with_a_clock():
    whole = Whole("passive")
    whole.wait(5, minutes=90)
    timer = whole.step.timers.get()
    assert whole.row().state == STATE.WAITING
    assert (timer.kind, timer.name, timer.due_at) == (Timer.Kind.WAIT, "Rest", moment(95).happened_at)


def test_a_wait_takes_the_steps_own_minutes_unless_said_otherwise():
    whole = Whole("passive")
    whole.wait()
    assert whole.step.timers.get().due_at == moment(60).happened_at


def test_answering_its_clock_ends_a_wait():
    whole = Whole("passive")
    whole.wait()
    acts.settle(whole.member, whole.step.timers.get(), "It is over", key=key(), moment=moment(70))
    assert (whole.row().state, whole.row().ended_at) == (STATE.DONE, moment(70).happened_at)


@pytest.mark.parametrize("word", ["done", "skipped"])
def test_a_step_that_is_over_stops_its_clock(word):
    whole = Whole("passive")
    whole.wait()
    whole.tell(word, 30)
    timer = whole.step.timers.get()
    assert (timer.settled_at, timer.settled_by) == (moment(30).happened_at, whole.member)


def test_a_step_is_skipped_with_its_reason():
    whole = Whole()
    work.skip(whole.member, whole.step, " no time ", key=key(), moment=moment())
    assert (whole.row().state, whole.row().skip_why) == (STATE.SKIPPED, "no time")
    assert LogEntry.objects.get().text == "Rest: skipped. no time"


def test_a_step_is_not_skipped_without_a_reason():
    whole = Whole()
    with pytest.raises(Refused, match="Say why it is skipped"):
        work.skip(whole.member, whole.step, "  ", key=key(), moment=moment())
    assert whole.row().state == STATE.TO_DO


def test_a_skipped_step_taken_up_again_forgets_the_reason():
    whole = Whole()
    work.skip(whole.member, whole.step, "no time", key=key(), moment=moment())
    work.reopen(whole.member, whole.step, key=key(), moment=moment(5))
    assert (whole.row().state, whole.row().skip_why, whole.row().started_at) == (STATE.TO_DO, "", None)


@pytest.mark.parametrize(
    ("before", "word"),
    [
        ((), "reopened"),
        (("began",), "began"),
        (("done",), "done"),
        (("done",), "skipped"),
        (("done",), "began"),
    ],
)
def test_what_can_not_be_said_of_a_step_is_refused(before, word):
    whole = Whole()
    for number, said in enumerate(before):
        whole.tell(said, number)
    with pytest.raises(Refused, match="by now. Load the page again"):
        whole.tell(word, 9)


def test_a_step_without_a_block_can_be_done():
    whole = Whole()
    assert whole.step.block is None
    whole.tell("done")
    assert whole.row().state == STATE.DONE


def test_the_project_is_under_way_once_something_was_done():
    whole = Whole()
    whole.tell("began")
    assert Project.objects.get(pk=whole.project.pk).state == Project.State.UNDER_WAY


def test_skipping_alone_puts_nothing_under_way():
    whole = Whole()
    work.skip(whole.member, whole.step, "no time", key=key(), moment=moment())
    assert Project.objects.get(pk=whole.project.pk).state == Project.State.PLANNED


def test_what_arrives_late_is_told_in_the_order_it_happened():
    whole = Whole()
    whole.tell("done", 50)
    Step.objects.filter(pk=whole.step.pk).update(state=STATE.TO_DO)  # as the other phone still saw it
    whole.tell("began", 10)
    assert (whole.row().state, whole.row().started_at) == (STATE.DONE, moment(10).happened_at)
    assert whole.row().created_at == AT
