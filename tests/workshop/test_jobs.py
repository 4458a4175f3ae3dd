"""Long jobs: begun with an act, done once, failing in words, begun again when they were lost."""

from datetime import timedelta

import pytest
from django.utils import timezone

from tests.factories import AT, JobFactory, MemberFactory
from tests.workshop.works import counting
from workshop import jobs
from workshop.models import Job
from workshop.models.jobs import SILENT, UNTAKEN
from workshop.refusals import Refused

pytestmark = pytest.mark.django_db
__all__ = ["counting"]
LATER = AT + SILENT + timedelta(seconds=1)


def begin(capture, member=None, **more):
    """A job, begun and stored; the tests' worker does it at once."""
    with capture(execute=True):
        job = jobs.begin(
            member or MemberFactory(), "count", title="Counting strips", total=4, arguments=more, at=AT
        )
    job.refresh_from_db()
    return job


@pytest.fixture
def stored(django_capture_on_commit_callbacks):
    return django_capture_on_commit_callbacks


def test_a_job_is_done_and_keeps_what_came_out(counting, stored):
    job = begin(stored)
    assert (job.state, job.done, job.result) == ("done", 4, {"strips": 4})
    assert job.ended_at is not None


def test_a_job_waits_until_the_act_that_began_it_is_stored(counting, stored):
    with stored(execute=False):
        job = jobs.begin(MemberFactory(), "count", title="x", total=4, arguments={}, at=AT)
    assert Job.objects.get(pk=job.pk).state == "waiting"
    assert counting.begun == 0


def test_progress_can_be_read_while_it_works(counting, stored):
    seen = []
    counting.at[3] = lambda: seen.append(Job.objects.values_list("state", "done", "said").get())
    begin(stored)
    assert seen == [("running", 2, "Strip 2")]


def test_what_can_not_be_done_is_said_in_words(counting, stored):
    def refuse():
        raise Refused("The strips are gone.")

    counting.at[2] = refuse
    job = begin(stored)
    assert (job.state, job.error, job.done) == ("failed", "The strips are gone.", 1)


def test_what_breaks_is_logged_and_said_without_its_inside(counting, stored, caplog):
    def broken():
        raise KeyError("strip-7")

    counting.at[1] = broken
    job = begin(stored)
    assert job.state == "failed"
    assert job.error == jobs.BROKE
    assert "strip-7" in caplog.text


def test_a_try_that_is_taken_up_twice_is_done_once(counting, stored):
    job = begin(stored)
    jobs.do.enqueue(job.pk, 1)
    assert counting.begun == 1


def test_a_job_that_failed_can_be_begun_again(counting, stored):
    counting.at[2] = lambda: (_ for _ in ()).throw(Refused("Not yet."))
    job = begin(stored)
    counting.at.clear()
    with stored(execute=True):
        jobs.begin_again(job, at=LATER)
    job.refresh_from_db()
    assert (job.state, job.attempt, job.error) == ("done", 2, "")


def test_an_older_try_changes_nothing_once_a_newer_one_was_begun(counting, stored):
    job = JobFactory(state="running", attempt=2)
    with pytest.raises(jobs.Unasked, match="count"):
        jobs.Running(job, attempt=1).report(3, "late")
    job.refresh_from_db()
    assert (job.done, job.said) == (0, "")


def test_a_job_that_ended_stays_as_it_ended(counting):
    job = JobFactory(state="done", done=4, result={"strips": 4})
    with pytest.raises(jobs.Unasked, match="count"):
        jobs.Running(job, attempt=1).fail("no")
    assert Job.objects.get(pk=job.pk).state == "done"


@pytest.mark.parametrize("state", ["running", "waiting", "done"])
def test_what_moves_or_is_done_is_not_begun_again(counting, state):
    job = JobFactory(state=state)
    with pytest.raises(Refused, match="under way already"):
        jobs.begin_again(job, at=AT)


def test_a_running_job_that_fell_silent_was_interrupted_and_can_be_begun_again(counting, stored):
    job = JobFactory(state="running", done=2)
    assert job.stands(AT + SILENT) == "running"
    assert job.stands(LATER) == "interrupted"
    with stored(execute=True):
        jobs.begin_again(job, at=LATER)
    assert Job.objects.get(pk=job.pk).state == "done"


def test_a_job_that_nothing_takes_up_can_be_begun_again(counting):
    job = JobFactory()
    assert not job.may_start_again(AT + UNTAKEN)
    assert job.may_start_again(AT + UNTAKEN + timedelta(seconds=1))


def test_a_worker_that_comes_back_says_of_what_it_had_begun_that_it_was_interrupted():
    lost = JobFactory(state="running", worker="bench-1")
    others = [JobFactory(state="running", worker="bench-2"), JobFactory(worker="bench-1")]
    assert jobs.interrupt("bench-1", at=LATER) == 1
    lost.refresh_from_db()
    assert lost.state == "interrupted"
    assert [Job.objects.get(pk=job.pk).state for job in others] == ["running", "waiting"]


def test_a_job_called_interrupted_that_ends_after_all_is_done(counting):
    job = JobFactory(state="interrupted")
    jobs.run(jobs.Running(job, attempt=1))
    assert Job.objects.get(pk=job.pk).state == "done"


def test_a_sign_of_life_is_by_the_workers_clock(counting):
    job = JobFactory(state="running")
    before = timezone.now()
    jobs.Running(job, attempt=1).report(1, "Strip 1")
    job.refresh_from_db()
    assert job.moved_at >= before
