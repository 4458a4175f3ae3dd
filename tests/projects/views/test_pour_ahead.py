"""The bench page of checking the evening before: it leads to the check of the pour that it stands before."""

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone
from django.utils.dateformat import format as date_format

from projects.actions import links, work
from projects.check.ahead import ahead_of, checking_step
from projects.models import LogEntry, Step
from tests.factories import AT, BlockFactory, StepFactory, key
from tests.projects.check.room import CheckedBench
from tests.projects.pages import act, ago, at, words_of
from tests.projects.views.test_check import typed

pytestmark = pytest.mark.django_db


class Evening(CheckedBench):
    """A step of checking, then the pour of the bench, and whatever a test puts behind it."""

    def __init__(self):
        super().__init__()
        Step.objects.filter(pk=self.step.pk).update(position=5)
        self.look = self.more("Look the evening before", 4, kind="check")

    def more(self, title, position, kind="pour", **values):
        values = {"block": self.block, "kind": kind, "title": title, "position": position, **values}
        return StepFactory(shop=self.shop, **values)

    def page(self):
        return at("bench-step", self.shop, self.look.key)

    def check_page(self, step=None):
        return at("check", self.shop, (step or self.step).key)

    def route(self):
        return list(self.project.steps.kept().in_order())

    def pour_ahead(self):
        return ahead_of(self.look, self.route(), timezone.now()).pour


@pytest.fixture
def evening():
    return Evening()


@pytest.fixture
def maker(signed_in, evening):
    return signed_in(evening.member)


def main_act(response):
    """The region at the foot, as it is sent."""
    return response.content.decode().split('class="mainact"')[1].split("</div>")[0]


def test_the_main_act_is_the_check_of_the_pour_that_follows(maker, evening):
    response = maker.get(evening.page())
    assert f'href="{evening.check_page()}">Check before the mix</a>' in main_act(response)
    words = words_of(response)
    assert "Pour Block A is what this checks for" in words
    assert "Nobody went through it yet." in words
    assert response.content.decode().count("btn main") == 1


def test_the_page_says_when_the_pour_is_planned_for(maker, evening):
    Step.objects.filter(pk=evening.step.pk).update(planned_start=AT)
    words = words_of(maker.get(evening.page()))
    assert f"planned for {date_format(AT.astimezone(evening.shop.tz), 'D j M H:i')}" in words


def test_the_check_leads_back_to_its_step(maker, evening):
    assert (
        f'href="{evening.page()}">Look the evening before</a>'
        in maker.get(evening.check_page()).content.decode()
    )
    work.tell(evening.member, evening.look, "done", key=key(), moment=ago(5))
    assert evening.page() not in maker.get(evening.check_page()).content.decode()


def test_when_it_was_checked_the_main_act_is_to_be_done(maker, evening):
    maker.post(evening.check_page(), act(**typed(evening)))
    response = maker.get(evening.page())
    assert "It is checked" in main_act(response)
    words = words_of(response)
    assert "Check again" in words
    assert "Nobody went through it yet." not in words
    assert maker.post(at("step-done", evening.shop, evening.look.key), act(text="")).status_code == 302
    assert Step.objects.get(pk=evening.look.pk).state == "done"


def test_a_check_of_the_day_before_yesterday_is_made_anew(maker, evening):
    maker.post(evening.check_page(), act(**typed(evening)))
    LogEntry.objects.filter(kind="check").update(happened_at=timezone.now() - timedelta(hours=25))
    assert "Check before the mix" in main_act(maker.get(evening.page()))


def test_it_can_be_done_without_a_check_that_is_kept(maker, evening):
    assert "Done, nothing more to write" not in main_act(maker.get(evening.page()))
    work.tell(evening.member, evening.look, "began", key=key(), moment=ago(5))
    response = maker.get(evening.page())
    assert "Check before the mix" in main_act(response)
    assert "Done, nothing more to write" in words_of(response)


def test_a_step_that_is_done_leads_on_as_any_other(maker, evening):
    work.tell(evening.member, evening.look, "done", key=key(), moment=ago(5))
    response = maker.get(evening.page())
    assert "On to: Pour Block A" in main_act(response)
    assert "is what this checks for" not in words_of(response)


def test_without_a_pour_behind_it_the_page_says_so(maker, evening):
    Step.objects.filter(pk=evening.step.pk).update(position=1)
    response = maker.get(evening.page())
    assert "No pour follows it in this route" in words_of(response)
    assert "Begin" in main_act(response)


@pytest.mark.parametrize("state", ["done", "skipped"])
def test_a_pour_that_is_over_is_named_and_not_checked(maker, evening, state):
    Step.objects.filter(pk=evening.step.pk).update(state=state)
    words = words_of(maker.get(evening.page()))
    assert f"“Pour Block A” is {state} already, and no other pour follows." in words


def test_a_step_taken_out_is_no_pour_ahead(evening):
    Step.objects.filter(pk=evening.step.pk).update(removed_at=AT)
    assert evening.pour_ahead() is None


def test_the_first_pour_that_is_not_over_counts(evening):
    second = evening.more("Pour 2", 6)
    assert evening.pour_ahead() == evening.step
    Step.objects.filter(pk=evening.step.pk).update(state="done")
    assert evening.pour_ahead() == second


def test_the_pour_of_its_own_block_comes_before_that_of_another(evening):
    other = BlockFactory(shop=evening.shop, project=evening.project, resin=evening.resin, position=1)
    Step.objects.filter(pk=evening.step.pk).update(position=7)
    foreign = evening.more("Pour B", 6, block=other)
    assert evening.pour_ahead() == evening.step
    Step.objects.filter(pk=evening.step.pk).update(state="skipped")
    assert evening.pour_ahead() == foreign


def test_the_pour_that_is_tied_to_it_comes_first(evening):
    tied = evening.more("Pour 2", 6)
    links.link(evening.member, evening.look, tied, {"open_min": 480}, at=AT)
    assert evening.pour_ahead() == tied


def test_a_pour_of_no_block_has_no_check(evening):
    Step.objects.filter(pk=evening.step.pk).update(block=None)
    assert evening.pour_ahead() is None


def test_other_steps_stand_before_no_pour(evening):
    assert ahead_of(evening.step, evening.route(), timezone.now()) is None


def test_each_pour_knows_its_own_step_of_checking(evening):
    second = evening.more("Pour 2", 8)
    look = evening.more("Look again", 7, kind="check")
    assert checking_step(evening.step, evening.route()) == evening.look
    assert checking_step(second, evening.route()) == look
    assert checking_step(evening.look, evening.route()) is None


def test_the_page_asks_as_often_however_many_pours_follow(maker, evening):
    maker.get(evening.page())
    counts = []
    for place in (6, 7):
        with CaptureQueriesContext(connection) as seen:
            maker.get(evening.page())
        counts.append(len(seen))
        for more in range(3):
            step = evening.more(f"Pour {place} {more}", place + 10 * more)
            links.link(evening.member, evening.look, step, {"open_min": 480}, at=AT)
    assert counts[0] == counts[1]
