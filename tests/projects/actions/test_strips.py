import pytest

from projects.actions import strips
from projects.models import LogEntry, Project, Step
from tests.factories import AT, Bench, BundleFactory, StepFactory, key, moment

pytestmark = pytest.mark.django_db


class Load(Bench):
    """A step at which strips are loaded, and a bundle of sixty."""

    def __init__(self):
        super().__init__()
        self.load_step = StepFactory(shop=self.shop, block=self.block, kind="load", title="Load strips")
        self.bundle = BundleFactory(shop=self.shop)

    def load(self, count=40, minutes=0, lot="bundle", done=True, text=""):
        values = {"lot": self.bundle if lot == "bundle" else lot, "count": count, "text": text, "done": done}
        return strips.load_strips(self.member, self.load_step, values, key=key(), moment=moment(minutes))


def test_loaded_strips_leave_their_bundle():
    bench = Load()
    entry = bench.load(40)
    line = bench.bundle.movements.last()
    assert (line.amount, line.kind, line.act_key) == (-40, "use", entry.key)


def test_strips_that_the_ledger_does_not_hold_are_stored_all_the_same():
    bench = Load()
    bench.load(70)
    assert bench.bundle.short == 10


def test_strips_kept_in_metres_are_drawn_by_their_length():
    bench = Load()
    bench.bundle = BundleFactory(shop=bench.shop, unit="m")
    bench.load(10)
    assert bench.bundle.movements.last().amount == -6  # 10 of 600 mm


def test_strips_from_no_bundle_draw_nothing():
    bench = Load()
    assert bench.load(lot=None).kind == LogEntry.Kind.STRIPS
    assert bench.bundle.on_hand == 60


def test_the_log_says_how_many_of_what_went_where():
    bench = Load()
    entry = bench.load(1, text="The last one is short.")
    assert entry.text == (
        f"1 strip of {bench.bundle.species}, {bench.bundle.code}, into Block A. The last one is short."
    )


def test_some_of_the_strips_begin_the_step_and_the_last_ones_end_it():
    bench = Load()
    bench.load(20, done=False)
    assert bench.load_step.state == Step.State.UNDER_WAY
    bench.load(20, minutes=30)
    assert (bench.load_step.state, bench.load_step.started_at) == (Step.State.DONE, AT)


def test_how_many_are_in_counts_all_that_were_loaded():
    bench = Load()
    bench.load(20, done=False)
    bench.load(5, minutes=5)
    assert strips.loaded(bench.load_step) == 25


def test_a_project_is_under_way_once_strips_are_in():
    bench = Load()
    bench.load()
    assert Project.objects.get().state == Project.State.UNDER_WAY


def test_what_the_block_wants_is_brought_up_to_what_went_in(monkeypatch):
    bench, asked = Load(), []
    monkeypatch.setattr(
        "projects.actions.needs.follow", lambda block, *, at, by: asked.append((block, at, by))
    )
    bench.load(minutes=5)
    assert asked == [(bench.block, moment(5).received_at, bench.member)]
