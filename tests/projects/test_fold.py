from datetime import UTC, datetime, timedelta

from hypothesis import given
from hypothesis import strategies as st

from projects import fold
from projects.fold import Happened, StepState, clocks_of, step_state

MORNING = datetime(2026, 3, 10, 9, 0, tzinfo=UTC)
DEMOULD = {"kind": "demould", "due_min": 1440.0}
RECOAT = {"kind": "recoat", "due_min": 240.0, "closes_min": 840.0}


def happened(kind, minute, key="", **detail):
    return Happened(kind, MORNING + timedelta(minutes=minute), key or f"{minute:04d}", detail)


MIX = happened("mix", 0)
POUR = happened("pour", 30, clocks=[RECOAT, DEMOULD])
POUR_WITHOUT_CLOCKS = happened("pour", 30, clocks=[])
OUT = happened("clock", 1500, clock="demould")

entries = st.builds(
    happened,
    kind=st.sampled_from(["mix", "weigh", "pour", "photo", "note", "clock", "failure", "sheet"]),
    minute=st.integers(0, 40),
    key=st.uuids().map(str),
    clocks=st.sampled_from([[], [RECOAT], [RECOAT, DEMOULD]]),
    clock=st.sampled_from(["pot_life", "recoat", "demould"]),
)


def test_a_step_without_entries_is_to_do():
    assert step_state([]) == StepState(fold.TO_DO, None, None)


def test_a_mixed_cup_puts_a_step_under_way_from_when_the_parts_met():
    assert step_state([MIX]) == StepState(fold.UNDER_WAY, MIX.happened_at, None)


def test_a_pour_with_a_demould_clock_waits_for_its_cure():
    assert step_state([MIX, POUR]) == StepState(fold.WAITING, MIX.happened_at, None)


def test_a_pour_without_a_demould_clock_ends_its_step():
    state = step_state([MIX, POUR_WITHOUT_CLOCKS])
    assert state == StepState(fold.DONE, MIX.happened_at, POUR_WITHOUT_CLOCKS.happened_at)


def test_a_pour_whose_only_clock_is_recoat_ends_its_step():
    assert step_state([MIX, happened("pour", 30, clocks=[RECOAT])]).state == fold.DONE


def test_an_answered_demould_clock_ends_a_waiting_step():
    assert step_state([MIX, POUR, OUT]) == StepState(fold.DONE, MIX.happened_at, OUT.happened_at)


def test_an_answered_recoat_clock_leaves_a_step_waiting():
    assert step_state([MIX, POUR, happened("clock", 1500, clock="recoat")]).state == fold.WAITING


def test_a_demould_clock_answered_before_any_pour_changes_nothing():
    assert step_state([MIX, happened("clock", 10, clock="demould")]).state == fold.UNDER_WAY


def test_a_cup_after_a_pour_puts_the_step_under_way_again_and_keeps_its_start():
    second = happened("mix", 60)
    assert step_state([MIX, POUR, second]) == StepState(fold.UNDER_WAY, MIX.happened_at, None)


def test_a_photo_a_note_and_a_weighing_leave_the_state_alone():
    others = [
        happened(kind, minute)
        for minute, kind in enumerate(["weigh", "photo", "note", "failure", "sheet"], 1)
    ]
    assert step_state([MIX, *others]) == step_state([MIX])


def test_of_two_entries_at_the_same_moment_the_one_with_the_greater_key_counts_as_later():
    pour = happened("pour", 0, key="b", clocks=[])
    assert step_state([pour, happened("mix", 0, key="a")]).state == fold.DONE
    assert step_state([pour, happened("mix", 0, key="c")]).state == fold.UNDER_WAY


@given(st.permutations([MIX, happened("weigh", 2), POUR, happened("note", 40), OUT]))
def test_the_acts_of_a_pour_end_in_one_state_whatever_order_they_arrive_in(shuffled):
    assert step_state(shuffled) == StepState(fold.DONE, MIX.happened_at, OUT.happened_at)


@given(
    st.lists(entries, max_size=8, unique_by=lambda entry: entry.key).flatmap(
        lambda some: st.tuples(st.just(some), st.permutations(some))
    )
)
def test_any_acts_end_in_one_state_whatever_order_they_arrive_in(pair):
    some, shuffled = pair
    assert step_state(shuffled) == step_state(some)


@given(st.lists(entries, max_size=8))
def test_a_step_begins_no_later_than_it_ends(some):
    state = step_state(some)
    if state.ended_at is not None:
        assert state.state == fold.DONE
        assert state.started_at <= state.ended_at


def test_a_clock_is_counted_from_when_its_act_happened():
    recoat, demould = clocks_of(POUR)
    assert recoat.due_at == POUR.happened_at + timedelta(hours=4)
    assert recoat.closes_at == POUR.happened_at + timedelta(hours=14)
    assert demould.due_at == POUR.happened_at + timedelta(days=1)


def test_a_clock_without_an_early_ring_and_a_close_has_neither():
    clock = clocks_of(happened("pour", 0, clocks=[DEMOULD]))[0]
    assert (clock.early_at, clock.closes_at, clock.figures) == (None, None, {})


def test_a_clock_is_due_to_the_second():
    entry = happened("mix", 0, clocks=[{"kind": "pot_life", "early_min": 63.6396, "due_min": 127.2792}])
    clock = clocks_of(entry)[0]
    # 127.2792 min = 7636.752 s; 63.6396 min = 3818.376 s
    assert clock.due_at - entry.happened_at == timedelta(seconds=7637)
    assert clock.early_at - entry.happened_at == timedelta(seconds=3818)


def test_an_act_without_clocks_starts_none():
    assert clocks_of(happened("note", 0)) == []


def test_an_entry_that_begins_puts_a_step_under_way_that_nobody_had_begun():
    reading = happened("reading", 5, begins=True)
    assert step_state([reading]) == StepState(fold.UNDER_WAY, reading.happened_at, None)


def test_an_entry_that_begins_changes_nothing_once_the_step_is_done():
    done, reading = happened("work", 0, step="done"), happened("reading", 5, begins=True)
    assert step_state([done, reading]).state == fold.DONE


def test_a_glue_up_sets_the_step_of_its_cure_waiting():
    glued = happened("glue_up", 0, step="done")
    assert fold.cure_state([glued]) == StepState(fold.WAITING, glued.happened_at, None)


def test_the_clamps_end_the_step_of_the_glues_cure():
    glued, off = happened("glue_up", 0, step="done"), happened("clock", 700, clock="clamped")
    assert fold.cure_state([glued, off]).state == fold.DONE
