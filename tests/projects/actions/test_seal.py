from datetime import timedelta

import pytest

from projects.actions import bench as acts
from projects.actions import seal, take_back
from projects.models import Step, Timer
from tests.factories import AT, Bench, BlockFactory, StepFactory, key, moment

pytestmark = pytest.mark.django_db


class Seal(Bench):
    """A step at which strips are sealed."""

    def __init__(self):
        super().__init__()
        self.seal_step = StepFactory(shop=self.shop, block=self.block, kind="seal", title="Seal the strips")

    def coat(self, coat=1, minutes=0, **more):
        values = {
            "resin": self.resin,
            "coat": coat,
            "temp_c": 20.0,
            "humidity_percent": 45.0,
            "steady_or_falling": True,
            "open_h": 4,
            "close_h": 14,
            "text": "",
            "done": False,
            **more,
        }
        return seal.seal_coat(self.member, self.seal_step, values, key=key(), moment=moment(minutes))


def test_the_window_of_a_seal_coat_is_carried_to_the_warmth_of_the_shop():
    timer = Seal().coat().timers.get()
    # 4 and 14 h at 25 C take 2^0.5 times as long at 20 C: 20364.7 and 71276.4 s
    assert timer.kind == Timer.Kind.TACK
    assert (timer.due_at - timer.started_at, timer.closes_at - timer.started_at) == (
        timedelta(seconds=20365),
        timedelta(seconds=71276),
    )


def test_without_a_temperature_the_hours_stand_as_they_are_and_the_clock_says_so():
    timer = Seal().coat(temp_c=None, close_h=None).timers.get()
    assert (timer.due_at, timer.closes_at, timer.law) == (AT + timedelta(hours=4), None, "wall")


def test_a_coat_without_hours_has_no_clock():
    assert not Seal().coat(open_h=None).timers.exists()


def test_the_air_at_the_seal_coat_is_read_with_it():
    entry = Seal().coat()
    assert [(row.kind, row.value) for row in entry.readings.order_by("pk")] == [
        ("temperature", 20.0),
        ("humidity", 45.0),
    ]


def test_a_shop_that_was_warming_up_is_told_in_the_log():
    bench = Seal()
    entry = bench.coat(steady_or_falling=False)
    assert entry.text == f"Seal coat 1 of {bench.resin.name} is on, while the shop was warming up"


def test_the_last_coat_waits_for_its_clock_and_its_answer_ends_the_step():
    bench = Seal()
    timer = bench.coat(done=True).timers.get()
    assert bench.seal_step.state == Step.State.WAITING
    acts.settle(bench.member, timer, "dry to handle", key=key(), moment=moment(400))
    assert Step.objects.get(pk=bench.seal_step.pk).state == Step.State.DONE


def test_the_last_coat_without_a_clock_ends_the_step():
    bench = Seal()
    bench.coat(done=True, open_h=None)
    assert bench.seal_step.state == Step.State.DONE


def test_a_second_coat_answers_the_clock_of_the_first():
    bench = Seal()
    first = bench.coat().timers.get()
    bench.coat(2, minutes=300)
    first.refresh_from_db()
    assert first.settled_how == "coat 2 went on it"
    assert Timer.objects.running().count() == 1


def test_a_cold_shop_marks_the_clock():
    timer = Seal().coat(temp_c=12.0).timers.get()
    assert timer.figures["cold"] is True


# --- and then the block is poured ---


def sealed_and_poured(minutes=600):
    bench = Seal()
    bench.coat(done=True)
    bench.weigh_b(bench.meet(minutes=minutes), minutes=minutes + 1)
    return bench, bench.pour(minutes=minutes + 2)


def test_a_pour_answers_the_clock_of_its_seal_coat():
    bench, _ = sealed_and_poured()
    timer = Timer.objects.get(kind=Timer.Kind.TACK)
    assert (timer.settled_at, timer.settled_by, timer.settled_how) == (
        AT + timedelta(minutes=602),
        bench.member,
        "pour 1 went on it",
    )


def test_a_seal_coat_that_waited_is_done_once_its_block_is_poured():
    bench, _ = sealed_and_poured()
    step = Step.objects.get(pk=bench.seal_step.pk)
    assert (step.state, step.ended_at) == (Step.State.DONE, AT + timedelta(minutes=602))


def test_the_seal_coat_of_another_block_goes_on_waiting():
    bench = Seal()
    other = BlockFactory(shop=bench.shop, project=bench.project, position=1)
    bench.seal_step = StepFactory(shop=bench.shop, block=other, kind="seal")
    bench.coat(done=True)
    bench.weigh_b(bench.meet(minutes=600), minutes=601)
    bench.pour(minutes=602)
    assert Timer.objects.running().filter(kind=Timer.Kind.TACK).exists()
    assert Step.objects.get(pk=bench.seal_step.pk).state == Step.State.WAITING


def test_a_pour_that_is_taken_back_leaves_the_seal_coat_waiting_again():
    bench, pour = sealed_and_poured()
    take_back.take_back(bench.member, pour.entry, "Wrong figure", key=key(), moment=moment(700))
    assert Timer.objects.get(kind=Timer.Kind.TACK).settled_at is None
    assert Step.objects.get(pk=bench.seal_step.pk).state == Step.State.WAITING


def test_what_a_coat_took_leaves_both_bottles_by_the_sheets_ratio():
    bench = Seal()
    entry = bench.coat(amount_g=29.0, lot_a=bench.lot_a, lot_b=bench.lot_b)
    lines = [lot.movements.last() for lot in (bench.lot_a, bench.lot_b)]
    # 100 : 45 by mass
    assert [line.amount for line in lines] == [-20, -9]
    assert {line.act_key for line in lines} == {entry.key}


def test_the_log_says_how_much_went_on():
    bench = Seal()
    text = bench.coat(amount_g=29.0, lot_a=bench.lot_a, lot_b=bench.lot_b).text
    assert text == f"Seal coat 1 of {bench.resin.name} is on, 29\u00a0g"


@pytest.mark.parametrize("values", [{}, {"amount_g": None}])
def test_without_an_amount_no_bottle_is_touched(values):
    bench = Seal()
    bench.coat(lot_a=bench.lot_a, lot_b=bench.lot_b, **values)
    assert (bench.lot_a.on_hand, bench.lot_b.on_hand) == (5000, 5000)


def test_out_of_no_bottle_nothing_is_taken():
    bench = Seal()
    bench.coat(amount_g=29.0)
    assert bench.lot_a.on_hand == 5000


def test_what_is_no_resin_of_ours_takes_nothing_from_bottles():
    bench = Seal()
    bench.coat(resin=None, amount_g=29.0, lot_a=bench.lot_a, lot_b=bench.lot_b)
    assert bench.lot_a.on_hand == 5000


def test_taken_back_the_bottles_get_theirs_again():
    bench = Seal()
    entry = bench.coat(amount_g=29.0, lot_a=bench.lot_a, lot_b=bench.lot_b)
    take_back.take_back(bench.member, entry, "Wrong step", key=key(), moment=moment(60))
    assert (bench.lot_a.on_hand, bench.lot_b.on_hand) == (5000, 5000)
