import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.workshop.drawing.parsed import parsed, parts_of, texts_of
from workshop.drawing.week import WIDTH, week
from workshop.drawing.week_lanes import lanes, placed_name
from workshop.drawing.week_rows import EDGE, LEFT, Axis, Bracket, Clash, Cure, Gone, Row, Work

DAY = Axis(24, ((0, "06"), (12, "18"), (24, "06")))
HOURS = st.floats(-40, 80)


def drawn(*rows, axis=DAY):
    return parsed(week(axis, rows, sentence="The week."))


def row(**more):
    return Row("9", "Mon", ((2, 12),), **more)


def places(root, name):
    return [(float(part.get("x")), float(part.get("width"))) for part in parts_of(root, name)]


def test_work_lies_where_the_clock_has_it():
    root = drawn(row(works=[Work(6, 12, ("Sand",))]))
    (block,) = list(places(root, "k-wood"))
    assert block == pytest.approx((LEFT + (EDGE - LEFT) / 4, (EDGE - LEFT) / 4 - 1))


def test_the_longest_name_that_fits_stands_in_a_block():
    names = ("Sand through all the grades", "Sand A")
    said = [text for text, _, _ in texts_of(drawn(row(works=[Work(2, 4, names), Work(5, 5.2, names)])))]
    assert "Sand A" in said
    assert names[0] not in said


def test_the_number_of_the_project_stands_in_a_block_that_has_room():
    said = [text for text, _, _ in texts_of(drawn(row(works=[Work(2, 8, ("Sand",), "027")])))]
    assert said.count("027") == 1


def test_work_at_one_time_lies_in_lanes():
    root = drawn(row(works=[Work(2, 5, ("a",)), Work(3, 6, ("b",)), Work(5, 7, ("c",))]))
    tops = [float(part.get("y")) for part in parts_of(root, "k-wood")]
    assert tops[0] == tops[2] < tops[1]


def test_what_cures_through_the_night_runs_on_with_an_arrow():
    assert len(parts_of(drawn(row(cures=[Cure(9, 33, "cures")])), "k-resin")) == 2
    assert len(parts_of(drawn(row(cures=[Cure(9, 23, "cures")])), "k-resin")) == 1


def test_a_window_without_a_close_has_no_right_bracket():
    closed = drawn(row(brackets=[Bracket(4, 8, "pour 2")]))
    left_open = drawn(row(brackets=[Bracket(4, None, "pour 2")]))
    assert parts_of(closed, "l-ink")[0].get("d").count("M") == 2
    assert parts_of(left_open, "l-ink")[0].get("d").count("M") == 1


def test_a_window_that_came_from_before_has_no_left_bracket():
    root = drawn(row(brackets=[Bracket(-5, 8, "pour 2")]))
    assert parts_of(root, "l-ink")[0].get("d").count("M") == 1


def test_a_clash_says_what_it_is():
    said = [text for text, _, _ in texts_of(drawn(row(clashes=[Clash(23, "two glue-ups")])))]
    assert "clash: two glue-ups" in said


def test_what_should_have_begun_is_no_solid_block():
    assert not parts_of(drawn(row(works=[Work(2, 4, ("Sand",), how="late")])), "k-wood")


def test_the_line_of_now_crosses_its_row_only():
    root = drawn(row(), row(moment=(7, "13:00"), marked=True))
    assert len(parts_of(root, "l-flame")) == 1


def test_a_shut_day_is_all_strips():
    assert not parts_of(drawn(Row("15", "Sun", ())), "l-lit")


@given(
    st.lists(
        st.tuples(HOURS, st.floats(0, 60), st.sampled_from(["ahead", "over", "late", "was"])), max_size=6
    ),
    st.lists(st.tuples(HOURS, st.floats(0, 60)), max_size=6),
    st.sampled_from([24.0, 168.0, 1008.0]),
)
def test_any_week_is_a_well_formed_drawing_within_its_edges(works, spans, hours):
    root = drawn(
        row(
            works=[Work(at, at + length, ("Sand & level", "Sand"), "027", how) for at, length, how in works],
            cures=[Cure(at, at + length, "cures") for at, length in spans],
            brackets=[Bracket(at, at + length, "pour 2") for at, length in spans],
            clashes=[Clash(at, "two at once") for at, _ in spans],
        ),
        axis=Axis(hours, ((0, "Mon"), (hours, "Mon"))),
    )
    for name in ("k-wood", "k-resin", "k-glow"):
        for part in parts_of(root, name):
            if part.get("x"):
                assert LEFT <= float(part.get("x")) <= EDGE
                assert float(part.get("x")) + float(part.get("width")) <= WIDTH


@given(st.lists(st.tuples(st.integers(0, 50), st.integers(1, 20)), max_size=20))
def test_no_two_stretches_of_a_lane_overlap(pairs):
    spans = [(start, start + length) for start, length in pairs]
    by_lane = {}
    for lane, span in zip(lanes(spans), spans, strict=True):
        by_lane.setdefault(lane, []).append(span)
    for taken in by_lane.values():
        taken.sort()
        assert all(first[1] <= second[0] for first, second in zip(taken, taken[1:], strict=False))


def test_a_name_without_any_room_is_left_out():
    assert placed_name("block A cures", 10, 20, 12, 0, 60) is None


def test_who_is_away_stands_in_words_over_a_hatched_stretch():
    root = drawn(row(gone=[Gone(6, 18, "Joris is away")]), row())
    (stretch,) = [part for part in root.iter() if part.get("fill") == "url(#week-gone)"]
    assert float(stretch.get("width")) == pytest.approx((EDGE - LEFT) / 2)
    assert "Joris is away" in [text for text, _, _ in texts_of(root)]


def test_the_words_of_days_away_that_run_out_of_the_row_stay_in_it():
    said = "Wilhelmina is away"
    root = drawn(row(gone=[Gone(23.5, 90, said)]))
    (place,) = [float(part.get("x")) for part in root.iter() if part.text == said]
    assert place < EDGE - 60


def test_opening_hours_in_which_nobody_is_here_say_so_at_their_place():
    root = drawn(Row("9", "Mon", (), emptied=[Gone(2, 12, "everybody is away")]))
    (place,) = [float(part.get("x")) for part in root.iter() if part.text == "everybody is away"]
    assert LEFT + (EDGE - LEFT) / 12 < place < LEFT + (EDGE - LEFT) / 2
