from datetime import timedelta

import pytest

from materials.models import Batch
from projects.actions import bench as acts
from projects.models import LogEntry, Pour, Step, Timer
from tests.factories import AT, Bench, key, moment
from tests.projects.threads import at_once
from workshop.refusals import Refused

pytestmark = pytest.mark.django_db

# the sheet of the tests: pot life 90 min for 100 g at 25 C, next pour 4 to 14 h, demould 24 h, all at 25 C;
# the shop is at 20 C, so that all of them take 2^((25 - 20)/10) = 2^0.5 = 1.41421356 times as long
RECOAT_S, CLOSE_S, DEMOULD_S = 20365, 71276, 122188  # 4, 14 and 24 h * 3600 * 1.41421356, to the second


def lines(lot):
    """The ledger of a lot: kind and grams, in the order written."""
    return [(line.kind, line.amount) for line in lot.movements.order_by("pk")]


# --- the pour ---


def poured(bench, minutes=0):
    """A cup mixed, weighed and poured within ten minutes."""
    bench.weigh_b(bench.meet(minutes=minutes), minutes=minutes + 2)
    return bench.pour(minutes=minutes + 10)


def test_the_next_pour_opens_and_closes_as_worked_by_hand():
    timer = poured(Bench()).entry.timers.get(kind=Timer.Kind.RECOAT)
    assert timer.started_at == AT + timedelta(minutes=10)
    assert timer.due_at - timer.started_at == timedelta(seconds=RECOAT_S)
    assert timer.closes_at - timer.started_at == timedelta(seconds=CLOSE_S)


def test_the_block_leaves_the_mould_as_worked_by_hand():
    timer = poured(Bench()).entry.timers.get(kind=Timer.Kind.DEMOULD)
    assert timer.due_at - timer.started_at == timedelta(seconds=DEMOULD_S)
    assert timer.closes_at is None


def test_a_clock_keeps_the_law_and_the_figures_it_was_made_with():
    timer = poured(Bench()).entry.timers.get(kind=Timer.Kind.DEMOULD)
    assert timer.law == "ten_degree"
    assert (timer.figures["sheet_h"], timer.figures["sheet_c"], timer.figures["temp_c"]) == (24, 25, 20)


def test_a_pour_ends_the_pot_life_of_its_cup():
    bench = Bench()
    poured(bench)
    timer = Timer.objects.get(kind=Timer.Kind.POT_LIFE)
    assert (timer.settled_at, timer.settled_by, timer.settled_how) == (
        AT + timedelta(minutes=10),
        bench.member,
        "poured",
    )


def test_a_pour_leaves_the_pot_life_of_another_projects_cup_running():
    poured(Bench())
    other = Bench()
    other.meet()
    poured(Bench())
    assert Timer.objects.running().of(other.shop).get().kind == Timer.Kind.POT_LIFE


def test_a_second_pour_ends_the_clocks_of_the_first():
    bench = Bench()
    first = poured(bench)
    poured(bench, minutes=300)
    found = first.entry.timers.order_by("kind").values_list("kind", "settled_how")
    assert list(found) == [("demould", "pour 2 went on it"), ("recoat", "pour 2 went on it")]


def test_after_a_second_pour_its_own_clocks_run():
    bench = Bench()
    poured(bench)
    second = poured(bench, minutes=300)
    running = Timer.objects.running().order_by("kind")
    assert [(timer.kind, timer.entry) for timer in running] == [
        ("demould", second.entry),
        ("recoat", second.entry),
    ]


def test_pours_are_numbered_on_their_block():
    bench = Bench()
    assert [poured(bench, minutes=minutes).lift for minutes in (0, 300)] == [1, 2]


def test_a_pour_takes_all_cups_that_wait():
    bench = Bench()
    first, second = bench.meet(), bench.meet(minutes=1)
    assert set(bench.pour().batches.all()) == {first, second}


def test_a_poured_cup_is_not_poured_again():
    bench = Bench()
    poured(bench)
    second = bench.meet(minutes=300)
    assert list(bench.pour(minutes=310).batches.all()) == [second]


def test_a_pour_without_a_cup_is_refused():
    with pytest.raises(Refused, match="There is no mixed cup to pour. Weigh A and B first."):
        Bench().pour()


def test_a_refused_pour_leaves_nothing_behind():
    bench = Bench()
    with pytest.raises(Refused, match="no mixed cup"):
        bench.pour()
    assert not Pour.objects.exists()
    assert not LogEntry.objects.exists()


def test_the_same_cup_cannot_be_poured_twice():
    bench = Bench()
    poured(bench)
    with pytest.raises(Refused, match="no mixed cup"):
        bench.pour(minutes=11)


def test_a_poured_step_waits_for_its_cure():
    bench = Bench()
    poured(bench)
    assert Step.objects.get(pk=bench.step.pk).state == Step.State.WAITING


