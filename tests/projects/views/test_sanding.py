import pytest

from projects.actions import sanding
from projects.models import SandingSession, Step
from tests.factories import Bench, MemberFactory, StepFactory, key
from tests.projects.pages import FRAGMENT, act, ago, at, typed_in, words_of

pytestmark = pytest.mark.django_db

P120 = {"grade": "120", "system": "P", "side": "front"}


class Sand(Bench):
    """A step at which the panel is sanded."""

    def __init__(self):
        super().__init__()
        self.the_step = StepFactory(shop=self.shop, block=self.block, kind="sand", title="Sand")
        self.page = at("act-sand", self.shop, self.the_step.key)

    def start(self, minutes_ago=30, **values):
        return sanding.start(
            self.member, self.the_step, {**P120, **values}, key=key(), moment=ago(minutes_ago)
        )

    def at(self, name, session):
        return at(name, self.shop, self.the_step.key, session.key)


def test_a_session_is_started_and_leads_to_its_page(signed_in):
    bench = Sand()
    response = signed_in(bench.member).post(bench.page, act(**P120, area_m2="0.24"))
    session = SandingSession.objects.get()
    assert response["Location"] == bench.at("sanding", session)
    assert session.area_mm2 == pytest.approx(240_000)


def test_a_start_that_is_sent_twice_is_one_session(signed_in):
    bench = Sand()
    client, sent = signed_in(bench.member), act(**P120)
    assert client.post(bench.page, sent)["Location"] == client.post(bench.page, sent)["Location"]
    assert SandingSession.objects.count() == 1


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [({"grade": "777"}, "No table knows the grade"), ({"grade": "CAMI 320"}, "is no grade of P")],
)
def test_a_grade_that_is_none_is_asked_again(signed_in, typed, sentence):
    bench = Sand()
    response = signed_in(bench.member).post(bench.page, act(**{**P120, **typed}))
    assert response.status_code == 422
    assert sentence in words_of(response)
    assert typed_in(response)["grade"] == typed["grade"]


def test_a_grade_without_its_system_is_asked_again(signed_in):
    bench = Sand()
    assert signed_in(bench.member).post(bench.page, act(**{**P120, "system": ""})).status_code == 422


def test_a_grade_that_says_its_system_needs_no_other_word(signed_in):
    bench = Sand()
    signed_in(bench.member).post(bench.page, act(**{**P120, "grade": "P120", "system": ""}))
    session = SandingSession.objects.get()
    assert (session.system, session.grade) == ("P", "120")


def test_a_second_start_on_one_side_is_refused_with_a_sentence(signed_in):
    bench = Sand()
    bench.start()
    response = signed_in(bench.member).post(bench.page, act(**P120))
    assert response.status_code == 422
    assert "P120, front is still going on. Stop it before you start another" in words_of(response)


def test_as_one_types_a_jump_is_pointed_out(signed_in):
    bench = Sand()
    sanding.stop(bench.member, bench.start(grade="80"), {}, key=key(), moment=ago(10))
    response = signed_in(bench.member).get(bench.page, {**P120, "grade": "180"}, **FRAGMENT)
    assert "From P80 to P180 the grains get 2.5 times finer in one step" in words_of(response)
    assert b"<html" not in response.content


def test_as_one_types_a_size_that_nobody_published_is_said(signed_in):
    bench = Sand()
    response = signed_in(bench.member).get(bench.page, {**P120, "grade": "3000"}, **FRAGMENT)
    assert "No published size of the grains of P3000" in words_of(response)


def test_half_a_grade_says_nothing_yet(signed_in):
    bench = Sand()
    response = signed_in(bench.member).get(bench.page, {"grade": "12"}, **FRAGMENT)
    assert words_of(response) == ""


def test_the_next_session_begins_with_side_and_system_of_the_last(signed_in):
    bench = Sand()
    bench.start(side="back", system="CAMI", grade="320")
    fields = typed_in(signed_in(bench.member).get(bench.page))
    assert (fields["side"], fields["system"], fields["grade"]) == ("back", "CAMI", "")


