from datetime import timedelta

import pytest

from projects.actions import mould
from projects.models import Step, Timer
from tests.factories import AT, Bench, MachineFactory, StepFactory, key, moment

pytestmark = pytest.mark.django_db


class Mould(Bench):
    """A step at which the mould is built."""

    def __init__(self):
        super().__init__()
        self.mould_step = StepFactory(shop=self.shop, block=self.block, kind="mould", title="Build the mould")
        self.machine = MachineFactory(shop=self.shop, kind="mould", name="Long mould")

    def build(self, minutes=0, **values):
        return mould.build_mould(
            self.member,
            self.mould_step,
            {"machine": self.machine, "text": "", **values},
            key=key(),
            moment=moment(minutes),
        )


def test_the_log_says_how_far_the_mould_is():
    entry = Mould().build(taped=True, sealed=True, level=True)
    assert entry.text == "Long mould: taped, sealed, level"
    assert entry.detail["tested_empty"] is False


def test_a_mould_without_a_name_is_just_a_mould():
    assert Mould().build(machine=None).text == "Mould: begun"


def test_sealant_gets_a_clock_as_long_as_was_said():
    timer = Mould().build(sealed=True, sealant_h=12.0).timers.get()
    assert (timer.kind, timer.due_at, timer.law) == (
        Timer.Kind.SEALANT,
        AT + timedelta(hours=12),
        "wall",
    )


def test_a_mould_that_is_done_waits_for_its_sealant():
    bench = Mould()
    bench.build(done=True, sealant_h=12.0)
    assert bench.mould_step.state == Step.State.WAITING


def test_a_mould_that_was_tried_is_done_and_its_sealant_no_longer_asks():
    bench = Mould()
    timer = bench.build(sealed=True, sealant_h=12.0).timers.get()
    assert bench.mould_step.state == Step.State.UNDER_WAY
    bench.build(minutes=800, tested_empty=True, done=True)
    timer.refresh_from_db()
    assert (bench.mould_step.state, timer.settled_how) == (Step.State.DONE, "the mould was tried")


def test_a_mould_that_is_only_levelled_leaves_its_sealant_drying():
    bench = Mould()
    bench.build(sealed=True, sealant_h=12.0)
    bench.build(minutes=5, level=True)
    assert Timer.objects.running().count() == 1
