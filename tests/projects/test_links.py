"""What each step waits for: the one before it, or those that its links name."""

import pytest
from django.db import IntegrityError, transaction

from projects.links import begun_behind, circle_in, waits_of
from projects.models import Step, StepLink
from tests.factories import AT, BlockFactory, StepFactory

pytestmark = pytest.mark.django_db


class Chain:
    """A project of some steps, one behind the other."""

    def __init__(self, titles="abcd", block=None):
        self.block = block or BlockFactory()
        self.steps = [
            StepFactory(shop=self.block.shop, block=self.block, position=place, kind="other", title=title)
            for place, title in enumerate(titles)
        ]

    def link(self, before, after, **values):
        ends = {"before": self.steps[before], "after": self.steps[after]}
        return StepLink.objects.create(shop=self.block.shop, created_at=AT, **ends, **values)

    def pairs(self, steps=None):
        names = {step.pk: step.title for step in self.steps}
        return [names[wait.before.pk] + names[wait.after.pk] for wait in waits_of(steps or self.steps)]


def test_without_links_each_step_waits_for_the_one_before_it():
    assert Chain().pairs() == ["ab", "bc", "cd"]


def test_a_link_comes_on_top_of_the_order():
    chain = Chain()
    chain.link(0, 2)
    assert chain.pairs() == ["ab", "bc", "cd", "ac"]


def test_a_link_between_neighbours_takes_the_place_of_the_order():
    chain = Chain()
    link = chain.link(0, 1)
    assert chain.pairs() == ["ab", "bc", "cd"]
    assert waits_of(chain.steps)[0].link == link


def test_blocks_of_a_project_go_on_beside_each_other():
    one = Chain("ab")
    other = BlockFactory(shop=one.block.shop, project=one.block.project, position=1)
    beside = StepFactory(shop=other.shop, block=other, position=5, kind="other", title="x")
    last = StepFactory(shop=other.shop, block=None, project=other.project, position=6, title="z")
    one.steps += [beside, last]
    assert one.pairs() == ["ab", "bz", "xz"]


def test_a_step_may_wait_for_several():
    chain = Chain()
    chain.link(0, 3)
    chain.link(1, 3)
    assert chain.pairs() == ["ab", "bc", "cd", "ad", "bd"]


def test_steps_of_two_projects_do_not_wait_for_each_other():
    one, other = Chain("ab"), Chain("ab")
    assert len(waits_of([*one.steps, *other.steps])) == 2


def test_a_link_of_a_step_that_was_taken_out_counts_no_more():
    chain = Chain()
    chain.link(0, 3)
    Step.objects.filter(pk=chain.steps[0].pk).update(removed_at=AT)
    assert chain.pairs(chain.steps[1:]) == ["bc", "cd"]


def test_a_wait_knows_whether_it_has_a_window():
    chain = Chain()
    chain.link(0, 1)
    chain.link(1, 2, open_min=5)
    assert [wait.has_window for wait in waits_of(chain.steps)] == [False, True, False]


def test_all_routes_of_a_shop_are_read_with_one_question(django_assert_num_queries):
    chains = [Chain(), Chain(), Chain()]
    for chain in chains:
        chain.link(0, 2)
    with django_assert_num_queries(1):
        waits_of([step for chain in chains for step in chain.steps])


def test_a_circle_is_named_in_its_order():
    chain = Chain()
    chain.link(3, 1)
    waits = waits_of(chain.steps)
    assert circle_in(chain.steps, waits) == ["b", "c", "d"]


def test_what_was_begun_behind_a_step_is_found_however_far_off():
    chain = Chain()
    chain.steps[3].state = "done"
    assert begun_behind(chain.steps[0], chain.steps) == [chain.steps[3]]
    assert begun_behind(chain.steps[3], chain.steps) == []


@pytest.mark.parametrize(
    ("ends", "values", "constraint"),
    [((1, 1), {}, "two_steps"), ((0, 1), {"open_min": 5, "close_min": 4}, "window")],
)
def test_the_database_refuses_links_that_make_no_sense(ends, values, constraint):
    chain = Chain()
    with pytest.raises(IntegrityError, match=constraint), transaction.atomic():
        chain.link(*ends, **values)
