import pytest

from projects.models import RouteChange, Step
from tests.factories import Bench, StepFactory
from tests.projects.pages import act, at, words_of
from tests.projects.test_own_times import often

pytestmark = pytest.mark.django_db


class Ahead(Bench):
    """A step to do, of a kind that was done so many times in so many minutes."""

    def __init__(self, minutes):
        super().__init__()
        often(self, minutes)
        self.flatten = StepFactory(
            shop=self.shop, block=self.block, kind="flatten", title="Flatten block A", minutes=60
        )

    def page(self, name="step-change"):
        return at(name, self.shop, self.project.key, self.flatten.key)


def test_a_step_says_what_the_log_tells_of_it(signed_in):
    bench = Ahead([38, 39, 40, 41, 42])
    words = words_of(signed_in(bench.member).get(bench.page())).replace("\u00a0", " ")
    assert "From your log : done 5 times, 40 min in the middle" in words


def test_a_step_says_how_often_is_too_few(signed_in):
    bench = Ahead([40, 40])
    assert "Done 2 of five times, too few to say." in words_of(signed_in(bench.member).get(bench.page()))


def test_a_step_is_planned_with_the_time_of_the_log_and_it_can_be_taken_back(signed_in):
    bench = Ahead([40] * 5)
    response = signed_in(bench.member).post(bench.page("own-time"), act())
    assert response.url == at("steps", bench.shop, bench.project.key)
    assert Step.objects.get(pk=bench.flatten.pk).minutes == 80  # half of 40 and half of the usual 120
    assert RouteChange.objects.filter(project=bench.project, undone_at=None).count() == 1


def test_a_step_of_another_shop_keeps_its_time(signed_in):
    bench = Ahead([40] * 5)
    assert signed_in(Bench().member).post(bench.page("own-time"), act()).status_code == 404
