from types import SimpleNamespace

import pytest

from materials.fit import advice, cup_tests
from materials.models import CupTest
from materials.science.resin.calibration import Calibration
from tests.factories import AT, CupTestFactory, MemberFactory, ResinFactory
from tests.materials.fit.room import HEAT_J_PER_KG, readings
from workshop.models import Event, Job

pytestmark = pytest.mark.django_db


@pytest.fixture
def member():
    return MemberFactory()


def keep(member, resin=None, **changed):
    """A cup that was read."""
    cup = {"mass_g": 100.0, "temp_c": 25.0, "taken_at": AT, "points": readings(), "note": ""}
    return cup_tests.keep(member, resin or ResinFactory(shop=member.shop), {**cup, **changed}, at=AT)


def fit(test, capture):
    """Have it fitted as the worker does."""
    with capture(execute=True):
        cup_tests.ask_for_fit(test.created_by.memberships.get(shop=test.shop), test, at=AT)
    test.refresh_from_db()
    return Job.objects.get(pk=test.job_id)


def test_a_cup_that_was_read_is_kept_with_its_line_of_history(member):
    test = keep(member)
    event = Event.objects.get(target_key=test.key)
    assert (event.verb, event.target_label) == ("read a cup of", test.resin.name)
    assert event.after["readings"] == len(test.points)


@pytest.mark.slow  # about 3 s
def test_the_worker_finds_the_heat_of_the_cup_and_stores_every_band(
    member, django_capture_on_commit_callbacks
):
    test = keep(member)
    job = fit(test, django_capture_on_commit_callbacks)
    assert (job.state, job.done) == ("done", 4)
    heat = test.fitted["bands"]["nominal"]["heat_j_per_kg"]
    assert heat == pytest.approx(HEAT_J_PER_KG, rel=0.05)
    assert set(test.fitted["bands"]) == set(advice.BANDS)
    assert test.residual_percent < 3
    assert advice.bands_of(test.resin).test == test
    assert Event.objects.filter(target_key=test.key, verb="fitted to a cup", actor=member).exists()


def test_a_fit_that_the_model_refuses_is_told_and_the_sheet_still_counts(
    member, django_capture_on_commit_callbacks
):
    test = keep(member, points=[[n, 25 + n / 10] for n in range(8)])
    job = fit(test, django_capture_on_commit_callbacks)
    assert job.state == "failed"
    assert job.error.startswith("These readings can't be fitted: rise is 0.7 K")
    assert job.error.endswith("until then the sheet counts.")
    assert test.fitted is None


def test_readings_that_the_model_can_not_follow_are_not_used(
    member, django_capture_on_commit_callbacks, monkeypatch
):
    monkeypatch.setattr(advice, "fit_test", lambda test: SimpleNamespace(residual_percent=31.0))
    test = keep(member)
    job = fit(test, django_capture_on_commit_callbacks)
    assert "off by 31 % of the rise" in job.error
    assert test.fitted is None


def test_a_fit_that_was_found_elsewhere_can_be_handed_in(member):
    test = keep(member)
    own = advice.by_sheet(advice.sheet_of(test.resin))
    calibration = Calibration(
        own.kinetics["nominal"], 1.5, ("Rests on a cup test.",), 9, None, own.sheet, "nominal", True
    )
    done = cup_tests.fitted(test, calibration, at=AT)
    assert (done.residual_percent, done.fitted["flags"], done.fitted["version"]) == (1.5, [], 1)


def test_a_test_is_taken_away_and_brought_back_each_once(member):
    test = CupTestFactory(resin=ResinFactory(shop=member.shop))
    for removed in (True, True, False, False):
        cup_tests.remove(member, test, at=AT, removed=removed)
    verbs = Event.objects.filter(target_key=test.key).order_by("pk").values_list("verb", flat=True)
    assert list(verbs) == ["removed", "brought back"]
    assert CupTest.objects.kept().get() == test
