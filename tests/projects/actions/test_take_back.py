import pytest

from materials.models import Batch, Reading
from projects.actions import bench as cups
from projects.actions import demould, failures, free_clock, readings, seal, strips, take_back, work
from projects.models import Block, LogEntry, Pour, Step, Timer
from tests.factories import Bench, BundleFactory, StepFactory, key, moment
from workshop.models import Event
from workshop.refusals import Refused

pytestmark = pytest.mark.django_db


class Slip(Bench):
    """A bench at which something is written down by mistake."""

    def step_for(self, kind, **more):
        return StepFactory(shop=self.shop, block=self.block, kind=kind, title=kind, **more)

    def back(self, entry, why="Wrong step or project", minutes=5000):
        return take_back.take_back(self.member, entry, why, key=key(), moment=moment(minutes))

    def poured(self):
        self.weigh_b(self.meet())
        return self.pour()

    def out(self, minutes=2000, **found):
        self.out_step = getattr(self, "out_step", None) or self.step_for("demould")
        empty = dict.fromkeys(demould.MEASURED)
        values = {**empty, **found, "text": "", "done": True}
        return demould.demould(self.member, self.out_step, values, key=key(), moment=moment(minutes))


def state_of(step):
    return Step.objects.get(pk=step.pk).state


# --- any act ---


def test_the_log_keeps_a_line_that_says_what_was_taken_back_and_why():
    bench = Slip()
    entry = work.tell(bench.member, bench.step_for("flatten"), "done", key=key(), moment=moment())
    line = bench.back(entry, "Wrong step or project")
    assert (line.kind, line.text) == (
        LogEntry.Kind.TAKEN_BACK,
        "Wrong step or project. Taken back: flatten: done",
    )


def test_the_entry_itself_leaves_the_log():
    bench = Slip()
    entry = work.tell(bench.member, bench.step_for("flatten"), "done", key=key(), moment=moment())
    bench.back(entry)
    assert not LogEntry.objects.kept().filter(pk=entry.pk).exists()


def test_history_says_who_took_it_back_and_why():
    bench = Slip()
    entry = work.tell(bench.member, bench.step_for("flatten"), "done", key=key(), moment=moment())
    bench.back(entry, "It did not happen")
    event = Event.objects.get(verb="took back an act")
    assert (event.actor, event.why) == (bench.member, "It did not happen")


def test_its_step_stands_as_it_did_before():
    bench = Slip()
    step = bench.step_for("flatten")
    work.tell(bench.member, step, "began", key=key(), moment=moment())
    entry = work.tell(bench.member, step, "done", key=key(), moment=moment(60))
    bench.back(entry)
    assert state_of(step) == Step.State.UNDER_WAY


def test_a_step_that_was_skipped_by_mistake_has_no_reason_left():
    bench = Slip()
    step = bench.step_for("flatten")
    bench.back(work.skip(bench.member, step, "no need", key=key(), moment=moment()))
    assert Step.objects.values_list("state", "skip_why").get(pk=step.pk) == ("to_do", "")


@pytest.mark.parametrize("why", ["", "  "])
def test_without_a_reason_nothing_is_taken_back(why):
    bench = Slip()
    entry = work.tell(bench.member, bench.step_for("flatten"), "done", key=key(), moment=moment())
    with pytest.raises(Refused, match="Say why"):
        bench.back(entry, why)


def test_what_was_taken_back_can_not_be_taken_back_again():
    bench = Slip()
    entry = work.tell(bench.member, bench.step_for("flatten"), "done", key=key(), moment=moment())
    bench.back(entry)
    with pytest.raises(Refused, match="taken it back already"):
        bench.back(entry)


def test_a_cup_that_was_mixed_is_not_taken_back():
    bench = Slip()
    bench.meet()
    with pytest.raises(Refused, match="can't be taken back"):
        bench.back(LogEntry.objects.get(kind=LogEntry.Kind.MIX))


# --- clocks ---


def test_a_clock_set_by_mistake_stops():
    bench = Slip()
    clock = free_clock.set_clock(bench.member, name="kettle", minutes=10, key=key(), moment=moment())
    bench.back(clock.entry)
    assert Timer.objects.get().settled_how == "taken back"


def sealed(bench, coat, minutes):
    values = {"resin": bench.resin, "coat": coat, "open_h": 4, "close_h": 24, "temp_c": 20.0}
    return seal.seal_coat(bench.member, bench.seal_step, values, key=key(), moment=moment(minutes))


