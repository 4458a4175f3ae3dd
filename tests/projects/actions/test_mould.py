from datetime import timedelta

import pytest

from projects.actions import mould, plan, take_back
from projects.check.asked import mould_known
from projects.checklists import AT_THE_MOULD, checks_of
from projects.defaults import of_mould
from projects.models import Step, Timer
from tests.factories import (
    AT,
    Bench,
    CheckItemFactory,
    MachineFactory,
    MemberFactory,
    StepFactory,
    key,
    moment,
)

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


SEALED, TESTED = tuple(AT_THE_MOULD)


def with_checklist():
    bench = Mould()
    for text in (SEALED, TESTED, "Dry inside"):
        CheckItemFactory(step=bench.mould_step, shop=bench.shop, text=text)
    return bench


def ticked(bench):
    return set(bench.mould_step.checks.exclude(ticked_at=None).values_list("text", flat=True))


@pytest.mark.parametrize(
    ("values", "known"),
    [
        ({"taped": True}, set()),
        ({"taped": True, "sealed": True}, {SEALED}),
        ({"tested_empty": True}, {TESTED}),
        ({"taped": True, "sealed": True, "tested_empty": True}, {SEALED, TESTED}),
    ],
)
def test_what_was_done_at_the_mould_is_ticked_on_its_checklist(values, known):
    bench = with_checklist()
    bench.build(**values)
    assert ticked(bench) == known


def test_the_lines_it_knows_are_those_of_the_usual_checklist():
    assert set(AT_THE_MOULD) <= set(checks_of(Step.Kind.MOULD))


def test_a_line_that_was_ticked_before_keeps_who_ticked_it():
    bench = with_checklist()
    earlier = MemberFactory(shop=bench.shop)
    line = bench.mould_step.checks.get(text=TESTED)
    plan.tick(earlier, line, True, at=AT)
    bench.build(tested_empty=True)
    assert bench.mould_step.checks.get(text=TESTED).ticked_by == earlier.user


def test_taken_back_it_clears_what_it_had_ticked_and_no_more():
    bench = with_checklist()
    plan.tick(bench.member, bench.mould_step.checks.get(text=TESTED), True, at=AT)
    entry = bench.build(taped=True, sealed=True, tested_empty=True)
    take_back.take_back(bench.member, entry, "Wrong step", key=key(), moment=moment(60))
    assert ticked(bench) == {TESTED}


def test_what_is_ticked_on_the_checklist_stands_in_the_form():
    bench = with_checklist()
    plan.tick(bench.member, bench.mould_step.checks.get(text=SEALED), True, at=AT)
    found = of_mould(bench.mould_step)
    assert (found["taped"], found["sealed"], found["tested_empty"]) == (True, True, False)


def test_who_pours_reads_what_was_written_at_the_mould():
    bench = Mould()
    bench.build(taped=True, sealed=True, tested_empty=True)
    said = mould.said_of(bench.step)
    assert (
        said == "Ines wrote at the mould, Tue 10 Mar 10:00: Long mould: taped, sealed, tried empty and tight"
    )


def test_of_a_mould_that_nobody_wrote_of_nothing_is_said():
    assert mould.said_of(Mould().step) == ""


def test_a_check_knows_what_was_done_at_the_mould_since_the_last_check():
    """The mould was tried after a check had been kept: the next check does not ask for it again."""
    bench = Mould()
    bench.build(taped=True, sealed=True, tested_empty=True)
    assert mould_known(["tray under it"], bench.step) == [
        "tray under it", "taped", "sealed", "leak-tested", "sealant dry",
    ]  # fmt: skip
