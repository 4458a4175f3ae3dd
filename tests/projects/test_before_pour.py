"""What the facts of a pour say of its seal coat and of what was overruled before it."""

import pytest

from projects import compared
from projects.actions import check, seal
from projects.actions.failures import facts_of
from projects.models import Cause
from projects.trouble import pointed_to
from projects.views.failures import with_held
from tests.factories import Bench, BlockFactory, StepFactory, key, moment

pytestmark = pytest.mark.django_db


class Sealed(Bench):
    """A block whose strips were sealed; the window is 4 to 14 h by the clock of the wall."""

    def coat(self, minutes=0, number=1, **more):
        values = {"coat": number, "open_h": 4.0, "close_h": 14.0, "done": True}
        step = StepFactory(shop=self.shop, kind="seal", title="Seal", **{"block": self.block, **more})
        return seal.seal_coat(self.member, step, values, key=key(), moment=moment(minutes))

    def poured(self, minutes, **more):
        self.weigh_b(self.meet(minutes=minutes - 5, **more), minutes=minutes - 3)
        return self.pour(minutes=minutes)

    def overrule(self, code, minutes, why="It is a test casting"):
        check.overrule(self.member, self.step, code, why, key=key(), moment=moment(minutes))


def test_the_age_of_the_seal_coat_stands_beside_its_window():
    bench = Sealed()
    bench.coat()
    seal_facts = facts_of(bench.poured(minutes=12))["seal"]
    assert (seal_facts["coat"], seal_facts["age_h"]) == (1, pytest.approx(0.2))
    assert (seal_facts["opens_h"], seal_facts["closes_h"]) == (4.0, 14.0)


def test_the_last_coat_before_the_pour_counts():
    bench = Sealed()
    bench.coat()
    bench.coat(minutes=300, number=2)
    pour = bench.poured(minutes=360)
    bench.coat(minutes=400, number=3)
    assert facts_of(pour)["seal"]["coat"] == 2


def test_the_coat_of_another_block_is_not_under_the_pour():
    bench = Sealed()
    bench.coat(block=BlockFactory(shop=bench.shop, project=bench.project, position=1))
    assert facts_of(bench.poured(minutes=12))["seal"] is None


def test_a_coat_of_the_whole_project_is_under_each_pour():
    bench = Sealed()
    bench.coat(block=None, project=bench.project)
    assert facts_of(bench.poured(minutes=12))["seal"]["coat"] == 1


def test_what_was_overruled_before_the_pour_is_told_with_name_and_reason():
    bench = Sealed()
    bench.overrule("seal_coat", 3, why="It is dry to the touch")
    pour = bench.poured(minutes=12)
    bench.overrule("mould", 20)
    (row,) = facts_of(pour)["overruled"]
    assert (row["code"], row["name"]) == ("seal_coat", "the seal coat is not ready")
    assert (row["why"], row["who"]) == ("It is dry to the touch", bench.member.name)


def test_of_a_stop_overruled_twice_the_newest_is_told():
    bench = Sealed()
    bench.overrule("seal_coat", 2, why="First")
    bench.overrule("seal_coat", 3, why="Second")
    assert [row["why"] for row in facts_of(bench.poured(minutes=12))["overruled"]] == ["Second"]


def test_what_the_bench_asked_about_is_told_with_what_stood_against_it():
    bench = Sealed()
    said = {"why": "It is a test casting", "against": ["seal coat still wet for 4 h"]}
    pour = bench.poured(minutes=12, all_the_same=said)
    (row,) = facts_of(pour)["overruled"]
    assert (row["name"], row["why"], row["code"]) == ("seal coat still wet for 4 h", said["why"], "")


@pytest.mark.parametrize("told", ["coat", "overruled"])
def test_a_wet_coat_and_its_overruled_stop_speak_for_too_early(told):
    bench = Sealed()
    if told == "coat":
        bench.coat()
    else:
        bench.overrule("seal_coat", 3)
    facts = with_held(facts_of(bench.poured(minutes=12)), bench.shop.tz)
    assert Cause.Code.EARLY in pointed_to(facts)


def test_a_pour_in_the_window_of_its_coat_points_to_no_coat():
    bench = Sealed()
    bench.coat()
    facts = with_held(facts_of(bench.poured(minutes=300)), bench.shop.tz)
    assert (facts["held"]["wet_coat"], facts["held"]["old_coat"]) == (False, False)
    assert not {Cause.Code.EARLY, Cause.Code.LATE} & pointed_to(facts)


def test_pours_of_a_shop_are_compared_by_their_coats(django_assert_num_queries):
    bench = Sealed()
    bench.coat()
    bench.poured(minutes=12)
    bench.poured(minutes=300)
    with django_assert_num_queries(5):  # pours, cups, failures, coats, their clocks
        found = compared.seen(bench.shop)
    assert [held["wet_coat"] for _, held in found] == [False, True]