def test_the_clock_that_an_act_had_answered_runs_again():
    bench = Slip()
    bench.seal_step = bench.step_for("seal")
    sealed(bench, 1, 0)
    second = sealed(bench, 2, 300)
    bench.back(second)
    assert [clock.entry.detail["coat"] for clock in Timer.objects.running()] == [1]


def test_a_clock_that_was_answered_before_stays_answered():
    bench = Slip()
    bench.seal_step = bench.step_for("seal")
    for coat, minutes in [(1, 0), (2, 300), (3, 600)]:
        last = sealed(bench, coat, minutes)
    bench.back(last)
    assert [clock.entry.detail["coat"] for clock in Timer.objects.running()] == [2]


# --- readings and the shelf ---


def test_a_reading_that_was_taken_back_is_no_longer_the_newest():
    bench = Slip()
    for value, minutes in [(20.0, 0), (91.0, 5)]:
        said = {"kind": "temperature", "value": value, "text": ""}
        entry = readings.take_reading(bench.member, said, key=key(), moment=moment(minutes))
    bench.back(entry)
    assert Reading.objects.of(bench.shop).latest_of("temperature").value == 20


def test_strips_that_were_not_loaded_are_in_their_bundle_again():
    bench = Slip()
    bundle = BundleFactory(shop=bench.shop)
    values = {"lot": bundle, "count": 40, "text": "", "done": True}
    entry = strips.load_strips(bench.member, bench.step_for("load"), values, key=key(), moment=moment())
    bench.back(entry)
    assert (bundle.on_hand, bundle.movements.count()) == (60, 3)


# --- pours ---


def test_a_pour_that_was_taken_back_leaves_its_cups_to_be_poured():
    bench = Slip()
    pour = bench.poured()
    bench.back(pour.entry)
    assert list(cups.open_cups(bench.step)) == list(Batch.objects.all())
    assert not Pour.objects.exists()


def test_the_cup_of_a_pour_that_was_taken_back_asks_again():
    bench = Slip()
    bench.back(bench.poured().entry)
    assert {clock.kind for clock in Timer.objects.running()} == {"pot_life"}


def test_the_step_of_a_pour_that_was_taken_back_is_under_way():
    bench = Slip()
    cure = bench.step_for("cure", mode="passive")
    bench.back(bench.poured().entry)
    assert (state_of(bench.step), state_of(cure)) == (Step.State.UNDER_WAY, Step.State.TO_DO)


def test_a_pour_with_another_on_it_is_not_taken_back():
    bench = Slip()
    first = bench.poured()
    bench.weigh_b(bench.meet(minutes=600), minutes=602)
    bench.pour(minutes=610)
    with pytest.raises(Refused, match="Pour 2 lies on it"):
        bench.back(first.entry)


def test_a_pour_whose_block_is_out_is_not_taken_back():
    bench = Slip()
    pour = bench.poured()
    bench.out()
    with pytest.raises(Refused, match="out of its mould"):
        bench.back(pour.entry)


def test_a_pour_of_which_a_failure_tells_is_not_taken_back():
    bench = Slip()
    pour = bench.poured()
    what = {"kind": "soft", "where": "an edge", "severity": "repair", "pour": pour, "done": ""}
    failures.record_failure(bench.member, bench.project, what, key=key(), moment=moment(60))
    with pytest.raises(Refused, match="A failure tells of this pour"):
        bench.back(pour.entry)
    assert Pour.objects.count() == 1


# --- out of the mould ---


def test_a_block_that_is_not_out_waits_for_its_cure_again():
    bench = Slip()
    cure = bench.step_for("cure", mode="passive")
    bench.poured()
    bench.back(bench.out())
    assert (state_of(cure), state_of(bench.out_step)) == (Step.State.WAITING, Step.State.TO_DO)
    assert "demould" in {clock.kind for clock in Timer.objects.running()}


def test_measures_that_were_taken_back_leave_those_before_them():
    bench = Slip()
    bench.poured()
    bench.out(length_mm=598.0, width_mm=200.0)
    bench.back(bench.out(minutes=2100, length_mm=200.0))
    measured = Block.objects.get(pk=bench.block.pk).measured
    assert (measured["length_mm"]["measured"], measured["width_mm"]["measured"]) == (598, 200)


def test_a_block_whose_only_measures_were_taken_back_has_none():
    bench = Slip()
    bench.poured()
    bench.back(bench.out(length_mm=598.0))
    assert Block.objects.get(pk=bench.block.pk).measured == {}
