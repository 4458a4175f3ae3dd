import itertools

import pytest

from projects import fold
from projects.actions import bench as acts
from projects.actions import log
from projects.models import LogEntry, Step, Timer
from tests.factories import AT, Bench, key, moment
from workshop.acting import Moment
from workshop.models import Event

pytestmark = pytest.mark.django_db


def note(bench, text="Comb too tight", at=None):
    return log.write(
        bench.member, LogEntry.Kind.NOTE, key=key(), moment=at or moment(), project=bench.project, text=text
    )


def whole_thread():
    """A shop that mixed, weighed and poured twice, answered its clocks and wrote a note between."""
    bench = Bench()
    for minutes in (0, 300):
        bench.weigh_b(bench.meet(minutes=minutes), minutes=minutes + 2)
        bench.pour(minutes=minutes + 10)
    note(bench, at=moment(320))
    demould = Timer.objects.running().get(kind=Timer.Kind.DEMOULD)
    acts.settle(bench.member, demould, "Out of the mould, hard", key=key(), moment=moment(2500))
    return bench


def test_an_entry_keeps_when_it_happened_what_the_phone_said_and_when_it_arrived():
    said, happened, arrived = moment(5).happened_at, moment(6).happened_at, moment(90).happened_at
    entry = note(Bench(), at=Moment(happened, said, arrived))
    assert (entry.happened_at, entry.raw_happened_at, entry.received_at) == (happened, said, arrived)


def test_an_entry_is_found_by_its_text_however_it_is_cased():
    assert note(Bench(), text="GROẞE Blasen").search == "grosse blasen"


def test_a_text_that_grows_when_its_case_is_folded_still_fits():
    entry = note(Bench(), text="ß" * 1000)  # folds into two letters each
    entry.clean_fields(exclude=["detail"])
    assert entry.text == "ß" * 1000


def test_an_entry_writes_a_line_of_history():
    bench = Bench()
    entry = note(bench)
    event = Event.objects.get(target_key=entry.key)
    assert (event.verb, event.actor, event.target_label) == ("logged note", bench.member, "Comb too tight")


def test_an_entry_of_a_step_belongs_to_its_project():
    bench = Bench()
    entry = log.write(bench.member, LogEntry.Kind.NOTE, key=key(), moment=moment(), step=bench.step)
    assert entry.project == bench.project


def test_the_clocks_of_a_whole_thread_follow_again_from_its_entries():
    whole_thread()
    kept = Timer.objects.order_by("entry", "kind")
    again = [
        (entry.pk, clock)
        for entry in LogEntry.objects.order_by("pk")
        for clock in sorted(fold.clocks_of(log.happened(entry)), key=lambda clock: clock.kind)
    ]
    assert again == [
        (
            row.entry_id,
            fold.Clock(row.kind, row.started_at, row.early_at, row.due_at, row.closes_at, row.figures),
        )
        for row in kept
    ]
    assert len(again) == 6  # a pot life, a next pour and a demould for each of two pours


def test_the_state_of_a_step_follows_again_from_its_entries():
    bench = whole_thread()
    step = Step.objects.get(pk=bench.step.pk)
    again = fold.step_state([log.happened(entry) for entry in bench.step.entries.all()])
    assert (step.state, step.started_at, step.ended_at) == (again.state, again.started_at, again.ended_at)
    assert again == fold.StepState("done", AT, moment(2500).happened_at)


@pytest.mark.parametrize("order", list(itertools.permutations(["mix", "pour", "clock"])), ids=" ".join)
def test_a_step_stands_the_same_whatever_order_its_acts_arrive_in(order):
    bench = Bench()
    details = {
        "mix": {},
        "pour": {"clocks": [{"kind": "demould", "due_min": 60.0}]},
        "clock": {"clock": "demould"},
    }
    minutes = {"mix": 0, "pour": 10, "clock": 80}
    for kind in order:
        happened = moment(minutes[kind]).happened_at
        late = Moment(happened, happened, moment(500).received_at)
        log.write(bench.member, kind, key=key(), moment=late, step=bench.step, detail=details[kind])
        log.follow(bench.step)
    step = Step.objects.get(pk=bench.step.pk)
    assert (step.state, step.started_at, step.ended_at) == ("done", AT, moment(80).happened_at)


def test_a_removed_entry_no_longer_counts_for_its_step():
    bench = Bench()
    batch = bench.meet()
    LogEntry.objects.filter(batch=batch).update(removed_at=AT)
    log.follow(bench.step)
    assert Step.objects.get(pk=bench.step.pk).state == Step.State.TO_DO