def test_a_poured_step_of_a_resin_without_demould_hours_is_done():
    bench = Bench(demould_h=None)
    poured(bench)
    step = Step.objects.get(pk=bench.step.pk)
    assert (step.state, step.ended_at) == (Step.State.DONE, AT + timedelta(minutes=10))


def test_the_log_says_what_was_poured_and_what_to_remember():
    bench = Bench()
    bench.weigh_b(bench.meet(a_g=314.5), grams=142)
    pour = acts.pour(
        bench.member, bench.step, key=key(), moment=moment(10), depth_mm=13, text="Ran a little."
    )
    assert pour.entry.text == f"Pour 1 on Block A: 456.5\u00a0g of {bench.resin.name}. Ran a little."


# --- clocks are answered, photos and notes are kept ---


def demould(bench):
    """The demould clock of a poured block."""
    return poured(bench).entry.timers.get(kind=Timer.Kind.DEMOULD)


def test_an_answered_clock_stops_asking():
    bench = Bench()
    acts.settle(bench.member, demould(bench), "Out of the mould, hard", key=key(), moment=moment(2100))
    timer = Timer.objects.get(kind=Timer.Kind.DEMOULD)
    assert (timer.settled_at, timer.settled_how) == (AT + timedelta(minutes=2100), "Out of the mould, hard")
    assert timer not in Timer.objects.running()


def test_an_answered_demould_clock_ends_its_step():
    bench = Bench()
    acts.settle(bench.member, demould(bench), "Out of the mould, hard", key=key(), moment=moment(2100))
    step = Step.objects.get(pk=bench.step.pk)
    assert (step.state, step.ended_at) == (Step.State.DONE, AT + timedelta(minutes=2100))


def test_the_log_says_what_was_done_when_a_clock_rang():
    bench = Bench()
    acts.settle(bench.member, demould(bench), "Out of the mould, hard", key=key(), moment=moment(2100))
    assert LogEntry.objects.get(kind=LogEntry.Kind.CLOCK).text == "demould: Out of the mould, hard"


def test_a_clock_answered_twice_is_refused():
    bench = Bench()
    timer = demould(bench)
    acts.settle(bench.member, timer, "Out of the mould, hard", key=key(), moment=moment(2100))
    with pytest.raises(Refused, match="Somebody has answered this clock already."):
        acts.settle(bench.member, timer, "Left in longer", key=key(), moment=moment(2101))
    assert Timer.objects.get(pk=timer.pk).settled_how == "Out of the mould, hard"


def test_a_note_is_an_entry_of_its_project():
    bench = Bench()
    entry = acts.add_note(
        bench.member, key=key(), moment=moment(5), project=bench.project, text="Comb too tight"
    )
    assert (entry.kind, entry.project, entry.step, entry.text) == (
        "note",
        bench.project,
        None,
        "Comb too tight",
    )


def test_an_act_that_fails_half_way_leaves_nothing_behind(monkeypatch):
    def fail(entry):
        raise RuntimeError("the power went")

    bench = Bench()
    monkeypatch.setattr("projects.actions.log.start_clocks", fail)
    with pytest.raises(RuntimeError, match="the power went"):
        bench.meet()
    assert not Batch.objects.exists()
    assert lines(bench.lot_a) == [("receive", 5000)]


# --- two people at the same moment ---


@pytest.mark.django_db(transaction=True)
def test_two_cups_mixed_at_once_get_two_numbers():
    bench = Bench()
    cups = at_once(bench.meet, lambda: bench.meet(a_g=100))
    assert sorted(cup.cup for cup in cups) == [1, 2]


@pytest.mark.django_db(transaction=True)
def test_a_cup_poured_by_two_people_at_once_is_poured_once():
    bench = Bench()
    bench.meet()
    first, second = at_once(bench.pour, bench.pour)
    assert sorted([type(first).__name__, type(second).__name__]) == ["Pour", "Refused"]
    assert Pour.objects.count() == 1


@pytest.mark.django_db(transaction=True)
def test_b_weighed_by_two_people_at_once_is_drawn_once():
    bench = Bench()
    batch = bench.meet()
    at_once(lambda: bench.weigh_b(batch, grams=142), lambda: bench.weigh_b(batch, grams=140))
    drawn = Batch.objects.get(pk=batch.pk).actual_b_g
    assert bench.lot_b.on_hand == 5000 - drawn


@pytest.mark.django_db(transaction=True)
def test_a_clock_answered_by_two_people_at_once_is_answered_once():
    bench = Bench()
    timer = bench.meet().timers.get()

    def answer():
        return acts.settle(bench.member, timer, "Poured in time", key=key(), moment=moment(60))

    first, second = at_once(answer, answer)
    assert sorted([type(first).__name__, type(second).__name__]) == ["Refused", "Timer"]
