from datetime import timedelta

import pytest

from projects.actions import bench as acts
from projects.actions import glue
from projects.models import Step, Timer
from tests.factories import AT, Bench, StepFactory, key, moment

pytestmark = pytest.mark.django_db


class Glue(Bench):
    """A step at which the panel is glued up; with a step for its cure where one is asked for."""

    def __init__(self, cures=False):
        super().__init__()
        made = {"shop": self.shop, "block": self.block}
        self.glue_step = StepFactory(**made, kind="glue_up", title="Glue up", position=10)
        self.cure = (
            StepFactory(**made, kind="clamped", title="Glue cures", position=11, mode="passive")
            if cures
            else None
        )

    def glue(self, minutes=0, **more):
        values = {
            "part": "left half",
            "pieces": 12,
            "open_min": 40.0,
            "clamped_h": 12.0,
            "temp_c": 19.0,
            "text": "",
            "done": True,
            **more,
        }
        return glue.glue_up(self.member, self.glue_step, values, key=key(), moment=moment(minutes))


def state_of(step):
    return Step.objects.get(pk=step.pk).state


def test_a_glue_up_starts_a_clock_for_the_open_time_and_one_for_the_clamps():
    timers = {timer.kind: timer for timer in Glue().glue().timers.all()}
    assert timers[Timer.Kind.GLUE].due_at == AT + timedelta(minutes=40)
    assert timers[Timer.Kind.GLUE].early_at == AT + timedelta(minutes=30)
    assert timers[Timer.Kind.CLAMPED].due_at == AT + timedelta(hours=12)


def test_a_time_that_is_not_known_starts_no_clock():
    assert not Glue().glue(open_min=None, clamped_h=None).timers.exists()


def test_the_log_names_the_part_and_counts_its_pieces():
    assert Glue().glue(text="Band pulled twice.").text == "Glued up: left half, 12 pieces. Band pulled twice."
    assert Glue().glue(part="", pieces=None).text == "Glued up: the panel"


def test_the_warmth_is_read_with_the_glue_up():
    assert [row.value for row in Glue().glue().readings.all()] == [19.0]


def test_a_glue_up_without_a_step_for_its_cure_waits_for_the_clamps_itself():
    bench = Glue()
    timer = bench.glue().timers.get(kind=Timer.Kind.CLAMPED)
    assert state_of(bench.glue_step) == Step.State.WAITING
    acts.settle(bench.member, timer, "clamps off", key=key(), moment=moment(800))
    assert state_of(bench.glue_step) == Step.State.DONE


def test_a_step_for_the_glues_cure_waits_in_its_place():
    bench = Glue(cures=True)
    bench.glue()
    assert (state_of(bench.glue_step), state_of(bench.cure)) == (Step.State.DONE, Step.State.WAITING)


def test_the_clamps_end_the_step_that_stands_for_the_glues_cure():
    bench = Glue(cures=True)
    timer = bench.glue().timers.get(kind=Timer.Kind.CLAMPED)
    acts.settle(bench.member, timer, "clamps off", key=key(), moment=moment(800))
    assert (state_of(bench.glue_step), state_of(bench.cure)) == (Step.State.DONE, Step.State.DONE)


def test_another_part_sets_the_cure_waiting_again():
    bench = Glue(cures=True)
    timer = bench.glue(done=False).timers.get(kind=Timer.Kind.CLAMPED)
    acts.settle(bench.member, timer, "clamps off", key=key(), moment=moment(800))
    bench.glue(minutes=900, part="right half")
    assert state_of(bench.cure) == Step.State.WAITING


def test_a_part_goes_to_the_next_cure_of_its_route():
    bench = Glue(cures=True)
    second = StepFactory(shop=bench.shop, block=bench.block, kind="clamped", title="Cures too", position=13)
    bench.glue()
    assert (state_of(bench.cure), state_of(second)) == (Step.State.WAITING, Step.State.TO_DO)


def test_the_open_time_of_the_part_before_no_longer_asks():
    bench = Glue()
    first = bench.glue(done=False).timers.get(kind=Timer.Kind.GLUE)
    bench.glue(minutes=50, part="right half")
    first.refresh_from_db()
    assert first.settled_how == "the next part was glued"
    assert Timer.objects.running().filter(kind=Timer.Kind.CLAMPED).count() == 2
