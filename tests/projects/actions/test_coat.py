from datetime import timedelta

import pytest

from projects.actions import bench as acts
from projects.actions import coat, take_back, work
from projects.models import Step, Timer
from tests.factories import AT, Bench, FinishFactory, StepFactory, TinFactory, key, moment

pytestmark = pytest.mark.django_db


class Coat(Bench):
    """A step at which a finish goes on, and a litre of it."""

    def __init__(self, **supply):
        super().__init__()
        self.coat_step = StepFactory(shop=self.shop, block=self.block, kind="coat", title="Oil it")
        self.supply = FinishFactory(shop=self.shop, name="Linden oil", **supply)
        self.tin = TinFactory(shop=self.shop, supply=self.supply)

    def coat(self, number=1, minutes=0, **more):
        values = {
            "supply": self.supply,
            "lot": self.tin,
            "number": number,
            "area_mm2": 240_000.0,
            "amount_ml": 25.0,
            "temp_c": 20.0,
            "humidity_percent": None,
            "text": "",
            "done": False,
            **more,
        }
        return coat.put_coat(self.member, self.coat_step, values, key=key(), moment=moment(minutes))


def test_a_coat_leaves_its_tin():
    bench = Coat()
    entry = bench.coat()
    line = bench.tin.movements.last()
    assert (line.amount, line.act_key) == (-25, entry.key)


def test_more_than_the_tin_held_is_stored_all_the_same():
    bench = Coat()
    bench.coat(amount_ml=1200.0)
    assert bench.tin.short == 200


def test_a_tin_that_is_only_enough_or_low_is_not_drawn_from():
    bench = Coat()
    bench.tin.unit, bench.tin.level = "level", "enough"
    bench.tin.save()
    bench.coat()
    assert bench.tin.movements.count() == 1


def test_the_next_coat_is_carried_to_the_warmth_of_the_shop():
    timer = Coat(recoat_h=12, recoat_close_h=48, recoat_c=20).coat(temp_c=10.0).timers.get()
    # ten degrees colder takes twice as long: 24 and 96 h
    assert (timer.kind, timer.due_at, timer.closes_at) == (
        Timer.Kind.COAT,
        AT + timedelta(hours=24),
        AT + timedelta(hours=96),
    )


def test_a_finish_without_hours_starts_no_clock():
    assert not Coat().coat().timers.exists()


def test_the_next_coat_answers_the_clock_of_the_one_below_even_from_another_step():
    bench = Coat(recoat_h=12)
    first = bench.coat(done=True).timers.get()
    bench.coat_step = StepFactory(shop=bench.shop, block=bench.block, kind="coat", title="Oil it again")
    bench.coat(2, minutes=900)
    first.refresh_from_db()
    assert first.settled_how == "coat 2 went on it"


def test_the_clock_of_the_next_coat_runs_on_when_the_step_is_done():
    bench = Coat(recoat_h=12)
    bench.coat(done=True)
    assert bench.coat_step.state == Step.State.DONE
    assert Timer.objects.running().count() == 1


def test_the_log_says_which_coat_of_what():
    assert Coat().coat(2).text == "Coat 2 of Linden oil is on, 25\u00a0ml"


def test_a_coat_of_something_without_a_name_is_stored():
    bench = Coat()
    entry = bench.coat(supply=None, lot=None, amount_ml=None)
    assert entry.text == "Coat 1 of the finish is on"


# --- the step that dries ---


class Coats(Coat):
    """Two coats, each with a step for its drying."""

    def __init__(self):
        super().__init__(recoat_h=8)
        first = Step.objects.filter(pk=self.coat_step.pk)
        first.update(position=1)
        self.dries, self.second, self.dries_again = (
            StepFactory(shop=self.shop, block=self.block, kind=kind, title=title, position=position)
            for position, (kind, title) in enumerate(
                [("dry", "Coat 1 dries"), ("coat", "Coat 2"), ("dry", "Coat 2 dries")], start=2
            )
        )
        self.coat_step = first.get()

    def states(self):
        rows = (self.coat_step, self.dries, self.second, self.dries_again)
        return [Step.objects.get(pk=step.pk).state for step in rows]

    def coat_second(self, minutes):
        values = {"supply": self.supply, "lot": None, "number": 2, "temp_c": 20.0, "text": "", "done": True}
        return coat.put_coat(self.member, self.second, values, key=key(), moment=moment(minutes))


def test_a_coat_that_is_on_dries_from_then_on():
    bench = Coats()
    bench.coat(done=True)
    assert bench.states() == ["done", "waiting", "to_do", "to_do"]


def test_its_clock_answered_it_is_dry():
    bench = Coats()
    timer = bench.coat(done=True).timers.get()
    acts.settle(bench.member, timer, "dry", key=key(), moment=moment(600))
    assert bench.states()[1] == "done"


def test_the_next_coat_says_that_the_last_one_is_dry():
    bench = Coats()
    bench.coat(done=True)
    bench.coat_second(minutes=600)
    assert bench.states() == ["done", "done", "done", "waiting"]


def test_said_to_be_over_it_is_over():
    bench = Coats()
    bench.coat(done=True)
    work.tell(bench.member, bench.dries, "done", key=key(), moment=moment(500))
    assert bench.states()[1] == "done"


def test_a_coat_taken_back_does_not_dry():
    bench = Coats()
    entry = bench.coat(done=True)
    take_back.take_back(bench.member, entry, "Wrong step", key=key(), moment=moment(60))
    assert bench.states()[:2] == ["to_do", "to_do"]


def test_coats_that_arrive_out_of_order_give_the_same():
    bench = Coats()
    bench.coat_second(minutes=600)
    bench.coat(done=True, minutes=0)
    assert bench.states() == ["done", "done", "done", "waiting"]


def test_a_coat_followed_by_another_has_no_drying_of_its_own():
    bench = Coats()
    Step.objects.filter(pk=bench.dries.pk).update(removed_at=AT)
    bench.coat(done=True)
    assert bench.states()[3] == "to_do"
