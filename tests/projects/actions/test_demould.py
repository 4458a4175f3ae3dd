import pytest

from materials.models import Reading
from projects.actions import demould as acts
from projects.models import Block, Step, Timer
from tests.factories import AT, Bench, StepFactory, key, moment
from workshop.models import Event

pytestmark = pytest.mark.django_db

MEASURES = {
    "length_mm": 598.0,
    "width_mm": 200.5,
    "depth_mm": 12.6,
    "bow_mm": 0.4,
    "hardness": 72.0,
    "temp_c": 21.0,
}


class Out(Bench):
    """A block that was poured, and the step that takes it out of its mould."""

    def __init__(self, cures=True):
        super().__init__()
        made = {"shop": self.shop, "block": self.block}
        self.cure = StepFactory(**made, kind="cure", title="Cure", mode="passive") if cures else None
        self.out_step = StepFactory(**made, kind="demould", title="Demould and measure")
        self.weigh_b(self.meet())
        self.pour()

    def out(self, minutes=2000, done=True, **more):
        values = {**MEASURES, "text": "", "done": done, **more}
        return acts.demould(self.member, self.out_step, values, key=key(), moment=moment(minutes))


def state_of(step):
    return Step.objects.get(pk=step.pk).state


def test_a_block_that_is_out_is_done_with_its_cure():
    bench = Out()
    assert state_of(bench.cure) == Step.State.WAITING
    bench.out()
    assert (state_of(bench.out_step), state_of(bench.cure)) == (Step.State.DONE, Step.State.DONE)


def test_a_pour_that_waited_for_its_own_cure_is_done():
    bench = Out(cures=False)
    assert state_of(bench.step) == Step.State.WAITING
    bench.out()
    assert state_of(bench.step) == Step.State.DONE


def test_a_block_that_is_out_but_not_measured_is_under_way():
    bench = Out()
    bench.out(done=False)
    assert (state_of(bench.out_step), state_of(bench.cure)) == (Step.State.UNDER_WAY, Step.State.DONE)


def test_the_clocks_of_the_mould_no_longer_ask():
    bench = Out()
    assert Timer.objects.running().count() == 2
    bench.out()
    hows = set(Timer.objects.exclude(settled_how="poured").values_list("settled_how", flat=True))
    assert (Timer.objects.running().count(), hows) == (0, {"out of the mould"})


def test_a_demould_that_arrives_late_leaves_the_clocks_of_a_later_pour_alone():
    bench = Out()
    bench.weigh_b(bench.meet(minutes=3000), minutes=3002)
    bench.pour(minutes=3010)
    bench.out(minutes=2000)
    assert {timer.kind for timer in Timer.objects.running()} == {"recoat", "demould"}
    assert state_of(bench.cure) == Step.State.WAITING


def test_clocks_of_another_block_run_on():
    bench, other = Out(), Out()
    bench.out()
    assert Timer.objects.of(other.shop).running().count() == 2


def test_each_measure_is_a_reading_of_its_entry():
    entry = Out().out()
    found = {row.kind: row.value for row in entry.readings.all()}
    assert found == {
        "length": 598.0,
        "width": 200.5,
        "thickness": 12.6,
        "bow": 0.4,
        "hardness": 72.0,
        "block": 21.0,
    }


def test_a_measure_that_was_not_taken_is_no_reading():
    Out().out(hardness=None, bow_mm=None)
    assert not Reading.objects.filter(kind__in=["hardness", "bow"]).exists()


def test_the_measures_stand_beside_the_plan():
    bench = Out()
    bench.out()
    measured = Block.objects.get().measured
    # 50 strips of 2 mm and 49 gaps of 2 mm; 10 mm finished, twice 1 mm flattened, 1 mm over the strips
    assert measured["length_mm"] == {"planned": 600.0, "measured": 598.0}
    assert measured["width_mm"] == {"planned": 198.0, "measured": 200.5}
    assert measured["depth_mm"] == {"planned": 13.0, "measured": 12.6}


def test_measured_again_only_what_was_measured_changes_and_history_keeps_it():
    bench = Out()
    bench.out()
    nothing = dict.fromkeys(MEASURES)
    bench.out(minutes=2100, **{**nothing, "bow_mm": 0.9})
    measured = Block.objects.get().measured
    assert (measured["bow_mm"]["measured"], measured["length_mm"]["measured"]) == (0.9, 598.0)
    event = Event.objects.filter(verb="measured").order_by("pk").last()
    assert (event.before, event.after) == ({"bow_mm": 0.4}, {"bow_mm": 0.9})


def test_a_step_without_a_block_is_stored_too():
    bench = Out()
    bench.out_step.block = None
    bench.out_step.save()
    assert bench.out().text == "The block is out of the mould"
    assert bench.out_step.started_at > AT
