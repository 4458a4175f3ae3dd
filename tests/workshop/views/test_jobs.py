"""The page of a long job, and the fragment that asks until it stands."""

from datetime import timedelta

import pytest
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from tests.factories import JobFactory, MemberFactory
from tests.projects.pages import FRAGMENT, words_of
from tests.workshop.works import counting

pytestmark = pytest.mark.django_db
__all__ = ["counting"]


@pytest.fixture
def job(counting):
    return JobFactory(moved_at=timezone.now(), state="running", done=1, said="Fitting the cup")


@pytest.fixture
def client(client, job):
    client.force_login(job.member.user)
    return client


def page(job, name="job"):
    return reverse(f"workshop:{name}", args=[job.shop.key, job.key])


def test_the_page_says_how_far_it_is(client, job):
    response = client.get(page(job))
    assert "Fitting the cup 1 of 4 done." in words_of(response)
    assert 'aria-label="Counting strips: 1 of 4 done."' in response.content.decode()


def test_the_fragment_asks_again_while_it_moves(client, job):
    response = client.get(page(job), **FRAGMENT)
    assert response.status_code == 200
    assert "<html" not in response.content.decode()
    assert f'hx-get="{page(job)}?seen=1-running-1-"' in response.content.decode()


def test_what_has_not_changed_is_answered_with_nothing(client, job):
    assert client.get(page(job), {"seen": "1-running-1-"}, **FRAGMENT).status_code == 204
    assert client.get(page(job), {"seen": "1-running-0-"}, **FRAGMENT).status_code == 200


@pytest.mark.parametrize("state", ["done", "failed", "interrupted"])
def test_once_it_stands_it_asks_no_more_and_says_so_to_the_page(client, job, state):
    job.state, job.error = state, "No cup."
    job.save()
    response = client.get(page(job), {"seen": "1-running-1-"}, **FRAGMENT)
    assert response.status_code == 286
    assert response["HX-Trigger"] == "job-stands"
    assert "hx-get" not in response.content.decode()


def test_a_failed_job_says_why_and_can_be_started_again(client, job):
    job.state, job.error = "failed", "The cup did not warm."
    job.save()
    said = words_of(client.get(page(job)))
    assert "not done Counting strips The cup did not warm. Start it again" in said


def test_a_job_whose_worker_died_was_interrupted(client, job):
    job.moved_at -= timedelta(minutes=3)
    job.save()
    said = words_of(client.get(page(job)))
    assert "was interrupted Counting strips" in said
    assert "Start it again" in said


def test_a_job_that_waits_too_long_says_where_to_look(client, job):
    job.state, job.moved_at = "waiting", timezone.now() - timedelta(minutes=1)
    job.save()
    assert "see whether its worker runs" in words_of(client.get(page(job)))


def test_starting_again_leads_to_where_the_result_is_shown(client, job, django_capture_on_commit_callbacks):
    job.state = "failed"
    job.save()
    with django_capture_on_commit_callbacks(execute=True):
        response = client.post(page(job, "job-again"))
    assert response.url == f"/where/{job.key}/"
    job.refresh_from_db()
    assert (job.state, job.attempt) == ("done", 2)


def test_starting_again_twice_is_told(client, job):
    response = client.post(page(job, "job-again"))
    assert response.status_code == 422
    assert "This is under way already; wait for it." in words_of(response)


def test_another_shops_job_is_not_found(client, job):
    client.force_login(MemberFactory().user)
    assert client.get(page(job)).status_code == 404


def test_a_job_of_another_shop_is_not_found_under_ones_own(client, job):
    other = JobFactory()
    address = reverse("workshop:job", args=[job.shop.key, other.key])
    assert client.get(address).status_code == 404


def test_a_viewer_sees_it_and_starts_nothing(client, job):
    viewer = MemberFactory(shop=job.shop, role="viewer")
    client.force_login(viewer.user)
    job.state = "failed"
    job.save()
    assert "Start it again" not in words_of(client.get(page(job)))
    assert client.post(page(job, "job-again")).status_code == 403


@pytest.mark.parametrize(("method", "name"), [("post", "job"), ("get", "job-again")])
def test_other_methods_are_refused(client, job, method, name):
    assert getattr(client, method)(page(job, name)).status_code == 405


def test_asking_is_cheap(client, job):
    from django.db import connection

    with CaptureQueriesContext(connection) as asked:
        client.get(page(job), {"seen": "1-running-1-"}, **FRAGMENT)
    assert len(asked) <= 4
