from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.workshop.drawing.parsed import parsed, parts_of
from workshop.drawing.clock import MOST_SLOTS, clock

START = datetime(2026, 3, 10, 13, 34, tzinfo=UTC)
MINUTE = timedelta(minutes=1)


def drawn(passed_min, due_min, *, opens_min=None, closes_min=None, ring_fraction=None):
    """A clock from minutes after its start, and its drawing read back."""
    row = clock(
        START,
        START + passed_min * MINUTE,
        START + due_min * MINUTE,
        opens=None if opens_min is None else START + opens_min * MINUTE,
        closes=None if closes_min is None else START + closes_min * MINUTE,
        ring_fraction=ring_fraction,
    )
    return row, parsed(row.svg)


def percent(text):
    assert text.endswith("%")
    return float(text[:-1])


@pytest.mark.parametrize(
    ("due_min", "unit", "slots"),
    [
        (20, "one slot, one minute", 20),
        (40, "one slot, two minutes", 20),
        (82, "one slot, five minutes", 17),
        (4 * 60, "one slot, ten minutes", 24),
        (14.75 * 60, "one slot, one hour", 15),
        (40 * 60, "one slot, two hours", 20),
        (7 * 24 * 60, "one slot, half a day", 14),
        (14 * 24 * 60, "one slot, one day", 14),
        (365 * 24 * 60, "one slot, four weeks", 14),
        (3650 * 24 * 60, "one slot, 22 weeks", 24),
    ],
)
def test_a_slot_is_the_shortest_round_time_of_which_a_row_holds_enough(due_min, unit, slots):
    row, _ = drawn(0, due_min)
    assert (row.unit, row.slots) == (unit, slots)


@given(st.floats(0.1, 1e6))
def test_a_row_never_holds_more_slots_than_can_be_counted(due_min):
    row, root = drawn(0, due_min)
    assert 1 <= row.slots <= MOST_SLOTS
    assert len(parts_of(root, "k-lam")) == row.slots + 1  # a strip before each slot, and one at the end


def test_strips_stand_one_slot_apart():
    _, root = drawn(0, 82)
    starts = [percent(strip.get("x")) for strip in parts_of(root, "k-lam")]
    assert starts[1] == pytest.approx(100 * 5 / 82, abs=0.001)
    assert starts[-2:] == [pytest.approx(100 * 80 / 82, abs=0.001), 100]


@pytest.mark.parametrize(("passed_min", "filled"), [(0, 0), (20.5, 25), (82, 100), (90, 100), (-5, 0)])
def test_light_fills_what_has_passed_and_no_more_than_the_row(passed_min, filled):
    _, root = drawn(passed_min, 82)
    (passed,) = parts_of(root, "passed")
    (now,) = parts_of(root, "now")
    assert (
        percent(passed.get("width"))
        == percent(now.get("x1"))
        == percent(now.get("x2"))
        == pytest.approx(filled)
    )


def test_the_early_ring_stands_at_its_share_of_the_time_until_due():
    _, root = drawn(0, 80, ring_fraction=0.75)
    (mark,) = parts_of(root, "k-ink")
    (holder,) = [part for part in root if mark in list(part)]
    assert percent(holder.get("x")) == 75


def test_without_an_early_ring_there_is_no_mark():
    assert not parts_of(drawn(0, 80)[1], "k-ink")


def test_a_window_glows_from_its_opening_to_its_close_and_ends_the_row():
    _, root = drawn(0, 495, opens_min=495, closes_min=885)
    (glow,) = parts_of(root, "k-glow")
    assert percent(glow.get("x")) == pytest.approx(100 * 495 / 885, abs=0.001)
    assert percent(glow.get("x")) + percent(glow.get("width")) == pytest.approx(100, abs=0.002)


@pytest.mark.parametrize(("closes_min", "ends"), [(885, 2), (None, 1)])
def test_a_window_whose_close_is_unknown_has_no_right_bracket(closes_min, ends):
    _, root = drawn(0, 885, opens_min=495, closes_min=closes_min)
    upright = [stroke for stroke in parts_of(root, "l-ink") if stroke.get("x1") == stroke.get("x2")]
    assert len(upright) == ends


def test_a_clock_beside_its_figures_is_hidden_from_screen_readers_until_it_gets_a_sentence():
    spoken = clock(START, START, START + 80 * MINUTE, sentence="Eighty minutes left.")
    assert parsed(spoken.svg).get("aria-label") == "Eighty minutes left."
    assert drawn(0, 80)[1].get("aria-hidden") == "true"


@given(
    st.floats(-1e4, 1e5),
    st.floats(0.1, 1e5),
    st.none() | st.floats(0.01, 1),
    st.none() | st.tuples(st.floats(0, 1e5), st.none() | st.floats(0.1, 1e5)),
)
def test_any_clock_is_a_well_formed_drawing_within_its_row(passed_min, due_min, ring_fraction, window):
    opens_min, open_for = window or (None, None)
    closes_min = None if open_for is None else opens_min + open_for
    if opens_min is not None and closes_min is None and opens_min > due_min:
        due_min = opens_min + 1
    _, root = drawn(
        passed_min, due_min, opens_min=opens_min, closes_min=closes_min, ring_fraction=ring_fraction
    )
    for part in root.iter():
        for name in ("x", "x1", "x2"):
            if part.get(name, "").endswith("%"):
                assert -0.001 <= percent(part.get(name)) <= 100.001


@pytest.mark.parametrize(
    ("times", "words"),
    [
        ({"due_min": 0}, "due after its start"),
        ({"due_min": 80, "closes_min": 90}, "closes after it opens"),
        ({"due_min": 80, "opens_min": 80, "closes_min": 80}, "closes after it opens"),
        ({"due_min": 80, "opens_min": -1, "closes_min": 80}, "opens after the start"),
        ({"due_min": 80, "ring_fraction": 1.5}, "a fraction between"),
    ],
)
def test_times_out_of_order_are_refused(times, words):
    with pytest.raises(ValueError, match=words):
        drawn(0, **times)