def test_sessions_of_before_are_listed_with_what_they_took(signed_in):
    bench = Sand()
    session = bench.start(minutes_ago=30)
    sanding.stop(bench.member, session, {"discs": 3, "removed_mm": 0.2}, key=key(), moment=ago(10))
    assert "P120, front 20 min, 3 discs, 0.2 mm off" in words_of(signed_in(bench.member).get(bench.page))


def test_a_session_that_goes_on_counts_from_its_start_without_its_pauses(signed_in):
    bench = Sand()
    session = bench.start(minutes_ago=30)
    sanding.pause(bench.member, session, key=key(), moment=ago(20))
    sanding.resume(bench.member, session, key=key(), moment=ago(15))
    response = signed_in(bench.member).get(bench.at("sanding", session))
    assert 24 <= response.context["worked_min"] < 26  # 30 minutes without 5
    assert b"data-counts=" in response.content


def test_a_session_that_rests_does_not_count(signed_in):
    bench = Sand()
    session = bench.start(minutes_ago=30)
    sanding.pause(bench.member, session, key=key(), moment=ago(20))
    response = signed_in(bench.member).get(bench.at("sanding", session))
    assert b"data-counts=" not in response.content
    assert "10 min rests since it was paused" in words_of(response)


def test_a_session_is_paused_and_gone_on_with(signed_in):
    bench = Sand()
    session, client = bench.start(), signed_in(bench.member)
    assert client.post(bench.at("sanding-pause", session), act())["Location"] == bench.at("sanding", session)
    assert SandingSession.objects.get().is_resting
    client.post(bench.at("sanding-resume", session), act())
    assert not SandingSession.objects.get().is_resting


def test_a_pause_of_a_session_that_rests_is_refused_on_its_page(signed_in):
    bench = Sand()
    session, client = bench.start(), signed_in(bench.member)
    client.post(bench.at("sanding-pause", session), act())
    response = client.post(bench.at("sanding-pause", session), act())
    assert response.status_code == 422
    assert "This session rests already" in words_of(response)


def test_a_session_that_is_stopped_leads_back_to_its_step(signed_in):
    bench = Sand()
    session = bench.start()
    sent = act(discs="3", removed_mm="0.2", done="on")
    response = signed_in(bench.member).post(bench.at("sanding-stop", session), sent)
    assert response["Location"] == at("bench-step", bench.shop, bench.the_step.key)
    assert Step.objects.get(pk=bench.the_step.pk).state == Step.State.DONE


def test_a_figure_that_is_none_keeps_the_session_going(signed_in):
    bench = Sand()
    session = bench.start()
    response = signed_in(bench.member).post(bench.at("sanding-stop", session), act(removed_mm="a bit"))
    assert response.status_code == 422
    assert SandingSession.objects.get().ended_at is None


def test_a_session_that_is_done_offers_the_next_grade(signed_in):
    bench = Sand()
    session = bench.start()
    sanding.stop(bench.member, session, {}, key=key(), moment=ago(10))
    page = signed_in(bench.member).get(bench.at("sanding", session)).content.decode()
    assert f'href="{bench.page}">The next grade</a>' in page


def test_a_session_of_another_step_is_not_found_here(signed_in):
    bench = Sand()
    session = bench.start()
    other = StepFactory(shop=bench.shop, block=bench.block, kind="sand", title="Sand on")
    page = at("sanding", bench.shop, other.key, session.key)
    assert signed_in(bench.member).get(page).status_code == 404


def test_a_viewer_sees_how_long_it_goes_on(signed_in):
    bench = Sand()
    session = bench.start()
    viewer = MemberFactory(shop=bench.shop, role="viewer")
    assert signed_in(viewer).get(bench.at("sanding", session)).status_code == 200
